import { DegenerateData, NonConvergence, requireFinite, requireResult, requireSameLength } from './errors.ts';
import { fitNonlinear } from './nonlinear-least-squares.ts';
import { entry, nth, real } from './nth.ts';

/**
 * Rise towards a ceiling from (0, 0): y = initialSlope (1 - exp(-rateConstant x))/rateConstant. Written with the slope at
 * x = 0 instead of the height of the ceiling, it passes smoothly through the straight line (rateConstant 0) to curves
 * that bend upwards (rateConstant < 0).
 */
export interface FirstOrderFit {
  /** 1/unit(x). Not above zero when the readings show no slowing down. */
  readonly rateConstant: number;
  /** unit(y)/unit(x) at x = 0. */
  readonly initialSlope: number;
  /** Height of the ceiling, initialSlope/rateConstant; null when the rate constant is not above zero. */
  readonly amplitude: number | null;
  /** Judged from the scatter; null when no degree of freedom is left. */
  readonly standardErrors: {
    readonly rateConstant: number;
    readonly initialSlope: number;
    readonly amplitude: number | null;
  } | null;
  /** (J'J)^-1 of initialSlope and rateConstant, in this order: a-priori with weights 1/u^2. */
  readonly cofactor: readonly (readonly number[])[];
  /** cofactor * residualSd^2 */
  readonly covariance: readonly (readonly number[])[] | null;
  /** y - fitted, unweighted. */
  readonly residuals: readonly number[];
  readonly sumOfSquares: number;
  readonly degreesOfFreedom: number;
  readonly residualSd: number | null;
  readonly iterations: number;
}

export interface FirstOrderOptions {
  /** One per reading, usually 1/u^2. Default all 1. */
  readonly weights?: readonly number[];
}

/** Range of rateConstant * largest x that is searched: from a strong upward bend to over before the first reading. */
const LOWEST = -6;
const HIGHEST = 200;

/**
 * Fits the first-order rise by variable projection: at a given rate constant the model is linear, so the sum of
 * squares is first surveyed over the rate constant alone (no start value needed), its least place closed in on, and
 * all parameters polished together by Gauss-Newton.
 *
 * @param x counted from the start of the rise, any unit
 * @param y same length, at least two different x beside 0
 * @throws DegenerateData when readings are too few or all equal
 * @throws NonConvergence when the least sum of squares lies outside any sensible bend
 * Source: Golub and Pereyra, SIAM J. Numer. Anal. 10 (1973) 413. Check: NIST StRD Misra1a.
 * @example
 * fitFirstOrder([0, 1, 2, 3], [0, 10 * (1 - Math.exp(-0.5)), 10 * (1 - Math.exp(-1)), 10 * (1 - Math.exp(-1.5))]).rateConstant // => 0.500
 */
export function fitFirstOrder(
  x: readonly number[],
  y: readonly number[],
  options: FirstOrderOptions = {},
): FirstOrderFit {
  requireSameLength(x, y, 'Abscissae and ordinates');
  requireFinite(x, 'The abscissae');
  requireFinite(y, 'The ordinates');
  const n = x.length;
  const parameters = 2;
  const weights = options.weights ?? new Array<number>(n).fill(1);
  requireSameLength(weights, y, 'Weights and ordinates');
  requireFinite(weights, 'The weights');
  const roots = weights.map((weight) => Math.sqrt(Math.max(0, weight)));
  const different = new Set(x.filter((value, i) => nth(weights, i) > 0 && value !== 0)).size;
  if (different < parameters) {
    throw new DegenerateData(
      'There are too few readings for a curve.',
      `${different} different, ${parameters} unknowns`,
    );
  }
  // Own sizes as units.
  const unitX = x.reduce((largest, value) => Math.max(largest, Math.abs(value)), 0);
  const unitY = y.reduce((largest, value) => Math.max(largest, Math.abs(value)), 0);
  if (!(unitY > 0)) throw new DegenerateData('All readings are zero; there is no rise to fit.');
  const heaviest = roots.reduce((largest, root) => Math.max(largest, root), 0);
  const t = Float64Array.from(x, (value) => value / unitX);
  const v = Float64Array.from(y, (value) => value / unitY);
  const w = Float64Array.from(roots, (root) => root / heaviest);

  const start = surveyed(t, v, w);
  const fit = fitNonlinear({
    start: [start.slope, start.rate],
    typicalSize: [1, 1],
    residuals: ([slope, rate]) =>
      Array.from(v, (value, i) => real(w, i) * (value - slope * real(t, i) * rise(rate * real(t, i)))),
    jacobian: ([slope, rate]) =>
      Array.from(t, (value, i) => {
        const u = rate * value;
        return [-real(w, i) * value * rise(u), -real(w, i) * slope * value * value * riseSlope(u)];
      }),
    tolerance: 1e-13,
  });

  const [slope, rate] = fit.parameters;
  const units = [unitY / unitX, 1 / unitX] as const;
  const cofactor = fit.cofactor.map((row, i) =>
    row.map((value, j) => (value * nth(units, i) * nth(units, j)) / (unitY * heaviest) ** 2),
  );
  const sumOfSquares = fit.sumOfSquares * (unitY * heaviest) ** 2;
  const degreesOfFreedom = weights.filter((weight) => weight > 0).length - parameters;
  const variance = degreesOfFreedom > 0 ? sumOfSquares / degreesOfFreedom : null;
  const covariance = variance === null ? null : cofactor.map((row) => row.map((value) => value * variance));
  const rateConstant = rate / unitX;
  const initialSlope = (slope * unitY) / unitX;
  requireResult(rateConstant, initialSlope, sumOfSquares, ...cofactor.map((row, i) => nth(row, i) * (variance ?? 1)));
  const amplitude = rateConstant > 0 ? initialSlope / rateConstant : null;
  return {
    rateConstant,
    initialSlope,
    amplitude,
    standardErrors:
      covariance === null
        ? null
        : {
            initialSlope: Math.sqrt(entry(covariance, 0, 0)),
            rateConstant: Math.sqrt(entry(covariance, 1, 1)),
            amplitude: amplitude === null ? null : amplitudeError(amplitude, rateConstant, covariance),
          },
    cofactor,
    covariance,
    residuals: Array.from(v, (value, i) => unitY * (value - slope * real(t, i) * rise(rate * real(t, i)))),
    sumOfSquares,
    degreesOfFreedom,
    residualSd: variance === null ? null : Math.sqrt(variance),
    iterations: fit.iterations,
  };
}

