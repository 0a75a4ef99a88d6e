import { DegenerateData, NonConvergence, OutOfRange } from './errors.ts';
import { fitLinear, residualsOf } from './least-squares.ts';
import { median } from './median.ts';
import { nth } from './nth.ts';

/**
 * 0.75 quantile of the normal distribution, which makes the median size of normal residuals their standard deviation.
 * To four digits, as Venables and Ripley have it, so that their printed fits are reproduced digit by digit.
 */
const MAD_CONSISTENCY = 0.6745;

export interface RobustFit {
  readonly coefficients: readonly number[];
  /** Asymptotic standard errors (Huber 1981, 7.6); null when no degree of freedom is left or the scale is zero. */
  readonly standardErrors: readonly number[] | null;
  /** Robust standard deviation of the residuals: their median size / 0.6745. */
  readonly scale: number;
  readonly residuals: readonly number[];
  /** 1 for a reading taken whole, towards 0 for one that is far off. */
  readonly weights: readonly number[];
  readonly iterations: number;
}

export interface RobustFitOptions {
  /** How far readings lose their pull: Huber bounds it, the bisquare takes it away altogether. Default 'huber'. */
  readonly influence?: 'huber' | 'bisquare';
  /** Bend in units of the scale; default 1.345 (Huber) and 4.685 (bisquare): 95 % efficiency with normal errors. */
  readonly tuning?: number;
  /** First coefficients; default ordinary least squares. The bisquare needs a robust start when outliers are many. */
  readonly start?: readonly number[];
  /** Prior weights of the readings (1/u^2 up to a factor), default 1. Residuals are judged as sqrt(weight) * residual. */
  readonly weights?: readonly number[];
  /** Stops when the residuals change by less than this, relative to their length. Default 1e-10. */
  readonly tolerance?: number;
  readonly maxIterations?: number;
}

/**
 * M-estimation of a linear model by iteratively reweighted least squares with a robust scale renewed at every step.
 *
 * @param columns the design, column by column, each as long as y
 * @param y ordinates, more than columns
 * @throws DegenerateData as fitLinear; NonConvergence after 1000 iterations
 * Source: Huber, Robust Statistics (1981); Venables and Ripley, MASS, 4th ed., 6.5, whose rules for scale and standard
 * errors are followed. Check: phones and stack loss, test/published/robust-lines.test.ts.
 * @example
 * fitRobust([[1, 1, 1, 1, 1], [0, 1, 2, 3, 4]], [0, 1, 2, 3, 9], { influence: 'bisquare', start: [0, 1] }).coefficients // => [0, 1]
 */
export function fitRobust(
  columns: readonly (readonly number[])[],
  y: readonly number[],
  options: RobustFitOptions = {},
): RobustFit {
  const influence = options.influence ?? 'huber';
  const tuning = options.tuning ?? (influence === 'huber' ? 1.345 : 4.685);
  if (!(tuning > 0)) throw new OutOfRange('The tuning constant must be above zero.', `${tuning}`);
  const tolerance = options.tolerance ?? 1e-10;
  const maxIterations = options.maxIterations ?? 1000;
  const prior = options.weights ?? new Array<number>(y.length).fill(1);
  const first = fitLinear(columns, y, { weights: prior });
  const used = prior.filter((weight) => weight > 0).length;
  const n = y.length;

  let coefficients = options.start ?? first.coefficients;
  let residuals = options.start ? residualsOf(columns, y, options.start) : first.residuals;
  const standard = (list: readonly number[]) => list.map((r, i) => r * Math.sqrt(nth(prior, i)));
  let scale = robustScale(standard(residuals), prior);
  // Below this the residuals are rounding noise: the line passes through more than half of the readings.
  const noise =
    1e-13 * y.reduce((largest, value, i) => Math.max(largest, Math.abs(value) * Math.sqrt(nth(prior, i))), 0);

  for (let iteration = 1; iteration <= maxIterations; iteration++) {
    if (scale <= noise) {
      const weights = standard(residuals).map((r) => (Math.abs(r) <= 10 * noise ? 1 : 0));
      return { coefficients, standardErrors: null, scale: 0, residuals, weights, iterations: iteration - 1 };
    }
    const weights = standard(residuals).map((r) => weightOf(r / scale, influence, tuning));
    const fit = refit(columns, y, prior, weights);
    let change = 0;
    let length = 0;
    for (let i = 0; i < n; i++) {
      change += nth(prior, i) * (nth(fit.residuals, i) - nth(residuals, i)) ** 2;
      length += nth(prior, i) * nth(residuals, i) ** 2;
    }
    coefficients = fit.coefficients;
    residuals = fit.residuals;
    if (Math.sqrt(change / Math.max(length, 1e-300)) <= tolerance) {
      return {
        coefficients,
        standardErrors: standardErrors(standard(residuals), prior, scale, influence, tuning, first.cofactor, used),
        scale,
        residuals,
        weights: standard(residuals).map((r) => weightOf(r / scale, influence, tuning)),
        iterations: iteration,
      };
    }
    scale = robustScale(standard(residuals), prior);
  }
  throw new NonConvergence('The search for readings that are far off did not settle.', `${maxIterations} iterations`);
}

function refit(
  columns: readonly (readonly number[])[],
  y: readonly number[],
  prior: readonly number[],
  weights: readonly number[],
) {
  try {
    return fitLinear(columns, y, { weights: prior.map((weight, i) => weight * nth(weights, i)) });
  } catch (error) {
    if (error instanceof DegenerateData) {
      throw new DegenerateData('Too many readings are far off for a line through the rest.', error.message);
    }
    throw error;
  }
}

function robustScale(residuals: readonly number[], prior: readonly number[]): number {
  return median(residuals.filter((_, i) => nth(prior, i) > 0).map(Math.abs)) / MAD_CONSISTENCY;
}

function weightOf(u: number, influence: 'huber' | 'bisquare', tuning: number): number {
  const size = Math.abs(u);
  if (influence === 'huber') return size <= tuning ? 1 : tuning / size;
  return size < tuning ? (1 - (size / tuning) ** 2) ** 2 : 0;
}

/** Derivative of influence: psi'(u), psi(u) = u * weight(u). */
function slopeOf(u: number, influence: 'huber' | 'bisquare', tuning: number): number {
  const size = Math.abs(u);
  if (influence === 'huber') return size <= tuning ? 1 : 0;
  const t = (size / tuning) ** 2;
  return size < tuning ? (1 - t) * (1 - 5 * t) : 0;
}

function standardErrors(
  residuals: readonly number[],
  prior: readonly number[],
  scale: number,
  influence: 'huber' | 'bisquare',
  tuning: number,
  cofactor: readonly (readonly number[])[],
  n: number,
): number[] | null {
  const p = cofactor.length;
  if (n <= p) return null;
  let squares = 0;
  const slopes: number[] = [];
  for (let i = 0; i < residuals.length; i++) {
    if (!(nth(prior, i) > 0)) continue;
    const u = nth(residuals, i) / scale;
    squares += (u * weightOf(u, influence, tuning) * scale) ** 2;
    slopes.push(slopeOf(u, influence, tuning));
  }
  const mean = slopes.reduce((sum, value) => sum + value, 0) / n;
  if (!(mean > 0)) return null;
  const variance = slopes.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1);
  const kappa = 1 + (p * variance) / (n * mean * mean);
  const size = (Math.sqrt(squares / (n - p)) * kappa) / mean;
  return cofactor.map((row, i) => size * Math.sqrt(nth(row, i)));
}
