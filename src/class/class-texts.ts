import { unbroken } from '../analysis/unbroken.ts';
import type { VerdictReason } from '../analysis/verdict.ts';
import { catalogue, named, numbersIn, type PageLanguage } from '../language/page-language.ts';
import { nameIn } from '../planning/names.ts';
import { refusalText } from '../results/analysis-texts.ts';

import { figureText, roundByUncertainty } from '../results/round-by-uncertainty.ts';
import { speciesText } from '../results/species.ts';
import { listed } from '../results/texts.ts';
import { verdictReasonText } from '../results/verdict-texts.ts';

import type { Difference } from './class-differences.ts';
import type { ClassResult, ClassRow, Why } from './class-result.ts';

type DifferenceOf<Code extends Difference['code']> = Extract<Difference, { code: Code }>;
type WhyOf<Code extends Why['code']> = Extract<Why, { code: Code }>;

interface ClassTexts {
  readonly and: string;
  readonly group: string;
  readonly differences: { readonly [Code in Difference['code']]: (one: DifferenceOf<Code>) => string };
  readonly whys: { readonly [Code in Why['code']]: (one: WhyOf<Code>) => string };
  /** The one sentence about the class. */
  readonly none: string;
  readonly one: (name: string) => string;
  readonly allAgree: (count: number) => string;
  readonly someAgree: (agreeing: number, of: number) => string;
  readonly differ: (count: number, birge: string) => string;
  readonly othersDiffer: (count: number, birge: string) => string;
  readonly twoDiffer: (birge: string) => string;
  /** k at temperatures that differ, and nothing to bring them together by; degrees Celsius. */
  readonly unlikeTemperatures: (from: string, to: string) => string;
  readonly standsApart: (names: readonly string[], cause: string | null) => string;
  readonly quantity: (name: string) => string;
  readonly reaction: (name: string) => string;
  readonly law: (text: string) => string;
  /** How the value was made, a sentence each. */
  readonly method: {
    readonly weighted: string;
    readonly rule: string;
    readonly chi: (q: string, df: number, p: string) => string;
    readonly enlarged: (birge: string) => string;
    readonly labels: (percent: string) => string;
    readonly reaction: (percent: string) => string;
    readonly temperature: (celsius: string) => string;
    readonly fromNotebooks: string;
    readonly sources: string;
  };
  readonly columns: {
    readonly group: string;
    readonly members: string;
    readonly date: string;
    readonly quantity: string;
    readonly unit: string;
    readonly percent: string;
    readonly runs: string;
    readonly readings: string;
    readonly standing: string;
    readonly law: string;
    readonly distance: string;
    readonly setAside: string;
    readonly differences: string;
    readonly method: string;
    readonly spread: string;
    readonly words: string;
    readonly mean: string;
  };
  readonly standings: { readonly in: string; readonly apart: string; readonly out: string };
  readonly methods: {
    readonly title: string;
    readonly weighted: readonly [string, string];
    readonly enlarged: readonly [string, string];
    readonly moments: readonly [string, string];
    readonly paule: readonly [string, string];
    readonly robust: readonly [string, string];
    readonly alone: string;
    readonly statistics: (q: string, df: number, p: string, birge: string, iSquared: string) => string;
    readonly grubbs: (statistic: string, p: string) => string;
  };
  readonly forest: {
    readonly title: string;
    readonly description: (count: number, value: string, apart: number) => string;
    readonly class: string;
    readonly published: string;
    readonly more: (count: number) => string;
  };
}

