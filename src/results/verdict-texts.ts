import type { LagWarning } from '../analysis/live.ts';
import { unbroken } from '../analysis/unbroken.ts';
import type {
  InputWithoutUncertainty,
  RateForm,
  RunModel,
  Standing,
  Unsettled,
  Verdict,
  VerdictCode,
  VerdictReason,
} from '../analysis/verdict.ts';
import { catalogue, numbersIn, type PageLanguage } from '../language/page-language.ts';
import { speciesText } from './species.ts';
import { listed } from './texts.ts';

type Of<Code extends VerdictCode> = Extract<VerdictReason, { code: Code }>;
type Sentences = { readonly [Code in VerdictCode]: (reason: Of<Code>) => string };

/** Two significant digits, plain. */
const short = (value: number): string => String(Number(value.toPrecision(2))).replace('-', '−');
const figure = (value: number, u: number): string => {
  const digits = u > 0 && Number.isFinite(u) ? Math.min(4, Math.max(0, 1 - Math.floor(Math.log10(u)))) : 2;
  return `${value.toFixed(digits)} ± ${u.toFixed(digits)}`.replaceAll('-', '−');
};
const runsEn = (runs: readonly string[]): string => `${runs.length === 1 ? 'run' : 'runs'} ${listed(runs, 'and')}`;
const runsDe = (runs: readonly string[]): string =>
  runs.length === 1 ? `Lauf ${runs[0]}` : `den Läufen ${listed(runs, 'und')}`;
const seconds = (s: number): string => (s >= 20 ? String(Math.round(s)) : String(Number(s.toPrecision(2))));
const readings = (count: number): string => (count === 1 ? '1 reading' : `${count} readings`);
const ablesungen = (count: number): string => (count === 1 ? '1 Ablesung' : `${count} Ablesungen`);

interface VerdictTexts {
  readonly standings: Readonly<Record<Standing, string>>;
  readonly reasons: Sentences;
  readonly forms: Readonly<Record<RateForm, (order: string) => string>>;
  readonly settleFirst: (count: number) => string;
  readonly lag: (lag: string) => string;
  readonly lagBand: (lag: string) => string;
  readonly lagAhead: (percent: number) => string;
  readonly meanRate: string;
}

type InputTexts = Readonly<Record<InputWithoutUncertainty, string>>;

const inputsEn: InputTexts = {
  'times and readings': 'times and readings',
  concentrations: 'concentrations',
  solids: 'the masses of the solids',
  baseline: 'the baseline',
  ceiling: 'the gas at full conversion',
  temperature: 'temperature',
  pressure: 'air pressure',
  scale: 'the scale of the cylinder',
  solution: 'the volume of the solution',
};
const inputsDe: InputTexts = {
  'times and readings': 'Zeiten und Ablesungen',
  concentrations: 'Konzentrationen',
  solids: 'Massen der Feststoffe',
  baseline: 'Anfangsstand',
  ceiling: 'Gas bei vollem Umsatz',
  temperature: 'Temperatur',
  pressure: 'Luftdruck',
  scale: 'Skala des Zylinders',
  solution: 'Volumen der Lösung',
};

const formsEn: VerdictTexts['forms'] = {
  'zero-order': () => 'The rate does not fall while the reagent is used up (zero order).',
  'first-order': () => 'The rate falls in step with what is left of the reagent (first order).',
  'second-order': () => 'The rate falls with the square of what is left of the reagent (second order).',
  'shrinking-solid': () => 'The rate falls as the surface of the solid shrinks, with the power 2/3 of what is left.',
  'nth-order': (order) => `The rate falls with the power ${order} of what is left of the reagent.`,
  saturating: () => 'The rate levels off at high concentrations (saturation, Michaelis form).',
};
const formsDe: VerdictTexts['forms'] = {
  'zero-order': () => 'Die Geschwindigkeit sinkt nicht, während der Stoff verbraucht wird (nullte Ordnung).',
  'first-order': () => 'Die Geschwindigkeit sinkt mit dem, was vom Stoff übrig ist (erste Ordnung).',
  'second-order': () => 'Die Geschwindigkeit sinkt mit dem Quadrat dessen, was vom Stoff übrig ist (zweite Ordnung).',
  'shrinking-solid': () =>
    'Die Geschwindigkeit sinkt mit der Oberfläche des Feststoffs, also mit der Potenz 2/3 dessen, was übrig ist.',
  'nth-order': (order) => `Die Geschwindigkeit sinkt mit der Potenz ${order} dessen, was vom Stoff übrig ist.`,
  saturating: () => 'Bei hoher Konzentration steigt die Geschwindigkeit kaum noch (Sättigung, Michaelis-Form).',
};

