import { concentrationsAt, type ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import type { RunAnalysis } from '../analysis/analyse-run.ts';
import { amountPerVolumeRate, gasPerVolume } from '../analysis/gas-frame.ts';
import type { RateLaw } from '../analysis/rate-law.ts';
import type { EstimatorName, Measured, Refused, RunData } from '../analysis/run-data.ts';
import { lawRemarks, nothingLeftOver, whyNoOrders } from './law-remarks.ts';
import { pressedGasNotes } from './pressed-gas.ts';
import { figureText, plainNumber, roundByUncertainty } from './round-by-uncertainty.ts';
import { speciesInText, speciesLatex, speciesText } from './species.ts';
import {
  type Cell,
  type Column,
  type ColumnOf,
  figureCell,
  noFigure,
  plainFigure,
  type Table,
  tableOf,
  textCell,
} from './table.ts';
import {
  celsius,
  kilojoulePerMole,
  molPerLitre,
  type RateUnit,
  raisedTo,
  rateConstantUnit,
  rateUnits,
  type Unit,
  volumeRateConstantUnit,
} from './unit.ts';

/** A run as the rate table sees it. */
export interface RateRow {
  readonly run: RunData;
  readonly result: RunAnalysis | Refused;
}

/**
 * The columns of the rate table: the one list of them. A column added here is on the screen, in the report, in every
 * copy, in the CSV, in `npm run rates` and in the saved files.
 */
export function rateColumns(analysis: ExperimentAnalysis, unit: RateUnit): ColumnOf<RateRow>[] {
  const { law } = analysis;
  const k = constantOf(law, analysis.unit);
  const isAside = ({ setAside }: RunData['readings'][number]): boolean => setAside !== undefined;
  return [
    { key: 'run', label: 'run', kind: 'text', cell: ({ run }) => textCell(run.label) },
    ...speciesOf(analysis).map(
      (name): ColumnOf<RateRow> => ({
        key: `conc_${keyOf(name)}`,
        label: `[${speciesText(name)}]₀`,
        latex: `[${speciesLatex(name)}]_0`,
        unit: molPerLitre,
        kind: 'figure',
        cell: ({ run }) => concentrationCell(run, name),
      }),
    ),
    {
      key: 'temperature',
      label: 'temperature',
      unit: celsius,
      kind: 'figure',
      cell: ({ run: { temperatureK } }) =>
        temperatureK
          ? plainFigure(temperatureK.value - 273.15, temperatureK.u)
          : noFigure('the temperature is not stated'),
    },
    {
      key: 'used',
      label: 'readings used',
      kind: 'text',
      cell: ({ run }) => textCell(String(run.readings.filter((reading) => !isAside(reading)).length)),
    },
    {
      key: 'set_aside',
      label: 'set aside',
      kind: 'text',
      cell: ({ run }) => textCell(String(run.readings.filter(isAside).length)),
    },
    {
      key: 'rate',
      label: 'starting rate',
      unit: rateUnits[unit],
      kind: 'figure',
      cell: ({ result }) => rateCell(result, unit),
    },
    { key: 'estimator', label: 'estimated by', kind: 'text', cell: ({ result }) => textCell(estimatorText(result)) },
    ...(k ? [constantColumn(law, k)] : []),
  ];
}

function constantColumn(law: RateLaw | Refused, k: { unit: Unit; factor: number }): ColumnOf<RateRow> {
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
        : noFigure('not part of the rate law');
    },
  };
}

/**
 * The rate table: one row a run, as it is handed in. Rates in the unit chosen; k at the accepted orders. Everything
 * that is stated comes from one analysis, the same that the Rates screen and `npm run rates` use.
 */
export function rateTable(title: string, analysis: ExperimentAnalysis, unit: RateUnit): Table {
  const rows = analysis.experiment.runs.flatMap((run, i): RateRow[] => {
    const result = analysis.runs[i];
    return result ? [{ run, result }] : [];
  });
  return tableOf(title, rateColumns(analysis, unit), rows, notesOf(analysis, unit));
}

/** Every species that some run has a concentration of, in order of first mention. */
export function speciesOf(analysis: ExperimentAnalysis): string[] {
  return [...new Set(analysis.experiment.runs.flatMap((run) => Object.keys(run.concentrations ?? {})))];
}

