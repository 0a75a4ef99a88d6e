import { normalCdf } from './distributions.ts';
import { nth } from './nth.ts';
import { incompleteBeta } from './special-functions.ts';

/** Residuals of one least-squares fit in order of time, and the columns that were fitted. */
export interface OrderedResiduals {
  readonly residuals: readonly number[];
  readonly columns: readonly (readonly number[])[];
}

/** Mean and variance of Durbin and Watson's d by chance. */
interface Moments {
  readonly d: number;
  readonly mean: number;
  readonly variance: number;
}

/**
 * Whether residuals follow one another by chance, or swing slowly about the curve: Durbin and Watson's d = sum of the
 * squared steps from one residual to the next over the sum of squares, averaged over several fits (each has its own size
 * of error). Its moments allow for the fitted columns exactly, so it holds for few points; its distribution is a beta
 * distribution on 0..4 with these moments.
 *
 * @param fits those with no more readings than columns, or no residuals, count for nothing
 * @returns mean d, and the probability of one as small by chance (1 where there is nothing to judge); both by fit as well
 * Source: Durbin and Watson, Biometrika 37 (1950) 409, 38 (1951) 159; for the beta distribution 58 (1971) 1. Check: the
 * bounds of their tables, and simulation, test/numerics/durbin-watson.test.ts. Cost: O(n p^2).
 * @example
 * const fit = { residuals: [1, 1, 1, 1, -1, -1, -1, -1], columns: [[1, 1, 1, 1, 1, 1, 1, 1]] };
 * durbinWatson([fit]).d // => 0.5
 */
export function durbinWatson(fits: readonly OrderedResiduals[]): {
  readonly d: number;
  readonly p: number;
  readonly each: readonly { readonly d: number; readonly p: number }[];
} {
  const moments = fits.map(momentsOf);
  const able = moments.filter((one) => one !== null);
  const share = 1 / able.length;
  const together = able.reduce<Moments>(
    (sum, { d, mean, variance }) => ({
      d: sum.d + d * share,
      mean: sum.mean + mean * share,
      variance: sum.variance + variance * share * share,
    }),
    { d: 0, mean: 0, variance: 0 },
  );
  return {
    ...judged(able.length > 0 ? together : null),
    each: moments.map(judged),
  };
}

function judged(moments: Moments | null): { d: number; p: number } {
  if (!moments) return { d: 2, p: 1 };
  const { d, mean, variance } = moments;
  const at = mean / 4;
  const both = (at * (1 - at)) / (variance / 16) - 1;
  // So many degrees of freedom make the beta distribution the normal one.
  if (both > 1e4) return { d, p: normalCdf((d - mean) / Math.sqrt(variance)) };
  const x = Math.min(Math.max(d / 4, 0), 1);
  return { d, p: both > 0 ? incompleteBeta(x, 1 - x, at * both, (1 - at) * both) : 1 };
}

/**
 * With A the matrix of squared steps and M = I - Q Q' that which makes residuals of errors, d = e'Ae/e'e has the mean
 * tr(MA)/f and the variance 2 (tr(MAMA) - tr(MA)^2/f)/(f (f + 2)) on f degrees of freedom.
 */
function momentsOf({ residuals, columns }: OrderedResiduals): Moments | null {
  const n = residuals.length;
  const q = orthonormal(columns);
  const f = n - q.length;
  const size = inner(residuals, residuals);
  // One degree of freedom leaves residuals of one shape only: their d is the same whatever was read.
  if (f < 2 || n < 3 || !(size > 0)) return null;
  const aq = q.map(stepsOf);
  let traceMA = 2 * (n - 1);
  let traceMAMA = 2 + 4 * (n - 2) + 2 * (n - 1);
  q.forEach((column, i) => {
    const image = nth(aq, i);
    traceMA -= inner(column, image);
    traceMAMA -= 2 * inner(image, image);
    for (const other of q) traceMAMA += inner(other, image) ** 2;
  });
  const variance = (2 * (traceMAMA - traceMA ** 2 / f)) / (f * (f + 2));
  if (!(variance > 0)) return null;
  return { d: inner(residuals, stepsOf(residuals)) / size, mean: traceMA / f, variance };
}

/** A times a vector: differences of the differences to both neighbours. */
const stepsOf = (v: readonly number[]): number[] =>
  v.map((value, i) => (i > 0 ? value - nth(v, i - 1) : 0) + (i < v.length - 1 ? value - nth(v, i + 1) : 0));

/** By Gram and Schmidt, twice; columns that depend on those before are left out. */
function orthonormal(columns: readonly (readonly number[])[]): number[][] {
  const q: number[][] = [];
  for (const column of columns) {
    const before = Math.sqrt(inner(column, column));
    let rest = [...column];
    for (let pass = 0; pass < 2; pass++)
      for (const unit of q) {
        const along = inner(unit, rest);
        rest = rest.map((value, i) => value - along * nth(unit, i));
      }
    const length = Math.sqrt(inner(rest, rest));
    if (length > 1e-10 * before) q.push(rest.map((value) => value / length));
  }
  return q;
}

function inner(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  a.forEach((value, i) => {
    sum += value * nth(b, i);
  });
  return sum;
}
