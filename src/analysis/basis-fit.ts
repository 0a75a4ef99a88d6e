/**
 * A weighted straight-line-in-its-coefficients fit with at most a handful of columns, made for loops that run
 * thousands of times on eleven readings; `numerics/least-squares.ts` is the general one.
 */
export interface BasisFit {
  readonly coefficients: readonly number[];
  /** Inverse of the weighted normal matrix: covariance for weights that are inverse variances. */
  readonly covariance: readonly (readonly number[])[];
  readonly residuals: readonly number[];
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
  const root: number[] = [];
  for (let i = 0; i < n; i++) root.push(Math.sqrt(weights[i]!));
  const q: number[][] = [];
  const r: number[][] = [];
  for (let j = 0; j < p; j++) r.push(zeros(p));
  for (let j = 0; j < p; j++) {
    const given = columns[j]!;
    const column: number[] = [];
    for (let i = 0; i < n; i++) column.push(given[i]! * root[i]!);
    const before = Math.sqrt(inner(column, column));
    for (let pass = 0; pass < 2; pass++) for (let k = 0; k < j; k++) r[k]![j]! += takeOut(q[k]!, column);
    const length = Math.sqrt(inner(column, column));
    if (!(length > 1e-12 * before)) return null;
    r[j]![j] = length;
    for (let i = 0; i < n; i++) column[i]! /= length;
    q.push(column);
  }
  const rest: number[] = [];
  for (let i = 0; i < n; i++) rest.push(y[i]! * root[i]!);
  const qty = zeros(p);
  for (let pass = 0; pass < 2; pass++) for (let j = 0; j < p; j++) qty[j]! += takeOut(q[j]!, rest);
  const inverse = invertUpper(r);
  const coefficients = inverse.map((row) => inner(row, qty));
  const covariance = inverse.map((row) => inverse.map((other) => inner(row, other)));
  const residuals: number[] = [];
  for (let i = 0; i < n; i++) {
    let fitted = 0;
    for (let j = 0; j < p; j++) {
      fitted += coefficients[j]! * columns[j]![i]!;
    }
    residuals.push(y[i]! - fitted);
  }
  return { coefficients, covariance, residuals, sumOfSquares: inner(rest, rest) };
}

const zeros = (length: number): number[] => new Array<number>(length).fill(0);

function inner(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

/** Takes the part along a unit vector out of `column`; returns its length. */
function takeOut(unit: number[], column: number[]): number {
  let dot = 0;
  for (let i = 0; i < unit.length; i++) dot += unit[i]! * column[i]!;
  for (let i = 0; i < unit.length; i++) column[i]! -= dot * unit[i]!;
  return dot;
}

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