/** Every sentence about the worth of a rate law. */
export const verdictTexts = catalogue<VerdictTexts>(
  {
    standings: {
      fits: 'The readings follow this rate law.',
      reservations: 'The readings follow this rate law, with reservations.',
      'does-not-fit': 'The readings do not follow this rate law, so no rate constant is shown.',
      'no-law': 'There is no rate law yet.',
    },
    reasons: {
      'held-back': ({ lagS, runs }) =>
        `Gas was held back at first in ${runsEn(runs)}: it came with a delay of about ${seconds(lagS)} s. The rates allow for that.`,
      form: ({ form, order }) => formsEn[form](short(order)),
      solid: ({ species }) =>
        `${listed(species.map(speciesText), 'and')} ${species.length === 1 ? 'is a solid' : 'are solids'}: the rate depends on the surface, which shrinks, and not on a concentration. No order in ${species.length === 1 ? 'it' : 'them'} is fitted, and k holds only for pieces of this mass and size.`,
      'used-up-unstated': () =>
        'What is used up is not stated. The runs slow down as if each had started with the same concentration of it, and k holds for that one only.',
      'nothing-left-over': ({ runs, orders }) =>
        `${runs} runs give ${orders === 1 ? 'one order' : `${orders} orders`} and k, so no run is left over to check the law. Repeat one run.`,
      'inputs-without-uncertainty': ({ inputs }) =>
        `No uncertainty is stated for ${listed(
          inputs.map((name) => inputsEn[name]),
          'and',
        )}. The interval of k leaves it out.`,
      unsettled: ({ count }) =>
        `${readings(count)} may be wrong, and the result depends on ${count === 1 ? 'it' : 'them'}. Settle ${count === 1 ? 'it' : 'them'} first.`,
      'mean-rates': ({ runs }) =>
        `The rate of ${runsEn(runs)} is the mean over the run. How much it fell cannot be told; at the start it was higher.`,
      'late-rates': ({ runs }) =>
        `Much gas had come before the first reading of ${runsEn(runs)}: the starting rate was higher and is not known, so no rate constant is shown. Read earlier, or give the ceiling.`,
      'constant-open': ({ species }) =>
        species === null
          ? 'The 95 % interval of k is wider than a factor of ten, so no rate constant is shown.'
          : `Nobody knows how much gas each run keeps dissolved, so more than one whole order in ${speciesText(species)} is possible, and no rate constant is shown. Read every run to the same volume, and saturate the water beforehand or put oil on it.`,
      'set-apart': ({ runs }) =>
        `${runs.length === 1 ? `Run ${runs[0]} has` : `Runs ${listed(runs, 'and')} have`} no measurable rate and ${runs.length === 1 ? 'is' : 'are'} left out of the law.`,
      'solids-differ': ({ species }) =>
        `The runs had different amounts or pieces of ${listed(species.map(speciesText), 'and')}, so their surfaces differ, and the law does not allow for that. Take the same mass and size in every run.`,
      'order-ambiguous': ({ species, order, others }) =>
        `The order in ${speciesText(species)} is nearest to ${short(order)}, but ${listed(others.map(short), 'and')} would do as well. Change its concentration more.`,
      'order-outside': ({ species, order, value, u }) =>
        `The order in ${speciesText(species)} is ${figure(value, u)}, and ${short(order)} lies just outside its 95 % interval.`,
      'within-differs': ({ species, within, uWithin, between, uBetween }) =>
        `Within a run the rate falls with the power ${figure(within, uWithin)} of what is left, but between the runs the order in ${speciesText(species)} is ${figure(between, uBetween)}. Did the temperature change, did gas leak, or does another reagent run low?`,
      'levels-off': ({ species, order, constant, u, asWell }) =>
        `The order in ${speciesText(species)} is near ${short(order)}, but a rate that levels off, c/(K + c)${constant > 2 * u ? ` with K = ${figure(constant, u)} mol/L` : ''}, ${asWell ? 'would do as well' : 'fits less well and is not ruled out'}. Change its concentration more.`,
      'runs-disagree': ({ birge }) =>
        `The runs differ ${short(birge)} times as much as their uncertainties allow. Repeat the one that stands out.`,
      'ways-differ': ({ species }) =>
        species === null
          ? 'Starting rates and all readings together give different rate constants. Look for a reading or a run that is off.'
          : `Starting rates and all readings together give different orders in ${speciesText(species)}. Look for a reading or a run that is off.`,
      pattern: ({ runs }) =>
        `The readings of ${runsEn(runs)} swing about the curve instead of scattering. Something changed during the run.`,
      'open-orders': ({ species }) =>
        `The order in ${listed(species.map(speciesText), 'and')} cannot be told from these runs.`,
      'bends-differ': () =>
        'The runs slow down otherwise than their starting amounts ask for, and no ceiling is given. Does a catalyst fade, does a reagent run low that is not stated, or is it not of first order? State what is used up, or give the ceiling.',
      misfit: ({ runs }) =>
        `The readings of ${runsEn(runs)} lie farther from every curve tried than their uncertainties allow.`,
      'no-simple-order': ({ species, value, u }) =>
        `The order in ${speciesText(species)} is ${figure(value, u)}, which is neither a whole nor a half number. The law may have another form.`,
      saturating: ({ species, constant, u }) =>
        `The rate levels off as ${speciesText(species)} grows, so there is no order in it: it follows c/(K + c) with K = ${figure(constant, u)} mol/L.`,
      'wild-order': ({ species, value }) =>
        `An order of ${short(value)} in ${speciesText(species)} is not believable: a rate or a concentration must be wrong.`,
      'no-law': ({ sentence }) => sentence,
    },
    forms: formsEn,
    settleFirst: (count) => `Settle ${readings(count)} first`,
    lag: (lag) => `Gas was held back for about ${lag} s at first; the rate allows for that.`,
    lagBand: (lag) => `gas held back, about ${lag} s`,
    lagAhead: (percent) =>
      `The flow is still getting faster (${percent} % since the first mark): gas is being held back. Keep swirling, and start the run once the flow is steady.`,
    meanRate: 'mean rate',
  },
  {
    standings: {
      fits: 'Die Ablesungen folgen diesem Geschwindigkeitsgesetz.',
      reservations: 'Die Ablesungen folgen diesem Geschwindigkeitsgesetz, mit Vorbehalt.',
      'does-not-fit': 'Die Ablesungen folgen diesem Geschwindigkeitsgesetz nicht, deshalb steht hier kein k.',
      'no-law': 'Es gibt noch kein Geschwindigkeitsgesetz.',
    },
    reasons: {
      'held-back': ({ lagS, runs }) =>
        `In ${runsDe(runs)} wurde anfangs Gas zurückgehalten: Es kam etwa ${seconds(lagS)} s verzögert. Die Geschwindigkeiten berücksichtigen das.`,
      form: ({ form, order }) => formsDe[form](short(order)),
      solid: ({ species }) =>
        `${listed(species.map(speciesText), 'und')} ${species.length === 1 ? 'ist ein Feststoff' : 'sind Feststoffe'}: Die Geschwindigkeit hängt von der Oberfläche ab, die schrumpft, und nicht von einer Konzentration. Eine Ordnung darin wird nicht bestimmt, und k gilt nur für Stücke dieser Masse und Größe.`,
      'used-up-unstated': () =>
        'Was verbraucht wird, ist nicht angegeben. Die Läufe werden langsamer, als hätte jeder mit derselben Konzentration davon begonnen; k gilt nur für diese.',
      'nothing-left-over': ({ runs, orders }) =>
        `${runs} Läufe ergeben ${orders === 1 ? 'eine Ordnung' : `${orders} Ordnungen`} und k; kein Lauf bleibt übrig, um das Gesetz zu prüfen. Wiederhole einen Lauf.`,
      'inputs-without-uncertainty': ({ inputs }) =>
        `Ohne Angabe der Unsicherheit: ${listed(
          inputs.map((name) => inputsDe[name]),
          'und',
        )}. Im Bereich von k ist sie nicht enthalten.`,
      unsettled: ({ count }) =>
        `${ablesungen(count)} ${count === 1 ? 'könnte' : 'könnten'} falsch sein, und das Ergebnis hängt davon ab. Kläre ${count === 1 ? 'sie' : 'sie alle'} zuerst.`,
      'mean-rates': ({ runs }) =>
        `In ${runsDe(runs)} steht eine mittlere Geschwindigkeit: Wie stark sie gesunken ist, lässt sich nicht sagen. Am Anfang war sie höher.`,
      'late-rates': ({ runs }) =>
        `Vor der ersten Ablesung war in ${runsDe(runs)} schon viel Gas da: Die Anfangsgeschwindigkeit war höher und ist nicht bekannt; darum steht hier kein k. Lies früher ab, oder gib die größte Gasmenge an.`,
      'constant-open': ({ species }) =>
        species === null
          ? 'Der 95-%-Bereich von k ist weiter als ein Faktor zehn, darum steht hier kein k.'
          : `Niemand weiß, wie viel Gas in jedem Lauf gelöst bleibt; darum ist mehr als eine ganze Ordnung in ${speciesText(species)} möglich, und hier steht kein k. Lies jeden Lauf bis zum selben Volumen ab, und sättige das Wasser vorher oder gib Öl darauf.`,
      'set-apart': ({ runs }) =>
        `${runs.length === 1 ? `Lauf ${runs[0]} hat` : `Die Läufe ${listed(runs, 'und')} haben`} keine messbare Geschwindigkeit und ${runs.length === 1 ? 'zählt' : 'zählen'} nicht zum Gesetz.`,
      'solids-differ': ({ species }) =>
        `Die Läufe hatten verschiedene Mengen oder Stücke von ${listed(species.map(speciesText), 'und')}, also verschiedene Oberflächen, und das Gesetz berücksichtigt das nicht. Nimm in jedem Lauf gleiche Masse und Größe.`,
      'order-ambiguous': ({ species, order, others }) =>
        `Die Ordnung in ${speciesText(species)} liegt am nächsten bei ${short(order)}, aber ${listed(others.map(short), 'und')} wäre auch möglich. Ändere die Konzentration stärker.`,
      'order-outside': ({ species, order, value, u }) =>
        `Die Ordnung in ${speciesText(species)} ist ${figure(value, u)}; ${short(order)} liegt knapp außerhalb des 95-%-Bereichs.`,
      'within-differs': ({ species, within, uWithin, between, uBetween }) =>
        `Innerhalb eines Laufs sinkt die Geschwindigkeit mit der Potenz ${figure(within, uWithin)} dessen, was übrig ist; zwischen den Läufen ist die Ordnung in ${speciesText(species)} aber ${figure(between, uBetween)}. Hat sich die Temperatur geändert, ist Gas entwichen, oder wird ein anderer Stoff knapp?`,
      'levels-off': ({ species, order, constant, u, asWell }) =>
        `Die Ordnung in ${speciesText(species)} liegt bei ${short(order)}; ${asWell ? 'ebenso gut passt' : 'weniger gut passt, aber nicht auszuschließen ist'} eine Geschwindigkeit, die immer weniger steigt, c/(K + c)${constant > 2 * u ? ` mit K = ${figure(constant, u)} mol/L` : ''}. Ändere die Konzentration stärker.`,
      'runs-disagree': ({ birge }) =>
        `Die Läufe unterscheiden sich ${short(birge)}-mal so stark, wie ihre Unsicherheiten erlauben. Wiederhole den, der abweicht.`,
      'ways-differ': ({ species }) =>
        species === null
          ? 'Die Anfangsgeschwindigkeiten und alle Ablesungen zusammen ergeben verschiedene k. Such eine Ablesung oder einen Lauf, der abweicht.'
          : `Die Anfangsgeschwindigkeiten und alle Ablesungen zusammen ergeben verschiedene Ordnungen in ${speciesText(species)}. Such eine Ablesung oder einen Lauf, der abweicht.`,
      pattern: ({ runs }) =>
        `Die Ablesungen in ${runsDe(runs)} schwingen um die Kurve, statt zu streuen. Unterwegs hat sich etwas geändert.`,
      'open-orders': ({ species }) =>
        `Die Ordnung in ${listed(species.map(speciesText), 'und')} lässt sich aus diesen Läufen nicht bestimmen.`,
      'bends-differ': () =>
        'Die Läufe werden anders langsamer, als ihre eingesetzten Mengen verlangen, und die größte Gasmenge ist nicht angegeben. Lässt ein Katalysator nach, wird ein Stoff knapp, der nicht angegeben ist, oder ist die Reaktion nicht erster Ordnung? Gib an, was verbraucht wird, oder die größte Gasmenge.',
      misfit: ({ runs }) =>
        `Die Ablesungen in ${runsDe(runs)} liegen weiter von jeder versuchten Kurve weg, als ihre Unsicherheiten erlauben.`,
      'no-simple-order': ({ species, value, u }) =>
        `Die Ordnung in ${speciesText(species)} ist ${figure(value, u)}, also weder eine ganze noch eine halbe Zahl. Das Gesetz hat vielleicht eine andere Form.`,
      saturating: ({ species, constant, u }) =>
        `Mit mehr ${speciesText(species)} steigt die Geschwindigkeit immer weniger, also gibt es keine Ordnung darin: Sie folgt c/(K + c) mit K = ${figure(constant, u)} mol/L.`,
      'wild-order': ({ species, value }) =>
        `Eine Ordnung von ${short(value)} in ${speciesText(species)} ist nicht glaubhaft: Eine Geschwindigkeit oder eine Konzentration muss falsch sein.`,
      'no-law': () => 'Aus diesen Läufen lässt sich kein Geschwindigkeitsgesetz berechnen.',
    },
    forms: formsDe,
    settleFirst: (count) => `Zuerst ${ablesungen(count)} klären`,
    lag: (lag) => `Anfangs wurde Gas etwa ${lag} s zurückgehalten; die Geschwindigkeit berücksichtigt das.`,
    lagBand: (lag) => `Gas zurückgehalten, etwa ${lag} s`,
    lagAhead: (percent) =>
      `Das Gas kommt noch immer schneller (${percent} % seit der ersten Marke): Es wird zurückgehalten. Schwenk weiter und beginne den Lauf, sobald der Fluss gleichmäßig ist.`,
    meanRate: 'mittlere Geschwindigkeit',
  },
);

