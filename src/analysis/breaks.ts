import { fisherUpperTail } from '../numerics/distributions.ts';
import { last, nth } from '../numerics/nth.ts';
import { fitBasis } from './basis-fit.ts';
import { reactionClock } from './exponential-fit.ts';
import { type SmoothFit, type SmoothKind, smoothFit } from './robust-curve.ts';
import type { RunFrame } from './run-frame.ts';
import { statedDf } from './scatter.ts';

/** A way to account for a whole stretch of readings at once. */
export type Break =
  | {
      readonly kind: 'shift';
      /** First position that is off. */
      readonly from: number;
      /** What to add to it and all after it, frame units. */
      readonly add: number;
      readonly steps: number;
      readonly fit: SmoothFit;
    }
  | {
      readonly kind: 'hinge';
      /** Position of the reading at which the slope changes. */
      readonly at: number;
      /** Rate after over rate before, on the clock that leaves out the smooth slowing down. */
      readonly ratio: number;
      readonly sumOfSquares: number;
      readonly parameters: number;
    };

/**
 * Share of the run's 5 % that the breaks may use, after allowing for all places tried; less with the scatter alone to go
 * by, where readings wrongly set aside make what is left look too good.
 */
const breaksAlpha = (frame: RunFrame): number => (frame.stated ? 0.005 : 0.002);

/**
 * A missed or doubled mark: from some reading on, everything is one or two steps off. Each place and each of the four
 * shifts is tried with the smooth curve refitted; the best counts when it beats the unshifted curve in an F test (with
 * the stated variance pooled in as 8 degrees of freedom) at 0.5 % (0.2 %) over all tries, and when no other amount fits: the
 * best free shift at that place must be the whole step within 3 of its standard uncertainties.
 * At least two readings must lie on either side; a single one off is a misheard number.
 */
export function findShift(frame: RunFrame, kind: SmoothKind, step: number, whole: SmoothFit): Break | null {
  const n = frame.t.length;
  const everyone = frame.t.map(() => 1);
  let best: { from: number; steps: number; fit: SmoothFit } | null = null;
  const tried = 4 * (n - 3);
  for (let from = 2; from <= n - 2; from++) {
    if (!worthShifting(frame, whole, from, tried)) continue;
    for (const steps of [-2, -1, 1, 2]) {
      const moved = { ...frame, v: frame.v.map((v, i) => (i >= from ? v + steps * step : v)) };
      const fit = smoothFit(moved, kind, everyone, kind === 'curve' ? whole.kappa : undefined);
      if (fit && fit.sumOfSquares < (best?.fit.sumOfSquares ?? whole.sumOfSquares)) best = { from, steps, fit };
    }
  }
  if (!best) return null;
  const { from, steps, fit } = best;
  const p = improvement(frame, whole.sumOfSquares, fit.sumOfSquares, n - fit.parameters, 1);
  if (!(p * tried < breaksAlpha(frame))) return null;
  // Free amplitude at that place: what remains after the whole-step shift must be no more than noise.
  const rest = fitBasis([...fit.columns, frame.t.map((_, i) => (i >= from ? 1 : 0))], fit.residuals, fit.weights);
  if (!rest) return null;
  const scale = Math.sqrt(pooled(frame, rest.sumOfSquares, n - fit.parameters - 1));
  const amount = last(rest.coefficients);
  const uAmount = Math.sqrt(last(last(rest.covariance))) * scale;
  if (Math.abs(amount) > Math.max(3 * uAmount, 0.1 * step)) return null;
  return { kind: 'shift', from, add: steps * step, steps, fit };
}

/** A place is searched closely unless a free shift there, with the curve taken as linear, gains a hundred times too little. */
const margin = 100;

function worthShifting(frame: RunFrame, whole: SmoothFit, from: number, tried: number): boolean {
  const n = frame.t.length;
  const indicator = frame.t.map((_, i) => (i >= from ? 1 : 0));
  const free = fitBasis([...whole.columns, indicator], whole.residuals, whole.weights);
  if (!free) return true;
  const p = improvement(frame, whole.sumOfSquares, free.sumOfSquares, n - whole.parameters, 1);
  return p * tried < margin * breaksAlpha(frame);
}

/** Bends tried under a break: kappa of the reaction clock over the run. */
const bends = [0, 0.25, 0.5, 0.75, 1, 1.5, 2, 3];

/**
 * A break in the rate: on the clock of a reaction that slows down smoothly, s = (1 - exp(-kappa t))/kappa, a straight
 * line whose slope changes at one inner reading. All inner readings and a grid of bends are tried; the best counts when
 * it beats the smooth curve at 0.5 % (0.2 %) over all places (F test, stated variance pooled in). Three readings must lie on
 * either side.
 */
