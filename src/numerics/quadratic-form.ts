import { nth } from './nth.ts';

/**
 * v' M v. With M the covariance of some quantities and v the derivatives of another by each of them, this is the
 * other's variance (GUM 5.2.2).
 *
 * @param matrix row by row, as many rows and columns as `v` has entries
 * @returns unit(v)^2 times unit(M)
 * @example
 * quadraticForm([[4, 1], [1, 9]], [1, -1]) // => 11
 */
export function quadraticForm(matrix: readonly (readonly number[])[], v: readonly number[]): number {
  let sum = 0;
  for (const [i, row] of matrix.entries()) for (const [j, c] of row.entries()) sum += nth(v, i) * nth(v, j) * c;
  return sum;
}