const said = (language: PageLanguage, sentence: string): string => unbroken(numbersIn(language, sentence));

/** One reason as a sentence. */
export function verdictReasonText(reason: VerdictReason, language: PageLanguage): string {
  // The catalogue has a sentence for each code that takes just that reason; the compiler cannot follow the pairing.
  const sentence = verdictTexts[language].reasons[reason.code] as (one: VerdictReason) => string;
  return said(language, sentence(reason));
}

/**
 * The verdict in one plain sentence with its reason: the standing, then the worst reason.
 * @example
 * verdictText({ standing: 'fits', reasons: [] }, 'en') // => 'The readings follow this rate law.'
 */
export function verdictText({ standing, reasons }: Verdict, language: PageLanguage): string {
  const [first] = reasons;
  const text = verdictTexts[language].standings[standing];
  return standing === 'fits' || !first ? text : `${text} ${verdictReasonText(first, language)}`;
}

/** Said elsewhere, at their own place: the headline itself, the flags, the law's remarks. */
const saidElsewhere: ReadonlySet<VerdictCode> = new Set(['unsettled', 'nothing-left-over', 'no-law']);

/** What else there is to say beside the headline's own reason, worst first. */
export function furtherReasons({ standing, reasons }: Verdict, language: PageLanguage): string[] {
  const rest = standing === 'fits' ? reasons : reasons.slice(1);
  return rest.filter(({ code }) => !saidElsewhere.has(code)).map((reason) => verdictReasonText(reason, language));
}

/** What to put in place of a headline while flagged readings change it; null where nothing is open. */
export const settleFirstText = (unsettled: Unsettled | null, language: PageLanguage): string | null =>
  unsettled?.differ ? verdictTexts[language].settleFirst(unsettled.count) : null;

/** "Gas was held back for about 50 s at first; the rate allows for that."; null where no gas was. */
export const lagText = (model: RunModel | null, language: PageLanguage): string | null =>
  model?.lag ? said(language, verdictTexts[language].lag(seconds(model.lag.seconds))) : null;

/** The same beside its stretch of a plot: "gas held back, about 50 s". */
export const lagLabel = (lagS: number, language: PageLanguage): string =>
  said(language, verdictTexts[language].lagBand(seconds(lagS)));

/** How the run's rate falls, in a sentence. */
export const formText = ({ form, order }: RunModel, language: PageLanguage): string =>
  said(language, verdictTexts[language].forms[form](short(order)));

/** What the Bench says while gas is held back. */
export const lagWarningText = ({ fasterBy }: LagWarning, language: PageLanguage): string =>
  said(language, verdictTexts[language].lagAhead(Math.round(fasterBy * 100)));
