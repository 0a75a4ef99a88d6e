import { NumericsError, OutOfRange } from '../numerics/errors.ts';
import { fitRobust } from '../numerics/m-estimation.ts';
import { item, last, nth, real } from '../numerics/nth.ts';
import { fitTheilSen } from '../numerics/theil-sen.ts';
import { fitBasis } from './basis-fit.ts';
import { type Exponential, fitFree, fitToCeiling, reactionClock } from './exponential-fit.ts';
import type { RunFrame } from './run-frame.ts';
import { effectiveWeights } from './weights.ts';

/** What a smooth run may look like to the search for outliers. */
export type SmoothKind = 'curve' | 'ceiling' | 'line';

/** A smooth curve through the readings that `mask` keeps (1) and what it says of all of them. */
export interface SmoothFit {
  readonly kind: SmoothKind;
  readonly parameters: number;
  /** Reading minus curve, frame units, at every reading. */
  readonly residuals: readonly number[];
  /** Effective weights at every reading, whether kept or not. */
  readonly weights: readonly number[];
  /** x' Cov x: variance of the curve at each reading for weights that are inverse variances. */
  readonly curveVariance: readonly number[];
  readonly sumOfSquares: number;
  readonly kept: number;
  /** dV/dt of the curve at each reading, frame units. */
  readonly slopes: readonly number[];
  readonly kappa: number;
  readonly columns: readonly (readonly number[])[];
}

/**
 * Which smooth family the readings can carry: the free first-order curve (which includes lines and bends either way)
 * from six readings; below that the curve to a known ceiling, or a line.
 */
export function smoothKindOf(frame: RunFrame): SmoothKind {
  if (frame.t.length >= 6) return 'curve';
  return frame.ceiling && frame.baseline ? 'ceiling' : 'line';
}

/** Where the curve to a known ceiling ends, frame units. */
function heightOf({ baseline, ceiling }: RunFrame): number {
  if (!baseline || !ceiling) throw new OutOfRange('A curve to a ceiling needs the ceiling and the baseline.');
  return baseline.value + ceiling.value;
}

export function smoothFit(
  frame: RunFrame,
  kind: SmoothKind,
  mask: readonly number[],
  kappaStart?: number,
): SmoothFit | null {
  const kept = mask.reduce((sum, m) => sum + (m > 0 ? 1 : 0), 0);
  const fitted: Exponential | null =
    kind === 'curve'
      ? fitFree(frame, mask, kappaStart)
      : kind === 'ceiling'
        ? fitToCeiling(frame, heightOf(frame), mask)
        : lineAsExponential(frame, mask);
  if (!fitted) return null;
  const slope = nth(fitted.fit.coefficients, 1);
  const slopes =
    kind === 'line'
      ? frame.t.map(() => slope)
      : kind === 'curve'
        ? frame.t.map((t) => slope * Math.exp(-fitted.kappa * t))
        : frame.t.map((t) => fitted.kappa * (fitted.asymptote - fitted.first) * Math.exp(-fitted.kappa * t));
  const { columns, fit } = fitted;
  const curveVariance = varianceAlong(fit.covariance, columns);
  let sumOfSquares = 0;
  const weights = effectiveWeights(frame, slopes);
  for (const [i, keep] of mask.entries()) if (keep > 0) sumOfSquares += nth(weights, i) * nth(fit.residuals, i) ** 2;
  if (!Number.isFinite(sumOfSquares) || !curveVariance.every(Number.isFinite)) return null;
  return {
    kind,
    parameters: columns.length,
    residuals: fit.residuals,
    weights,
    curveVariance,
    sumOfSquares,
    kept,
    slopes,
    kappa: fitted.kappa,
    columns,
  };
}

/** x' Cov x at every reading. */
function varianceAlong(covariance: readonly (readonly number[])[], columns: readonly (readonly number[])[]): number[] {
  const sums = nth(columns, 0).map(() => 0);
  covariance.forEach((row, a) => {
    const one = nth(columns, a);
    row.forEach((c, b) => {
      const other = nth(columns, b);
      for (let i = 0; i < sums.length; i++) sums[i] = item(sums, i) + c * item(one, i) * item(other, i);
    });
  });
  return sums.map((sum) => Math.max(0, sum));
}

