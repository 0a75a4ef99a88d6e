import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import type { RunAnalysis } from '../analysis/analyse-run.ts';
import { backInWords } from '../analysis/back-pressure.ts';
import type { RateEstimate } from '../analysis/estimate.ts';
import type { NotebookAnalysis } from '../analysis/notebook-analysis.ts';
import type { EstimatorName, Refused } from '../analysis/run-data.ts';
import type { BudgetLine } from '../analysis/whole-result.ts';
import type { Reaction } from '../chemistry/reactions.ts';
import { named, numbersIn, type PageLanguage } from '../language/page-language.ts';
import { checksumOf } from '../log/checksum.ts';
import { schemaVersion } from '../log/event.ts';
import type { Notebook, NotebookState } from '../log/state.ts';
import { nameIn } from '../planning/names.ts';
import { reasonText, refusalText, sourceText } from './analysis-texts.ts';

import { curvePlot, orderPlot } from './curve-plot.ts';
import type { Plot } from './plot-svg.ts';
import { poursTable } from './pours-table.ts';
import { lawTable, lawText, rateTable, speciesOf } from './rate-table.ts';
import { readingsTable } from './readings-table.ts';
import { cautionsOf, happeningsOf, limitsOf, solutionName } from './report-remarks.ts';
import { sharesOf } from './sentences.ts';
import { speciesInText } from './species.ts';
import { type Cell, type ColumnOf, noFigure, plainFigure, type Table, tableOf, textCell } from './table.ts';
import { resultTexts } from './texts.ts';
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
export function reportOf(
  notebook: Notebook,
  state: NotebookState,
  found: NotebookAnalysis,
  unit: RateUnit,
  language: PageLanguage = 'en',
): Report {
  const { analysis, reaction } = found;
  const species = speciesOf(analysis);
  return {
    title: state.title,
    invented: state.invented,
    facts: factsOf(state, reaction, language),
    pours: poursTable(state, found, language),
    rates: rateTable(resultTexts[language].rates.title(state.title), analysis, unit, language),
    law: lawTable(analysis, language),
    lawText: lawText(analysis.law, language),
    estimates: estimatesTable(analysis, language),
    budget: budgetTable(analysis, language),
    readings: readingsTable(state, uncertaintiesOf(analysis), language),
    curves: analysis.experiment.runs.map((_, i) => curvePlot(analysis, i, language)),
    orders: species.flatMap((one) => orderPlot(analysis, one, language) ?? []),
    limits: limitsOf(state, found, language).map((sentence) => numbersIn(language, speciesInText(sentence, species))),
    happenings: state.runs.flatMap((run) => happeningsOf(state, run, language)),
    cautions: cautionsOf(reaction, language),
    provenance: provenanceOf(notebook, state, language),
  };
}

/** "2024-03-05 14:02 UTC"; null for a moment that no calendar has. */
export function dateText(wallMs: number): string | null {
  const date = new Date(wallMs);
  return Number.isFinite(date.getTime()) ? `${date.toISOString().slice(0, 16).replace('T', ' ')} UTC` : null;
}

function factsOf(state: NotebookState, reaction: Reaction | null, language: PageLanguage): [string, string][] {
  const t = resultTexts[language].report;
  const { setup, plan } = state;
  const { capacityMl, divisionMl, accuracy } = setup.cylinder;
  const glass = accuracy === 'unknown' ? t.glassUnknown : t.glassClass(accuracy);
  const begun = dateText(state.createdWallMs);
  const facts: [string, string][] = [
    ...(begun ? [[t.begun, begun] satisfies [string, string]] : []),
    ...(reaction
      ? [
          [t.reaction, `${named(nameIn(reaction.name, language))}: ${t.equation(reaction.equation)}`] satisfies [
            string,
            string,
          ],
        ]
      : []),
    [t.cylinder, t.cylinderText(capacityMl, divisionMl, glass, setup.stepMl, setup.spanMl)],
    ...conditionsOf(state, language),
  ];
  for (const stock of plan?.stocks ?? []) {
    const { value, unit, uRelative } = stock.strength;
    const strength = unit === 'M-unknown' ? t.unknownStrength : `${value} ${unit}`;
    facts.push([
      t.bottle(stock.name),
      `${strength}${uRelative === undefined ? '' : `, ± ${Number((uRelative * 100).toPrecision(3))} %`}`,
    ]);
  }
  for (const { name, from, takeMl, addWaterMl, makeUpToMl } of plan?.dilutions ?? [])
    facts.push([
      t.dilution(name),
      t.dilutionText(takeMl, named(solutionName(state, from, language)), addWaterMl, makeUpToMl),
    ]);
  return facts.map(([label, text]) => [label, label === t.begun ? text : numbersIn(language, text)]);
}

/** Temperature, pressure and the like, as far as they were stated. */
function conditionsOf({ setup }: NotebookState, language: PageLanguage): [string, string][] {
  const t = resultTexts[language].report;
  const { temperatureC, uTemperatureC, pressure, waterHeadMm, dissolving, backPressure } = setup;
  const facts: [string, string][] = [];
  if (temperatureC !== undefined) facts.push([t.temperature, t.temperatureText(temperatureC, uTemperatureC)]);
  if (pressure)
    facts.push([
      t.pressure,
      pressure.kind === 'station'
        ? t.atBench(pressure.hPa)
        : t.atSea(pressure.hPa, pressure.altitudeM, pressure.outdoorC),
    ]);
  if (waterHeadMm !== undefined) facts.push([t.waterHead, `${waterHeadMm} mm`]);
  if (dissolving) facts.push([t.standsOn, t.standsOnText(dissolving.water, dissolving.waterMl)]);
  if (backPressure) facts.push([t.gasAbove, backPressure.on ? t.corrected(backInWords(backPressure)) : t.notCorrected]);
  return facts;
}

