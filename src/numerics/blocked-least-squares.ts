import { NonConvergence } from './errors.ts';
import { item, nth } from './nth.ts';

/** Observed minus model of one block's points, and their weights (inverse variances). */
export interface BlockState {
  readonly residuals: readonly number[];
  readonly weights: readonly number[];
}

/** A model with parameters shared by all blocks and a few parameters of each block's own. */
export interface BlockedProblem {
  readonly blocks: number;
  /** @param values shared parameters, then the block's own. Null where the model has no value there. */
  readonly evaluate: (block: number, values: readonly number[]) => BlockState | null;
  /** Derivatives of the residuals by every parameter, where the model has them; else by central differences. */
  readonly derivatives?: (block: number, values: readonly number[]) => readonly (readonly number[])[] | null;
  readonly sharedStart: readonly number[];
  /** By block, all of one length. */
  readonly ownStart: readonly (readonly number[])[];
  /** Size of a change of each parameter (shared, then own) that matters: derivatives step by a ten-thousandth of it. */
  readonly scales: readonly number[];
  /** Shared parameters known beforehand to be near 0: inverse variances; 0: nothing is known. */
  readonly precision?: readonly number[];
  /** So many steps and no more, settled or not: from a start that is the solution of nearly the same problem, one is enough. */
  readonly steps?: number;
  /** Covariance of the shared parameters, which are then held at `sharedStart`: others have told them. */
  readonly held?: readonly (readonly number[])[];
}

export interface BlockedFit {
  readonly shared: readonly number[];
  readonly own: readonly (readonly number[])[];
  /** Inverse of the weighted normal matrix: the covariance for weights that are inverse variances. */
  readonly covariance: readonly (readonly number[])[];
  /** Of each block's own parameters. */
  readonly ownCovariance: readonly (readonly (readonly number[])[])[];
  /** The same were the shared parameters known. */
  readonly ownAlone: readonly (readonly (readonly number[])[])[];
  readonly states: readonly BlockState[];
  /** Weighted, of the residuals alone. */
  readonly sumOfSquares: number;
  /** What the prior knowledge adds to it. */
  readonly penalty: number;
}

const most = 40;
/** Small enough for nine digits of the derivative, and large enough to keep rounding, which differs between engines, out. */
const derivativeStep = 1e-4;
const settledStep = 1e-11;

/**
 * Nonlinear least squares for many alike blocks (runs) with shared parameters (k, orders) and own ones (their start):
 * Levenberg and Marquardt's method, the own parameters taken out block by block (Schur complement of the arrow-shaped
 * normal matrix), so that the work grows with the number of blocks and not with its cube. Weights may depend on the
 * parameters: they follow the fit, and are held while a step is judged (iterative reweighting).
 *
 * @returns null when the parameters cannot be told apart, or the start has no value
 * @throws NonConvergence at the cap
 * Source: Levenberg, Q. Appl. Math. 2 (1944) 164; Marquardt, SIAM J. 11 (1963) 431; Schur complement as in Triggs and
 * others, "Bundle adjustment - a modern synthesis" (2000), section 6. Cost: O(points (shared + own)^2) an iteration.
 *
 * @example
 * const heights = [[1, 3, 5], [2, 4, 6]];
 * const line = (block: number, [slope = 0, height = 0]: readonly number[]) => ({
 *   residuals: (heights[block] ?? []).map((y, x) => y - slope * x - height),
 *   weights: [1, 1, 1],
 * });
 * const start = { sharedStart: [0], ownStart: [[0], [0]], scales: [1, 1] };
 * fitBlocks({ blocks: 2, evaluate: line, ...start })?.shared[0]?.toFixed(6) // => '2.000000'
 */
export function fitBlocks(problem: BlockedProblem): BlockedFit | null {
  if (problem.held) return fitHeld(problem, problem.held);
  const precision = problem.precision ?? problem.sharedStart.map(() => 0);
  let at: Point | null = pointAt(problem, problem.sharedStart, problem.ownStart);
  if (!at) return null;
  let damping = 0;
  let last: Normal | null = null;
  let still = 0;
  let nearly = false;
  for (let iteration = 0; iteration < most; iteration++) {
    if (iteration === problem.steps) return finish(at, precision, last);
    const normal = normalEquations(problem, at, precision);
    last = normal;
    const before: number = costOf(at, at.states, precision);
    let settled = false;
    for (let attempt = 0; ; attempt++) {
      const step = solveArrow(normal, damping);
      const there: Point | null = step && moved(problem, at, step);
      const after = there ? costOf(there, at.states, precision) : Number.POSITIVE_INFINITY;
      const small = step !== null && isSmall(step, problem.scales);
      if (there && (after <= before * (1 + 1e-12) || small)) {
        still = before - after <= 1e-13 * before ? still + 1 : 0;
        nearly = before - after <= 1e-8 * before;
        // Three times no gain: what still moves is a direction that the data do not tell.
        settled = small || still >= 3;
        at = there;
        damping = damping > 1e-5 ? damping / 10 : 0;
        break;
      }
      if (small || attempt > 16) {
        if (step === null) return null;
        settled = true;
        break;
      }
      damping = Math.max(damping * 10, 1e-4);
    }
    if (settled) return finish(at, precision, normalEquations(problem, at, precision));
  }
  if (nearly) return finish(at, precision, normalEquations(problem, at, precision));
  throw new NonConvergence('The fit did not settle.', `${most} iterations`);
}