/**
 * Weighted sum of squares about the best smooth curve with one more parameter than the first-order one: the integrated
 * rate law of order 3/2, 2 or 3 in what is left, V = a + b (1 - (1 + (x - 1) kappa t)^(-1/(x - 1))), or a parabola on
 * the first-order clock (lower orders, warming, a slow start). Infinity below seven readings.
 * Cost: some 300 fits of two or three columns.
 */
export function smootherSumOfSquares(frame: RunFrame): number {
  const n = frame.t.length;
  if (n < 7) return Number.POSITIVE_INFINITY;
  const rise = nth(frame.v, n - 1);
  const weights = effectiveWeights(
    frame,
    frame.t.map(() => rise),
  );
  const ones = frame.t.map(() => 1);
  const about = (columns: readonly (readonly number[])[]): number =>
    fitBasis([ones, ...columns], frame.v, weights)?.sumOfSquares ?? Number.POSITIVE_INFINITY;
  const sums = [1.5, 2, 3].map((order) =>
    leastOver(0.05, 200, (kappa) =>
      about([frame.t.map((t) => 1 - (1 + (order - 1) * kappa * t) ** (-1 / (order - 1)))]),
    ),
  );
  const parabola = (kappa: number): number => {
    const clock = frame.t.map((t) => reactionClock(kappa, t));
    return about([clock, clock.map((s) => s * s)]);
  };
  return Math.min(...sums, parabola(0), leastOver(0.05, 20, parabola));
}

/** Least value of a function of one positive number: a grid of ratios of 1.5, then 20 golden sections about its best. */
function leastOver(from: number, to: number, of: (x: number) => number): number {
  let best = { x: from, value: of(from) };
  for (let x = from * 1.5; x < to; x *= 1.5) {
    const value = of(x);
    if (value < best.value) best = { x, value };
  }
  const golden = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [Math.log(best.x / 1.5), Math.log(best.x * 1.5)];
  for (let i = 0; i < 20; i++) {
    const [inner, outer] = [high - golden * (high - low), low + golden * (high - low)];
    if (of(Math.exp(inner)) < of(Math.exp(outer))) high = outer;
    else low = inner;
  }
  return Math.min(best.value, of(Math.exp((low + high) / 2)));
}

function lineAsExponential(frame: RunFrame, mask: readonly number[]): Exponential | null {
  const columns = [frame.t.map(() => 1), frame.t];
  const slope = last(frame.v) - nth(frame.v, 0);
  const weights = effectiveWeights(
    frame,
    frame.t.map(() => slope),
  ).map((w, i) => w * nth(mask, i));
  const fit = fitBasis(columns, frame.v, weights);
  return fit && { first: nth(fit.coefficients, 0), kappa: 0, asymptote: Number.POSITIVE_INFINITY, fit, columns };
}

const kappas = [0, 0.25, 0.5, 0.75, 1, 1.5, 2, 3, 4.5, 7, -0.25, -0.5, -1];

/**
 * High-breakdown start: the curve of the family through two readings (and a bend from a grid) for which the sum of the
 * h smallest squared residuals is least - least trimmed squares (Rousseeuw 1984) over elemental sets - so that up to
 * n - h wild readings, wherever they sit, cannot pull it.
 * A line, all that a few readings without a ceiling can carry, starts from Theil and Sen's slope instead, see
 * `robustLineDistances`.
 * @returns absolute standardised residuals of that curve, the smaller the more trustworthy
 * Cost: about 13 n^3/2; above `manyReadings` a thinned set proposes the curves.
 */
