import type { ExperimentAnalysis } from '../../analysis/analyse-experiment.ts';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import { Cause } from '../../log/event.ts';
import { nth } from '../../numerics/nth.ts';
import { curveMl, curvePlot } from '../../results/curve-plot.ts';
import type { Plot, Point, Series } from '../../results/plot-svg.ts';
import { local, pageLanguage } from '../texts.ts';
import { mlText } from './figures.ts';
import { ratesTexts as t } from './texts.ts';

/** The report's curve, and on it what speaks against it: flagged readings, suggested values, the rate without them. */
export function runPlot(analysis: ExperimentAnalysis, index: number): Plot {
  const plot = curvePlot(analysis, index, pageLanguage());
  const result = analysis.runs[index];
  if (!result?.ok || result.flags.length === 0) return plot;
  const { run, frame, flags, withoutFlags } = result;
  const at = (i: number, m3: number): Point => ({ x: nth(run.readings, i).timeS - frame.firstTimeS, y: m3 * 1e6 });
  const flagged: Series = {
    kind: 'points',
    name: 'flagged',
    mark: 'dot',
    points: flags.map(({ index: i }) => {
      const { volumeM3 } = nth(run.readings, i);
      return { ...at(i, volumeM3), label: local(`${mlText(volumeM3)}?`) };
    }),
  };
  const suggested: Series = {
    kind: 'points',
    name: 'suggested',
    mark: 'diamond',
    points: flags.flatMap(({ index: i, suggestedM3 }) => (suggestedM3 === undefined ? [] : [at(i, suggestedM3)])),
  };
  const without: Series[] = withoutFlags
    ? [
        {
          kind: 'line',
          name: 'with the flags dealt with',
          dashed: true,
          points: Array.from({ length: 61 }, (_, i) => {
            const x = (frame.timeScaleS * i) / 60;
            return { x, y: curveMl(withoutFlags.shape, frame.firstTimeS + x) };
          }),
        },
      ]
    : [];
  return {
    ...plot,
    description: `${plot.description} ${t().toCheckCount(flags.length)}.`,
    series: [...plot.series, ...without, flagged, suggested],
  };
}

/** Marks beyond this number lie on one another and only make the page slow. */
const mostMarks = 600;

/** The plot with every nth mark only, where there are very many. */
export function thinned(plot: Plot): { readonly plot: Plot; readonly every: number } {
  const most = plot.series.reduce((n, { kind, points }) => (kind === 'points' ? Math.max(n, points.length) : n), 0);
  const every = Math.ceil(most / mostMarks);
  if (every <= 1) return { plot, every: 1 };
  const series = plot.series.map(
    (one): Series =>
      one.kind === 'points' && one.points.length > mostMarks
        ? { ...one, points: one.points.filter((_, i) => i % every === 0) }
        : one,
  );
  return { plot: { ...plot, series }, every };
}

export interface ReadingRow {
  /** Since the first used reading. */
  readonly timeS: number;
  readonly volumeM3: number;
  readonly curveM3: number | null;
  readonly standing: string;
}

/** The readings of a run in order of time beside the curve that is used. */
export function residualsOf({ run, frame, used, flags }: RunAnalysis): ReadingRow[] {
  const flagged = new Set(flags.map(({ index }) => index));
  // The fit's own residuals: with a drifting temperature its curve runs on another clock than the readings.
  const residual = new Map(frame.index.map((reading, i) => [reading, used?.residualsM3[i] ?? null]));
  return run.readings
    .map((reading, i): ReadingRow => {
      const left = residual.get(i) ?? null;
      const onCurve = used && reading.setAside !== undefined ? curveMl(used.shape, reading.timeS) * 1e-6 : null;
      return {
        timeS: reading.timeS - frame.firstTimeS,
        volumeM3: reading.volumeM3,
        curveM3: left === null ? onCurve : reading.volumeM3 - left,
        standing:
          reading.setAside !== undefined
            ? t().columns.aside(asideText(reading.setAside))
            : flagged.has(i)
              ? t().columns.flagged
              : t().columns.used,
      };
    })
    .sort((a, b) => a.timeS - b.timeS);
}

/** A file from elsewhere may carry a cause that is not among the notebook's own; it is then shown as it stands. */
function asideText(cause: string): string {
  const known = Cause.safeParse(cause);
  return known.success ? t().causes[known.data] : cause;
}