/** Each block by itself, with the shared parameters as given; what those are uncertain by goes into the blocks' own. */
function fitHeld(problem: BlockedProblem, held: readonly (readonly number[])[]): BlockedFit | null {
  const { sharedStart, ownStart, scales, evaluate, derivatives: known } = problem;
  const own: (readonly number[])[] = [];
  for (const [block, start] of ownStart.entries()) {
    const alone = fitBlocks({
      blocks: 1,
      evaluate: (_, values) => evaluate(block, [...sharedStart, ...values]),
      ...(known
        ? { derivatives: (_, values) => known(block, [...sharedStart, ...values])?.slice(sharedStart.length) ?? null }
        : {}),
      sharedStart: [],
      ownStart: [start],
      scales: scales.slice(sharedStart.length),
    });
    if (!alone) return null;
    own.push(...alone.own);
  }
  const at = pointAt(problem, sharedStart, own);
  if (!at) return null;
  const nothing = sharedStart.map(() => 0);
  return finish(at, nothing, normalEquations(problem, at, nothing), held);
}

/**
 * How the shared parameters of a settled fit answer to other data, to first order: one step of Gauss and Newton with the
 * derivatives and weights of the fit itself, so that a block that stays as it was costs nothing.
 * @param fit shared and own parameters where `problem` has settled
 * @returns null where the parameters cannot be told apart; else the change of the shared parameters, given the changed
 * blocks' residuals at the same parameters (in the order of their points)
 *
 * @example
 * const heights = [[1, 3, 5], [2, 4, 6]];
 * const line = (block: number, [slope = 0, height = 0]: readonly number[]) => ({
 *   residuals: (heights[block] ?? []).map((y, x) => y - slope * x - height),
 *   weights: [1, 1, 1],
 * });
 * const problem = { blocks: 2, evaluate: line, sharedStart: [0], ownStart: [[0], [0]], scales: [1, 1] };
 * const respond = responseOf(problem, { shared: [2], own: [[1], [2]] });
 * respond?.(new Map([[0, [0, 1, 2]]]))[0]?.toFixed(6) // => '0.500000'
 */
export function responseOf(
  problem: BlockedProblem,
  fit: Pick<BlockedFit, 'shared' | 'own'>,
): ((changed: ReadonlyMap<number, readonly number[]>) => number[]) | null {
  const at = pointAt(problem, fit.shared, fit.own);
  if (!at) return null;
  const normal = normalEquations(problem, at, problem.precision ?? fit.shared.map(() => 0));
  const reduced = reduce(normal, 0);
  const covariance = reduced && invert(reduced.system);
  if (!reduced || !covariance) return null;
  const gains = new Map<number, readonly (readonly number[])[]>();
  /** By shared parameter and point: what a change of the residual adds to the reduced right-hand side. */
  const gainOf = (block: number): readonly (readonly number[])[] => {
    const known = gains.get(block);
    if (known) return known;
    const mine = nth(at.own, block);
    const { weights } = nth(at.states, block);
    const columns = derivatives(problem, block, [...at.shared, ...mine]);
    const pulls = columns.map((column) => column.map((d, i) => -d * item(weights, i)));
    const inverse = nth(reduced.inverses, block);
    const own = pulls.slice(at.shared.length);
    const made = nth(normal.blocks, block).cross.map((row, a) => {
      const through = times(row, inverse);
      return nth(pulls, a).map((pull, i) => pull - through.reduce((sum, t, j) => sum + t * item(nth(own, j), i), 0));
    });
    gains.set(block, made);
    return made;
  };
  return (changed) => {
    const side = at.shared.map(() => 0);
    for (const [block, residuals] of changed) {
      const before = nth(at.states, block).residuals;
      for (const [a, row] of gainOf(block).entries())
        for (let i = 0; i < row.length; i++)
          side[a] = item(side, a) + item(row, i) * (item(residuals, i) - item(before, i));
    }
    return covariance.map((row) => dot(row, side));
  };
}