const english: ClassTexts = {
  and: 'and',
  group: 'Group',
  differences: {
    poured: ({ run, solution, volumeMl, usualMl }) =>
      `run ${run} got ${volumeMl} mL of ${solution} where most poured ${usualMl} mL`,
    strength: ({ solution, strength, usual }) => `its ${solution} is ${strength} where most have ${usual}`,
    doubtful: ({ run, count }) =>
      `${count} ${count === 1 ? 'reading' : 'readings'} of run ${run} may be wrong and nobody has checked ${count === 1 ? 'it' : 'them'}`,
    'run-off': ({ runs, factor }) =>
      `${runs.length === 1 ? 'run' : 'runs'} ${listed(runs, 'and')} went ${timesEn(factor)} the rate to be expected; check what was poured there`,
    'all-off': ({ factor }) =>
      `all its runs went ${timesEn(factor)} the rate of the class; check the bottles, the temperature and the cylinder`,
    temperature: ({ celsius, usual }) =>
      `worked at ${celsius.toFixed(1)} °C, the middle of the class at ${usual.toFixed(1)} °C`,
    headspace: ({ counts }) =>
      counts
        ? 'allows for the gas above the reaction, most do not'
        : 'does not allow for the gas above the reaction, most do',
    'set-aside': ({ count, usual }) =>
      `${count} ${count === 1 ? 'reading' : 'readings'} set aside, the middle of the class ${usual}`,
    'fewer-runs': ({ count, usual }) => `${count} ${count === 1 ? 'run' : 'runs'}, most did ${usual}`,
    'as-others': () => 'volumes, temperature and set-aside readings are as in the rest of the class',
  },
  whys: {
    'no-readings': () => 'No run with two readings or more.',
    'no-concentrations': () => 'No run sheet, so what was in the flasks is not known. Fill in the run sheet there.',
    'open-order': ({ species }) =>
      `Its runs do not show the order in ${listed(species.map(speciesText), 'and')}: one more run, with only that changed, would. Its runs count in the law of all runs.`,
    refused: ({ reason, sentence }) => refusalText({ ok: false, reason, sentence }, 'en'),
    'does-not-fit': ({ reasons }) => ['Its readings do not follow its rate law.', ...worst(reasons, 'en')].join(' '),
    unsettled: ({ count, runs }) =>
      `${count} ${count === 1 ? 'reading' : 'readings'} to check first, in ${runs.length === 1 ? 'run' : 'runs'} ${listed(runs, 'and')}: k depends on whether ${count === 1 ? 'it counts' : 'they count'}. Check ${count === 1 ? 'it' : 'them'} in the group’s notebook.`,
    'late-rates': (late) => verdictReasonText(late, 'en'),
    'constant-open': (open) => verdictReasonText(open, 'en'),
    'no-uncertainty': () => 'The uncertainty of its k is not known.',
    'no-conditions': ({ pressure, temperature }) =>
      pressure && temperature
        ? 'It gave no air pressure and no temperature.'
        : pressure
          ? 'It gave no air pressure.'
          : 'It gave no temperature.',
    'other-reaction': ({ reaction, usual }) =>
      `Another reaction: ${reaction ?? 'not stated'}. The class has ${usual ?? 'none stated'}.`,
    'other-law': ({ law, usual }) =>
      [
        law === null ? 'No whole or half orders fit its runs.' : `Its own runs give another law: ${law}.`,
        ...(usual === null ? [] : [`The class has ${usual}.`]),
      ].join(' '),
    'other-unit': () => 'Its k has another unit than the class’s.',
    'no-quantity': ({ quantity }) => `There is no ${quantity} in it.`,
    invented: () => 'An example with invented figures: it does not count.',
  },
  none: 'No group has a result to compare yet.',
  one: (name) => `${name} is the only group so far.`,
  allAgree: (count) => (count === 2 ? 'Both groups agree.' : `All ${countEn(count)} groups agree.`),
  someAgree: (agreeing, of) => `${capital(countEn(agreeing))} of ${countEn(of)} groups agree`,
  differ: (count, birge) =>
    `The ${countEn(count)} groups differ ${birge} times as much as their uncertainties allow, and no single one is to blame.`,
  othersDiffer: (count, birge) =>
    `The other ${countEn(count)} differ ${birge} times as much as their uncertainties allow.`,
  twoDiffer: (birge) =>
    `The two groups differ ${birge} times as much as their uncertainties allow. A third would show which to trust.`,
  unlikeTemperatures: (from, to) =>
    `The groups worked at ${from} to ${to} °C. No activation energy is known for all of them, so k was not brought to one temperature: part of the differences is that.`,
  standsApart: (names, cause) =>
    `${listed(names, 'and')} ${names.length === 1 ? 'stands' : 'stand'} apart${cause ? `: ${cause}` : ''}.`,
  quantity: (name) => name,
  reaction: (name) => name,
  law: (text) => text,
  method: {
    weighted: 'The class value is the mean of the groups that belong together, each weighted by 1/u².',
    rule: 'A group stands apart when it lies further from the others than its uncertainty, times the Birge ratio of the middle groups, allows (5 % by chance over the whole class).',
    chi: (q, df, p) =>
      `The groups that belong together: chi-squared ${q} on ${df} degrees of freedom, probability ${p}.`,
    enlarged: (birge) => `Its uncertainty is enlarged by the Birge ratio, ${birge}.`,
    labels: (percent) =>
      `All groups share the bottles: what their labels leave open, ${percent} %, is added once and not averaged away.`,
    reaction: (percent) =>
      `All groups lose gas to the water alike: what is not known of that, ${percent} %, is added once and not averaged away.`,
    temperature: (celsius) => `Every k is brought to ${celsius} °C by the activation energy of the reaction.`,
    fromNotebooks: 'Each group’s k is the one that its notebook shows.',
    sources:
      'Birge, Phys. Rev. 40 (1932) 207; Rosner, Technometrics 25 (1983) 165. The other ways of combining, for comparison:',
  },
  columns: {
    group: 'group',
    members: 'members',
    date: 'date',
    quantity: 'quantity',
    unit: 'unit',
    percent: 'per cent from the class',
    runs: 'runs',
    readings: 'readings used',
    standing: 'in the class value',
    law: 'rate law',
    distance: 'distance',
    setAside: 'readings set aside',
    differences: 'what it did differently',
    method: 'combined by',
    spread: 'spread between groups',
    words: 'in words',
    mean: 'mean',
  },
  standings: { in: 'yes', apart: 'stands apart', out: 'not combined' },
  methods: {
    title: 'Other ways of combining',
    weighted: ['weighted mean', 'all measured the same and know their uncertainty'],
    enlarged: ['weighted mean, u × Birge ratio', 'all uncertainties are too small by the same factor'],
    moments: ['DerSimonian-Laird', 'groups differ, by moments'],
    paule: ['Mandel-Paule', 'groups differ, so that the spread is just accounted for'],
    robust: ['robust mean (Algorithm A)', 'a wild group hardly counts; stated u left aside'],
    alone: 'One group: there is nothing to combine.',
    statistics: (q, df, p, birge, iSquared) =>
      `All of them together: Q = ${q} on ${df} degrees of freedom (probability ${p}); Birge ratio ${birge}; I² ${iSquared} %.`,
    grubbs: (statistic, p) =>
      `The group furthest from the plain mean is ${statistic} standard deviations away; Grubbs’ test: probability ${p}.`,
  },
  forest: {
    title: 'The class',
    description: (count, value, apart) =>
      `${count === 1 ? '1 group with an interval' : `${count} groups with intervals`} of two standard uncertainties; class value ${value}; ${apart === 1 ? '1 stands' : `${apart} stand`} apart.`,
    class: 'Class',
    published: 'Published',
    more: (count) => (count === 1 ? '1 more group is in the table' : `${count} more groups are in the table`),
  },
};

