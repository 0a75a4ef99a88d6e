import { OutOfRange } from './errors.ts';

/**
 * Akaike's information criterion corrected for few readings, from a least-squares fit whose error size is unknown:
 * n ln(S/n) + 2K + 2K(K+1)/(n-K-1), K counting the error size too. The lower one fits better for what it spends; a
 * difference of 2 is weak, of 10 strong.
 *
 * @param n readings
 * @param parameters fitted, without the error size
 * @param sumOfSquares of the (weighted) residuals, >= 0
 * @returns Infinity when there are too few readings for so many parameters
 * Source: Hurvich and Tsai, Biometrika 76 (1989) 297.
 * @example
 * correctedAkaike(10, 2, 10) // => 10
 */
export function correctedAkaike(n: number, parameters: number, sumOfSquares: number): number {
  if (!(sumOfSquares >= 0)) throw new OutOfRange('A sum of squares cannot be negative.', `${sumOfSquares}`);
  const k = parameters + 1;
  if (n - k - 1 <= 0) return Number.POSITIVE_INFINITY;
  return n * Math.log(Math.max(sumOfSquares / n, Number.MIN_VALUE)) + 2 * k + (2 * k * (k + 1)) / (n - k - 1);
}

/**
 * Likelihoods of models relative to the best of them, from their criteria: exp((best - own)/2). Where there are too few
 * readings for any of them, they are all as likely.
 *
 * @param criteria finite, or Infinity; at least one
 * Source: Burnham and Anderson, Model Selection and Multimodel Inference, 2nd ed. 2002, section 2.8.
 * @example
 * relativeLikelihoods([10, 10, Infinity]) // => [1, 1, 0]
 */
export function relativeLikelihoods(criteria: readonly number[]): number[] {
  const best = Math.min(...criteria);
  return criteria.map((one) => (one === best ? 1 : Math.exp((best - one) / 2)));
}
