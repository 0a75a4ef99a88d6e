import { studentUpperQuantile } from '../numerics/distributions.ts';
import { robustDistances, type SmoothFit, type SmoothKind, smoothFit } from './robust-curve.ts';
import type { RunFrame } from './run-frame.ts';
import { judgeScatter } from './scatter.ts';

export interface Detected {
  /** Positions in the frame, most outlying first. */
  readonly outliers: readonly number[];
  /** The smooth curve through the others. */
  readonly fit: SmoothFit;
  /** Externally studentised residual at every position: against the curve without it when it is an outlier. */
  readonly studentised: readonly number[];
  /** Standard deviation of a new reading about the curve, frame units, at every position. */
  readonly spread: readonly number[];
}

/** Probability that a clean run has any reading flagged. Points get the larger part of 5 %, breaks the rest. */
export const pointsAlpha = 0.04;

/**
 * Readings that a smooth curve through the others cannot explain, at a family-wise error of 4 % per run.
 *
 * The robust curve gives the order of suspicion; then, for r = most to 1, the r most suspicious are left out, the curve
 * refitted by least squares, and each of the r judged by its externally studentised residual against that curve
 * (Cook and Weisberg 1982), with the t quantile at alpha/(2(n - r + 1)). The largest r whose least suspicious member
 * still passes is the answer: the sequence of Rosner's generalised ESD test (Technometrics 25 (1983) 165), whose order
 * of testing keeps several outliers from masking one another. Stated uncertainties enter the scale as 8 degrees of
 * freedom (`judgeScatter`). At most a third of the readings can be outliers; more is a run that is not smooth.
 *
 * @returns null when no smooth curve can be fitted at all
 */
export function detectOutliers(frame: RunFrame, kind: SmoothKind, kappaStart?: number): Detected | null {
  const n = frame.t.length;
  const everyone = frame.t.map(() => 1);
  const whole = smoothFitOfAll(frame, kind, kappaStart);
  if (!whole) return null;
  const all = studentise(frame, whole, everyone);
  if (frame.stated && unremarkable(whole, all.studentised))
    return { outliers: [], fit: whole, studentised: all.studentised, spread: all.spread };
  const distances = robustDistances(frame, kind);
  const order = distances.map((_, i) => i).sort((a, b) => distances[b]! - distances[a]!);
  const most = n > 2000 ? 50 : Math.min(Math.floor(n / 3), n - whole.parameters - (frame.stated ? 1 : 2));
  for (let r = most; r >= 1; r--) {
    const suspects = order.slice(0, r);
    const mask = [...everyone];
    for (const i of suspects) mask[i] = 0;
    const fit = smoothFit(frame, kind, mask, n > 2000 ? whole.kappa : undefined);
    if (!fit) continue;
    const judged = studentise(frame, fit, mask);
    const critical = studentUpperQuantile(pointsAlpha / (2 * (n - r + 1)), judged.df);
    if (suspects.every((i) => Math.abs(judged.studentised[i]!) > critical))
      return {
        outliers: [...suspects].sort((a, b) => Math.abs(judged.studentised[b]!) - Math.abs(judged.studentised[a]!)),
        fit,
        studentised: judged.studentised,
        spread: judged.spread,
      };
  }
  return { outliers: [], fit: whole, studentised: all.studentised, spread: all.spread };
}

/** Where the stated uncertainties account for the scatter, nothing is hidden: outliers mask one another only by enlarging it. */
function unremarkable(whole: SmoothFit, studentised: readonly number[]): boolean {
  const df = whole.kept - whole.parameters;
  return df > 0 && whole.sumOfSquares < 1.3 * df && studentised.every((d) => Math.abs(d) < 2.5);
}

/** Smooth curve through every reading; a line where wild readings let no curve settle. */
export function smoothFitOfAll(frame: RunFrame, kind: SmoothKind, kappaStart?: number): SmoothFit | null {
  const everyone = frame.t.map(() => 1);
  return smoothFit(frame, kind, everyone, kappaStart) ?? smoothFit(frame, 'line', everyone);
}

function studentise(
  frame: RunFrame,
  fit: SmoothFit,
  mask: readonly number[],
): { studentised: number[]; spread: number[]; df: number } {
  const scatter = judgeScatter(fit.sumOfSquares, fit.kept - fit.parameters, frame);
  const spread = frame.t.map((_, i) => {
    const own = 1 / fit.weights[i]!;
    const curve = fit.curveVariance[i]!;
    return scatter.scale * Math.sqrt(mask[i]! > 0 ? Math.max(own - curve, 1e-3 * own) : own + curve);
  });
  return {
    studentised: fit.residuals.map((r, i) => (spread[i]! > 0 ? r / spread[i]! : r === 0 ? 0 : Math.sign(r) * 1e9)),
    spread: frame.t.map((_, i) => scatter.scale * Math.sqrt(1 / fit.weights[i]! + fit.curveVariance[i]!)),
    df: scatter.df,
  };
}