const german: ClassTexts = {
  and: 'und',
  group: 'Gruppe',
  differences: {
    poured: ({ run, solution, volumeMl, usualMl }) =>
      `in Lauf ${run} kamen ${volumeMl} mL ${solution}, bei den meisten ${usualMl} mL`,
    strength: ({ solution, strength, usual }) => `${solution} hat dort ${strength}, bei den meisten ${usual}`,
    doubtful: ({ run, count }) =>
      `${count} ${count === 1 ? 'Ablesung' : 'Ablesungen'} in Lauf ${run} ${count === 1 ? 'könnte' : 'könnten'} falsch sein, und niemand hat es geprüft`,
    'run-off': ({ runs, factor }) =>
      `${runs.length === 1 ? 'Lauf' : 'die Läufe'} ${listed(runs, 'und')} ${runs.length === 1 ? 'lief' : 'liefen'} ${timesDe(factor)} so schnell wie erwartet; prüf, was dort eingefüllt wurde`,
    'all-off': ({ factor }) =>
      `alle Läufe liefen ${timesDe(factor)} so schnell wie in der Klasse; prüf Flaschen, Temperatur und Zylinder`,
    temperature: ({ celsius, usual }) =>
      `arbeitete bei ${celsius.toFixed(1)} °C, die Mitte der Klasse bei ${usual.toFixed(1)} °C`,
    headspace: ({ counts }) =>
      counts
        ? 'rechnet das Gas über der Lösung ein, die meisten nicht'
        : 'rechnet das Gas über der Lösung nicht ein, die meisten schon',
    'set-aside': ({ count, usual }) =>
      `${count === 1 ? '1 Ablesung' : `${count} Ablesungen`} beiseitegelegt, die Mitte der Klasse ${usual}`,
    'fewer-runs': ({ count, usual }) => `${count} ${count === 1 ? 'Lauf' : 'Läufe'}, die meisten ${usual}`,
    'as-others': () => 'Volumen, Temperatur und beiseitegelegte Ablesungen sind wie beim Rest der Klasse',
  },
  whys: {
    'no-readings': () => 'Kein Lauf mit zwei Ablesungen oder mehr.',
    'no-concentrations': () =>
      'Kein Laufplan, also ist nicht bekannt, was in den Kolben war. Fülle dort den Laufplan aus.',
    'open-order': ({ species }) =>
      `Die Läufe zeigen die Ordnung in ${listed(species.map(speciesText), 'und')} nicht: Ein weiterer Lauf, in dem sich nur das ändert, würde helfen. Im Gesetz aller Läufe zählen sie mit.`,
    refused: ({ reason, sentence }) => refusalText({ ok: false, reason, sentence }, 'de'),
    'does-not-fit': ({ reasons }) =>
      ['Die Ablesungen folgen ihrem Geschwindigkeitsgesetz nicht.', ...worst(reasons, 'de')].join(' '),
    unsettled: ({ count, runs }) =>
      `Zuerst ${count === 1 ? 'ist 1 Ablesung' : `sind ${count} Ablesungen`} zu prüfen, in ${runs.length === 1 ? 'Lauf' : 'den Läufen'} ${listed(runs, 'und')}: Von ${count === 1 ? 'ihr' : 'ihnen'} hängt ab, wie groß k ist. Prüfe sie im Notizbuch der Gruppe.`,
    'late-rates': (late) => verdictReasonText(late, 'de'),
    'constant-open': (open) => verdictReasonText(open, 'de'),
    'no-uncertainty': () => 'Die Unsicherheit von k ist nicht bekannt.',
    'no-conditions': ({ pressure, temperature }) =>
      pressure && temperature
        ? 'Luftdruck und Temperatur fehlen.'
        : pressure
          ? 'Der Luftdruck fehlt.'
          : 'Die Temperatur fehlt.',
    'other-reaction': ({ reaction, usual }) =>
      `Eine andere Reaktion: ${reaction ? nameIn(reaction, 'de') : 'nicht angegeben'}. Die Klasse hat ${usual ? nameIn(usual, 'de') : 'keine angegeben'}.`,
    'other-law': ({ law, usual }) =>
      [
        law === null
          ? 'Keine ganzen oder halben Ordnungen passen zu den Läufen.'
          : `Die eigenen Läufe ergeben ein anderes Gesetz: ${lawDe(law)}.`,
        ...(usual === null ? [] : [`Die Klasse hat ${lawDe(usual)}.`]),
      ].join(' '),
    'other-unit': () => 'k hat eine andere Einheit als in der Klasse.',
    'no-quantity': ({ quantity }) => `${quantityDe(quantity)} fehlt.`,
    invented: () => 'Ein Beispiel mit erfundenen Zahlen: Es zählt nicht.',
  },
  none: 'Noch keine Gruppe hat ein Ergebnis zum Vergleichen.',
  one: (name) => `${name} ist bisher die einzige Gruppe.`,
  allAgree: (count) =>
    count === 2 ? 'Beide Gruppen stimmen überein.' : `Alle ${countDe(count)} Gruppen stimmen überein.`,
  someAgree: (agreeing, of) =>
    `${capital(agreeing === 1 ? 'eine' : countDe(agreeing))} von ${countDe(of)} Gruppen ${agreeing === 1 ? 'bleibt' : 'stimmen überein'}`,
  differ: (count, birge) =>
    `Die ${countDe(count)} Gruppen unterscheiden sich ${birge}-mal so stark, wie ihre Unsicherheiten erlauben; an einer einzelnen liegt es nicht.`,
  othersDiffer: (count, birge) =>
    `Die anderen ${countDe(count)} unterscheiden sich ${birge}-mal so stark, wie ihre Unsicherheiten erlauben.`,
  twoDiffer: (birge) =>
    `Die zwei Gruppen unterscheiden sich ${birge}-mal so stark, wie ihre Unsicherheiten erlauben. Eine dritte würde zeigen, welcher zu trauen ist.`,
  unlikeTemperatures: (from, to) =>
    `Die Gruppen arbeiteten bei ${from} bis ${to} °C. Nicht für alle ist eine Aktivierungsenergie bekannt, darum ist k nicht auf eine Temperatur gebracht: Ein Teil der Unterschiede kommt daher.`,
  standsApart: (names, cause) =>
    `${listed(names, 'und')} ${names.length === 1 ? 'weicht' : 'weichen'} ab${cause ? `: ${cause}` : ''}.`,
  quantity: quantityDe,
  reaction: (name) => nameIn(name, 'de'),
  law: lawDe,
  method: {
    weighted: 'Der Klassenwert ist das Mittel der Gruppen, die zusammengehören, jede mit 1/u² gewichtet.',
    rule: 'Eine Gruppe weicht ab, wenn sie weiter von den anderen liegt, als ihre Unsicherheit mal dem Birge-Verhältnis der mittleren Gruppen erlaubt (5 % durch Zufall in der ganzen Klasse).',
    chi: (q, df, p) =>
      `Die Gruppen, die zusammengehören: Chi-Quadrat ${q} bei ${df} Freiheitsgraden, Wahrscheinlichkeit ${p}.`,
    enlarged: (birge) => `Die Unsicherheit ist um das Birge-Verhältnis ${birge} vergrößert.`,
    labels: (percent) =>
      `Alle Gruppen teilen die Flaschen: Was deren Etiketten offen lassen, ${percent} %, kommt einmal dazu und mittelt sich nicht heraus.`,
    reaction: (percent) =>
      `Bei allen Gruppen bleibt Gas ebenso im Wasser gelöst: Was davon nicht bekannt ist, ${percent} %, kommt einmal dazu und mittelt sich nicht heraus.`,
    temperature: (celsius) => `Jedes k ist mit der Aktivierungsenergie der Reaktion auf ${celsius} °C gebracht.`,
    fromNotebooks: 'Das k jeder Gruppe ist das, was ihr Notizbuch zeigt.',
    sources:
      'Birge, Phys. Rev. 40 (1932) 207; Rosner, Technometrics 25 (1983) 165. Andere Arten zu mitteln, zum Vergleich:',
  },
  columns: {
    group: 'Gruppe',
    members: 'Mitglieder',
    date: 'Datum',
    quantity: 'Größe',
    unit: 'Einheit',
    percent: 'Abweichung von der Klasse in Prozent',
    runs: 'Läufe',
    readings: 'verwendete Ablesungen',
    standing: 'im Klassenwert',
    law: 'Geschwindigkeitsgesetz',
    distance: 'Abstand',
    setAside: 'beiseitegelegt',
    differences: 'was anders war',
    method: 'gemittelt mit',
    spread: 'Streuung zwischen Gruppen',
    words: 'in Worten',
    mean: 'Mittel',
  },
  standings: { in: 'ja', apart: 'weicht ab', out: 'nicht gemittelt' },
  methods: {
    title: 'Andere Arten zu mitteln',
    weighted: ['gewichtetes Mittel', 'alle maßen dasselbe und kennen ihre Unsicherheit'],
    enlarged: ['gewichtetes Mittel, u × Birge-Verhältnis', 'alle Unsicherheiten sind um denselben Faktor zu klein'],
    moments: ['DerSimonian-Laird', 'Gruppen unterscheiden sich, nach Momenten'],
    paule: ['Mandel-Paule', 'Gruppen unterscheiden sich, sodass die Streuung gerade erklärt ist'],
    robust: ['robustes Mittel (Algorithmus A)', 'eine wilde Gruppe zählt kaum; ohne die angegebenen u'],
    alone: 'Eine Gruppe: Es gibt nichts zu mitteln.',
    statistics: (q, df, p, birge, iSquared) =>
      `Alle zusammen: Q = ${q} bei ${df} Freiheitsgraden (Wahrscheinlichkeit ${p}); Birge-Verhältnis ${birge}; I² ${iSquared} %.`,
    grubbs: (statistic, p) =>
      `Die Gruppe, die am weitesten vom einfachen Mittel liegt, ist ${statistic} Standardabweichungen entfernt; Grubbs-Test: Wahrscheinlichkeit ${p}.`,
  },
  forest: {
    title: 'Die Klasse',
    description: (count, value, apart) =>
      `${count === 1 ? '1 Gruppe mit einem Bereich' : `${count} Gruppen mit Bereichen`} von zwei Standardunsicherheiten; Klassenwert ${value}; ${apart === 1 ? '1 weicht' : `${apart} weichen`} ab.`,
    class: 'Klasse',
    published: 'Literatur',
    more: (count) =>
      count === 1 ? '1 weitere Gruppe steht in der Tabelle' : `${count} weitere Gruppen stehen in der Tabelle`,
  },
};

