import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import { backInWords } from '../analysis/back-pressure.ts';
import type { NotebookAnalysis } from '../analysis/notebook-analysis.ts';
import type { Reaction } from '../chemistry/reactions.ts';
import { checksumOf } from '../log/checksum.ts';
import { schemaVersion } from '../log/event.ts';
import type { Notebook, NotebookState } from '../log/state.ts';
import { curvePlot, orderPlot } from './curve-plot.ts';
import type { Plot } from './plot-svg.ts';
import { poursTable } from './pours-table.ts';
import { estimatorNames, lawTable, lawText, rateTable, speciesOf } from './rate-table.ts';
import { readingsTable } from './readings-table.ts';
import { cautionsOf, happeningsOf, limitsOf, solutionName } from './report-remarks.ts';
import { speciesInText } from './species.ts';
import { type Cell, type Column, noFigure, plainFigure, type Table, textCell } from './table.ts';
import { type RateUnit, rateUnits } from './unit.ts';

/** The report as data; the screen and the printed page are this, and nothing is stated beside it. */
export interface Report {
  readonly title: string;
  readonly invented: boolean;
  /** What was done, where and when: pairs of label and text. */
  readonly facts: readonly (readonly [string, string])[];
  readonly pours: Table | null;
  readonly rates: Table;
  readonly law: Table;
  readonly lawText: string | null;
  readonly estimates: Table;
  readonly budget: Table | null;
  readonly readings: Table;
  readonly curves: readonly Plot[];
  readonly orders: readonly Plot[];
  /** Sentences about what limits the figures: flags, doubts, gaps in the clock, what was not stated. */
  readonly limits: readonly string[];
  /** What was called besides readings, in order of time. */
  readonly happenings: readonly string[];
  readonly cautions: readonly string[];
  /** Versions, seed and sums, by which the figures can be had again. */
  readonly provenance: readonly (readonly [string, string])[];
}

/** Puts the report together. Cost: that of the analysis it is given, and linear in the events. */
export function reportOf(notebook: Notebook, state: NotebookState, found: NotebookAnalysis, unit: RateUnit): Report {
  const { analysis, reaction } = found;
  return {
    title: state.title,
    invented: state.invented,
    facts: factsOf(state, reaction),
    pours: poursTable(state, found),
    rates: rateTable(`Rates of “${state.title}”`, analysis, unit),
    law: lawTable(analysis),
    lawText: lawText(analysis.law),
    estimates: estimatesTable(analysis),
    budget: budgetTable(analysis),
    readings: readingsTable(state, uncertaintiesOf(analysis)),
    curves: analysis.experiment.runs.map((_, i) => curvePlot(analysis, i)),
    orders: speciesOf(analysis).flatMap((species) => orderPlot(analysis, species) ?? []),
    limits: limitsOf(state, found).map((sentence) => speciesInText(sentence, speciesOf(analysis))),
    happenings: state.runs.flatMap((run) => happeningsOf(state, run)),
    cautions: cautionsOf(reaction),
    provenance: provenanceOf(notebook, state),
  };
}

/** "2024-03-05 14:02 UTC"; null for a moment that no calendar has. */
export function dateText(wallMs: number): string | null {
  const date = new Date(wallMs);
  return Number.isFinite(date.getTime()) ? `${date.toISOString().slice(0, 16).replace('T', ' ')} UTC` : null;
}

function factsOf(state: NotebookState, reaction: Reaction | null): [string, string][] {
  const { setup, plan } = state;
  const facts: [string, string][] = [];
  const begun = dateText(state.createdWallMs);
  if (begun) facts.push(['Begun', begun]);
  if (reaction) facts.push(['Reaction', `${reaction.name}: ${reaction.equation}`]);
  const { capacityMl, divisionMl, accuracy } = setup.cylinder;
  const glass = accuracy === 'unknown' ? 'class not stated' : `class ${accuracy}`;
  facts.push([
    'Cylinder',
    `${capacityMl} mL, ${divisionMl} mL divisions, ${glass}; called every ${setup.stepMl} mL over ${setup.spanMl} mL`,
  ]);
  if (setup.temperatureC !== undefined)
    facts.push([
      'Temperature',
      `${setup.temperatureC} °C${setup.uTemperatureC === undefined ? '' : `, standard uncertainty ${setup.uTemperatureC} °C`}`,
    ]);
  if (setup.pressure)
    facts.push([
      'Pressure',
      setup.pressure.kind === 'station'
        ? `${setup.pressure.hPa} hPa, read at the bench`
        : `${setup.pressure.hPa} hPa at sea level, ${setup.pressure.altitudeM} m above it${setup.pressure.outdoorC === undefined ? '' : `, ${setup.pressure.outdoorC} °C outdoors`}`,
    ]);
  if (setup.waterHeadMm !== undefined) facts.push(['Water head', `${setup.waterHeadMm} mm`]);
  if (setup.backPressure)
    facts.push([
      'Gas above the reaction',
      setup.backPressure.on ? `reckoned with: ${backInWords(setup.backPressure)}` : 'not reckoned with',
    ]);
  for (const stock of plan?.stocks ?? []) {
    const { value, unit, uRelative } = stock.strength;
    const strength = unit === 'M-unknown' ? 'strength not known' : `${value} ${unit}`;
    facts.push([
      `Bottle: ${stock.name}`,
      `${strength}${uRelative === undefined ? '' : `, ± ${Number((uRelative * 100).toPrecision(3))} %`}`,
    ]);
  }
  for (const { name, from, takeMl, addWaterMl, makeUpToMl } of plan?.dilutions ?? []) {
    const water = makeUpToMl === undefined ? `and ${addWaterMl ?? 0} mL of water` : `made up to ${makeUpToMl} mL`;
    facts.push([`Dilution: ${name}`, `${takeMl} mL of ${solutionName(state, from)} ${water}`]);
  }
  return facts;
}

