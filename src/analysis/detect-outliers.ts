import { studentUpperQuantile } from '../numerics/distributions.ts';
import { median } from '../numerics/median.ts';
import { nth } from '../numerics/nth.ts';
import { robustDistances, type SmoothFit, type SmoothKind, smoothFit } from './robust-curve.ts';
import type { RunFrame } from './run-frame.ts';
import { judgeScatter, statedDf } from './scatter.ts';

export interface Detected {
  /** Positions in the frame, most outlying first. */
  readonly outliers: readonly number[];
  /** The smooth curve through the others. */
  readonly fit: SmoothFit;
  /** Externally studentised residual at every position: against the curve without it when it is an outlier. */
  readonly studentised: readonly number[];
  /** Standard deviation of a new reading about the curve, frame units, at every position. */
  readonly spread: readonly number[];
}

/**
 * Probability that a clean run has any single reading flagged; breaks get the rest of 5 %. Where only the scatter is
 * known, the search for suspects makes it look smaller than it is: 1 % nominal gives 2 to 3 % in simulated runs. More would
 * cost what is left its honest uncertainty: the readings wrongly set aside are those that show the scatter.
 */
const pointsAlpha = { stated: 0.04, scatterAlone: 0.01 };

/**
 * Readings that a smooth curve through the others cannot explain, at a family-wise error below 5 % per run.
 *
 * For r = 1, 2, ... the r most suspicious (see `forwardSearch`; for one also the best single deletion) are left out, the
 * curve refitted by least squares, and each of the r judged by its externally studentised residual against that curve
 * (Cook and Weisberg 1982) with the t quantile at alpha/(2(n - r + 1)), the critical values of Rosner's generalised ESD
 * test (Technometrics 25 (1983) 165). Of the r whose members all exceed it while nobody left does, the answer is the one
 * with the best fit for its price (`fitForPrice`); so one wild reading is not spread over its neighbours, and a wilder one
 * cannot hide another. Stated uncertainties enter
 * the scale as 8 degrees of freedom (`judgeScatter`). At most a third of the readings can be outliers; more is a run that
 * is not smooth.
 *
 * @param whole the smooth curve through every reading
 * @returns null when no smooth curve can be fitted at all
 */
export function detectOutliers(
  frame: RunFrame,
  kind: SmoothKind,
  whole: SmoothFit | null = smoothFitOfAll(frame, kind),
): Detected | null {
  const n = frame.t.length;
  const everyone = frame.t.map(() => 1);
  if (!whole) return null;
  const all = studentise(frame, whole, everyone);
  if (frame.stated && unremarkable(whole, all.studentised))
    return { outliers: [], fit: whole, studentised: all.studentised, spread: all.spread };
  if (n > manyReadings) return detectAmongMany(frame, kind, whole.kappa);
  const most = Math.min(Math.floor(n / 3), n - whole.parameters - (frame.stated ? 1 : 2));
  const suspectsOf = forwardSearch(frame, kind, most);
  let masked: Detected | null = null;
  let clear: { answer: Detected; score: number } | null = null;
  const alpha = frame.stated ? pointsAlpha.stated : pointsAlpha.scatterAlone;
  for (let r = 1; r <= most; r++) {
    const tried = r === 1 ? [suspectsOf(1), [bestDeletion(frame, kind, whole)]] : [suspectsOf(r)];
    for (const suspects of tried) {
      const mask = [...everyone];
      for (const i of suspects) mask[i] = 0;
      const fit = smoothFit(frame, kind, mask);
      if (!fit) continue;
      const { studentised, spread, df } = studentise(frame, fit, mask);
      const critical = studentUpperQuantile(alpha / (2 * (n - r + 1)), df);
      if (!suspects.every((i) => Math.abs(nth(studentised, i)) > critical)) continue;
      const outliers = [...suspects].sort((x, y) => Math.abs(nth(studentised, y)) - Math.abs(nth(studentised, x)));
      const answer = { outliers, fit, studentised, spread };
      if (studentised.every((d, i) => mask[i] === 0 || Math.abs(d) <= critical)) {
        const score = fitForPrice(frame, fit.sumOfSquares, priceOf.outlier * r);
        if (!clear || score < clear.score) clear = { answer, score };
      } else if (!clear) masked = answer;
    }
  }
  return clear?.answer ?? masked ?? { outliers: [], fit: whole, studentised: all.studentised, spread: all.spread };
}

/**
 * Price of saying what happened in a run, in units of ln n (Schwarz 1978). An outlier costs 4: which of n readings, and
 * any value out of a range some n standard deviations wide; a shift 3: one of n places, four ways; a hinge 3: one of n
 * places, and one free slope; one bend more of the smooth curve 1.
 */
export const priceOf = { outlier: 4, shift: 3, hinge: 3, bend: 1 } as const;

/** Twice the negative logarithm of the likelihood, plus the price: the lower, the better an account of the run. */
export function fitForPrice(frame: RunFrame, sumOfSquares: number, price: number): number {
  const n = frame.t.length;
  const prior = frame.stated ? statedDf : 0;
  const variance = Math.max((prior + sumOfSquares) / (prior + n), frame.floor ** 2, 1e-30);
  return (prior + n) * Math.log(variance) + price * Math.log(n);
}

