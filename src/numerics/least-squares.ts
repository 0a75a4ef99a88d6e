import { DegenerateData, OutOfRange, requireFinite, requireResult, requireSameLength } from './errors.ts';
import { nth } from './nth.ts';
import { factorise } from './orthogonal.ts';

/** Result of a linear least-squares fit y = sum of coefficient_j * column_j. */
export interface LinearFit {
  /** unit(y)/unit(column j) */
  readonly coefficients: readonly number[];
  readonly fitted: readonly number[];
  /** y - fitted, unweighted. */
  readonly residuals: readonly number[];
  /** The weights used, 1 where none were given. */
  readonly weights: readonly number[];
  /** Sum of weight * residual^2: with weights 1/u^2 this is chi-square. */
  readonly sumOfSquares: number;
  /** Readings of weight > 0 minus unknowns. */
  readonly degreesOfFreedom: number;
  /** sqrt(sumOfSquares/degreesOfFreedom); null when no degree of freedom is left. */
  readonly residualSd: number | null;
  /** (X'WX)^-1: with weights 1/u^2 the a-priori covariance of the coefficients. */
  readonly cofactor: readonly (readonly number[])[];
  /** cofactor * residualSd^2: the covariance judged from the scatter; null when no degree of freedom is left. */
  readonly covariance: readonly (readonly number[])[] | null;
  /** Square roots of the diagonal of `covariance`. */
  readonly standardErrors: readonly number[] | null;
  /** Pull of each reading on its own fitted value, 0..1. */
  readonly leverages: readonly number[];
  /** Share of the squares (about the mean if `hasIntercept`, about zero if not) that is explained; null if y is constant. */
  readonly rSquared: number | null;
}

export interface LinearFitOptions {
  /** One per reading, >= 0, usually 1/u^2. Weight 0 leaves a reading out. Default all 1. */
  readonly weights?: readonly number[];
  /** Whether a constant is among the columns; decides what `rSquared` is measured from. Default false. */
  readonly hasIntercept?: boolean;
}

/**
 * Linear least squares by Householder QR on columns scaled to unit length, with one step of iterative refinement.
 * Nothing depends on the units of the columns.
 *
 * @param columns the design, column by column, each as long as y
 * @param y ordinates, length n >= number of columns
 * @throws DegenerateData when readings are fewer than unknowns, or the columns are not independent
 * @throws OutOfRange for numbers that are not finite, or a negative weight
 * Cost: O(n * columns^2).
 * Check: NIST StRD Norris, Pontius, NoInt1, NoInt2 in test/published/nist-linear.test.ts.
 * @example
 * fitLinear([[1, 1, 1], [0, 1, 2]], [1, 3, 5]).coefficients // => [1, 2]
 */
export function fitLinear(
  columns: readonly (readonly number[])[],
  y: readonly number[],
  options: LinearFitOptions = {},
): LinearFit {
  requireFinite(y, 'The ordinates');
  for (const column of columns) {
    requireSameLength(column, y, 'Abscissae and ordinates');
    requireFinite(column, 'The abscissae');
  }
  const n = y.length;
  const weights = options.weights ?? new Array<number>(n).fill(1);
  requireSameLength(weights, y, 'Weights and ordinates');
  requireFinite(weights, 'The weights');
  let used = 0;
  for (const weight of weights) {
    if (weight < 0) throw new OutOfRange('A weight cannot be negative.', String(weight));
    if (weight > 0) used += 1;
  }
  if (used < columns.length) {
    throw new DegenerateData('There are fewer readings than unknowns.', `${used} readings, ${columns.length} unknowns`);
  }

  const roots = weights.map(Math.sqrt);
  const factors = factorise(columns.map((column) => Float64Array.from(column, (value, i) => value * nth(roots, i))));
  const coefficients = Array.from(factors.solve(Float64Array.from(y, (value, i) => value * nth(roots, i))));
  // One refinement: the residuals carry the digits that the first solution lost.
  const first = residualsOf(columns, y, coefficients);
  const correction = factors.solve(Float64Array.from(first, (value, i) => value * nth(roots, i)));
  for (let j = 0; j < coefficients.length; j++) coefficients[j] = nth(coefficients, j) + nth(correction, j);

  const residuals = residualsOf(columns, y, coefficients);
  const sumOfSquares = residuals.reduce((sum, r, i) => sum + nth(weights, i) * r * r, 0);
  const degreesOfFreedom = used - columns.length;
  const variance = degreesOfFreedom > 0 ? sumOfSquares / degreesOfFreedom : null;
  const cofactor = factors.cofactor();
  requireResult(...coefficients, ...cofactor.map((row, i) => nth(row, i) * (variance ?? 1)), sumOfSquares);
  const covariance = variance === null ? null : cofactor.map((row) => row.map((value) => value * variance));
  return {
    coefficients,
    fitted: y.map((value, i) => value - nth(residuals, i)),
    residuals,
    weights,
    sumOfSquares,
    degreesOfFreedom,
    residualSd: variance === null ? null : Math.sqrt(variance),
    cofactor,
    covariance,
    standardErrors: covariance === null ? null : covariance.map((row, i) => Math.sqrt(nth(row, i))),
    leverages: factors.leverages(),
    rSquared: shareExplained(y, weights, sumOfSquares, options.hasIntercept ?? false),
  };
}

/**
 * y minus the sum of coefficient_j * column_j.
 * @example
 * residualsOf([[1, 1, 1], [0, 1, 2]], [1, 3, 6], [1, 2]) // => [0, 0, 1]
 */
export function residualsOf(
  columns: readonly (readonly number[])[],
  y: readonly number[],
  coefficients: readonly number[],
): number[] {
  return y.map((value, i) => {
    let rest = value;
    for (let j = 0; j < columns.length; j++) rest -= nth(nth(columns, j), i) * nth(coefficients, j);
    return rest;
  });
}

function shareExplained(
  y: readonly number[],
  weights: readonly number[],
  sumOfSquares: number,
  aboutMean: boolean,
): number | null {
  let total = 0;
  let sum = 0;
  for (let i = 0; i < y.length; i++) {
    total += nth(weights, i);
    sum += nth(weights, i) * nth(y, i);
  }
  const origin = aboutMean ? sum / total : 0;
  let squares = 0;
  for (let i = 0; i < y.length; i++) squares += nth(weights, i) * (nth(y, i) - origin) ** 2;
  return squares > 0 ? 1 - sumOfSquares / squares : null;
}