/** "I-" becomes "I_minus": letters, digits and underscores. */
export const keyOf = (name: string): string =>
  name
    .replace(/-+$/, '_minus')
    .replace(/\++$/, '_plus')
    .replace(/[^A-Za-z0-9]+/g, '_');

function concentrationCell(run: RunData, name: string): Cell {
  const c = run.concentrations?.[name];
  if (!c) return noFigure('not in this flask');
  return plainFigure(c.value / 1000, Math.hypot(c.u, c.value * c.uCommonRelative) / 1000);
}

/** The used rate of a run in a unit, or why there is none. */
export function rateIn(result: RunAnalysis | Refused, unit: RateUnit): Measured | { readonly why: string } {
  if (!result.ok) return { why: result.sentence };
  if (!result.used) return { why: 'No estimate could be computed.' };
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
      return gas ? scaled(gas.value, gas.u / gas.value) : { why: 'temperature or pressure is not stated' };
    }
    case 'mol/(L s)': {
      const amount = amountPerVolumeRate(result.run);
      return amount
        ? scaled(amount.factor / 1000, amount.uRelative)
        : { why: 'temperature, pressure or the volume of the solution is not stated' };
    }
  }
}

function rateCell(result: RunAnalysis | Refused, unit: RateUnit): Cell {
  const rate = rateIn(result, unit);
  return 'why' in rate ? noFigure(rate.why) : figureCell(rate);
}

export const estimatorNames: Readonly<Record<EstimatorName, string>> = {
  line: 'straight line',
  quadratic: 'slope at the first reading',
  firstOrder: 'first-order curve',
};

