import { DegenerateData, NonConvergence, OutOfRange } from './errors.ts';
import { nth, real } from './nth.ts';
import { factorise } from './orthogonal.ts';

export interface NonlinearFit<P extends readonly number[] = readonly number[]> {
  readonly parameters: P;
  /** (J'J)^-1: the covariance where residuals are in units of their standard uncertainty. */
  readonly cofactor: readonly (readonly number[])[];
  /** cofactor * residualSd^2; null when no degree of freedom is left. */
  readonly covariance: readonly (readonly number[])[] | null;
  readonly standardErrors: readonly number[] | null;
  readonly residuals: readonly number[];
  readonly sumOfSquares: number;
  readonly degreesOfFreedom: number;
  readonly residualSd: number | null;
  readonly iterations: number;
}

/** @typeParam P as many numbers as the model has parameters; a tuple where their number is known */
export interface NonlinearProblem<P extends readonly number[] = readonly number[]> {
  /**
   * Residuals (observed minus model, times sqrt(weight)) at given parameters, always of one length >= parameters. A
   * residual that is not finite says "not here": the step is shortened.
   */
  readonly residuals: (parameters: P) => readonly number[];
  readonly start: P;
  /** d residual_i / d parameter_j as rows. Default central differences: 2 evaluations per parameter. */
  readonly jacobian?: (parameters: P) => readonly (readonly number[])[];
  /**
   * Size at which each parameter begins to matter, for the step of the differences. Default the start value, or 1 where
   * it is 0.
   */
  readonly typicalSize?: readonly number[];
  /** Default 200. */
  readonly maxIterations?: number;
  /** Relative change of the parameters (in units of their own standard error or size) at which it stops. */
  readonly tolerance?: number;
}

/**
 * Nonlinear least squares: Gauss-Newton steps damped after Levenberg and Marquardt, columns scaled by their largest
 * length so far (Moré), each step solved by QR of the damped system. Meant for up to about 20 parameters and a few
 * hundred residuals (a few milliseconds).
 *
 * @throws NonConvergence at the iteration cap, or where no step lowers the sum of squares away from a stationary point
 * @throws DegenerateData when the residuals do not depend on a parameter, or on two of them only together
 * @throws OutOfRange when the residuals at the start are not finite
 * Source: Moré, in Numerical Analysis (Lecture Notes in Mathematics 630, 1978) 105; standard errors from (J'J)^-1.
 * Check: NIST StRD Misra1a from both starts, test/published/nist-misra1a.test.ts.
 * @example
 * fitNonlinear({ residuals: ([a, b]) => [1, 3, 5].map((y, x) => y - a - b * x), start: [0, 1] }).parameters // => [1, 2]
 */
