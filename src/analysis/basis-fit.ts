import { item, real } from '../numerics/nth.ts';

/**
 * A weighted fit, linear in its coefficients, with at most a handful of columns, made for loops that run
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

/** Columns that no fit gives out, kept for the next one: lists of a hundred thousand are dear to make and to clear away. */
const kept: Float64Array[] = [];

/** A column for at least `n` figures; what an earlier fit left in it is still there. */
function scratch(place: number, n: number): Float64Array {
  const found = kept[place];
  if (found && found.length >= n) return found;
  const made = new Float64Array(Math.max(n, 16));
  kept[place] = made;
  return made;
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
  const root = scratch(0, n);
  for (let i = 0; i < n; i++) root[i] = Math.sqrt(item(weights, i));
  /** Orthonormal columns, and how the given ones are made of them: upper triangular, column by column. */
  const q: Float64Array[] = [];
  const r: number[][] = [];
  for (const given of columns) {
    const column = product(given, root, n, scratch(2 + q.length, n));
    const before = Math.sqrt(innerOf(column, column, n));
    const parts = zeros(columns.length);
    for (let pass = 0; pass < 2; pass++) takeOut(q, column, n, parts);
    const length = Math.sqrt(innerOf(column, column, n));
    if (!(length > 1e-12 * before)) return null;
    for (let i = 0; i < n; i++) column[i] = real(column, i) / length;
    parts[q.length] = length;
    q.push(column);
    r.push(parts);
  }
  const rest = product(y, root, n, scratch(1, n));
  const qty = zeros(columns.length);
  for (let pass = 0; pass < 2; pass++) takeOut(q, rest, n, qty);
  const inverse = invertUpper(r);
  const coefficients: number[] = [];
  const covariance: number[][] = [];
  for (const row of inverse) {
    coefficients.push(inner(row, qty));
    const line: number[] = [];
    for (const other of inverse) line.push(inner(row, other));
    covariance.push(line);
  }
  const residuals = y.slice();
  let j = 0;
  for (const column of columns) {
    const factor = item(coefficients, j++);
    for (let i = 0; i < n; i++) residuals[i] = item(residuals, i) - factor * item(column, i);
  }
  return { coefficients, covariance, residuals, sumOfSquares: innerOf(rest, rest, n) };
}

function zeros(length: number): number[] {
  const list: number[] = [];
  for (let i = 0; i < length; i++) list.push(0);
  return list;
}

/** Writes the products of the first `n` figures into `result`. */
function product(a: readonly number[], b: Float64Array, n: number, result: Float64Array): Float64Array {
  for (let i = 0; i < n; i++) result[i] = item(a, i) * real(b, i);
  return result;
}

function inner(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += item(a, i) * item(b, i);
  return sum;
}

function innerOf(a: Float64Array, b: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += real(a, i) * real(b, i);
  return sum;
}

/** Takes the parts along unit vectors out of `column`, and adds their lengths to `parts`. */
function takeOut(units: readonly Float64Array[], column: Float64Array, n: number, parts: number[]): void {
  let k = 0;
  for (const unit of units) {
    const part = innerOf(unit, column, n);
    for (let i = 0; i < n; i++) column[i] = real(column, i) - part * real(unit, i);
    parts[k] = item(parts, k) + part;
    k++;
  }
}

/** Rows of the inverse of an upper triangular matrix that is given by its columns. */
function invertUpper(columns: readonly (readonly number[])[]): number[][] {
  const rows: number[][] = [];
  let j = 0;
  for (const column of columns) {
    const diagonal = item(column, j);
    // Row i of R^-1 times column j of R is 0 for i < j, and 1 for i = j.
    for (const row of rows) row[j] = -inner(row, column) / diagonal;
    const row = zeros(columns.length);
    row[j] = 1 / diagonal;
    rows.push(row);
    j++;
  }
  return rows;
}
