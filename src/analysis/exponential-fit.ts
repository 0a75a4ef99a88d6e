import { item, last, nth, real } from '../numerics/nth.ts';
import { type BasisFit, fitBasis } from './basis-fit.ts';
import type { RunFrame } from './run-frame.ts';
import { effectiveWeights } from './weights.ts';

/** V = first - (asymptote - first) expm1(-kappa t), frame units. */
export interface Exponential {
  readonly first: number;
  readonly kappa: number;
  readonly asymptote: number;
  /** The linear fit at the solution, in the parameters first, (initial slope when the ceiling is free,) kappa. */
  readonly fit: BasisFit;
  /** The columns of that fit at every reading, those left out by a mask included. */
  readonly columns: readonly (readonly number[])[];
}

const maxIterations = 60;

/**
 * First-order approach to a known ceiling: two parameters, the volume at the first reading and kappa, by Gauss-Newton
 * with halved steps and effective-variance weights. Start: the straight line through ln(asymptote - V).
 * @param mask 0 leaves a reading out; its residual is given all the same
 * @returns null when it does not settle in 60 steps
 */
export function fitToCeiling(frame: RunFrame, asymptote: number, mask?: readonly number[]): Exponential | null {
  const logs = frame.v.map((v) => Math.log(Math.max(asymptote - v, 1e-9 * Math.abs(asymptote))));
  const ones = frame.t.map(() => 1);
  // ln(A - V) has variance s^2/(A - V)^2: weighted so, the start is nearly the answer.
  const start = fitBasis(
    [ones, frame.t],
    logs,
    masked(
      frame.v.map((v) => Math.max(asymptote - v, 1e-9) ** 2),
      mask,
    ),
  );
  if (!start) return null;
  let first = asymptote - Math.exp(nth(start.coefficients, 0));
  let kappa = -nth(start.coefficients, 1);
  const curve = (a: number, k: number): number[] => frame.t.map((t) => a - (asymptote - a) * Math.expm1(-k * t));
  const cost = (model: readonly number[], weights: readonly number[]): number => {
    let sum = 0;
    for (const [i, v] of model.entries()) sum += nth(weights, i) * (nth(frame.v, i) - v) ** 2;
    return sum;
  };
  let model = curve(first, kappa);
  for (let iteration = 0; iteration < maxIterations; iteration++) {
    const decay = frame.t.map((t) => Math.exp(-kappa * t));
    const slopes = decay.map((left) => kappa * (asymptote - first) * left);
    const weights = masked(effectiveWeights(frame, slopes), mask);
    const columns = [decay, frame.t.map((t) => t * (asymptote - first) * Math.exp(-kappa * t))];
    const fit = fitBasis(columns, differences(frame.v, model), weights);
    if (!fit) return null;
    const before = cost(model, weights);
    let step = 1;
    const [da = 0, dk = 0] = fit.coefficients;
    let next = curve(first + da, kappa + dk);
    while (step > 1e-6 && !(cost(next, weights) <= before * (1 + 1e-12))) {
      step /= 2;
      next = curve(first + step * da, kappa + step * dk);
    }
    first += step * da;
    kappa += step * dk;
    if (!Number.isFinite(first) || !Number.isFinite(kappa)) return null;
    if (Math.abs(da) < 1e-11 && Math.abs(dk) < 1e-11 * (1 + Math.abs(kappa))) {
      const residuals = differences(frame.v, next);
      return { first, kappa, asymptote, columns, fit: { ...fit, residuals, sumOfSquares: cost(next, weights) } };
    }
    // Rounding is reached: no smaller step can lower the sum.
    if (step <= 1e-6) {
      const residuals = differences(frame.v, model);
      return { first, kappa, asymptote, columns, fit: { ...fit, residuals, sumOfSquares: before } };
    }
    model = next;
  }
  return null;
}

const differences = (read: readonly number[], model: readonly number[]): number[] =>
  read.map((v, i) => v - (model[i] ?? Number.NaN));

const masked = (weights: readonly number[], mask?: readonly number[]): readonly number[] =>
  mask ? weights.map((w, i) => w * item(mask, i)) : weights;

/** (1 - exp(-kappa t))/kappa, which is t where kappa is 0: a line on the clock of the reaction. */
export function reactionClock(kappa: number, t: number): number {
  return Math.abs(kappa) < 1e-8 ? t * (1 - (kappa * t) / 2) : -Math.expm1(-kappa * t) / kappa;
}

/** d reactionClock / d kappa. */
export function reactionClockSlope(kappa: number, t: number): number {
  const x = kappa * t;
  if (Math.abs(x) < 1e-3) return t * t * (-1 / 2 + x / 3 - (x * x) / 8 + (x * x * x) / 30);
  return (t * Math.exp(-x) - reactionClock(kappa, t)) / kappa;
}

/**
 * First-order curve with its ceiling free: V = a + b (1 - exp(-kappa t))/kappa, three parameters. For each kappa the
 * rest is a straight line (variable projection, Golub and Pereyra 1973), so kappa is searched for in one dimension on
 * a grid and then polished by Gauss-Newton on all three. In this form nothing blows up as kappa goes to 0.
 * @param mask 0 leaves a reading out; its residual is given all the same
 * @param start kappa to start from, instead of the grid
 * @returns null when it does not settle
 */
export function fitFree(frame: RunFrame, mask?: readonly number[], start?: number): Exponential | null {
  const from = start ?? ofSome(frame, mask);
  return freeFrom(frame, mask, from) ?? (from === undefined ? null : freeFrom(frame, mask, undefined));
}

/** More readings than this are fitted from where some of them end. */
const manyReadings = 4000;

