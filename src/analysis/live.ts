import { last, nth } from '../numerics/nth.ts';
import { detectOutliers } from './detect-outliers.ts';
import { slopeOn } from './estimate.ts';
import { estimateAll } from './estimate-all.ts';
import { ceilingOf } from './gas-frame.ts';
import { quadraticRate } from './quadratic-rate.ts';
import { recommend } from './recommend.ts';
import { type SmoothKind, smoothFit } from './robust-curve.ts';
import type { EstimatorName, RunData, RunReading } from './run-data.ts';
import { frameRun, type RunFrame } from './run-frame.ts';
import { judgeScatter } from './scatter.ts';

/** Readings that the live figures look back on: enough for a bend, few enough to be cheap. */
const lookBack = 14;

/** Share of the volume looked ahead that a line through few readings may be out by, because rates fall. */
const unseenBend = 0.05;

/**
 * Cylinder reading to be expected at a moment, from the readings so far, with its standard uncertainty for one reading
 * (error of curve, reading and moment together). Wild readings among them do not count. A few readings ahead or back;
 * cost below 1 ms.
 *
 * @param timeS on the readings' clock
 * @returns null with fewer than three readings, or where they do not rise
 */
export function predictVolume(
  readings: readonly RunReading[],
  timeS: number,
): { readonly volumeM3: number; readonly u: number } | null {
  const course = courseOf(readings, timeS);
  if (!course) return null;
  const { frame, kind, mask } = course;
  const fit = smoothFit(frame, kind, mask);
  if (!fit) return null;
  const scatter = judgeScatter(fit.sumOfSquares, fit.kept - fit.parameters, frame);
  const last = frame.t.length - 1;
  const expected = nth(frame.v, last) - nth(fit.residuals, last);
  const own = frame.stated ? 1 / nth(fit.weights, last) : 1;
  const spread = scatter.scale * Math.sqrt(own + nth(fit.curveVariance, last));
  const middle = mean(frame.v.slice(0, last));
  const bend = kind === 'line' ? unseenBend * Math.abs(expected - middle) : 0;
  const u = Math.hypot(spread, bend) * frame.volumeScaleM3;
  const volumeM3 = frame.firstM3 + expected * frame.volumeScaleM3;
  return Number.isFinite(volumeM3) && Number.isFinite(u) ? { volumeM3, u } : null;
}

/**
 * Moment at which the cylinder will read `volumeM3`, on the readings' clock, s; null when it never will at this pace,
 * or with fewer than three readings. Standard uncertainty from that of the volume there and the slope.
 */
export function predictTime(
  readings: readonly RunReading[],
  volumeM3: number,
): { readonly timeS: number; readonly u: number } | null {
  const used = readings.filter((reading) => reading.setAside === undefined);
  const first = used[0];
  const last = used.at(-1);
  if (!first || !last || used.length < 3) return null;
  const span = last.timeS - first.timeS;
  let low = first.timeS;
  let high = last.timeS + Math.max(span, 1e-6);
  const at = (timeS: number): number => predictVolume(used, timeS)?.volumeM3 ?? Number.NaN;
  if (!(at(low) < volumeM3)) return null;
  for (let doubling = 0; doubling < 5 && !(at(high) >= volumeM3); doubling++) high += high - low;
  if (!(at(high) >= volumeM3)) return null;
  for (let i = 0; i < 30; i++) {
    const middle = (low + high) / 2;
    if (at(middle) < volumeM3) low = middle;
    else high = middle;
  }
  const timeS = (low + high) / 2;
  const there = predictVolume(used, timeS);
  const slope = (at(timeS + span * 0.01) - at(timeS - span * 0.01)) / (span * 0.02);
  return there && slope > 0 ? { timeS, u: there.u / slope } : null;
}

export interface LiveRate {
  /** m3/s */
  readonly rateM3PerS: number;
  readonly u: number;
  readonly estimator: EstimatorName;
  readonly readings: number;
}

/**
 * The rate as it stands, from the third reading on: the recommended estimate over the readings that go together (a
 * misheard value is skipped here without asking; nothing is set aside). Cost: about 1 ms.
 */
