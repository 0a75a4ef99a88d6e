import { type BlockedFit, type BlockedProblem, fitBlocks, responseOf } from '../numerics/blocked-least-squares.ts';
import { NonConvergence } from '../numerics/errors.ts';
import { item } from '../numerics/nth.ts';
import { type Course, momentsOf } from './course.ts';
import { type CourseChange, courseFields, momentSlopes } from './course-slopes.ts';
import { judgeScatter, type Scatter, statedDf } from './scatter.ts';
import type { RunPoints, WholePoints } from './whole-points.ts';

/** What a fit of courses to the readings of many runs has for parameters. */
export interface CourseModel {
  readonly sharedStart: readonly number[];
  /** Size of a change that matters, by shared parameter. */
  readonly sharedScales: readonly number[];
  /** Inverse variance of what is known beforehand (about 0), by shared parameter. */
  readonly precision: readonly number[];
  /** Parameters of each run beside its moment of mixing, which is always fitted. */
  readonly ownStart: readonly (readonly number[])[];
  readonly ownScales: readonly number[];
  /** Steps of the fit, where the start is nearly the answer; absent: until it settles. */
  readonly steps?: number;
  /** Size of the errors over what was stated, where the start knows it; judged from the scatter otherwise. */
  readonly scale?: number;
  /** Covariance of the shared parameters, which are then held at their start: other runs have told them. */
  readonly held?: readonly (readonly number[])[];
  /** @param values shared parameters, then the run's own */
  readonly courseOf: (values: readonly number[], run: number) => Course;
}

export interface CourseFit {
  readonly fit: BlockedFit;
  readonly scatter: Scatter;
  /** Readings minus parameters; what is known beforehand counts as a reading. */
  readonly df: number;
  /** Moment of mixing of each run since its first reading, s, and its standard uncertainty before scaling. */
  readonly mixed: readonly { readonly value: number; readonly u: number }[];
  readonly courses: readonly Course[];
  /** Akaike's criterion with the correction for few readings; comparable between fits to the same readings. */
  readonly aicc: number;
}

/**
 * Courses fitted to the readings of all runs at once. A reading called at a mark is uncertain in its moment, so the
 * residuals are in time, with variance u_t^2 + (u_V dt/dV)^2. The moment of mixing of each run (dead time and the
 * caller's delay go there too) is fitted.
 * @returns null where the readings cannot tell the parameters, or nothing settles
 */
export function fitCourses(points: WholePoints, model: CourseModel): CourseFit | null {
  const { runs, spanS } = points;
  const m = model.sharedStart.length;
  const evaluate = evaluator(points, model);
  const derivatives = differentiator(points, model);
  const starts = model.ownStart.map((mine, run) => {
    const at = evaluate(run, [...model.sharedStart, ...mine, 0]);
    return at && [...mine, weightedMean(at.residuals, at.weights) / spanS];
  });
  if (starts.some((start) => start === null)) return null;
  const stated = runs.every(({ run }) => run.uStated !== false);
  const known = model.precision.filter((p) => p > 0).length;
  const parameters = m + runs.length * (model.ownScales.length + 1);
  const df = points.count + known - parameters;
  const judge = ({ sumOfSquares }: BlockedFit): Scatter =>
    judgeScatter(sumOfSquares, Math.max(df, 0), { stated, assumed: 1 });
  const fitFrom = (sharedStart: readonly number[], ownStart: readonly (readonly number[])[], scale: number) =>
    fitOrNull({
      blocks: runs.length,
      evaluate,
      derivatives,
      sharedStart,
      ownStart,
      scales: [...model.sharedScales, ...model.ownScales, 1],
      precision: model.precision.map((p) => p * scale * scale),
      ...(model.steps === undefined ? {} : { steps: model.steps }),
      ...(model.held ? { held: model.held } : {}),
    });
  let fit = fitFrom(
    model.sharedStart,
    starts.flatMap((start) => (start ? [start] : [])),
    model.scale ?? 1,
  );
  // What is known beforehand weighs against readings whose errors are as large as their scatter shows.
  if (fit && known > 0 && model.steps === undefined && !model.held)
    fit = fitFrom(fit.shared, fit.own, judge(fit).scale);
  if (!fit) return null;
  const settled = fit;
  return {
    fit,
    df,
    scatter: judge(fit),
    mixed: fit.own.map((mine, run) => ({
      value: (mine.at(-1) ?? 0) * spanS,
      u: Math.sqrt(Math.max(settled.ownCovariance[run]?.at(-1)?.at(-1) ?? 0, 0)) * spanS,
    })),
    courses: fit.own.map((mine, run) => model.courseOf([...settled.shared, ...mine], run)),
    aicc: aiccOf(fit, points.count, parameters - known, stated),
  };
}

