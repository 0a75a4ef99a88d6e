import { nth } from './nth.ts';

/**
 * By what the variance of `gradient` . coefficients of a weighted least-squares fit grows because the variances behind
 * its weights are themselves estimates, each from few degrees of freedom: Kenward and Roger's adjusted covariance,
 * PHI + 2 LAMBDA, for observations that each have a variance of their own. There d2V is none and the sampling covariance of
 * the variances is diag(2 v^2/df), so that
 *
 *   PHI_A = PHI + 4 PHI (sum w_i (1 - h_i)/df_i x_i x_i') PHI,   h_i = w_i x_i' PHI x_i.
 *
 * For a weighted mean this is Meier's 1 + 4 sum s (1 - s)/df, s being the shares of the weights. An observation that the
 * fit must go through (h = 1) adds nothing. For one gradient their degrees of freedom are Satterthwaite's, and their scale
 * is 1.
 *
 * @param columns of the design, each with one number an observation
 * @param weights inverse variances
 * @param covariance PHI, inverse of the weighted normal matrix
 * @param degreesOfFreedom behind each variance; Infinity: known
 * @returns factor, >= 1; 1 for a gradient that has no variance
 * Sources: Kenward and Roger, Biometrics 53 (1997) 983; Meier, Biometrics 9 (1953) 59. Check: Meier's example and a
 * general computation with matrices, test/published/meier.test.ts. Cost: O(n p^2).
 * @example
 * // Two means of equal weight from 4 degrees of freedom each: 1 + 4 (2 x 0.25)/4
 * fewDegreesFactor([1], [[1, 1]], [1, 1], [[0.5]], [4, 4]) // => 1.5
 */
export function fewDegreesFactor(
  gradient: readonly number[],
  columns: readonly (readonly number[])[],
  weights: readonly number[],
  covariance: readonly (readonly number[])[],
  degreesOfFreedom: readonly number[],
): number {
  const project = (vector: readonly number[]): number[] => covariance.map((row) => inner(row, vector));
  const along = project(gradient);
  const variance = inner(gradient, along);
  if (!(variance > 0)) return 1;
  let more = 0;
  weights.forEach((weight, i) => {
    const df = nth(degreesOfFreedom, i);
    if (!Number.isFinite(df)) return;
    const x = columns.map((column) => nth(column, i));
    const leverage = Math.min(1, weight * inner(x, project(x)));
    more += (weight * (1 - leverage) * inner(x, along) ** 2) / Math.max(df, 1);
  });
  return 1 + (4 * more) / variance;
}

function inner(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  a.forEach((value, i) => {
    sum += value * nth(b, i);
  });
  return sum;
}