export function robustDistances(frame: RunFrame, kind: SmoothKind): number[] {
  const n = frame.t.length;
  const slope = nth(frame.v, n - 1) - nth(frame.v, 0);
  const root = effectiveWeights(
    frame,
    frame.t.map(() => slope),
  ).map(Math.sqrt);
  if (kind === 'line') return robustLineDistances(frame, root);
  const proposals = (n <= manyReadings ? frame.t.map((_, i) => i) : thinned(n, manyReadings)).map((i) => ({
    t: nth(frame.t, i),
    v: nth(frame.v, i),
    root: nth(root, i),
  }));
  const parameters = kind === 'curve' ? 3 : 2;
  const h = Math.min(proposals.length, Math.floor((proposals.length + parameters + 1) / 2));
  const asymptote = kind === 'ceiling' ? heightOf(frame) : 0;
  let best = Number.POSITIVE_INFINITY;
  let bestCurve: (t: number) => number = () => 0;
  const squares = new Float64Array(proposals.length);
  const consider = (curve: (t: number) => number, valueAt: (k: number) => number): void => {
    for (const [k, { v, root }] of proposals.entries()) squares[k] = ((v - valueAt(k)) * root) ** 2;
    const sum = smallest(squares, h);
    if (sum < best) {
      best = sum;
      bestCurve = curve;
    }
  };
  const clocks = kappas.map((kappa) => ({
    kappa,
    at: Float64Array.from(proposals, ({ t }) => reactionClock(kappa, t)),
  }));
  // With many readings neighbouring pairs add nothing: partners lie at least `apart` places away.
  const apart = proposals.length > 40 ? Math.floor(proposals.length / 8) : 1;
  for (const [a, first] of proposals.entries()) {
    for (let b = a + apart; b < proposals.length; b += apart) {
      const second = nth(proposals, b);
      if (kind === 'ceiling') {
        const left = Math.log(asymptote - first.v);
        const k = (left - Math.log(asymptote - second.v)) / (second.t - first.t);
        const curve = (t: number): number => asymptote - Math.exp(left - k * (t - first.t));
        if (Number.isFinite(k)) consider(curve, (at) => curve(nth(proposals, at).t));
        continue;
      }
      for (const { kappa, at } of clocks) {
        const from = real(at, a);
        const rise = (second.v - first.v) / (real(at, b) - from);
        if (Number.isFinite(rise))
          consider(
            (t) => first.v + rise * (reactionClock(kappa, t) - from),
            (k) => first.v + rise * (real(at, k) - from),
          );
      }
    }
  }
  return frame.t.map((t, i) => Math.abs((nth(frame.v, i) - bestCurve(t)) * nth(root, i)));
}

/**
 * The same for a straight line: Theil and Sen's, then M-estimation with the bisquare from there, whose scale is robust
 * too. Where that does not settle, Theil and Sen's line it is; where readings lie too far apart in size for any, none is
 * suspect.
 */
function robustLineDistances(frame: RunFrame, root: readonly number[]): number[] {
  const from = (intercept: number, slope: number): number[] =>
    frame.t.map((t, i) => Math.abs((nth(frame.v, i) - intercept - slope * t) * nth(root, i)));
  let distances = frame.t.map(() => 0);
  try {
    const { intercept, slope } = fitTheilSen(frame.t, frame.v);
    distances = from(intercept, slope);
    const { coefficients } = fitRobust([frame.t.map(() => 1), frame.t], frame.v, {
      influence: 'bisquare',
      start: [intercept, slope],
      weights: root.map((r) => r * r),
    });
    return from(nth(coefficients, 0), nth(coefficients, 1));
  } catch (error) {
    if (error instanceof NumericsError) return distances;
    throw error;
  }
}

const manyReadings = 60;

/** Sum of the `h` smallest values; `values` is left in another order. Few values: insertion is quicker than a sort. */
function smallest(values: Float64Array, h: number): number {
  if (values.length > 16) values.sort();
  else
    for (let i = 1; i < values.length; i++) {
      const value = real(values, i);
      let j = i - 1;
      for (; j >= 0 && real(values, j) > value; j--) values[j + 1] = real(values, j);
      values[j + 1] = value;
    }
  let sum = 0;
  for (let k = 0; k < h; k++) sum += real(values, k);
  return sum;
}

function thinned(n: number, count: number): number[] {
  return Array.from({ length: count }, (_, k) => Math.round((k * (n - 1)) / (count - 1)));
}