/** Residuals in time and weights of a run's readings at given parameters (shared, own, moment of mixing over the span). */
function evaluator({ runs, spanS }: WholePoints, { courseOf }: CourseModel): BlockedProblem['evaluate'] {
  const least = (1e-9 * spanS) ** 2;
  return (run, values) => {
    const own = runs[run];
    const course = courseOf(values, run);
    const mixed = (values.at(-1) ?? 0) * spanS;
    const moments = own && momentsOf(course, own.logs);
    if (!own || !moments) return null;
    const residuals: number[] = [];
    const weights: number[] = [];
    for (let i = 0; i < own.times.length; i++) {
      residuals.push((own.times[i] ?? 0) - mixed - (moments.times[i] ?? 0));
      const byShare = (own.uShares[i] ?? 0) * (moments.slopes[i] ?? 0);
      weights.push(1 / Math.max((own.uTimes[i] ?? 0) ** 2 + byShare * byShare, least));
    }
    return { residuals, weights };
  };
}

const relativeStep = 1e-4;

/**
 * Derivatives of the residuals: of the course's figures by the parameters, which costs little, times those of the moments
 * by the course's figures (`momentSlopes`).
 */
function differentiator({ runs, spanS }: WholePoints, model: CourseModel): NonNullable<BlockedProblem['derivatives']> {
  const { courseOf } = model;
  const scales = [...model.sharedScales, ...model.ownScales, 1];
  return (run, values) => {
    const own = runs[run];
    if (!own) return null;
    const course = courseOf(values, run);
    const changes: (CourseChange | null)[] = [];
    const moved = [...values];
    for (let j = 0; j < values.length; j++) {
      const value = values[j] ?? 0;
      const h = relativeStep * (scales[j] ?? 1);
      moved[j] = value + h;
      const up = courseOf(moved, run);
      moved[j] = value - h;
      changes.push(changeOf(up, courseOf(moved, run), 2 * h));
      moved[j] = value;
    }
    const slopes = momentSlopes(course, own.logs, changes);
    if (!slopes) return null;
    return changes.map((change, j) => {
      const column = new Array<number>(own.logs.length).fill(j === values.length - 1 ? -spanS : 0);
      if (change)
        for (const field of courseFields) {
          const slope = change[field] === 0 ? undefined : slopes[field];
          if (slope) takeOff(column, change[field], slope);
        }
      return column;
    });
  };
}

function takeOff(column: number[], factor: number, slope: readonly number[]): void {
  for (let i = 0; i < column.length; i++) column[i] = item(column, i) - factor * item(slope, i);
}

function changeOf(up: Course, down: Course, by: number): CourseChange | null {
  let any = false;
  const change = { lnPace: 0, order: 0, saturation: 0, bend: 0, lagS: 0, warmingPerS: 0, anchorS: 0 };
  if (up.pacePerS !== down.pacePerS) {
    change.lnPace = Math.log(up.pacePerS / down.pacePerS) / by;
    any = true;
  }
  for (const field of ['order', 'saturation', 'bend', 'lagS', 'warmingPerS', 'anchorS'] as const) {
    const off = (up[field] ?? 0) - (down[field] ?? 0);
    if (off === 0) continue;
    change[field] = off / by;
    any = true;
  }
  return any ? change : null;
}