const worst = (reasons: readonly VerdictReason[], language: PageLanguage): string[] =>
  reasons.slice(0, 1).map((reason) => verdictReasonText(reason, language));

export const classTexts = catalogue<ClassTexts>(english, german);

function timesEn(factor: number): string {
  if (Math.abs(factor - 0.5) < 0.06) return 'at about half';
  if (Math.abs(factor - 2) < 0.24) return 'at about twice';
  return `at ${Number(factor.toPrecision(2))} times`;
}

function timesDe(factor: number): string {
  if (Math.abs(factor - 0.5) < 0.06) return 'etwa halb';
  if (Math.abs(factor - 2) < 0.24) return 'etwa doppelt';
  return `${Number(factor.toPrecision(2))}-mal`;
}

const numberWordsEn = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven'];
const numberWordsDe = [
  'keine',
  'eine',
  'zwei',
  'drei',
  'vier',
  'fünf',
  'sechs',
  'sieben',
  'acht',
  'neun',
  'zehn',
  'elf',
];
const countEn = (count: number): string => numberWordsEn[count] ?? (count === 12 ? 'twelve' : String(count));
const countDe = (count: number): string => numberWordsDe[count] ?? (count === 12 ? 'zwölf' : String(count));
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function quantityDe(name: string): string {
  if (name === 'value') return 'Wert';
  return name.replace(/^order in /, 'Ordnung in ');
}

