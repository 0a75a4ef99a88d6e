/**
 * A weighted straight-line-in-its-coefficients fit with at most a handful of columns, made for loops that run
 * thousands of times on eleven readings; `numerics/least-squares.ts` is the general one.
 */
export interface BasisFit {
  readonly coefficients: readonly number[];
  /** Inverse of the weighted normal matrix: covariance for weights that are inverse variances. */
  readonly covariance: readonly (readonly number[])[];
  readonly residuals: readonly number[];
  /** Diagonal of the hat matrix of the weighted problem, 0..1. */
  readonly leverage: readonly number[];
  /** Weighted. */
  readonly sumOfSquares: number;
}

/**
 * Least squares of `y` on `columns` with `weights` (inverse variances; zero leaves a point out) by modified
 * Gram-Schmidt, orthogonalised twice (Björck 1967; "twice is enough", Kahan in Parlett 1980).
 * @returns null when the columns are linearly dependent to rounding. Cost: O(n p^2).
 */
export function fitBasis(
  columns: readonly (readonly number[])[],
  y: readonly number[],
  weights: readonly number[],
): BasisFit | null {
  const n = y.length;
  const p = columns.length;
  const root = weights.map(Math.sqrt);
  const q: number[][] = [];
  const r: number[][] = columns.map(() => new Array<number>(p).fill(0));
  for (let j = 0; j < p; j++) {
    const column = columns[j]!.map((x, i) => x * root[i]!);
    const before = norm(column);
    for (let pass = 0; pass < 2; pass++) {
      for (let k = 0; k < j; k++) {
        const dot = inner(q[k]!, column);
        r[k]![j]! += dot;
        for (let i = 0; i < n; i++) column[i]! -= dot * q[k]![i]!;
      }
    }
    const length = norm(column);
    if (!(length > 1e-12 * before)) return null;
    r[j]![j] = length;
    for (let i = 0; i < n; i++) column[i]! /= length;
    q.push(column);
  }
  const wy = y.map((value, i) => value * root[i]!);
  const rest = [...wy];
  const qty = new Array<number>(p).fill(0);
  for (let pass = 0; pass < 2; pass++) {
    for (let j = 0; j < p; j++) {
      const dot = inner(q[j]!, rest);
      qty[j]! += dot;
      for (let i = 0; i < n; i++) rest[i]! -= dot * q[j]![i]!;
    }
  }
  const inverse = invertUpper(r);
  const coefficients = inverse.map((row) => inner(row, qty));
  const covariance = inverse.map((row) => inverse.map((other) => inner(row, other)));
  const residuals = y.map((value, i) => {
    let fitted = 0;
    for (let j = 0; j < p; j++) fitted += coefficients[j]! * columns[j]![i]!;
    return value - fitted;
  });
  let sumOfSquares = 0;
  for (const value of rest) sumOfSquares += value * value;
  const leverage = y.map((_, i) => {
    let sum = 0;
    for (let j = 0; j < p; j++) sum += q[j]![i]! ** 2;
    return Math.min(sum, 1);
  });
  return { coefficients, covariance, residuals, leverage, sumOfSquares };
}

function inner(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

const norm = (a: readonly number[]): number => Math.sqrt(inner(a, a));

function invertUpper(r: readonly (readonly number[])[]): number[][] {
  const p = r.length;
  const inverse = r.map(() => new Array<number>(p).fill(0));
  for (let j = 0; j < p; j++) {
    inverse[j]![j] = 1 / r[j]![j]!;
    for (let i = j - 1; i >= 0; i--) {
      let sum = 0;
      for (let k = i + 1; k <= j; k++) sum += r[i]![k]! * inverse[k]![j]!;
      inverse[i]![j] = -sum / r[i]![i]!;
    }
  }
  return inverse;
}