function estimatesTable(analysis: ExperimentAnalysis): Table {
  const unit = rateUnits['mL/s'];
  const columns: Column[] = [
    { key: 'run', label: 'run', kind: 'text' },
    { key: 'estimator', label: 'estimate', kind: 'text' },
    { key: 'rate', label: 'rate', unit, kind: 'figure' },
    { key: 'low95', label: '95 % from', unit, kind: 'figure' },
    { key: 'high95', label: 'to', unit, kind: 'figure' },
    { key: 'verdict', label: 'verdict', kind: 'text' },
  ];
  const rows = analysis.runs.flatMap((result): Cell[][] => {
    if (!result.ok) return [];
    return (['line', 'quadratic', 'firstOrder'] as const).map((name): Cell[] => {
      const estimate = result.estimates[name];
      const verdicts = [
        ...(result.recommended?.name === name ? ['recommended'] : []),
        ...(result.used?.estimator === name ? [result.usedBy === 'choice' ? 'used (own choice)' : 'used'] : []),
      ];
      const start = [textCell(result.run.label), textCell(estimatorNames[name])];
      if (!estimate.ok)
        return [...start, noFigure(estimate.sentence), noFigure(''), noFigure(''), textCell(estimate.sentence)];
      const { rateM3PerS: rate, u, low95, high95 } = estimate;
      // Ends of an interval to the place of the rate itself.
      return [
        ...start,
        plainFigure(rate * 1e6, u * 1e6),
        endOf(low95, u),
        endOf(high95, u),
        textCell(verdicts.join(', ')),
      ];
    });
  });
  const reasons = analysis.runs.flatMap((result) =>
    result.ok && result.recommended ? [`Run ${result.run.label}: ${result.recommended.reason}`] : [],
  );
  return { title: 'The three estimates of each run', columns, rows, notes: reasons };
}

function endOf(valueM3PerS: number, uM3PerS: number): Cell {
  const cell = plainFigure(valueM3PerS * 1e6, uM3PerS * 1e6);
  return cell.kind === 'figure' && cell.rounded
    ? { ...cell, u: undefined, rounded: { ...cell.rounded, u: null } }
    : cell;
}

function budgetTable(analysis: ExperimentAnalysis): Table | null {
  const accepted = analysis.whole.ok ? analysis.whole.accepted : null;
  const columns: Column[] = [
    { key: 'source', label: 'source', kind: 'text' },
    { key: 'u_relative', label: 'u(k)/k in %', kind: 'text' },
    { key: 'share', label: 'share in %', kind: 'text' },
  ];
  if (accepted && accepted.budget.length > 0)
    return {
      title: 'What the uncertainty of k comes from',
      columns,
      rows: accepted.budget.map(({ source, u, share }) => [
        textCell(speciesInText(source, speciesOf(analysis))),
        textCell((100 * u).toPrecision(2)),
        textCell(percent(share)),
      ]),
      notes: ['Of k from all readings at once, at the accepted orders.'],
    };
  const shares = analysis.law.ok ? (analysis.law.accepted?.shares ?? []) : [];
  const total = shares.reduce((sum, { u }) => sum + u * u, 0);
  if (!(total > 0)) return null;
  return {
    title: 'What the uncertainty of k comes from',
    columns,
    rows: shares.map(({ source, u }) => [
      textCell(speciesInText(source, speciesOf(analysis))),
      textCell((100 * u).toPrecision(2)),
      textCell(percent((u * u) / total)),
    ]),
    notes: ['Of k from the starting rates, at the accepted orders.'],
  };
}

const percent = (share: number): string => (share < 0.005 ? '< 1' : (100 * share).toFixed(0));

/** u of time and volume of each reading as the computation took them. */
function uncertaintiesOf(analysis: ExperimentAnalysis): Parameters<typeof readingsTable>[1] {
  const known = new Map(
    analysis.experiment.runs.flatMap((run) =>
      run.readings.flatMap((reading) =>
        reading.id === undefined
          ? []
          : [[reading.id, { uTimeS: reading.uTimeS, uVolumeMl: reading.uVolumeM3 * 1e6 }] as const],
      ),
    ),
  );
  return (_, reading) => known.get(reading.id) ?? null;
}

function provenanceOf(notebook: Notebook, state: NotebookState): [string, string][] {
  const created = notebook.events[0]?.body;
  const app = created?.kind === 'created' ? created.app : '';
  return [
    ['Notebook', notebook.id],
    ['Entries', `${state.events}, check ${checksumOf([notebook.id, notebook.events])}`],
    ['Seed of random numbers', String(state.seed)],
    ['Written by', `Meniscall${app === '' ? '' : ` ${app}`}, notebook schema ${schemaVersion}`],
    ['To compute again', 'npm run --silent rates -- NOTEBOOK.json'],
  ];
}
