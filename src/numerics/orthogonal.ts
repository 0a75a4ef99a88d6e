import { DegenerateData } from './errors.ts';
import { nth, real } from './nth.ts';

/**
 * Householder QR of a tall matrix with its columns scaled to unit length, and what least squares needs of it.
 * Source: Golub and Van Loan, Matrix Computations, 5.2. Cost: O(rows x columns^2).
 */
export interface OrthogonalFactors {
  /** The coefficients that minimise |A c - y|. */
  solve(y: Float64Array): Float64Array;
  /** (A'A)^-1, columns x columns. */
  cofactor(): number[][];
  /** Diagonal of the hat matrix A (A'A)^-1 A': how much each row pulls its own fitted value, 0..1. */
  leverages(): number[];
}

/** Columns that differ by less than this, relative to their length, count as the same. */
const SAME_COLUMN = 1e-12;

/**
 * @param columns the matrix, column by column, all of the same length >= number of columns
 * @throws DegenerateData when the columns are not independent: the data cannot tell the coefficients apart
 * @example
 * factorise([Float64Array.of(1, 1, 1), Float64Array.of(0, 1, 2)]).solve(Float64Array.of(1, 3, 5)) // => Float64Array.of(1, 2)
 */
export function factorise(columns: readonly Float64Array[]): OrthogonalFactors {
  const n = columns[0]?.length ?? 0;
  const p = columns.length;
  if (p === 0 || n < p) {
    throw new DegenerateData('There are fewer readings than unknowns.', `${n} readings, ${p} unknowns`);
  }
  const lengths = Float64Array.from(columns, (column) => norm(column, 0));
  if (lengths.some((length) => !(length > 0))) {
    throw new DegenerateData('The data do not vary in one of the quantities to be fitted.', 'a column of zeros');
  }
  const q = columns.map((column, j) => column.map((value) => value / real(lengths, j)));
  const diagonal = new Float64Array(p);
  for (let k = 0; k < p; k++) {
    const column = nth(q, k);
    const length = norm(column, k);
    if (!(length > SAME_COLUMN)) {
      throw new DegenerateData('The data cannot tell two of the fitted quantities apart.', `column ${k}`);
    }
    const head = real(column, k) > 0 ? -length : length;
    diagonal[k] = head;
    // Reflector v stored in place, scaled so that H = I - v v'/v_k.
    for (let i = k; i < n; i++) column[i] = -real(column, i) / head;
    column[k] = real(column, k) + 1;
    for (let j = k + 1; j < p; j++) reflect(column, k, nth(q, j));
  }

  function solveTriangular(right: Float64Array): Float64Array {
    // Column by column: each unknown, once found, is taken out of the equations above it.
    const x = right.slice(0, p);
    for (let j = p - 1; j >= 0; j--) {
      const found = real(x, j) / real(diagonal, j);
      x[j] = found;
      const column = nth(q, j);
      for (let i = 0; i < j; i++) x[i] = real(x, i) - real(column, i) * found;
    }
    return x;
  }

  /** Columns of R^-1 (upper triangular, of the scaled columns). */
  function inverse(): Float64Array[] {
    return q.map((_, k) => {
      const unit = new Float64Array(p);
      unit[k] = 1;
      return solveTriangular(unit);
    });
  }

  return {
    solve(y) {
      const right = y.slice();
      for (const [k, column] of q.entries()) reflect(column, k, right);
      return solveTriangular(right).map((value, j) => value / real(lengths, j));
    },
    cofactor() {
      const sums = q.map(() => new Float64Array(p));
      for (const column of inverse()) {
        for (const [i, row] of sums.entries()) {
          const factor = real(column, i);
          for (let j = 0; j < p; j++) row[j] = real(row, j) + factor * real(column, j);
        }
      }
      return sums.map((row, i) => Array.from(row, (sum, j) => sum / (real(lengths, i) * real(lengths, j))));
    },
    leverages() {
      // Squares of the columns of Q = A R^-1.
      const squares = new Float64Array(n);
      for (const weights of inverse()) {
        const axis = new Float64Array(n);
        for (const [j, column] of columns.entries()) {
          const factor = real(weights, j) / real(lengths, j);
          for (let i = 0; i < n; i++) axis[i] = real(axis, i) + factor * real(column, i);
        }
        for (let i = 0; i < n; i++) squares[i] = real(squares, i) + real(axis, i) ** 2;
      }
      return Array.from(squares, (square) => Math.min(1, square));
    },
  };
}

/** target -= v (v . target)/v_k over rows k and on. */
function reflect(v: Float64Array, k: number, target: Float64Array): void {
  let sum = 0;
  for (let i = k; i < v.length; i++) sum += real(v, i) * real(target, i);
  sum /= real(v, k);
  for (let i = k; i < v.length; i++) target[i] = real(target, i) - sum * real(v, i);
}

/** Euclidean length of the part from `from` on, safe against overflow. */
function norm(values: Float64Array, from: number): number {
  let largest = 0;
  for (let i = from; i < values.length; i++) largest = Math.max(largest, Math.abs(real(values, i)));
  if (!(largest > 0)) return 0;
  let sum = 0;
  for (let i = from; i < values.length; i++) sum += (real(values, i) / largest) ** 2;
  return largest * Math.sqrt(sum);
}
