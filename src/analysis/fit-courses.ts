import { type BlockedFit, type BlockedProblem, fitBlocks } from '../numerics/blocked-least-squares.ts';
import { NonConvergence } from '../numerics/errors.ts';
import { type Course, momentsOf } from './course.ts';
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
  const least = (1e-9 * spanS) ** 2;
  const m = model.sharedStart.length;
  const evaluate = (run: number, values: readonly number[]) => {
    const own = runs[run];
    const course = model.courseOf(values, run);
    const mixed = (values.at(-1) ?? 0) * spanS;
    const moments = own && momentsOf(course, own.logs);
    if (!own || !moments) return null;
    const residuals: number[] = [];
    const weights: number[] = [];
    own.times.forEach((time, i) => {
      residuals.push(time - mixed - (moments.times[i] ?? 0));
      const byShare = (own.uShares[i] ?? 0) * (moments.slopes[i] ?? 0);
      weights.push(1 / Math.max((own.uTimes[i] ?? 0) ** 2 + byShare * byShare, least));
    });
    return { residuals, weights };
  };
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
      sharedStart,
      ownStart,
      scales: [...model.sharedScales, ...model.ownScales, 1],
      precision: model.precision.map((p) => p * scale * scale),
      ...(model.steps === undefined ? {} : { steps: model.steps }),
    });
  let fit = fitFrom(
    model.sharedStart,
    starts.flatMap((start) => (start ? [start] : [])),
    1,
  );
  // What is known beforehand weighs against readings whose errors are as large as their scatter shows.
  if (fit && known > 0 && model.steps === undefined) fit = fitFrom(fit.shared, fit.own, judge(fit).scale);
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