export function fitNonlinear<P extends readonly number[] | readonly []>(problem: NonlinearProblem<P>): NonlinearFit<P> {
  const p = problem.start.length;
  const maxIterations = problem.maxIterations ?? 200;
  const tolerance = problem.tolerance ?? 1e-12;
  let parameters = problem.start;
  let residuals = new Float64Array(problem.residuals(parameters));
  const n = residuals.length;
  if (n < p) throw new DegenerateData('There are fewer readings than unknowns.', `${n} readings, ${p} unknowns`);
  let squares = sumOfSquares(residuals);
  if (!Number.isFinite(squares)) {
    throw new OutOfRange('The first guess does not give numbers to compare with the readings.', `S = ${squares}`);
  }
  const typical = problem.start.map((value, j) => Math.abs(problem.typicalSize?.[j] ?? value) || 1);
  const scale = new Float64Array(p);
  let damping = 1e-3;
  let growth = 2;

  for (let iteration = 1; iteration <= maxIterations; iteration++) {
    const columns = jacobianColumns(problem, parameters, typical);
    for (const [j, column] of columns.entries()) scale[j] = Math.max(real(scale, j), Math.sqrt(sumOfSquares(column)));
    if (scale.some((value) => !(value > 0))) {
      throw new DegenerateData('The readings do not depend on one of the unknowns.', `parameter ${scale.indexOf(0)}`);
    }
    if (squares === 0) return finish(problem, parameters, residuals, typical, iteration);

    for (;;) {
      const step = dampedStep(columns, residuals, scale, damping);
      const trial = moved(parameters, (value, j) => value + real(step, j));
      const trialResiduals = new Float64Array(problem.residuals(trial));
      const trialSquares = sumOfSquares(trialResiduals);
      const small = step.every(
        (value, j) =>
          Math.abs(value) <= tolerance * Math.max(Math.abs(nth(parameters, j)), tolerance * nth(typical, j)),
      );
      const predicted = predictedDrop(columns, residuals, step);
      const drop = squares - trialSquares;
      if (Number.isFinite(trialSquares) && drop >= 0 && drop >= 1e-4 * predicted) {
        parameters = trial;
        residuals = trialResiduals;
        squares = trialSquares;
        // Nielsen's rule: the better the prediction, the less damping next time.
        damping *= Math.max(1 / 9, 1 - (2 * (predicted > 0 ? drop / predicted : 1) - 1) ** 3);
        growth = 2;
        // A small step under heavy damping says nothing; under light damping it is Gauss-Newton's own verdict.
        if (small && damping < 1) return finish(problem, parameters, residuals, typical, iteration);
        break;
      }
      // At the bottom: the drop still promised is below the rounding of S itself.
      const atRounding = predicted <= 4e-16 * squares;
      if (small || atRounding) {
        if (stationary(columns, residuals, squares) || exact(columns, parameters, squares)) {
          return finish(problem, parameters, residuals, typical, iteration);
        }
        if (small) {
          throw new NonConvergence(
            'The curve could not be fitted: no step from the best place found improves it.',
            `S = ${squares} after ${iteration} iterations`,
          );
        }
      }
      damping *= growth;
      growth *= 2;
      if (!(damping < 1e40)) {
        throw new NonConvergence('The curve could not be fitted: it runs into values that make no sense.', 'damping');
      }
    }
  }
  throw new NonConvergence('The curve did not settle within the allowed number of steps.', `${maxIterations}`);
}

/** As many numbers as given: `map` forgets that a tuple of two stays a tuple of two. */
function moved<P extends readonly number[]>(parameters: P, by: (value: number, j: number) => number): P {
  return parameters.map(by) as readonly number[] as P;
}

function jacobianColumns<P extends readonly number[]>(
  problem: NonlinearProblem<P>,
  parameters: P,
  typical: readonly number[],
): Float64Array[] {
  if (problem.jacobian) {
    const rows = problem.jacobian(parameters);
    return parameters.map((_, j) => new Float64Array(rows.map((row) => nth(row, j))));
  }
  return parameters.map((parameter, j) => {
    // Cube root of the rounding unit balances the error of the difference quotient against rounding.
    const width = 6e-6 * Math.max(Math.abs(parameter), 1e-3 * nth(typical, j));
    const shift = (by: number): Float64Array =>
      new Float64Array(problem.residuals(moved(parameters, (value, k) => (k === j ? value + by : value))));
    const down = shift(-width);
    const span = parameter + width - (parameter - width);
    const column = shift(width);
    for (const [i, up] of column.entries()) column[i] = (up - real(down, i)) / span;
    if (column.some((value) => !Number.isFinite(value))) {
      throw new NonConvergence(
        'The curve could not be fitted: it runs into values that make no sense.',
        `parameter ${j}`,
      );
    }
    return column;
  });
}

/** Step that minimises |r + J d|^2 + damping * |D d|^2. */
function dampedStep(
  columns: readonly Float64Array[],
  residuals: Float64Array,
  scale: Float64Array,
  damping: number,
): Float64Array {
  const n = residuals.length;
  const p = columns.length;
  const extended = columns.map((column, j) => {
    const tall = new Float64Array(n + p);
    tall.set(column);
    tall[n + j] = Math.sqrt(damping) * real(scale, j);
    return tall;
  });
  const right = new Float64Array(n + p);
  for (let i = 0; i < n; i++) right[i] = -real(residuals, i);
  return factorise(extended).solve(right);
}