/** How many readings are left out in earnest, of those whose leaving out gains most. */
const fewDeletions = 3;

/**
 * The one reading without which a smooth curve fits the others best: with the curve taken as linear, leaving out reading i
 * lowers the sum of squares by w r^2/(1 - h) (Cook and Weisberg 1982, 2.2); the most promising are then refitted.
 */
function bestDeletion(frame: RunFrame, kind: SmoothKind, whole: SmoothFit): number {
  const gains = whole.residuals.map((r, i) => {
    const w = nth(whole.weights, i);
    return (w * r * r) / Math.max(1 - w * nth(whole.curveVariance, i), 1e-3);
  });
  const promising = gains.map((_, i) => i).sort((a, b) => nth(gains, b) - nth(gains, a));
  let best = { at: promising[0] ?? 0, sum: Number.POSITIVE_INFINITY };
  for (const at of promising.slice(0, fewDeletions)) {
    const fit = smoothFit(
      frame,
      kind,
      frame.t.map((_, i) => (i === at ? 0 : 1)),
    );
    if (fit && fit.sumOfSquares < best.sum) best = { at, sum: fit.sumOfSquares };
  }
  return best.at;
}

const manyReadings = 200;

/**
 * Hundreds of readings and more (a logger's file): those that the robust curve finds far off are left out, the curve
 * refitted, and every reading judged against it at once. Cost: O(n).
 */
function detectAmongMany(frame: RunFrame, kind: SmoothKind, kappaStart: number): Detected | null {
  const n = frame.t.length;
  const distances = robustDistances(frame, kind);
  // 0.6745: the 0.75 quantile of the normal, which makes the median of absolute values a standard deviation.
  const scale = median(distances) / 0.6745;
  const mask = distances.map((d) => (d <= 4 * scale ? 1 : 0));
  const fit = smoothFit(frame, kind, mask, kappaStart);
  if (!fit) return null;
  const { studentised, spread, df } = studentise(frame, fit, mask);
  const critical = studentUpperQuantile(pointsAlpha.stated / (2 * n), df);
  const outliers = studentised.flatMap((d, i) => (Math.abs(d) > critical ? [i] : []));
  return outliers.length > n / 3 ? { outliers: [], fit, studentised, spread } : { outliers, fit, studentised, spread };
}

/**
 * Who is suspect: from the half that the robust curve trusts most, readings are let in one by one, always the best
 * fitting set of one more, with the curve refitted each time (forward search, Atkinson and Riani 2000). The r that are
 * still outside when n - r are in are the r suspects.
 */
function forwardSearch(frame: RunFrame, kind: SmoothKind, most: number): (r: number) => readonly number[] {
  const n = frame.t.length;
  let distances = robustDistances(frame, kind);
  const ranked = (): number[] => distances.map((_, i) => i).sort((a, b) => nth(distances, a) - nth(distances, b));
  const outside = new Map<number, readonly number[]>();
  let order = ranked();
  const sizes: number[] = [];
  const basic = Math.min(n - most, Math.max(5, Math.floor((n + 4) / 2)));
  for (let size = basic; size <= n; size++) sizes.push(size);
  for (const size of sizes) {
    const mask = frame.t.map(() => 0);
    for (const i of order.slice(0, size)) mask[i] = 1;
    outside.set(n - size, order.slice(size));
    const fit = smoothFit(frame, kind, mask);
    if (!fit) continue;
    distances = fit.residuals.map(
      (r, i) => Math.abs(r) / Math.sqrt(1 / nth(fit.weights, i) + nth(fit.curveVariance, i)),
    );
    order = ranked();
  }
  return (r) => outside.get(r) ?? order.slice(n - r);
}

/** Where the stated uncertainties account for the scatter, nothing is hidden: outliers mask one another only by enlarging it. */
function unremarkable(whole: SmoothFit, studentised: readonly number[]): boolean {
  const df = whole.kept - whole.parameters;
  return df > 0 && whole.sumOfSquares < 1.3 * df && studentised.every((d) => Math.abs(d) < 2.5);
}

/** Smooth curve through every reading; a line where wild readings let no curve settle. */
export function smoothFitOfAll(frame: RunFrame, kind: SmoothKind): SmoothFit | null {
  const everyone = frame.t.map(() => 1);
  return smoothFit(frame, kind, everyone) ?? smoothFit(frame, 'line', everyone);
}

function studentise(
  frame: RunFrame,
  fit: SmoothFit,
  mask: readonly number[],
): { studentised: number[]; spread: number[]; df: number } {
  const scatter = judgeScatter(fit.sumOfSquares, fit.kept - fit.parameters, frame);
  const spread = frame.t.map((_, i) => {
    const own = 1 / nth(fit.weights, i);
    const curve = nth(fit.curveVariance, i);
    return scatter.scale * Math.sqrt(nth(mask, i) > 0 ? Math.max(own - curve, 1e-3 * own) : own + curve);
  });
  return {
    studentised: fit.residuals.map((r, i) =>
      nth(spread, i) > 0 ? r / nth(spread, i) : r === 0 ? 0 : Math.sign(r) * 1e9,
    ),
    spread: frame.t.map((_, i) => scatter.scale * Math.sqrt(1 / nth(fit.weights, i) + nth(fit.curveVariance, i))),
    df: scatter.df,
  };
}