export function liveRate(run: RunData): LiveRate | null {
  const framed = frameRun(run, ceilingOf(run));
  if (!framed.ok || framed.frame.t.length < 3) return null;
  const found = detectOutliers(framed.frame, kindOf(framed.frame));
  const wild = new Set(found?.outliers ?? []);
  const keep = framed.frame.index.filter((_, i) => !wild.has(i));
  const again = wild.size > 0 ? frameRun(run, ceilingOf(run), keep) : framed;
  if (!again.ok) return null;
  const estimates = estimateAll(again.frame, run.gainURelative ?? 0);
  const chosen = recommend(estimates);
  const used = chosen ? estimates[chosen.name] : null;
  return used?.ok
    ? { rateM3PerS: used.rateM3PerS, u: used.u, estimator: used.estimator, readings: again.frame.t.length }
    : null;
}

/** The flow is still getting faster: gas is being held back. */
export interface LagWarning {
  /** By how much the flow grew from the first stretch to the last, as a fraction. */
  readonly fasterBy: number;
  /** The moment of the last reading, s: the run could start anew from here. */
  readonly sinceS: number;
}

/** A flow that grows by less is not worth a warning. */
const worthWarning = 0.1;

/**
 * Whether gas is being held back (dissolving, supersaturation, an oxide layer) while a run begins: the flow grows beyond
 * chance (1 %, parabola through the readings so far) and by a tenth or more. A reaction that uses up its reagent only
 * slows down. Looks at the first eight readings; later the run can no longer be started anew. Cost: below 0.1 ms.
 *
 * @example
 * const at = (timeS: number, ml: number) => ({ timeS, volumeM3: ml * 1e-6, uTimeS: 0.1, uVolumeM3: 1e-7 });
 * liveLag([at(0, 62), at(40, 64), at(70, 66), at(94, 68), at(116, 70)])?.sinceS // => 116
 */
export function liveLag(readings: readonly RunReading[]): LagWarning | null {
  const used = readings.filter((reading) => reading.setAside === undefined);
  if (used.length < 4 || used.length > 8) return null;
  const framed = frameRun({ label: '', readings: used }, null);
  if (!framed.ok) return null;
  const { frame } = framed;
  const parabola = quadraticRate(frame, 0);
  if (!parabola.ok || !parabola.curvature || !(parabola.curvature.t > 0 && parabola.curvature.p < 0.01)) return null;
  const atFirst = parabola.rateM3PerS;
  const sinceS = frame.firstTimeS + frame.timeScaleS;
  const atLast = slopeOn(parabola.shape, sinceS);
  const fasterBy = atFirst > 0 ? atLast / atFirst - 1 : Number.POSITIVE_INFINITY;
  if (!(fasterBy > worthWarning)) return null;
  return { fasterBy: Math.min(fasterBy, 10), sinceS };
}

const kindOf = (frame: RunFrame): SmoothKind => (frame.t.length >= 5 ? 'curve' : 'line');

/** The last readings and the asked-for moment as one frame; the moment stands last and has no weight. */
function courseOf(
  readings: readonly RunReading[],
  timeS: number,
): { frame: RunFrame; kind: SmoothKind; mask: number[] } | null {
  const used = readings
    .filter((reading) => reading.setAside === undefined)
    .sort((a, b) => a.timeS - b.timeS)
    .slice(-lookBack);
  if (used.length < 3 || !Number.isFinite(timeS)) return null;
  const framed = frameRun({ label: '', readings: used }, null);
  if (!framed.ok) return null;
  const { frame } = framed;
  if (!(last(frame.v) > 0)) return null;
  const kind = kindOf(frame);
  const found = detectOutliers(frame, kind);
  const wild = new Set(found?.outliers ?? []);
  const mask = frame.t.map((_, i) => (wild.has(i) ? 0 : 1));
  const extended: RunFrame = {
    ...frame,
    index: [...frame.index, frame.index.length],
    t: [...frame.t, (timeS - frame.firstTimeS) / frame.timeScaleS],
    v: [...frame.v, last(frame.v)],
    ut: [...frame.ut, mean(frame.ut)],
    uv: [...frame.uv, mean(frame.uv)],
  };
  return { frame: extended, kind, mask: [...mask, 0] };
}

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
