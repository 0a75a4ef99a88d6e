import type { PageLanguage } from '../language/page-language.ts';

/** German for what the reaction records say in English: their remarks and what their rate constant is for. */
const german: ReadonlyMap<string, string> = new Map([
  [
    'The rate constant is for the making of oxygen, d[O2]/dt. Hydrogen peroxide is used up twice as fast: a table that states the loss of H2O2 has twice this number.',
    'Die Geschwindigkeitskonstante gilt für die Bildung von Sauerstoff, d[O2]/dt. Wasserstoffperoxid wird doppelt so schnell verbraucht: Eine Tabelle für die Abnahme von H2O2 nennt die doppelte Zahl.',
  ],
  [
    'Keep it neutral or slightly basic: in acid the iodide is used up to brown iodine and makes no oxygen.',
    'Neutral oder leicht basisch halten: In Säure wird aus dem Iodid braunes Iod, und es entsteht kein Sauerstoff.',
  ],
  [
    'A few per cent of the iodide may be bound as triiodide once the solution has turned yellow.',
    'Ist die Lösung gelb geworden, können einige Prozent des Iodids als Triiodid gebunden sein.',
  ],
  [
    'Above about 0.1 mol/L the rate hardly depends on the peroxide, and the enzyme wears out during the run (Northrop 1925).',
    'Über etwa 0,1 mol/L hängt die Geschwindigkeit kaum noch vom Peroxid ab, und das Enzym verbraucht sich im Lauf (Northrop 1925).',
  ],
  [
    'The order in peroxide falls from 1 towards 0 as the peroxide gets stronger: it is not a whole number in between.',
    'Die Ordnung in Peroxid sinkt von 1 gegen 0, je stärker das Peroxid ist: Dazwischen ist sie keine ganze Zahl.',
  ],
  [
    'Foam in the tube holds gas back: a wide flask helps.',
    'Schaum im Schlauch hält Gas zurück: Ein weiter Kolben hilft.',
  ],
  [
    'The rate constant is for the making of hydrogen, d[H2]/dt. Acid is used up twice as fast.',
    'Die Geschwindigkeitskonstante gilt für die Bildung von Wasserstoff, d[H2]/dt. Säure wird doppelt so schnell verbraucht.',
  ],
  [
    'The rate goes with the surface of the metal, which shrinks, and with stirring; orders in acid from 1 to 2 are reported.',
    'Die Geschwindigkeit hängt von der Oberfläche des Metalls ab, die schrumpft, und vom Rühren; berichtet werden Ordnungen in Säure von 1 bis 2.',
  ],
  [
    'It heats itself strongly: the temperature must be called during the run.',
    'Sie erwärmt sich stark: Die Temperatur muss im Lauf angesagt werden.',
  ],
  [
    'The rate constant is for the making of carbon dioxide, d[CO2]/dt. Acid is used up twice as fast.',
    'Die Geschwindigkeitskonstante gilt für die Bildung von Kohlendioxid, d[CO2]/dt. Säure wird doppelt so schnell verbraucht.',
  ],
  [
    'Water takes up nearly its own volume of carbon dioxide: collected over fresh water, the readings are far too low. Use a gas syringe, oil on the water, or water saturated with the gas.',
    'Wasser nimmt fast so viel Kohlendioxid auf, wie es selbst Platz braucht: Über frischem Wasser sind die Ablesungen viel zu klein. Nimm einen Kolbenprober, Öl auf dem Wasser oder Wasser, das mit dem Gas gesättigt ist.',
  ],
  [
    'The liquid can hold much more gas than it should until it is swirled: the start is late and the end long.',
    'Bis sie geschwenkt wird, kann die Flüssigkeit viel mehr Gas halten, als sie sollte: Der Anfang kommt spät, das Ende zieht sich.',
  ],
  [
    'The rate goes with the surface of the solid: use pieces of one size.',
    'Die Geschwindigkeit hängt von der Oberfläche des Feststoffs ab: Nimm Stücke einer Größe.',
  ],
]);

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
