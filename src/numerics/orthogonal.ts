import { DegenerateData } from './errors.ts';

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
  const lengths = columns.map((column) => norm(column, 0));
  if (lengths.some((length) => !(length > 0))) {
    throw new DegenerateData('The data do not vary in one of the quantities to be fitted.', 'a column of zeros');
  }
  const q = columns.map((column, j) => column.map((value) => value / lengths[j]!));
  const diagonal = new Float64Array(p);
  for (let k = 0; k < p; k++) {
    const column = q[k]!;
    const length = norm(column, k);
    if (!(length > SAME_COLUMN)) {
      throw new DegenerateData('The data cannot tell two of the fitted quantities apart.', `column ${k}`);
    }
    const head = column[k]! > 0 ? -length : length;
    diagonal[k] = head;
    // Reflector v stored in place, scaled so that H = I - v v'/v_k.
    for (let i = k; i < n; i++) column[i] = -column[i]! / head;
    column[k] = column[k]! + 1;
    for (let j = k + 1; j < p; j++) reflect(column, k, q[j]!);
  }

  function solveTriangular(right: Float64Array): Float64Array {
    const x = new Float64Array(p);
    for (let i = p - 1; i >= 0; i--) {
      let sum = right[i]!;
      for (let j = i + 1; j < p; j++) sum -= q[j]![i]! * x[j]!;
      x[i] = sum / diagonal[i]!;
    }
    return x;
  }

  /** Rows of R^-1 (upper triangular, of the scaled columns). */
  function inverse(): Float64Array[] {
    const columnsOfInverse = Array.from({ length: p }, (_, k) => {
      const unit = new Float64Array(p);
      unit[k] = 1;
      return solveTriangular(unit);
    });
    return Array.from({ length: p }, (_, i) => Float64Array.from(columnsOfInverse, (column) => column[i]!));
  }

  return {
    solve(y) {
      const right = y.slice();
      for (let k = 0; k < p; k++) reflect(q[k]!, k, right);
      return solveTriangular(right).map((value, j) => value / lengths[j]!);
    },
    cofactor() {
      const rows = inverse();
      return rows.map((a, i) =>
        rows.map((b, j) => {
          let sum = 0;
          for (let k = Math.max(i, j); k < p; k++) sum += a[k]! * b[k]!;
          return sum / (lengths[i]! * lengths[j]!);
        }),
      );
    },
    leverages() {
      // Rows of Q = A R^-1.
      const rows = inverse();
      const result = new Array<number>(n).fill(0);
      for (let k = 0; k < p; k++) {
        for (let i = 0; i < n; i++) {
          let sum = 0;
          for (let j = 0; j <= k; j++) sum += (columns[j]![i]! / lengths[j]!) * rows[j]![k]!;
          result[i] = result[i]! + sum * sum;
        }
      }
      return result.map((value) => Math.min(1, value));
    },
  };
}

/** target -= v (v . target)/v_k over rows k and on. */
function reflect(v: Float64Array, k: number, target: Float64Array): void {
  let sum = 0;
  for (let i = k; i < v.length; i++) sum += v[i]! * target[i]!;
  sum /= v[k]!;
  for (let i = k; i < v.length; i++) target[i] = target[i]! - sum * v[i]!;
}

/** Euclidean length of the part from `from` on, safe against overflow. */
function norm(values: Float64Array, from: number): number {
  let largest = 0;
  for (let i = from; i < values.length; i++) largest = Math.max(largest, Math.abs(values[i]!));
  if (!(largest > 0)) return 0;
  let sum = 0;
  for (let i = from; i < values.length; i++) sum += (values[i]! / largest) ** 2;
  return largest * Math.sqrt(sum);
}
