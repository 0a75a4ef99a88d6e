import { reactions } from '../chemistry/reactions.ts';
import type { PageLanguage } from '../language/page-language.ts';

/** What the reaction records say in English, with the German beside it in the record. */
const german: ReadonlyMap<string, string> = new Map(
  reactions.flatMap(({ convention, remarks, german: said }) =>
    said
      ? [
          [convention, said.convention] as const,
          ...remarks.map((remark, i) => [remark, said.remarks[i] ?? remark] as const),
        ]
      : [],
  ),
);

/** What a reaction of one's own is taken to mean by its rate constant. */
const ownInGerman: readonly (readonly [RegExp, string])[] = [
  [
    /^The rate constant is for the making of gas, d\[gas\]\/dt\. /,
    'Die Geschwindigkeitskonstante gilt für die Bildung von Gas, d[Gas]/dt. ',
  ],
  [
    /^The rate constant is for the making of (.+), d\[\1\]\/dt\. /,
    'Die Geschwindigkeitskonstante gilt für die Bildung von $1, d[$1]/dt. ',
  ],
  [/(\S+) is used up as fast\.$/, '$1 wird ebenso schnell verbraucht.'],
  [/(\S+) is used up (\S+) times as fast\.$/, '$1 wird $2-mal so schnell verbraucht.'],
];

/** What a label or a flask does not tell. */
const solutionsInGerman: readonly (readonly [RegExp, string])[] = [
  [
    /^(\S+) volume is read as (\S+) mol\/L \((\S+) L of oxygen a mole\); the other convention gives (\S+) mol\/L\. A titration with permanganate decides\.$/,
    '„$1 volume“ wird als $2 mol/L gelesen ($3 L Sauerstoff je Mol); die andere Vereinbarung ergibt $4 mol/L. Eine Titration mit Permanganat entscheidet.',
  ],
  [
    /^The density of (\S+) % (.+) is taken as (\S+) g\/mL, from tables\.$/,
    'Die Dichte von $2 mit $1 % ist mit $3 g/mL angenommen, aus Tabellen.',
  ],
  [/ is made from ([^.]+)\. (?=\S)/g, ' entsteht aus $1. '],
  [/ is, step by step, made from itself\./, ' entsteht Schritt für Schritt aus sich selbst.'],
  [/(\S+) is made from "(.+)", which is not on the sheet\./, '$1 entsteht aus „$2“, das nicht auf dem Blatt steht.'],
  [/"(.+)" is not on the sheet\./, '„$1“ steht nicht auf dem Blatt.'],
  [/There is nothing in the flask\./, 'Im Kolben ist nichts.'],
  [/A volume cannot be negative\./, 'Ein Volumen kann nicht negativ sein.'],
  [/A strength cannot be negative\./, 'Eine Stärke kann nicht negativ sein.'],
  [/The strength of this solution is not known\./, 'Die Stärke dieser Lösung ist nicht bekannt.'],
  [/Volume strength is a measure of hydrogen peroxide only\./, '„Volume“ ist ein Maß nur für Wasserstoffperoxid.'],
  [
    /The molar mass of (.+) is not known here: state the strength in mol\/L\./,
    'Die molare Masse von $1 ist hier nicht bekannt: Gib die Stärke in mol/L an.',
  ],
  [/A strength by mass cannot exceed 100 %\./, 'Mehr als 100 % der Masse gibt es nicht.'],
  [/A density must be above zero\./, 'Eine Dichte ist größer als null.'],
  [
    /The density of (.+) solution is known from 0 to (\S+) % by mass only\./,
    'Die Dichte der Lösung ($1) ist nur von 0 bis $2 % der Masse bekannt.',
  ],
  [/State the density in g\/mL\./, 'Gib die Dichte in g/mL an.'],
  [
    /A strength in % by mass needs the density of the solution in g\/mL\./,
    'Zu einer Stärke in % der Masse gehört die Dichte der Lösung in g/mL.',
  ],
  [
    /A dilution needs a volume of the solution above zero\./,
    'Eine Verdünnung braucht ein Volumen der Lösung über null.',
  ],
];

/**
 * A sentence of `chemistry/` in the page's language: of a reaction's record, of a label, of a flask. It stays as it is
 * where no German is known.
 * @example
 * chemistryText('Foam in the tube holds gas back: a wide flask helps.', 'de') // => 'Schaum im Schlauch hält Gas zurück: Ein weiter Kolben hilft.'
 */
export const chemistryText = (sentence: string, language: PageLanguage): string =>
  language === 'en'
    ? sentence
    : (german.get(sentence) ??
      [...ownInGerman, ...solutionsInGerman].reduce((text, [from, to]) => text.replace(from, to), sentence));