function lawDe(text: string): string {
  return text === 'no rate law' ? 'kein Gesetz' : text.replace(/^rate =/, 'Geschwindigkeit =');
}

const said = (language: PageLanguage, text: string): string => unbroken(numbersIn(language, text));

/** A difference whose names go into a sentence. */
function withNames(difference: Difference): Difference {
  switch (difference.code) {
    case 'poured':
      return { ...difference, run: named(difference.run), solution: named(difference.solution) };
    case 'strength':
      return { ...difference, solution: named(difference.solution) };
    case 'doubtful':
      return { ...difference, run: named(difference.run) };
    case 'run-off':
      return { ...difference, runs: difference.runs.map(named) };
    default:
      return difference;
  }
}

/** One difference as a phrase. */
export function differenceText(difference: Difference, language: PageLanguage = 'en'): string {
  // Each code has a text that takes just that difference; the compiler cannot follow the pairing.
  const text = classTexts[language].differences[difference.code] as (one: Difference) => string;
  return said(language, text(withNames(difference)));
}

const nameOrNot = (name: string | null): string | null => name && named(name);

/** Why a group is not combined, and what would mend it. */
export function whyText(why: Why, language: PageLanguage = 'en'): string {
  const text = classTexts[language].whys[why.code] as (one: Why) => string;
  const [cause] = why.code === 'other-law' ? why.differences.filter(({ code }) => code !== 'as-others') : [];
  const other = why.code === 'other-reaction' ? { reaction: nameOrNot(why.reaction), usual: nameOrNot(why.usual) } : {};
  const sentence = said(language, text({ ...why, ...other }));
  return cause ? `${sentence} ${capital(differenceText(cause, language))}.` : sentence;
}

