import type { LinearFit } from './least-squares.ts';
import { nth } from './nth.ts';
import { fitPolynomial } from './polynomial.ts';

/** Ordinary straight line y = intercept + slope x. */
export interface StraightLine {
  readonly slope: number;
  readonly intercept: number;
  /** Judged from the scatter; null with two readings. */
  readonly slopeError: number | null;
  readonly interceptError: number | null;
  /** Covariance of intercept and slope from the scatter. */
  readonly covariance: number | null;
  /** Everything else; coefficients in the order intercept, slope. */
  readonly fit: LinearFit;
}

/**
 * Ordinary (or weighted) least-squares line, errors in y alone.
 *
 * @param x at least two different values
 * @param y same length
 * @param weights 1/u(y)^2, default all equal
 * @throws DegenerateData when all x are equal or fewer than two readings are given
 * Check: NIST StRD Norris; GUM annex H.3.
 * @example
 * fitStraightLine([0, 10, 20], [14, 16, 18]).slope // => 0.2
 */
export function fitStraightLine(x: readonly number[], y: readonly number[], weights?: readonly number[]): StraightLine {
  const fit = fitPolynomial(x, y, 1, weights ? { weights } : {});
  return {
    slope: nth(fit.coefficients, 1),
    intercept: nth(fit.coefficients, 0),
    slopeError: fit.standardErrors?.[1] ?? null,
    interceptError: fit.standardErrors?.[0] ?? null,
    covariance: fit.covariance?.[0]?.[1] ?? null,
    fit,
  };
}
