import { studentUpperTail } from '../numerics/distributions.ts';
import { entry } from '../numerics/nth.ts';
import { fitBasis } from './basis-fit.ts';
import { aiccOf, makeEstimate, type RateEstimate } from './estimate.ts';
import { reactionClock } from './exponential-fit.ts';
import { type Refused, refuse } from './run-data.ts';
import type { RunFrame } from './run-frame.ts';
import { judgeScatter } from './scatter.ts';
import { effectiveWeights } from './weights.ts';

/**
 * Parabola through the readings: V = a + b (t - t1) + c (t - t1)^2, whose slope at the first reading is b. No
 * assumption about the chemistry; pays for it with four times the line's standard uncertainty: the slope at the end of a
 * parabola fitted to n evenly spaced points has variance 192 s^2/(n L^2) against 12 s^2/(n L^2) for a line (n large): 16 times
 * the variance, so four times the standard uncertainty.
 *
 * Weights are the inverse effective variances u_V^2 + (dV/dt)^2 u_t^2 at the fitted curve (Orear 1982), refitted until
 * they stand. Rate in m3/s, see `RateEstimate`.
 * @param gainU relative standard uncertainty of the scale: multiplies every slope, so it adds b gainU.
 */
export function quadraticRate(frame: RunFrame, gainU: number): RateEstimate | Refused {
  const n = frame.t.length;
  const distinct = new Set(frame.t).size;
  if (distinct < 3)
    return refuse(
      'too-few-readings',
      'A curve needs readings at three different times or more; a line is all there is.',
    );
  const ones = frame.t.map(() => 1);
  const squares = frame.t.map((t) => t * t);
  let slopes: readonly number[] = frame.t.map(() => 0);
  let fit = fitBasis([ones, frame.t], frame.v, effectiveWeights(frame, slopes));
  slopes = frame.t.map(() => fit?.coefficients[1] ?? 0);
  for (let pass = 0; pass < 4; pass++) {
    fit = fitBasis([ones, frame.t, squares], frame.v, effectiveWeights(frame, slopes));
    if (!fit) return refuse('no-spread', 'The times lie too close together for a curve.');
    if (!frame.stated) break;
    const [, b = 0, c = 0] = fit.coefficients;
    slopes = frame.t.map((t) => b + 2 * c * t);
  }
  if (!fit) return refuse('no-spread', 'The times lie too close together for a curve.');
  const [a = 0, b = 0, c = 0] = fit.coefficients;
  const scatter = judgeScatter(fit.sumOfSquares, n - 3, frame);
  const uc = Math.sqrt(entry(fit.covariance, 2, 2)) * scatter.scale;
  // A bend of less than 1e-9 of the span is rounding, however small the scatter.
  const t = !Number.isFinite(uc) || Math.abs(c) < 1e-9 ? 0 : uc > 0 ? c / uc : Math.sign(c) * 1e9;
  const uSlope = Math.sqrt(entry(fit.covariance, 1, 1));
  const missed = b * truncation(frame, effectiveWeights(frame, slopes), c / b, t);
  return makeEstimate(frame, {
    estimator: 'quadratic',
    at: 'first-reading',
    slope: b,
    uSlope,
    shapeError: Math.abs(missed) > uSlope * scatter.scale * negligible ? missed : 0,
    scatter,
    gain: b * gainU,
    baseline: 0,
    ceiling: 0,
    aicc: aiccOf(fit.sumOfSquares, n, 3),
    shape: {
      kind: 'polynomial',
      originS: frame.firstTimeS,
      coefficients: [
        frame.firstM3 + a * frame.volumeScaleM3,
        (b * frame.volumeScaleM3) / frame.timeScaleS,
        (c * frame.volumeScaleM3) / frame.timeScaleS ** 2,
      ],
    },
    residuals: fit.residuals,
    extra: { curvature: { t, p: 2 * studentUpperTail(Math.abs(t), scatter.df) } },
  });
}

/** A part of the uncertainty below this share of the readings' own is lost in it. */
const negligible = 1 / 3;

/**
 * By how much, relative, a parabola misses the slope at the first reading of a reaction that slows down exponentially and
 * bends as much as this one: the parabola through such a reaction is fitted at the same times, for the kappa that gives
 * the same c/b. An exponential's third derivative, kappa^2, is what a parabola leaves out, so the slope comes out low by
 * about kappa^2/10. Of the bend only what is beyond its own uncertainty counts (kappa^2 (1 - 1/t^2)): a straight run has
 * no such error. The order is not known, so this is no correction, but counts as a standard uncertainty.
 */
function truncation(frame: RunFrame, weights: readonly number[], bend: number, t: number): number {
  if (!Number.isFinite(bend) || !(Math.abs(t) > 1)) return 0;
  // Of very many readings some will do.
  const every = Math.max(1, Math.floor(frame.t.length / 300));
  const some = (list: readonly number[]): readonly number[] => list.filter((_, i) => i % every === 0);
  const times = some(frame.t);
  const basis = [times.map(() => 1), times, times.map((x) => x * x)];
  const own = some(weights);
  const parabolaThrough = (kappa: number): { slope: number; bend: number } => {
    const clock = times.map((x) => reactionClock(kappa, x));
    const [, b = 1, c = 0] = fitBasis(basis, clock, own)?.coefficients ?? [];
    return { slope: b, bend: c / b };
  };
  // c/b of an exponential falls steadily with kappa, from 1 at -2 to -0.7 at 6, where nothing is left at the end.
  let [low, high] = [-2, 6];
  for (let i = 0; i < 20; i++) {
    const middle = (low + high) / 2;
    if (parabolaThrough(middle).bend > bend) low = middle;
    else high = middle;
  }
  const kappa = ((low + high) / 2) * Math.sqrt(1 - 1 / t ** 2);
  return parabolaThrough(kappa).slope - 1;
}
