import type { PageLanguage } from './page-language.ts';

/** The words that sentences teach: what a person is told to say at the bench. All are rows of `spoken-commands.ts`. */
export interface CallWords {
  readonly baseline: string;
  readonly startRun: string;
  readonly nextRun: string;
  readonly endRun: string;
  readonly goAhead: string;
  readonly mark: string;
  readonly poured: string;
  readonly whatNow: string;
  readonly done: string;
  readonly nextStep: string;
  readonly pressure: string;
  readonly temperature: string;
  readonly disregard: string;
  readonly yes: string;
  /** Between a volume and a name: "poured 5 of peroxide". */
  readonly of: string;
  /** Name of the first run, in letters. */
  readonly one: string;
}

const words: Readonly<Record<PageLanguage, CallWords>> = {
  en: {
    baseline: 'baseline',
    startRun: 'start run',
    nextRun: 'next run',
    endRun: 'end run',
    goAhead: 'go ahead',
    mark: 'mark',
    poured: 'poured',
    whatNow: 'what now',
    done: 'done',
    nextStep: 'next step',
    pressure: 'pressure',
    temperature: 'temperature',
    disregard: 'disregard',
    yes: 'yes',
    of: 'of',
    one: 'one',
  },
  de: {
    baseline: 'Anfangsstand',
    startRun: 'Start Lauf',
    nextRun: 'nächster Lauf',
    endRun: 'Ende Lauf',
    goAhead: 'weitermachen',
    mark: 'Marke',
    poured: 'eingegossen',
    whatNow: 'was jetzt',
    done: 'fertig',
    nextStep: 'nächster Schritt',
    pressure: 'Luftdruck',
    temperature: 'Temperatur',
    disregard: 'streichen',
    yes: 'ja',
    of: 'von',
    one: 'eins',
  },
};

/**
 * The words to say, in the language of the calls, which need not be that of the page.
 * @param tag BCP-47 tag of the calls
 * @example
 * callWords('de-DE').baseline // => 'Anfangsstand'
 */
export const callWords = (tag: string): CallWords => words[tag.toLowerCase().startsWith('de') ? 'de' : 'en'];

const names = Object.keys(words.en) as readonly (keyof CallWords)[];
const quotes: Readonly<Record<PageLanguage, RegExp>> = { en: /(?<=“)[^”]+(?=”)/g, de: /(?<=„)[^“]+(?=“)/g };

/**
 * A sentence in the page's language with the words to say, which stand in its quotes, in the language of the calls: what
 * is written is in the language of the page, what is to be said in the one that is listened for. Other quotes stay.
 * @param calls BCP-47 tag of the calls
 * @example
 * wordsToSay('„Ende Lauf“ sagen.', 'de', 'en-US') // => '„end run“ sagen.'
 */
export function wordsToSay(sentence: string, page: PageLanguage, calls: string): string {
  const [from, to] = [words[page], callWords(calls)];
  return from === to ? sentence : sentence.replace(quotes[page], (said) => saidAs(said, from, to));
}

function saidAs(said: string, from: CallWords, to: CallWords): string {
  const low = said.toLowerCase();
  const name = names.find((one) => low === from[one].toLowerCase() || low.startsWith(`${from[one].toLowerCase()} `));
  if (name === undefined) return said;
  // At the beginning of a sentence; German nouns are written so anyway.
  const isCapital = said.slice(0, 1) !== from[name].slice(0, 1);
  const word = isCapital ? to[name].slice(0, 1).toUpperCase() + to[name].slice(1) : to[name];
  const rest = said
    .slice(from[name].length)
    .split(' ')
    .map((part) => (part === from.of ? to.of : part === from.one ? to.one : part));
  const decimal = to === words.de ? ',' : '.';
  return word + rest.join(' ').replace(/(?<=\d)[.,](?=\d)/g, decimal);
}
