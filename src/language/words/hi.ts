import type { Words } from '../words.ts';
import { numbersOnly } from './numbers-only.ts';

/** 0 to 99, every one a word of its own. From memory; variant spellings exist that are not here. */
const all = (
  'शून्य एक दो तीन चार पांच छह सात आठ नौ दस ग्यारह बारह तेरह चौदह पंद्रह सोलह सत्रह अठारह उन्नीस ' +
  'बीस इक्कीस बाईस तेईस चौबीस पच्चीस छब्बीस सत्ताईस अट्ठाईस उनतीस तीस इकतीस बत्तीस तैंतीस चौंतीस पैंतीस छत्तीस सैंतीस अड़तीस उनतालीस ' +
  'चालीस इकतालीस बयालीस तैंतालीस चौवालीस पैंतालीस छियालीस सैंतालीस अड़तालीस उनचास पचास इक्यावन बावन तिरपन चौवन पचपन छप्पन सत्तावन अट्ठावन उनसठ ' +
  'साठ इकसठ बासठ तिरसठ चौंसठ पैंसठ छियासठ सड़सठ अड़सठ उनहत्तर सत्तर इकहत्तर बहत्तर तिहत्तर चौहत्तर पचहत्तर छिहत्तर सतहत्तर अठहत्तर उन्यासी ' +
  'अस्सी इक्यासी बयासी तिरासी चौरासी पचासी छियासी सत्तासी अट्ठासी नवासी नब्बे इक्यानवे बानवे तिरानवे चौरानवे पंचानवे छियानवे सत्तानवे अट्ठानवे निन्यानवे'
)
  .normalize('NFKC')
  .split(' ');

/** Hindi numbers; procedure words in English. */
export const hi: Words = numbersOnly(
  'hi',
  'हिन्दी',
  '.',
  {
    ones: all.slice(0, 20).map((word) => [word]),
    tens: [],
    compounds: [],
    irregular: {
      ...Object.fromEntries(all.slice(20).map((word, k) => [word, k + 20])),
      ['पाँच'.normalize('NFKC')]: 5,
      ['छः'.normalize('NFKC')]: 6,
    },
    scales: [
      { value: 100, words: ['सौ'] },
      { value: 1000, words: ['हज़ार'.normalize('NFKC'), 'हजार'] },
      { value: 100_000, words: ['लाख'] },
      { value: 10_000_000, words: ['करोड़'.normalize('NFKC')] },
    ],
    point: ['दशमलव', 'पॉइंट'.normalize('NFKC')],
    and: [],
    minus: ['माइनस', 'ऋण'],
  },
  ['मिलीलीटर'],
);