/**
 * The class in one plain sentence or two: how many agree, who stands apart and by what cause. Made from one judgement
 * (`agreementOf`), so it cannot contradict itself.
 */
export function classSentence(
  result: ClassResult,
  names: ReadonlyMap<string, string>,
  language: PageLanguage = 'en',
): string {
  const unlike = result.quantity === 'k' ? result.kind?.unlikeC : null;
  const warning = unlike && classTexts[language].unlikeTemperatures(unlike.from.toFixed(1), unlike.to.toFixed(1));
  const sentence = agreementSentence(result, names, language);
  return warning ? `${sentence} ${said(language, warning)}` : sentence;
}

function agreementSentence(result: ClassResult, names: ReadonlyMap<string, string>, language: PageLanguage): string {
  const t = classTexts[language];
  const { agreement, rows, beside } = result;
  if (!agreement) return t.none;
  const nameOf = ({ entry }: ClassRow): string => named(names.get(entry.id) ?? entry.name);
  const out = [...rows.filter(({ standsOut }) => standsOut), ...beside];
  const belonging = rows.length - agreement.apart.length;
  const total = rows.length + beside.length;
  const birge = short(agreement.combination.birgeRatio ?? 1);
  if (out.length === 0) {
    if (total === 1) return said(language, t.one(rows.map(nameOf)[0] ?? ''));
    if (agreement.agree) return t.allAgree(total);
    return said(language, total === 2 ? t.twoDiffer(birge) : t.differ(total, birge));
  }
  const cause = out.length === 1 ? causeOf(out[0], language) : null;
  // More names than a sentence holds stand in the picture.
  const shown = out.length > 4 ? [...out.slice(0, 3).map(nameOf), `${out.length - 3} more`] : out.map(nameOf);
  const standing = t.standsApart(
    language === 'de' && out.length > 4 ? [...shown.slice(0, 3), `${out.length - 3} weitere`] : shown,
    cause,
  );
  if (belonging === 1)
    return said(language, `${t.one(rows.filter((row) => !row.standsOut).map(nameOf)[0] ?? '')} ${standing}`);
  if (agreement.agree) return said(language, `${t.someAgree(belonging, total)}; ${standing}`);
  return said(language, `${standing} ${t.othersDiffer(belonging, birge)}`);
}