function estimatorText(result: RunAnalysis | Refused): string {
  if (!result.ok || !result.used) return '';
  const name = estimatorNames[result.used.estimator];
  return result.usedBy === 'choice' ? `${name} (chosen)` : name;
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

function notesOf(analysis: ExperimentAnalysis, unit: RateUnit): string[] {
  const notes = analysis.runs.flatMap((result, i) => {
    const run = analysis.experiment.runs[i]!;
    if (!result.ok) return [`Run ${run.label}: ${result.sentence}`];
    const aside = run.readings.filter((reading) => reading.setAside !== undefined).length;
    if (aside === 0 || !result.withAll) return [];
    const all = rateIn({ ...result, used: result.withAll }, unit);
    if ('why' in all) return [];
    return [
      `Run ${run.label}: with the ${aside === 1 ? 'reading' : `${aside} readings`} set aside counted in, the rate would be ${figureText(roundByUncertainty(all.value, all.u))} ${rateUnits[unit].printed}.`,
    ];
  });
  return [
    ...notes,
    ...whatWasLeft(analysis),
    ...pressedGasNotes(analysis),
    'Each figure is followed by its standard uncertainty.',
  ];
}

/** The concentrations k was reckoned with where they are not those of the table, so that it can be reckoned again. */
function whatWasLeft({ law, runs }: ExperimentAnalysis): string[] {
  if (!law.ok) return [];
  const left = runs.flatMap((result) => {
    const limiting = result.ok ? result.run.gas?.limiting : undefined;
    if (!result.ok || !result.used || !result.run.concentrations || limiting === undefined) return [];
    const c = concentrationsAt(result.run, result.used)[limiting];
    if (!c || c === result.run.concentrations[limiting]) return [];
    const u = Math.hypot(c.u, c.value * c.uCommonRelative);
    const figure = figureText(roundByUncertainty(c.value / 1000, u / 1000));
    return [`${figure} mol/L of ${speciesText(limiting)} in run ${result.run.label}`];
  });
  return left.length === 0
    ? []
    : [
        `For k and the orders each rate goes with what was left at its moment (a straight line: the middle of its readings; a slope: the first reading), not with the start: ${left.join(', ')}.`,
      ];
}

/** The rate law as a table of its own: orders as estimated and as accepted, and the rate constant. */
export function lawTable(analysis: ExperimentAnalysis): Table {
  const columns: Column[] = [
    { key: 'quantity', label: 'quantity', kind: 'text' },
    { key: 'value', label: 'value', kind: 'figure' },
    { key: 'unit', label: 'unit', kind: 'text' },
    { key: 'accepted', label: 'accepted as', kind: 'text' },
    { key: 'from', label: 'from', kind: 'text' },
  ];
  const { law, whole, temperature } = analysis;
  const rows: Cell[][] = [];
  const row = (
    quantity: string,
    value: number,
    u: number | null,
    unit: Unit | null,
    accepted: string,
    from: string,
  ): void => {
    rows.push([
      textCell(quantity),
      plainFigure(value, u ?? undefined),
      unit ? textCell(unit.printed, `$${unit.latex}$`) : textCell(''),
      textCell(accepted),
      textCell(from),
    ]);
  };
  const starting = 'starting rates';
  const readings = 'all readings at once';
  if (law.ok) {
    for (const [name, order] of Object.entries(law.orders))
      row(
        `order in ${speciesText(name)}`,
        order.value,
        order.u,
        null,
        order.accepted === null ? 'none' : plainNumber(order.accepted),
        starting,
      );
    const k = constantOf(law, analysis.unit);
    if (law.accepted && k)
      row(
        'k',
        law.accepted.k * k.factor,
        law.accepted.u === null ? null : law.accepted.u * k.factor,
        k.unit,
        '',
        `${starting}, at the accepted orders`,
      );
  }
  if (whole.ok) {
    for (const [name, order] of Object.entries(whole.orders))
      row(`order in ${speciesText(name)}`, order.value, order.u, null, '', readings);
    if (whole.accepted) {
      const k = constantUnit(
        Object.values(whole.accepted.orders).reduce((a, b) => a + b, 0),
        whole.accepted.fit.unit,
      );
      row(
        'k',
        whole.accepted.k * k.factor,
        whole.accepted.u * k.factor,
        k.unit,
        '',
        `${readings}, at the accepted orders`,
      );
    }
  }
  if (temperature.ok) {
    // An endless uncertainty (two temperatures) is not known rather than large.
    const { activation } = temperature;
    const u = Number.isFinite(activation.u) ? activation.u / 1000 : null;
    row('activation energy', activation.value / 1000, u, kilojoulePerMole, '', 'k of the runs against 1/T');
  }
  return { title: 'Rate law', columns, rows, notes: lawNotes(analysis) };
}

/** "rate = k [H₂O₂] [I⁻]": the law at the accepted orders, or null. */
export function lawText(law: RateLaw | Refused): string | null {
  if (!law.ok || !law.accepted) return null;
  const terms = Object.entries(law.accepted.orders).flatMap(([name, order]) => {
    if (order === 0) return [];
    const power = order === 1 ? '' : raisedTo(order);
    return [`[${speciesText(name)}]${power}`];
  });
  return ['rate = k', ...terms].join(' ');
}

function lawNotes(analysis: ExperimentAnalysis): string[] {
  const { experiment, law, referenceK, whole } = analysis;
  if (!law.ok) return [law.sentence];
  const text = lawText(law);
  const said = (sentence: string): string => speciesInText(sentence, speciesOf(analysis));
  const problems = law.problems.map(({ sentence }) => said(sentence));
  const left = law.leftOut.map(({ sentence }) => said(sentence));
  const hasK = law.accepted !== null || (whole.ok && whole.accepted !== null);
  const at =
    referenceK === null || !hasK ? [] : [`k belongs to ${(referenceK - 273.15).toFixed(1)} °C, the mean of the runs.`];
  const birge = law.accepted?.birge;
  const agreement =
    birge === null || birge === undefined || nothingLeftOver(law)
      ? []
      : [
          `Birge ratio of the runs' k: ${birge.toFixed(2)}${birge > 2 ? '; they differ by more than their uncertainties say' : ''}.`,
        ];
  const notWhole = whole.ok ? [] : [`Fit of all readings at once: ${said(whole.sentence)}`];
  return [
    ...(text ? [`${text}.`] : [whyNoOrders(law) ?? []].flat()),
    ...(experiment.convention && hasK ? [said(experiment.convention)] : []),
    ...at,
    ...problems,
    ...left,
    ...lawRemarks(analysis),
    ...agreement,
    ...notWhole,
  ];
}
