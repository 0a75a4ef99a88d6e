import { concentrationsAt, type ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import type { RunAnalysis } from '../analysis/analyse-run.ts';
import { amountPerVolumeRate, gasPerVolume } from '../analysis/gas-frame.ts';
import { meanRateRuns } from '../analysis/judge-law.ts';
import type { RateLaw } from '../analysis/rate-law.ts';
import type { Measured, Refused, RunData, SolidReagent } from '../analysis/run-data.ts';
import { weighedG } from '../chemistry/solids.ts';
import { numbersIn, type PageLanguage } from '../language/page-language.ts';
import { chemistryText } from '../planning/chemistry-sentences.ts';
import { noteText, problemText, refusalText } from './analysis-texts.ts';
import { dissolvedGasNotes } from './dissolved-gas.ts';
import { lawRemarks, nothingLeftOver, whyNoOrders } from './law-remarks.ts';
import { pressedGasNotes } from './pressed-gas.ts';
import { figureText, plainNumber, roundByUncertainty } from './round-by-uncertainty.ts';
import { speciesInText, speciesLatex, speciesText } from './species.ts';
import { type Cell, type ColumnOf, figureCell, noFigure, plainFigure, type Table, tableOf, textCell } from './table.ts';
import { resultTexts } from './texts.ts';
import {
  celsius,
  grams,
  kilojoulePerMole,
  molPerLitre,
  percent,
  type RateUnit,
  raisedTo,
  rateConstantUnit,
  rateUnits,
  type Unit,
  volumeRateConstantUnit,
} from './unit.ts';
import { verdictTexts } from './verdict-texts.ts';

/** A run as the rate table sees it. */
export interface RateRow {
  readonly run: RunData;
  readonly result: RunAnalysis | Refused;
}

/**
 * The columns of the rate table: the one list of them. A column added here is on the screen, in the report, in every
 * copy, in the CSV, in `npm run rates` and in the saved files.
 */
export function rateColumns(
  analysis: ExperimentAnalysis,
  unit: RateUnit,
  language: PageLanguage = 'en',
): ColumnOf<RateRow>[] {
  const t = resultTexts[language].rates;
  const { law } = analysis;
  // A k that the verdict withholds is no column either.
  const k = analysis.headline?.k ? constantOf(law, analysis.unit) : null;
  const isAside = ({ setAside }: RunData['readings'][number]): boolean => setAside !== undefined;
  return [
    { key: 'run', label: resultTexts[language].run, kind: 'text', cell: ({ run }) => textCell(run.label) },
    ...speciesOf(analysis).map(
      (name): ColumnOf<RateRow> => ({
        key: `conc_${keyOf(name)}`,
        label: `[${speciesText(name)}]₀`,
        latex: `[${speciesLatex(name)}]_0`,
        unit: molPerLitre,
        kind: 'figure',
        cell: ({ run }) => concentrationCell(run, name, language),
      }),
    ),
    ...solidsOf(analysis).map(
      (name): ColumnOf<RateRow> => ({
        key: `mass_${keyOf(name)}`,
        label: `m(${speciesText(name)})`,
        latex: `m(${speciesLatex(name)})`,
        unit: grams,
        kind: 'figure',
        cell: ({ run }) => massCell(run, name, language),
      }),
    ),
    ...solidsOf(analysis)
      .filter((name) => analysis.experiment.runs.some(({ solids }) => isStatedPurity(solids?.[name])))
      .map(
        (name): ColumnOf<RateRow> => ({
          key: `purity_${keyOf(name)}`,
          label: t.purity(speciesText(name)),
          unit: percent,
          kind: 'figure',
          cell: ({ run }) => purityCell(run, name, language),
        }),
      ),
    {
      key: 'temperature',
      label: t.temperature,
      unit: celsius,
      kind: 'figure',
      cell: ({ run: { temperatureK } }) =>
        temperatureK ? plainFigure(temperatureK.value - 273.15, temperatureK.u) : noFigure(t.noTemperature),
    },
    {
      key: 'used',
      label: t.used,
      kind: 'text',
      cell: ({ run }) => textCell(String(run.readings.filter((reading) => !isAside(reading)).length)),
    },
    {
      key: 'set_aside',
      label: t.setAside,
      kind: 'text',
      cell: ({ run }) => textCell(String(run.readings.filter(isAside).length)),
    },
    {
      key: 'rate',
      label: allMean(analysis) ? verdictTexts[language].meanRate : t.rate,
      unit: rateUnits[unit],
      kind: 'figure',
      cell: ({ result }) => rateCell(result, unit, language),
    },
    {
      key: 'estimator',
      label: t.estimator,
      kind: 'text',
      cell: ({ result }) => textCell(estimatorText(result, language)),
    },
    ...(k ? [constantColumn(law, k, language)] : []),
  ];
}

/** Whether no run has a starting rate, but one at least a mean rate. */
function allMean({ runs }: ExperimentAnalysis): boolean {
  const used = runs.flatMap((run) => (run.ok && run.used ? [run] : []));
  return used.length > 0 && used.every(({ meanRate }) => meanRate);
}

function constantColumn(
  law: RateLaw | Refused,
  k: { unit: Unit; factor: number },
  language: PageLanguage,
): ColumnOf<RateRow> {
  return {
    key: 'k',
    label: 'k',
    latex: 'k',
    unit: k.unit,
    kind: 'figure',
    cell: ({ run }) => {
      const own = law.ok ? law.accepted?.perRun.find(({ label }) => label === run.label) : undefined;
      return own
        ? plainFigure(own.k * k.factor, own.u === null ? undefined : own.u * k.factor)
        : noFigure(resultTexts[language].rates.notInLaw);
    },
  };
}

/**
 * The rate table: one row a run, as it is handed in. Rates in the unit chosen; k at the accepted orders. Everything
 * that is stated comes from one analysis, the same that the Rates screen and `npm run rates` use.
 */
export function rateTable(
  title: string,
  analysis: ExperimentAnalysis,
  unit: RateUnit,
  language: PageLanguage = 'en',
): Table {
  const rows = analysis.experiment.runs.flatMap((run, i): RateRow[] => {
    const result = analysis.runs[i];
    return result ? [{ run, result }] : [];
  });
  return tableOf(title, rateColumns(analysis, unit, language), rows, notesOf(analysis, unit, language));
}

/** Every species that some run has a concentration of, in order of first mention. */
export function speciesOf(analysis: ExperimentAnalysis): string[] {
  return [...new Set(analysis.experiment.runs.flatMap((run) => Object.keys(run.concentrations ?? {})))];
}

/** Every solid that some run has, in order of first mention. */
const solidsOf = ({ experiment: { runs } }: ExperimentAnalysis): string[] => [
  ...new Set(runs.flatMap((run) => Object.keys(run.solids ?? {}))),
];

/** "I-" becomes "I_minus": letters, digits and underscores. */
export const keyOf = (name: string): string =>
  name
    .replace(/-+$/, '_minus')
    .replace(/\++$/, '_plus')
    .replace(/[^A-Za-z0-9]+/g, '_');

function concentrationCell(run: RunData, name: string, language: PageLanguage): Cell {
  const c = run.concentrations?.[name];
  if (!c) return noFigure(resultTexts[language].rates.notInFlask);
  return plainFigure(c.value / 1000, Math.hypot(c.u, c.value * c.uCommonRelative) / 1000);
}

/** A purity of all is what counts where none is stated. */
const isStatedPurity = (solid: SolidReagent | undefined): boolean =>
  solid !== undefined && ((solid.purity ?? 1) < 1 || (solid.uPurityRelative ?? 0) > 0);

function massCell(run: RunData, name: string, language: PageLanguage): Cell {
  const solid = run.solids?.[name];
  if (!solid) return noFigure(resultTexts[language].rates.notInFlask);
  const { mol, u, uCommonRelative } = solid;
  const grams = weighedG({ purity: 1, ...solid });
  return plainFigure(grams, (grams * Math.hypot(u, mol * uCommonRelative)) / mol);
}

function purityCell(run: RunData, name: string, language: PageLanguage): Cell {
  const solid = run.solids?.[name];
  if (!solid) return noFigure(resultTexts[language].rates.notInFlask);
  const percent = 100 * (solid.purity ?? 1);
  return plainFigure(percent, percent * (solid.uPurityRelative ?? 0));
}

/** The used rate of a run in a unit, or why there is none. */
export function rateIn(
  result: RunAnalysis | Refused,
  unit: RateUnit,
  language: PageLanguage = 'en',
): Measured | { readonly why: string } {
  const t = resultTexts[language].rates;
  if (!result.ok) return { why: refusalText(result, language) };
  if (!result.used) return { why: t.noEstimate };
  const { rateM3PerS, u } = result.used;
  const scaled = (factor: number, uRelative = 0): Measured => ({
    value: rateM3PerS * factor,
    u: Math.hypot(u * factor, rateM3PerS * factor * uRelative),
  });
  switch (unit) {
    case 'mL/s':
      return scaled(1e6);
    case 'mL/min':
      return scaled(60e6);
    case 'mol/s': {
      const gas = gasPerVolume(result.run);
      return gas ? scaled(gas.value, gas.u / gas.value) : { why: t.noAmount };
    }
    case 'mol/(L s)': {
      const amount = amountPerVolumeRate(result.run);
      return amount ? scaled(amount.factor / 1000, amount.uRelative) : { why: t.noConcentration };
    }
  }
}

function rateCell(result: RunAnalysis | Refused, unit: RateUnit, language: PageLanguage): Cell {
  const rate = rateIn(result, unit, language);
  return 'why' in rate ? noFigure(rate.why) : figureCell(rate);
}

function estimatorText(result: RunAnalysis | Refused, language: PageLanguage): string {
  if (!result.ok || !result.used) return '';
  const t = resultTexts[language];
  const of = t.estimators[result.used.estimator];
  const name = result.meanRate ? `${of} (${verdictTexts[language].meanRate})` : of;
  return result.usedBy === 'choice' ? t.rates.chosen(name) : name;
}

/** Unit of k and the factor from the law's own unit to it (see `npm run rates`); null without accepted orders. */
export function constantOf(
  law: RateLaw | Refused,
  kind: ExperimentAnalysis['unit'],
): { readonly unit: Unit; readonly factor: number; readonly order: number } | null {
  if (!law.ok || !law.accepted) return null;
  return constantUnit(
    Object.values(law.accepted.orders).reduce((sum, order) => sum + order, 0),
    kind,
  );
}

export function constantUnit(
  order: number,
  kind: ExperimentAnalysis['unit'],
): { unit: Unit; factor: number; order: number } {
  return kind === 'amount'
    ? { unit: rateConstantUnit(order), factor: 1, order }
    : { unit: volumeRateConstantUnit(order), factor: 1e6, order };
}

function notesOf(analysis: ExperimentAnalysis, unit: RateUnit, language: PageLanguage): string[] {
  const t = resultTexts[language].rates;
  const notes = analysis.runs.flatMap((result, i) => {
    const run = analysis.experiment.runs[i];
    if (!run) return [];
    if (!result.ok) return [t.ofRun(run.label, refusalText(result, language))];
    const aside = run.readings.filter((reading) => reading.setAside !== undefined).length;
    if (aside === 0 || !result.withAll) return [];
    const all = rateIn({ ...result, used: result.withAll }, unit);
    if ('why' in all) return [];
    const figure = `${figureText(roundByUncertainty(all.value, all.u))} ${rateUnits[unit].printed}`;
    return [t.withAside(run.label, aside, figure)];
  });
  return [
    ...notes,
    ...whatWasLeft(analysis, language),
    ...dissolvedGasNotes(analysis, language),
    ...pressedGasNotes(analysis, language),
    t.uncertainties,
  ].map((note) => numbersIn(language, note));
}

/** The concentrations that k was computed with, where they are not those of the table. */
function whatWasLeft({ law, runs }: ExperimentAnalysis, language: PageLanguage): string[] {
  if (!law.ok) return [];
  const t = resultTexts[language].rates;
  const left = runs.flatMap((result) => {
    const limiting = result.ok ? result.run.gas?.limiting : undefined;
    if (!result.ok || !result.used || !result.run.concentrations || limiting === undefined) return [];
    const c = concentrationsAt(result.run, result.used)[limiting];
    if (!c || c === result.run.concentrations[limiting]) return [];
    const u = Math.hypot(c.u, c.value * c.uCommonRelative);
    const figure = figureText(roundByUncertainty(c.value / 1000, u / 1000));
    return [t.leftIn(figure, speciesText(limiting), result.run.label)];
  });
  return left.length === 0 ? [] : [t.left(left.join(', '))];
}

/** A line of the law's table: an order, a rate constant, the activation energy. */
interface LawLine {
  readonly quantity: string;
  readonly value: number;
  readonly u: number | null;
  readonly unit: Unit | null;
  readonly accepted: string;
  readonly from: string;
}

/** The rate law as a table of its own: orders as estimated and as accepted, and the rate constant. */
export function lawTable(analysis: ExperimentAnalysis, language: PageLanguage = 'en'): Table {
  const t = resultTexts[language].law;
  const columns: ColumnOf<LawLine>[] = [
    { key: 'quantity', label: t.quantity, kind: 'text', cell: ({ quantity }) => textCell(quantity) },
    { key: 'value', label: t.value, kind: 'figure', cell: ({ value, u }) => plainFigure(value, u ?? undefined) },
    {
      key: 'unit',
      label: t.unit,
      kind: 'text',
      cell: ({ unit }) => (unit ? textCell(unit.printed, `$${unit.latex}$`) : textCell('')),
    },
    { key: 'accepted', label: t.accepted, kind: 'text', cell: ({ accepted }) => textCell(accepted) },
    { key: 'from', label: t.from, kind: 'text', cell: ({ from }) => textCell(from) },
  ];
  const lines = [
    ...startingLines(analysis, language),
    ...wholeLines(analysis, language),
    ...temperatureLine(analysis, language),
  ];
  return tableOf(t.title, columns, lines, lawNotes(analysis, language));
}

function startingLines({ law, unit, runs, headline }: ExperimentAnalysis, language: PageLanguage): LawLine[] {
  if (!law.ok) return [];
  const t = resultTexts[language].law;
  const from = meanRateRuns(runs).length > 0 ? t.means : t.starting;
  const orders = Object.entries(law.orders).map(
    ([name, { value, u, accepted }]): LawLine => ({
      quantity: t.order(speciesText(name)),
      value,
      u,
      unit: null,
      accepted: accepted === null ? resultTexts[language].none : plainNumber(accepted),
      from,
    }),
  );
  const k = headline?.k ? constantOf(law, unit) : null;
  return law.accepted && k ? [...orders, constantLine(law.accepted, k, t.atAccepted(from))] : orders;
}

function wholeLines({ whole, headline }: ExperimentAnalysis, language: PageLanguage): LawLine[] {
  if (!whole.ok) return [];
  const t = resultTexts[language].law;
  const orders = Object.entries(whole.orders).map(
    ([name, { value, u }]): LawLine => ({
      quantity: t.order(speciesText(name)),
      value,
      u,
      unit: null,
      accepted: '',
      from: t.readings,
    }),
  );
  if (!whole.accepted || !headline?.k) return orders;
  const order = Object.values(whole.accepted.orders).reduce((a, b) => a + b, 0);
  const k = constantUnit(order, whole.accepted.fit.unit);
  return [...orders, constantLine(whole.accepted, k, t.atAccepted(t.readings))];
}

const constantLine = (
  { k, u }: { readonly k: number; readonly u: number | null },
  { factor, unit }: { readonly factor: number; readonly unit: Unit },
  from: string,
): LawLine => ({ quantity: 'k', value: k * factor, u: u === null ? null : u * factor, unit, accepted: '', from });

function temperatureLine({ temperature }: ExperimentAnalysis, language: PageLanguage): LawLine[] {
  if (!temperature.ok) return [];
  const t = resultTexts[language].law;
  const { activation } = temperature;
  return [
    {
      quantity: t.activation,
      value: activation.value / 1000,
      // An endless uncertainty (two temperatures) is not known rather than large.
      u: Number.isFinite(activation.u) ? activation.u / 1000 : null,
      unit: kilojoulePerMole,
      accepted: '',
      from: t.byTemperature,
    },
  ];
}

/** "rate = k [H₂O₂] [I⁻]": the law at the accepted orders, or null. */
export function lawText(law: RateLaw | Refused, language: PageLanguage = 'en'): string | null {
  if (!law.ok || !law.accepted) return null;
  const terms = Object.entries(law.accepted.orders).flatMap(([name, order]) => {
    if (order === 0) return [];
    const power = order === 1 ? '' : raisedTo(order);
    return [`[${speciesText(name)}]${power}`];
  });
  return [resultTexts[language].law.rateIs, ...terms].join(' ');
}

function lawNotes(analysis: ExperimentAnalysis, language: PageLanguage): string[] {
  const t = resultTexts[language].law;
  const { experiment, law, referenceK, whole, headline } = analysis;
  if (!law.ok) return [refusalText(law, language)];
  const text = lawText(law, language);
  const said = (sentence: string): string => numbersIn(language, speciesInText(sentence, speciesOf(analysis)));
  const hasK = headline?.k != null;
  const birge = law.accepted?.birge ?? null;
  return [
    ...(text ? [`${text}.`] : [whyNoOrders(law, language) ?? []].flat()),
    ...(experiment.convention && hasK ? [said(chemistryText(experiment.convention, language))] : []),
    ...(referenceK === null || !hasK ? [] : [said(t.at((referenceK - 273.15).toFixed(1)))]),
    ...law.problems.map((problem) => said(problemText(problem, language))),
    ...law.leftOut.map(({ sentence }) => said(noteText(sentence, language))),
    ...lawRemarks(analysis, language),
    ...(birge === null || nothingLeftOver(law) ? [] : [said(t.birge(birge.toFixed(2), birge > 2))]),
    ...(whole.ok ? [] : [t.notAtOnce(said(refusalText(whole, language)))]),
  ];
}
