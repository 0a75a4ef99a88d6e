import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import { volumeOn } from '../analysis/estimate.ts';
import type { RunData, RunReading } from '../analysis/run-data.ts';
import type { PageLanguage } from '../language/page-language.ts';
import type { MarkedPoint, Plot, Point, Series } from './plot-svg.ts';
import { resultTexts } from './texts.ts';

/** A reading as it lies in the plot of all runs. */
export interface PlottedReading extends Point {
  readonly run: number;
  readonly id: string;
  readonly aside: boolean;
  readonly flagged: boolean;
}

/** Beyond this number of readings the marks of a run lie on one another: every nth is drawn, flagged ones always. */
const mostMarks = 300;

/**
 * All runs in one plot: gas since each run's first reading, so that the slopes compare whatever the cylinder read at the
 * start. One colour and mark each, the fitted curve with it, readings to check in a ring, readings set aside crossed.
 *
 * @param flagged ids of the readings to check
 */
export function allRunsPlot(
  analysis: ExperimentAnalysis,
  flagged: ReadonlySet<string>,
  language: PageLanguage = 'en',
): { readonly plot: Plot; readonly readings: readonly PlottedReading[] } {
  const t = resultTexts[language].plots;
  const readings = analysis.experiment.runs.flatMap((run, i) => plottedOf(analysis, run, i, flagged));
  const series = analysis.experiment.runs.flatMap((run, i): Series[] => {
    const own = readings.filter((reading) => reading.run === i);
    const every = Math.ceil(own.length / mostMarks);
    const drawn = own.filter((reading, n) => reading.flagged || n % every === 0);
    const points = (aside: boolean): MarkedPoint[] =>
      drawn.filter((one) => one.aside === aside).map(({ x, y, flagged: mark }) => ({ x, y, flagged: mark }));
    return [
      { kind: 'line', name: run.label, run: i, endLabel: run.label, points: curveOf(analysis, i) },
      { kind: 'points', name: run.label, run: i, mark: 'run', points: points(false) },
      { kind: 'points', name: run.label, run: i, mark: 'aside', points: points(true) },
    ];
  });
  return {
    readings,
    plot: {
      language,
      title: t.all,
      description: t.allShow(analysis.runs.length, readings.filter((reading) => reading.flagged).length),
      xLabel: t.time,
      yLabel: t.gas,
      series,
      include: { x: [0], y: [0] },
      lowY: 0,
    },
  };
}

/** The first counted reading: where a run's clock and gas begin. */
function beginningOf(run: RunData): RunReading | undefined {
  const used = run.readings.filter(({ setAside }) => setAside === undefined);
  return (used.length > 0 ? used : [...run.readings]).sort((a, b) => a.timeS - b.timeS)[0];
}

/** Gas at the start of the plot, m3: what the curve says there, so that a misheard first reading moves only itself. */
function zeroM3(analysis: ExperimentAnalysis, index: number, first: RunReading): number {
  const result = analysis.runs[index];
  const shape = result?.ok ? (result.withoutFlags ?? result.used)?.shape : undefined;
  return shape ? volumeOn(shape, first.timeS) : first.volumeM3;
}

function plottedOf(
  analysis: ExperimentAnalysis,
  run: RunData,
  index: number,
  flagged: ReadonlySet<string>,
): PlottedReading[] {
  const first = beginningOf(run);
  if (!first) return [];
  const zero = zeroM3(analysis, index, first);
  return run.readings.map((reading) => ({
    run: index,
    id: reading.id ?? '',
    x: reading.timeS - first.timeS,
    y: (reading.volumeM3 - zero) * 1e6,
    aside: reading.setAside !== undefined,
    flagged: flagged.has(reading.id ?? ''),
  }));
}

function curveOf(analysis: ExperimentAnalysis, index: number): Point[] {
  const run = analysis.experiment.runs[index];
  const result = analysis.runs[index];
  const first = run && beginningOf(run);
  if (!run || !first || !result?.ok || !result.used) return [];
  const { shape } = result.used;
  const zero = zeroM3(analysis, index, first);
  const last = Math.max(...run.readings.map(({ timeS }) => timeS)) - first.timeS;
  return Array.from({ length: 61 }, (_, i) => {
    const x = (last * i) / 60;
    return { x, y: (volumeOn(shape, first.timeS + x) - zero) * 1e6 };
  });
}
