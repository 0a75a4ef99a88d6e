import { DegenerateData, OutOfRange, requireFinite, requireResult, requireSameLength } from './errors.ts';
import { fitLinear, type LinearFit } from './least-squares.ts';
import { nth } from './nth.ts';

export interface PolynomialFit extends LinearFit {
  /** Coefficient of x^0, x^1, … (of x^1, x^2, … when through the origin). */
  readonly coefficients: readonly number[];
}

export interface PolynomialOptions {
  readonly weights?: readonly number[];
  /** Leave out the constant: the curve is forced through (0, 0). */
  readonly throughOrigin?: boolean;
}

/**
 * Polynomial of given degree by least squares. The abscissae are centred on their mean and scaled to -1..1 for the
 * fit and the coefficients expanded back, so that neither the unit nor the zero of x matters.
 *
 * @param x any unit, more than `degree` different values
 * @param y same length
 * @param degree >= 0; 1 is a straight line
 * @throws DegenerateData when x has too few different values
 * Check: NIST StRD Pontius (degree 2) to 12 digits.
 * @example
 * fitPolynomial([0, 1, 2, 3], [1, 2, 5, 10], 2).coefficients.map((c) => Math.round(c * 1e9) / 1e9) // => [1, 0, 1]
 */
export function fitPolynomial(
  x: readonly number[],
  y: readonly number[],
  degree: number,
  options: PolynomialOptions = {},
): PolynomialFit {
  if (!Number.isInteger(degree) || degree < 0 || degree > 12) {
    throw new OutOfRange('The degree of a polynomial must be a whole number from 0 to 12.', String(degree));
  }
  requireSameLength(x, y, 'Abscissae and ordinates');
  requireFinite(x, 'The abscissae');
  const throughOrigin = options.throughOrigin ?? false;
  const lowest = throughOrigin ? 1 : 0;
  const centre = throughOrigin ? 0 : meanOf(x, options.weights);
  const scale = x.reduce((largest, value) => Math.max(largest, Math.abs(value - centre)), 0);
  if (degree >= 1 && !(scale > 0)) {
    throw new DegenerateData(
      throughOrigin ? 'All abscissae are zero.' : 'All abscissae are equal, so there is no slope to find.',
      `${x.length} readings`,
    );
  }
  const z = x.map((value) => (scale > 0 ? (value - centre) / scale : 0));
  const columns: number[][] = [];
  for (let power = lowest; power <= degree; power++) columns.push(z.map((value) => value ** power));
  const fit = fitLinear(columns, y, {
    ...(options.weights ? { weights: options.weights } : {}),
    hasIntercept: !throughOrigin,
  });

  // x^j coefficient of ((x - c)/s)^k: binomial(k, j) (-c)^(k-j) / s^k.
  const transform = columns.map((_, row) =>
    columns.map((__, column) => {
      const j = row + lowest;
      const k = column + lowest;
      return k < j ? 0 : (binomial(k, j) * (-centre) ** (k - j)) / (scale > 0 ? scale : 1) ** k;
    }),
  );
  const cofactor = sandwich(transform, fit.cofactor);
  const variance = fit.residualSd === null ? null : fit.residualSd ** 2;
  const covariance = variance === null ? null : cofactor.map((row) => row.map((value) => value * variance));
  const coefficients = transform.map((row) => row.reduce((sum, value, k) => sum + value * nth(fit.coefficients, k), 0));
  requireResult(...coefficients, ...cofactor.map((row, i) => nth(row, i) * (variance ?? 1)));
  return {
    ...fit,
    coefficients,
    cofactor,
    covariance,
    standardErrors: covariance === null ? null : covariance.map((row, i) => Math.sqrt(nth(row, i))),
  };
}

function meanOf(x: readonly number[], weights: readonly number[] | undefined): number {
  let total = 0;
  let sum = 0;
  for (let i = 0; i < x.length; i++) {
    const weight = weights?.[i] ?? 1;
    total += weight;
    sum += weight * nth(x, i);
  }
  return total > 0 ? sum / total : 0;
}

function binomial(n: number, k: number): number {
  let result = 1;
  for (let i = 1; i <= k; i++) result = (result * (n - k + i)) / i;
  return result;
}

/** T M T' */
function sandwich(t: readonly (readonly number[])[], m: readonly (readonly number[])[]): number[][] {
  const tm = t.map((row) => m.map((_, j) => row.reduce((sum, value, k) => sum + value * nth(nth(m, k), j), 0)));
  return tm.map((row) => t.map((other) => row.reduce((sum, value, k) => sum + value * nth(other, k), 0)));
}