/**
 * How the shared parameters of a settled fit answer to moved runs, to first order; see `responseOf`.
 * @param fit where it settled: shared parameters, and each run's moment of mixing since its first reading, s
 * @returns null where the parameters cannot be told; else from the moved runs' points and courses to the change
 */
export function courseResponse(
  points: WholePoints,
  model: CourseModel,
  fit: { readonly shared: readonly number[]; readonly mixedS: readonly number[] },
): ((moved: ReadonlyMap<number, { readonly points: RunPoints; readonly course: Course }>) => number[] | null) | null {
  const { spanS } = points;
  const own = fit.mixedS.map((s) => [s / spanS]);
  const scale = model.scale ?? 1;
  const respond = responseOf(
    {
      blocks: points.runs.length,
      evaluate: evaluator(points, model),
      derivatives: differentiator(points, model),
      sharedStart: fit.shared,
      ownStart: own,
      scales: [...model.sharedScales, ...model.ownScales, 1],
      precision: model.precision.map((p) => p * scale * scale),
    },
    { shared: fit.shared, own },
  );
  if (!respond) return null;
  return (moved) => {
    const changed = new Map<number, readonly number[]>();
    for (const [run, one] of moved) {
      const moments = momentsOf(one.course, one.points.logs);
      if (!moments) return null;
      const mixed = fit.mixedS[run] ?? 0;
      changed.set(
        run,
        one.points.times.map((time, i) => time - mixed - (moments.times[i] ?? 0)),
      );
    }
    return respond(changed);
  };
}

function fitOrNull(problem: BlockedProblem): BlockedFit | null {
  try {
    return fitBlocks(problem);
  } catch (error) {
    if (error instanceof NonConvergence) return null;
    throw error;
  }
}

/**
 * -2 ln(likelihood) with the size of the errors judged from the scatter (and from what was stated, as 8 degrees of freedom),
 * and the weights of the fit itself, plus Hurvich and Tsai's price of the parameters.
 */
function aiccOf(fit: BlockedFit, n: number, parameters: number, stated: boolean): number {
  const prior = stated ? statedDf : 0;
  let sum = 0;
  let logs = 0;
  for (const { residuals, weights } of fit.states)
    residuals.forEach((r, i) => {
      const w = weights[i] ?? 0;
      sum += w * r * r;
      logs += Math.log(w);
    });
  const k = parameters + 1;
  const rest = n + prior - k - 1;
  if (rest <= 0) return Number.POSITIVE_INFINITY;
  const variance = Math.max((prior + sum) / (prior + n), 1e-24);
  return (prior + n) * Math.log(variance) - logs + fit.penalty / variance + 2 * k + (2 * k * (k + 1)) / rest;
}

const weightedMean = (values: readonly number[], weights: readonly number[]): number => {
  let top = 0;
  let bottom = 0;
  values.forEach((value, i) => {
    top += (weights[i] ?? 0) * value;
    bottom += weights[i] ?? 0;
  });
  return bottom > 0 ? top / bottom : 0;
};

/** ln of the rate over the ceiling from the slope of a run's moments against g(f), for a start; null where it does not rise. */
export function startPace({ times, logs }: RunPoints, timeOf: (log: number) => number): number | null {
  const g = logs.map(timeOf);
  const meanG = g.reduce((a, b) => a + b, 0) / g.length;
  const meanT = times.reduce((a, b) => a + b, 0) / times.length;
  let gt = 0;
  let gg = 0;
  g.forEach((value, i) => {
    gt += (value - meanG) * ((times[i] ?? 0) - meanT);
    gg += (value - meanG) ** 2;
  });
  const slope = gt / gg;
  return slope > 0 && Number.isFinite(slope) ? -Math.log(slope) : null;
}