/** |r|^2 - |r + J d|^2, the drop that the linear model promises. */
function predictedDrop(columns: readonly Float64Array[], residuals: Float64Array, step: Float64Array): number {
  const move = new Float64Array(residuals.length);
  for (const [j, column] of columns.entries()) {
    const by = real(step, j);
    for (let i = 0; i < move.length; i++) move[i] = real(move, i) + by * real(column, i);
  }
  let drop = 0;
  for (let i = 0; i < move.length; i++) drop -= real(move, i) * (2 * real(residuals, i) + real(move, i));
  return drop;
}

/** Whether the residuals are at right angles to every column, but for rounding. */
function stationary(columns: readonly Float64Array[], residuals: Float64Array, squares: number): boolean {
  const size = Math.sqrt(squares);
  return columns.every((column) => {
    let product = 0;
    for (let i = 0; i < residuals.length; i++) product += real(column, i) * real(residuals, i);
    return Math.abs(product) <= 1e-5 * Math.sqrt(sumOfSquares(column)) * size;
  });
}

/** Whether what is left is the rounding of the model's own terms: the curve passes through every reading. */
function exact(columns: readonly Float64Array[], parameters: readonly number[], squares: number): boolean {
  const size = columns.reduce(
    (sum, column, j) => sum + Math.sqrt(sumOfSquares(column)) * Math.abs(nth(parameters, j)),
    0,
  );
  return Math.sqrt(squares) <= 1e-12 * size;
}

/** Undamped steps allowed after the search: S can no longer tell, but the steps still shrink. */
const POLISHES = 6;

function finish<P extends readonly number[]>(
  problem: NonlinearProblem<P>,
  found: P,
  foundResiduals: Float64Array,
  typical: readonly number[],
  iterations: number,
): NonlinearFit<P> {
  const n = foundResiduals.length;
  let parameters = found;
  let residuals = foundResiduals;
  let columns = jacobianColumns(problem, parameters, typical);
  let factors = factorise(columns);
  // S is flat to rounding within about 1e-8 standard errors of its bottom; Gauss-Newton's step is not.
  let length = Number.POSITIVE_INFINITY;
  const ceiling = sumOfSquares(residuals) * (1 + 1e-10);
  for (let polish = 0; polish < POLISHES; polish++) {
    const step = factors.solve(residuals.map((value) => -value));
    const size = step.reduce((sum, value, j) => sum + (value * Math.sqrt(sumOfSquares(nth(columns, j)))) ** 2, 0);
    if (!(size < length / 4) || size === 0) break;
    const trial = moved(parameters, (value, j) => value + real(step, j));
    const trialResiduals = new Float64Array(problem.residuals(trial));
    if (!(sumOfSquares(trialResiduals) <= ceiling)) break;
    parameters = trial;
    residuals = trialResiduals;
    length = size;
    columns = jacobianColumns(problem, parameters, typical);
    factors = factorise(columns);
  }
  const cofactor = factors.cofactor();
  const squares = sumOfSquares(residuals);
  const degreesOfFreedom = n - parameters.length;
  const variance = degreesOfFreedom > 0 ? squares / degreesOfFreedom : null;
  const covariance = variance === null ? null : cofactor.map((row) => row.map((value) => value * variance));
  return {
    parameters,
    cofactor,
    covariance,
    standardErrors: covariance === null ? null : covariance.map((row, i) => Math.sqrt(nth(row, i))),
    residuals: Array.from(residuals),
    sumOfSquares: squares,
    degreesOfFreedom,
    residualSd: variance === null ? null : Math.sqrt(variance),
    iterations,
  };
}

function sumOfSquares(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value * value;
  return sum;
}