/**
 * (1 - exp(-u))/u, 1 at u = 0.
 * @example
 * rise(0.1) // => 0.95163
 */
export function rise(u: number): number {
  return u === 0 ? 1 : -Math.expm1(-u) / u;
}

/**
 * Derivative of `rise`: ((1 + u) exp(-u) - 1)/u^2, by its series where that would cancel.
 * @example
 * riseSlope(0) // => -0.5
 */
export function riseSlope(u: number): number {
  if (Math.abs(u) > 0.5) return ((1 + u) * Math.exp(-u) - 1) / (u * u);
  // sum over m >= 1 of (-1)^m m u^(m-1)/(m+1)!
  let power = -0.5;
  let sum = 0;
  for (let m = 1; m < 18; m++) {
    sum += m * power;
    power *= -u / (m + 2);
  }
  return sum;
}

/** Amplitude a = slope/rate: var(a) = (var(slope) + a^2 var(rate) - 2 a cov)/rate^2. */
function amplitudeError(amplitude: number, rate: number, covariance: readonly (readonly number[])[]): number {
  const variance =
    entry(covariance, 0, 0) + amplitude * amplitude * entry(covariance, 1, 1) - 2 * amplitude * entry(covariance, 0, 1);
  return Math.sqrt(Math.max(0, variance)) / rate;
}

interface Start {
  readonly slope: number;
  readonly rate: number;
}

/** Least sum of squares over the rate constant, the slope being solved for at each. */
function surveyed(t: Float64Array, v: Float64Array, w: Float64Array): Start {
  const at = (rate: number) => projected(t, v, w, rate);
  const steps = 80;
  // Even steps in asinh: fine about zero, wide far out.
  const rates = Array.from({ length: steps + 1 }, (_, i) => {
    const low = Math.asinh(LOWEST);
    return Math.sinh(low + ((Math.asinh(HIGHEST) - low) * i) / steps);
  });
  const found = rates.map((rate) => at(rate).squares);
  let best = 0;
  for (let i = 1; i <= steps; i++) if (nth(found, i) < nth(found, best)) best = i;
  if (best === steps) {
    throw new NonConvergence(
      'The curve levels off before the first reading, so its speed cannot be found.',
      'upper end',
    );
  }
  if (best === 0) {
    throw new NonConvergence('The readings speed up too strongly for a reaction that uses itself up.', 'lower end');
  }
  let low = nth(rates, best - 1);
  let high = nth(rates, best + 1);
  for (let i = 0; i < 60 && high - low > 1e-8; i++) {
    const a = low + 0.381966 * (high - low);
    const c = high - 0.381966 * (high - low);
    if (at(a).squares < at(c).squares) high = c;
    else low = a;
  }
  const rate = (low + high) / 2;
  const earliest = t.reduce((least, value, i) => (value > 0 && real(w, i) > 0 ? Math.min(least, value) : least), 1);
  if (rate * earliest > 25) {
    throw new NonConvergence('The curve levels off before the first reading, so its speed cannot be found.', 'flat');
  }
  return { slope: at(rate).slope, rate };
}

/** Weighted regression of v on phi(t) = t rise(rate t), through the origin, at one rate. */
function projected(t: Float64Array, v: Float64Array, w: Float64Array, rate: number) {
  const phi = new Float64Array(t.length);
  for (let i = 0; i < t.length; i++) phi[i] = real(t, i) * rise(rate * real(t, i));
  let top = 0;
  let bottom = 0;
  for (let i = 0; i < t.length; i++) {
    const weight = real(w, i) ** 2;
    top += weight * real(phi, i) * real(v, i);
    bottom += weight * real(phi, i) ** 2;
  }
  const slope = bottom > 0 ? top / bottom : 0;
  let squares = 0;
  for (let i = 0; i < t.length; i++) squares += (real(w, i) * (real(v, i) - slope * real(phi, i))) ** 2;
  return { slope, squares };
}