/** One estimate of one run. */
interface EstimateRow {
  readonly result: RunAnalysis;
  readonly name: EstimatorName;
}

function estimatesTable(analysis: ExperimentAnalysis, language: PageLanguage): Table {
  const t = resultTexts[language];
  const unit = rateUnits['mL/s'];
  const figure =
    (of: (estimate: RateEstimate) => Cell, whyNot: (refused: Refused) => string = () => '') =>
    ({ result, name }: EstimateRow): Cell => {
      const estimate = result.used?.estimator === name ? result.used : result.estimates[name];
      return estimate.ok ? of(estimate) : noFigure(whyNot(estimate));
    };
  const columns: ColumnOf<EstimateRow>[] = [
    { key: 'run', label: t.run, kind: 'text', cell: ({ result }) => textCell(result.run.label) },
    { key: 'estimator', label: t.report.estimate, kind: 'text', cell: ({ name }) => textCell(t.estimators[name]) },
    {
      key: 'rate',
      label: t.report.rate,
      unit,
      kind: 'figure',
      cell: figure(
        ({ rateM3PerS, u }) => plainFigure(rateM3PerS * 1e6, u * 1e6),
        (refused) => refusalText(refused, language),
      ),
    },
    // Ends of an interval to the place of the rate itself.
    { key: 'low95', label: t.report.low95, unit, kind: 'figure', cell: figure(({ low95, u }) => endOf(low95, u)) },
    { key: 'high95', label: t.report.high95, unit, kind: 'figure', cell: figure(({ high95, u }) => endOf(high95, u)) },
    { key: 'verdict', label: t.report.verdict, kind: 'text', cell: (row) => textCell(verdictOf(row, language)) },
  ];
  const found = analysis.runs.flatMap((result) => (result.ok ? [result] : []));
  return tableOf(
    t.report.estimates,
    columns,
    found.flatMap((result) => estimators.map((name): EstimateRow => ({ result, name }))),
    found.flatMap((result) =>
      result.recommended ? [t.rates.ofRun(result.run.label, reasonText(result, language))] : [],
    ),
  );
}

const estimators = ['line', 'quadratic', 'firstOrder'] as const;

function verdictOf({ result, name }: EstimateRow, language: PageLanguage): string {
  const t = resultTexts[language].report;
  const estimate = result.estimates[name];
  if (!estimate.ok) return refusalText(estimate, language);
  return [
    ...(result.recommended?.name === name ? [t.recommended] : []),
    ...(result.used?.estimator === name ? [result.usedBy === 'choice' ? t.usedByChoice : t.used] : []),
  ].join(', ');
}

function endOf(valueM3PerS: number, uM3PerS: number): Cell {
  const cell = plainFigure(valueM3PerS * 1e6, uM3PerS * 1e6);
  return cell.kind === 'figure' && cell.rounded
    ? { ...cell, u: undefined, rounded: { ...cell.rounded, u: null } }
    : cell;
}

function budgetTable(analysis: ExperimentAnalysis, language: PageLanguage): Table | null {
  const t = resultTexts[language].budget;
  const accepted = analysis.whole.ok ? analysis.whole.accepted : null;
  const ofReadings = accepted !== null && accepted.budget.length > 0;
  const lines = ofReadings
    ? accepted.budget
    : sharesOf(analysis.law.ok ? (analysis.law.accepted?.shares ?? []) : []).filter(({ share }) => share > 0);
  if (lines.length === 0) return null;
  const species = speciesOf(analysis);
  const columns: ColumnOf<BudgetLine>[] = [
    {
      key: 'source',
      label: t.source,
      kind: 'text',
      cell: ({ source }) => textCell(speciesInText(sourceText(source, language), species)),
    },
    {
      key: 'u_relative',
      label: t.relative,
      kind: 'text',
      cell: ({ u }) => textCell(numbersIn(language, (100 * u).toPrecision(2))),
    },
    { key: 'share', label: t.share, kind: 'text', cell: ({ share }) => textCell(percent(share)) },
  ];
  return tableOf(t.title, columns, lines, [ofReadings ? t.ofReadings : t.ofStarting]);
}

const percent = (share: number): string => (share < 0.005 ? '< 1' : (100 * share).toFixed(0));

/** u of time and volume of each reading as the computation took them. */
export function uncertaintiesOf(analysis: ExperimentAnalysis): Parameters<typeof readingsTable>[1] {
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

function provenanceOf(notebook: Notebook, state: NotebookState, language: PageLanguage): [string, string][] {
  const t = resultTexts[language].report;
  const created = notebook.events[0]?.body;
  const app = created?.kind === 'created' ? created.app : '';
  return [
    [t.notebook, notebook.id],
    [t.entries, t.check(state.events, checksumOf([notebook.id, notebook.events]))],
    [t.seed, String(state.seed)],
    [t.writtenBy, t.app(app === '' ? '' : ` ${app}`, schemaVersion)],
  ];
}