interface Point {
  readonly shared: readonly number[];
  readonly own: readonly (readonly number[])[];
  readonly states: readonly BlockState[];
}

function pointAt(
  problem: BlockedProblem,
  shared: readonly number[],
  own: readonly (readonly number[])[],
): Point | null {
  const states: BlockState[] = [];
  for (const [block, mine] of own.entries()) {
    const state = problem.evaluate(block, [...shared, ...mine]);
    if (!state) return null;
    states.push(state);
  }
  return { shared, own, states };
}

/** Sum of squares of a point's residuals with the weights of `weighing`. */
function costOf({ shared, states }: Point, weighing: readonly BlockState[], precision: readonly number[]): number {
  let sum = penaltyOf(shared, precision);
  for (let block = 0; block < states.length; block++) {
    const { residuals } = nth(states, block);
    const { weights } = nth(weighing, block);
    for (let i = 0; i < residuals.length; i++) sum += item(weights, i) * item(residuals, i) ** 2;
  }
  return Number.isFinite(sum) ? sum : Number.POSITIVE_INFINITY;
}

const penaltyOf = (shared: readonly number[], precision: readonly number[]): number =>
  shared.reduce((sum, value, j) => sum + item(precision, j) * value * value, 0);

type Matrix = number[][];
const matrix = (rows: number, columns: number): Matrix =>
  Array.from({ length: rows }, () => new Array<number>(columns).fill(0));

/** Normal equations in arrow shape: shared by shared, shared by own and own by own, with their right-hand sides. */
interface Normal {
  readonly shared: Matrix;
  readonly sharedSide: number[];
  readonly blocks: readonly { readonly cross: Matrix; readonly own: Matrix; readonly side: number[] }[];
}

function normalEquations(problem: BlockedProblem, at: Point, precision: readonly number[]): Normal {
  const m = at.shared.length;
  const shared = matrix(m, m);
  const sharedSide = at.shared.map((value, j) => -item(precision, j) * value);
  for (let j = 0; j < m; j++) nth(shared, j)[j] = item(precision, j);
  const blocks = at.own.map((mine, block) => {
    const q = mine.length;
    const cross = matrix(m, q);
    const own = matrix(q, q);
    const side = new Array<number>(q).fill(0);
    const { residuals, weights } = nth(at.states, block);
    const columns = derivatives(problem, block, [...at.shared, ...mine]);
    for (let a = 0; a < m + q; a++) {
      const weighted = product(nth(columns, a), weights);
      for (let b = a; b < m + q; b++) {
        const sum = dot(weighted, nth(columns, b));
        if (b < m) addBoth(shared, a, b, sum);
        else if (a < m) nth(cross, a)[b - m] = sum;
        else addBoth(own, a - m, b - m, sum);
      }
      // The residual falls as the model rises: its derivative has the other sign.
      const sum = dot(weighted, residuals);
      if (a < m) sharedSide[a] = item(sharedSide, a) - sum;
      else side[a - m] = -sum;
    }
    return { cross, own, side };
  });
  return { shared, sharedSide, blocks };
}

function product(a: readonly number[], b: readonly number[]): number[] {
  const result: number[] = [];
  for (let i = 0; i < a.length; i++) result.push(item(a, i) * item(b, i));
  return result;
}

function addBoth(to: Matrix, a: number, b: number, value: number): void {
  const row = nth(to, a);
  row[b] = item(row, b) + value;
  if (a === b) return;
  const other = nth(to, b);
  other[a] = item(other, a) + value;
}

function derivatives(
  problem: BlockedProblem,
  block: number,
  values: readonly number[],
): readonly (readonly number[])[] {
  const known = problem.derivatives?.(block, values);
  if (known) return known;
  return values.map((value, j) => {
    const h = derivativeStep * item(problem.scales, j);
    const moved = [...values];
    const residualsAt = (x: number): readonly number[] | undefined => {
      moved[j] = x;
      return problem.evaluate(block, moved)?.residuals;
    };
    const up = residualsAt(value + h);
    const down = residualsAt(value - h);
    if (up && down) return up.map((r, i) => (r - item(down, i)) / (2 * h));
    // At the edge of where the model has a value one side has to do.
    const here = residualsAt(value);
    const there = up ?? down;
    if (!here || !there) throw new NonConvergence('The fit did not settle.', `no value beside parameter ${j}`);
    return there.map((r, i) => ((r - item(here, i)) / h) * (up ? 1 : -1));
  });
}

interface Step {
  readonly shared: readonly number[];
  readonly own: readonly (readonly number[])[];
}