/** kappa of every so-manieth reading of very many; undefined where there are not so many, or it does not settle. */
function ofSome(frame: RunFrame, mask: readonly number[] | undefined): number | undefined {
  const every = Math.floor(frame.t.length / (manyReadings / 4));
  if (every < 4) return undefined;
  const thin = <T>(list: readonly T[]): readonly T[] => list.filter((_, i) => i % every === 0);
  const { t, v, ut, uv } = frame;
  const some = { ...frame, t: thin(t), v: thin(v), ut: thin(ut), uv: thin(uv) };
  return freeFrom(some, mask && thin(mask), undefined)?.kappa;
}

function freeFrom(frame: RunFrame, mask: readonly number[] | undefined, start: number | undefined): Exponential | null {
  const ones = frame.t.map(() => 1);
  let slopes: readonly number[] = frame.t.map(() => last(frame.v));
  let weights = masked(effectiveWeights(frame, slopes), mask);
  let kappa = start ?? kappaOnGrid(frame, weights);
  const lineAt = (k: number): LineOnClock | null => {
    const clock = frame.t.map((t) => reactionClock(k, t));
    const fit = fitBasis([ones, clock], frame.v, weights);
    return fit && { clock, fit };
  };
  let line = lineAt(kappa);
  for (let iteration = 0; iteration < maxIterations; iteration++) {
    if (!line) return null;
    const { clock, fit: straight } = line;
    const a = nth(straight.coefficients, 0);
    const b = nth(straight.coefficients, 1);
    slopes = frame.t.map((t) => b * Math.exp(-kappa * t));
    const columns = [ones, clock, frame.t.map((t) => b * reactionClockSlope(kappa, t))];
    const fit = fitBasis(columns, straight.residuals, weights);
    if (!fit) return null;
    const dk = nth(fit.coefficients, 2);
    let step = 1;
    let tried: LineOnClock | null = null;
    const still = Math.abs(dk) < 1e-10 * (1 + Math.abs(kappa));
    while (!still && step > 1e-6) {
      tried = lineAt(kappa + step * dk);
      if (tried && tried.fit.sumOfSquares <= straight.sumOfSquares * (1 + 1e-12)) break;
      step /= 2;
    }
    const settled = still || step <= 1e-6;
    if (!settled) kappa += step * dk;
    if (!Number.isFinite(kappa) || Math.abs(kappa) > 200) return null;
    if (settled && iteration > 1) {
      return {
        first: a,
        kappa,
        asymptote: a + b / kappa,
        columns,
        fit: {
          ...fit,
          coefficients: [a, b, kappa],
          residuals: straight.residuals,
          sumOfSquares: straight.sumOfSquares,
        },
      };
    }
    if (frame.stated) {
      weights = masked(effectiveWeights(frame, slopes), mask);
      line = lineAt(kappa);
    } else if (!settled) line = tried;
  }
  return null;
}

/** A straight line on the clock of one kappa. */
interface LineOnClock {
  readonly clock: readonly number[];
  readonly fit: BasisFit;
}

const grid: readonly number[] = (() => {
  const values: number[] = [];
  for (let kappa = -3; kappa <= 40; kappa += kappa < 4 ? 0.25 : 1.5) values.push(kappa);
  return values;
})();

/** Which readings the search for a start looks at, and the reaction clock at them, by kappa of the grid. */
interface Clocks {
  readonly at: readonly number[];
  readonly byKappa: readonly { readonly kappa: number; readonly clock: Float64Array }[];
}

/** The same moments are fitted over and over while the outliers of a run are looked for: those of the last run are kept. */
let lastClocks: { readonly t: readonly number[]; readonly clocks: Clocks } | null = null;

function clocksOf(t: readonly number[]): Clocks {
  if (lastClocks?.t === t) return lastClocks.clocks;
  // For a place to start from, some of very many readings will do.
  const every = Math.max(1, Math.floor(t.length / 300));
  const at = t.flatMap((_, i) => (i % every === 0 ? [i] : []));
  const moments = at.map((i) => nth(t, i));
  const clockOf = (kappa: number): Float64Array => Float64Array.from(moments, (moment) => reactionClock(kappa, moment));
  const clocks = { at, byKappa: grid.map((kappa) => ({ kappa, clock: clockOf(kappa) })) };
  lastClocks = { t, clocks };
  return clocks;
}

/** The kappa of the grid on whose clock the readings are nearest to a straight line. */
function kappaOnGrid(frame: RunFrame, weights: readonly number[]): number {
  const { at, byKappa } = clocksOf(frame.t);
  const volumes = Float64Array.from(at, (i) => nth(frame.v, i));
  const own = Float64Array.from(at, (i) => nth(weights, i));
  let best = { kappa: 0, sum: Number.POSITIVE_INFINITY };
  for (const { kappa, clock } of byKappa) {
    const sum = aboutLine(clock, volumes, own);
    if (sum < best.sum) best = { kappa, sum };
  }
  return best.kappa;
}

/** Weighted sum of squares about the straight line through v against `clock`, the two means taken out first. */
function aboutLine(clock: Float64Array, v: Float64Array, weights: Float64Array): number {
  let [total, meanX, meanY] = [0, 0, 0];
  for (let k = 0; k < clock.length; k++) {
    const w = real(weights, k);
    total += w;
    meanX += w * real(clock, k);
    meanY += w * real(v, k);
  }
  meanX /= total;
  meanY /= total;
  let [xx, xy, yy] = [0, 0, 0];
  for (let k = 0; k < clock.length; k++) {
    const w = real(weights, k);
    const x = real(clock, k) - meanX;
    const y = real(v, k) - meanY;
    xx += w * x * x;
    xy += w * x * y;
    yy += w * y * y;
  }
  return xx > 0 ? yy - (xy * xy) / xx : Number.POSITIVE_INFINITY;
}