/** The likeliest cause of a group that stands apart; null where nothing that is recorded differs. */
function causeOf(row: ClassRow | undefined, language: PageLanguage): string | null {
  const cause = row?.differences[0];
  return cause ? differenceText(cause, language) : null;
}

/** The class's value with its unit: "0.00872 ± 0.00021 L/(mol s)". */
export function valueText({ value, unit }: ClassResult, language: PageLanguage = 'en'): string {
  if (!value) return '';
  const figure = figureText(roundByUncertainty(value.value, value.u));
  return numbersIn(language, unit === '' ? figure : `${figure} ${unit}`);
}

/** How the value was made, a sentence each. */
export function methodSentences({ agreement, value, kind, quantity }: ClassResult, language: PageLanguage): string[] {
  if (!agreement || !value) return [];
  const t = classTexts[language].method;
  const { combination, birge } = agreement;
  const { q, degreesOfFreedom, probability } = combination;
  const percentOf = (u: number): number => (100 * u) / Math.abs(value.value);
  const labels = percentOf(value.uLabels);
  const reaction = percentOf(value.uReaction);
  return [
    ...(quantity === 'k' ? [t.fromNotebooks] : []),
    ...(kind?.referenceK != null && quantity === 'k' ? [t.temperature((kind.referenceK - 273.15).toFixed(1))] : []),
    t.weighted,
    t.rule,
    ...(probability === null ? [] : [t.chi(q.toPrecision(3), degreesOfFreedom, chance(probability))]),
    ...(birge > 1.005 ? [t.enlarged(short(birge))] : []),
    ...(labels > 0.05 ? [t.labels(labels.toPrecision(2))] : []),
    ...(reaction > 0.05 ? [t.reaction(reaction.toPrecision(2))] : []),
    t.sources,
  ].map((sentence) => said(language, sentence));
}

/** Two significant digits. */
const short = (value: number): string => String(Number(value.toPrecision(2)));

export const chance = (probability: number): string =>
  probability < 1e-4 ? '< 0.0001' : String(Number(probability.toPrecision(2)));