function moved(problem: BlockedProblem, at: Point, step: Step): Point | null {
  return pointAt(
    problem,
    at.shared.map((value, j) => value + item(step.shared, j)),
    at.own.map((mine, r) => mine.map((value, j) => value + item(nth(step.own, r), j))),
  );
}

const isSmall = ({ shared, own }: Step, scales: readonly number[]): boolean =>
  shared.every((s, j) => Math.abs(s) < settledStep * item(scales, j)) &&
  own.every((mine) => mine.every((s, j) => Math.abs(s) < settledStep * item(scales, shared.length + j)));

const damped = (given: Matrix, damping: number): Matrix =>
  given.map((row, i) => row.map((value, j) => (i === j ? value * (1 + damping) : value)));

/** Shared system with the blocks' own parameters taken out, and each block's inverse. */
function reduce(normal: Normal, damping: number): { system: Matrix; side: number[]; inverses: Matrix[] } | null {
  const system = damped(normal.shared, damping);
  const side = [...normal.sharedSide];
  const inverses: Matrix[] = [];
  for (const { cross, own, side: mine } of normal.blocks) {
    const inverse = invert(damped(own, damping));
    if (!inverse) return null;
    inverses.push(inverse);
    cross.forEach((row, a) => {
      const through = times(row, inverse);
      side[a] = item(side, a) - dot(through, mine);
      const target = nth(system, a);
      cross.forEach((other, b) => {
        target[b] = item(target, b) - dot(through, other);
      });
    });
  }
  return { system, side, inverses };
}

function solveArrow(normal: Normal, damping: number): Step | null {
  const reduced = reduce(normal, damping);
  const inverse = reduced && invert(reduced.system);
  if (!reduced || !inverse) return null;
  const shared = inverse.map((row) => dot(row, reduced.side));
  const own = normal.blocks.map(({ cross, side }, r) => {
    const rest = side.map((value, j) => value - shared.reduce((sum, s, a) => sum + s * item(nth(cross, a), j), 0));
    return nth(reduced.inverses, r).map((row) => dot(row, rest));
  });
  return [...shared, ...own.flat()].every(Number.isFinite) ? { shared, own } : null;
}

function finish(
  at: Point,
  precision: readonly number[],
  normal: Normal | null,
  held?: readonly (readonly number[])[],
): BlockedFit | null {
  const reduced = normal && reduce(normal, 0);
  const covariance = held ?? (reduced && invert(reduced.system));
  if (!normal || !reduced || !covariance) return null;
  const ownCovariance = normal.blocks.map(({ cross }, r) => {
    const inverse = nth(reduced.inverses, r);
    // own = D^-1 + (D^-1 B') C (B D^-1)
    const through = cross.map((row) => times(row, inverse));
    return inverse.map((row, i) =>
      row.map((value, j) => {
        let sum = value;
        covariance.forEach((line, a) => {
          line.forEach((c, b) => {
            sum += item(nth(through, a), i) * c * item(nth(through, b), j);
          });
        });
        return sum;
      }),
    );
  });
  const penalty = penaltyOf(at.shared, precision);
  const sumOfSquares = costOf(at, at.states, precision) - penalty;
  const { shared, own, states } = at;
  return { shared, own, covariance, ownCovariance, ownAlone: reduced.inverses, states, sumOfSquares, penalty };
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += item(a, i) * item(b, i);
  return sum;
}

/** Row times a symmetric matrix. */
const times = (row: readonly number[], by: Matrix): number[] => by.map((column) => dot(row, column));

/** Inverse of a small symmetric positive matrix, scaled to a unit diagonal first; null when singular to rounding. */
function invert(given: Matrix): Matrix | null {
  const n = given.length;
  const scale = given.map((row, i) => 1 / Math.sqrt(item(row, i)));
  const work = given.map((row, i) => [
    ...row.map((value, j) => value * item(scale, i) * item(scale, j)),
    ...row.map((_, j) => (i === j ? 1 : 0)),
  ]);
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let i = column + 1; i < n; i++)
      if (Math.abs(item(nth(work, i), column)) > Math.abs(item(nth(work, pivot), column))) pivot = i;
    const top = nth(work, pivot);
    if (!(Math.abs(item(top, column)) > 1e-13)) return null;
    [work[column], work[pivot]] = [top, nth(work, column)];
    const head = item(top, column);
    for (let j = 0; j < 2 * n; j++) top[j] = item(top, j) / head;
    for (const [i, row] of work.entries()) {
      if (i === column) continue;
      const factor = item(row, column);
      if (factor === 0) continue;
      for (let j = 0; j < 2 * n; j++) row[j] = item(row, j) - factor * item(top, j);
    }
  }
  return work.map((row, i) => row.slice(n).map((value, j) => value * item(scale, i) * item(scale, j)));
}