export function findHinge(frame: RunFrame, whole: SmoothFit): Break | null {
  const n = frame.t.length;
  const parameters = 4;
  if (n - parameters < 3) return null;
  const ones = frame.t.map(() => 1);
  // No break can gain more than all there is.
  const tried = n - 4;
  if (!(improvement(frame, whole.sumOfSquares, 0, n - parameters, 1) * tried < breaksAlpha(frame))) return null;
  let best: { at: number; sum: number; ratio: number } | null = null;
  for (let at = 2; at <= n - 3; at++) {
    for (const kappa of bends) {
      const clock = frame.t.map((t) => reactionClock(kappa, t));
      const hinge = clock.map((s) => Math.max(0, s - nth(clock, at)));
      const fit = fitBasis([ones, clock, hinge], frame.v, whole.weights);
      if (!fit || !(fit.sumOfSquares < (best?.sum ?? whole.sumOfSquares))) continue;
      const [, before = 0, change = 0] = fit.coefficients;
      best = { at, sum: fit.sumOfSquares, ratio: (before + change) / before };
    }
  }
  if (!best || !Number.isFinite(best.ratio)) return null;
  const p = improvement(frame, whole.sumOfSquares, best.sum, n - parameters, 1);
  if (!(p * tried < breaksAlpha(frame))) return null;
  return { kind: 'hinge', at: best.at, ratio: best.ratio, sumOfSquares: best.sum, parameters };
}

/**
 * A break against the curve to a known ceiling: with z = -ln(1 - made/ceiling) a first-order run is a straight line in
 * time, and a leak or another stirring changes its slope at one reading. Two parameters fewer than the free break, so
 * smaller losses show. It does not trust the ceiling blindly: a wrong ceiling or another order bends z smoothly, which
 * the free smooth curve then fits better; the break counts only where it beats that curve as well, by the price of
 * saying where it is.
 */
export function findCeilingHinge(frame: RunFrame, whole: SmoothFit): Break | null {
  const n = frame.t.length;
  const { ceiling, baseline } = frame;
  if (!ceiling || !baseline || n < 7) return null;
  const left = frame.v.map((v) => (baseline.value + ceiling.value - v) / ceiling.value);
  if (left.some((share) => !(share > 0.02))) return null;
  const z = left.map((share) => -Math.log(share));
  // dz = dV/(ceiling left): weights carried over.
  const weights = whole.weights.map((w, i) => w * (ceiling.value * nth(left, i)) ** 2);
  const ones = frame.t.map(() => 1);
  const straight = fitBasis([ones, frame.t], z, weights);
  if (!straight) return null;
  let best: { at: number; sum: number; ratio: number } | null = null;
  let tried = 0;
  for (let at = 2; at <= n - 3; at++) {
    tried++;
    const fit = fitBasis([ones, frame.t, frame.t.map((t) => Math.max(0, t - nth(frame.t, at)))], z, weights);
    if (!fit || !(fit.sumOfSquares < (best?.sum ?? straight.sumOfSquares))) continue;
    const [, before = 0, change = 0] = fit.coefficients;
    best = { at, sum: fit.sumOfSquares, ratio: (before + change) / before };
  }
  if (!best || !Number.isFinite(best.ratio)) return null;
  const p = improvement(frame, straight.sumOfSquares, best.sum, n - 3, 1);
  if (!(p * tried < breaksAlpha(frame))) return null;
  // Against the free curve, which has as many parameters: twice the log likelihood must gain 2 ln n.
  const prior = frame.stated ? statedDf : 0;
  const gain = (prior + n) * Math.log((prior + whole.sumOfSquares) / (prior + best.sum));
  return gain > 2 * Math.log(n)
    ? { kind: 'hinge', at: best.at, ratio: best.ratio, sumOfSquares: best.sum, parameters: 3 }
    : null;
}

/** Probability of so large a drop of the sum of squares by chance (F with 1 degree of freedom in the numerator). */
function improvement(frame: RunFrame, before: number, after: number, df: number, extra: number): number {
  const variance = pooled(frame, after, df);
  if (!(variance > 0)) return before > after ? 0 : 1;
  return fisherUpperTail((before - after) / extra / variance, extra, df + (frame.stated ? statedDf : 0));
}

/** Variance of unit weight, the stated one counting as 8 degrees of freedom. */
const pooled = (frame: RunFrame, sum: number, df: number): number =>
  frame.stated ? (statedDf + sum) / (statedDf + df) : Math.max(sum / df, frame.floor ** 2);
