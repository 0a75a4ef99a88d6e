import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import { type Shape, volumeOn } from '../analysis/estimate.ts';
import type { RunModel } from '../analysis/verdict.ts';
import type { PageLanguage } from '../language/page-language.ts';
import { nth } from '../numerics/nth.ts';
import type { Plot, Point } from './plot-svg.ts';
import { speciesOf } from './rate-table.ts';
import { speciesText } from './species.ts';
import { resultTexts } from './texts.ts';
import { lagLabel, lagText } from './verdict-texts.ts';

/** Volume on a fitted curve, mL, at a time in the run's own seconds. */
export const curveMl = (shape: Shape, timeS: number): number => volumeOn(shape, timeS) * 1e6;

/** Readings and fitted curve of one run, time from the first reading; set-aside readings stay visible. */
export function curvePlot(analysis: ExperimentAnalysis, index: number, language: PageLanguage = 'en'): Plot {
  const t = resultTexts[language];
  const run = nth(analysis.experiment.runs, index);
  const result = nth(analysis.runs, index);
  const used = run.readings.filter((reading) => reading.setAside === undefined);
  const aside = run.readings.filter((reading) => reading.setAside !== undefined);
  const zero = Math.min(...used.map((reading) => reading.timeS));
  const origin = Number.isFinite(zero) ? zero : (run.readings[0]?.timeS ?? 0);
  const at = (reading: { timeS: number; volumeM3: number }): Point => ({
    x: reading.timeS - origin,
    y: reading.volumeM3 * 1e6,
  });
  const points = used.map(at);
  const lag = result.ok ? lagText(result.model, language) : null;
  const held =
    result.ok && result.model?.lag && lag ? bandOf(result.model, result.model.lag.seconds, origin, language) : null;
  const curve: Point[] = [];
  if (result.ok && result.used && points.length > 1) {
    const { shape } = result.used;
    const last = points.reduce((most, { x }) => Math.max(most, x), 0);
    const from = Math.min(0, held?.from ?? 0);
    for (let i = 0; i <= 60; i++) {
      const x = from + ((last - from) * i) / 60;
      curve.push({ x, y: curveMl(shape, origin + x) });
    }
  }
  const how = result.ok && result.used ? t.estimators[result.used.estimator] : t.plots.noCurve;
  return {
    language,
    title: t.plots.run(run.label),
    description: [t.plots.curve(run.label, used.length, aside.length, how), ...(lag ? [lag] : [])].join(' '),
    xLabel: t.plots.time,
    yLabel: t.plots.cylinder,
    series: [
      ...(curve.length > 0 ? [{ kind: 'line' as const, name: how, points: curve }] : []),
      { kind: 'points', name: 'used', mark: 'dot', points },
      { kind: 'points', name: 'set aside', mark: 'aside', points: aside.map(at) },
    ],
    ...(held ? { band: held } : {}),
  };
}

/** From mixing, for as long as the gas was held back. */
const bandOf = (
  model: RunModel,
  seconds: number,
  origin: number,
  language: PageLanguage,
): NonNullable<Plot['band']> => ({
  from: model.mixedS - origin,
  to: model.mixedS - origin + seconds,
  label: lagLabel(seconds, language),
});

/** What is left between readings and curve, in mL, with the reading's uncertainty as a bar. */
export function residualPlot(analysis: ExperimentAnalysis, index: number, language: PageLanguage = 'en'): Plot | null {
  const t = resultTexts[language].plots;
  const run = nth(analysis.experiment.runs, index);
  const result = nth(analysis.runs, index);
  if (!result.ok || !result.used) return null;
  const { frame, used } = result;
  const points = frame.index.map((reading, i) => ({
    x: nth(run.readings, reading).timeS - frame.firstTimeS,
    y: (used.residualsM3[i] ?? Number.NaN) * 1e6,
    half: nth(run.readings, reading).uVolumeM3 * 1e6,
  }));
  return {
    language,
    title: t.residuals(run.label),
    description: t.residualsShow(run.label),
    xLabel: t.time,
    yLabel: t.residual,
    series: [{ kind: 'points', name: 'residual', mark: 'dot', points }],
    include: { y: [0] },
    height: 180,
  };
}

/**
 * Logarithm of the starting rate against that of one concentration, divided by the other concentrations at the
 * accepted orders, with the line of the accepted order. Null where the law or the order is not known.
 */
export function orderPlot(analysis: ExperimentAnalysis, species: string, language: PageLanguage = 'en'): Plot | null {
  const t = resultTexts[language].plots;
  const { law } = analysis;
  const accepted = law.ok ? law.accepted : null;
  if (!law.ok || !accepted || !(species in law.orders)) return null;
  const order = accepted.orders[species];
  if (order === undefined) return null;
  const points = law.used.map((row) => {
    let rate = row.rate;
    for (const [other, power] of Object.entries(accepted.orders))
      if (other !== species) rate /= (row.concentrations[other]?.value ?? Number.NaN) ** power;
    return {
      x: Math.log10(row.concentrations[species]?.value ?? Number.NaN),
      y: Math.log10(rate),
      half: row.uRate === null ? 0 : row.uRate / row.rate / Math.LN10,
      label: row.label,
    };
  });
  const xs = points.map(({ x }) => x);
  const ends = [Math.min(...xs), Math.max(...xs)];
  const line = ends.map((x) => ({ x, y: Math.log10(accepted.k) + order * x }));
  const others = speciesOf(analysis).filter((name) => name !== species && (accepted.orders[name] ?? 0) !== 0);
  const divided = others.length > 0 ? t.divided(others.map(speciesText).join(', ')) : '';
  const name = speciesText(species);
  return {
    language,
    title: t.order(name),
    description: t.orderShows(name, order),
    xLabel: t.logConcentration(name),
    yLabel: `${t.logRate}${divided}`,
    series: [
      { kind: 'line', name: `order ${order}`, points: line },
      { kind: 'points', name: 'runs', mark: 'dot', points },
    ],
  };
}
