import { correctedAkaike } from '../numerics/information-criterion.ts';
import { nth } from '../numerics/nth.ts';
import { asDisplaced, asRead, type RisingHead, stretchAt } from './rising-head.ts';
import { type EstimatorName, type Refused, refuse } from './run-data.ts';
import type { RunFrame } from './run-frame.ts';
import { combineContributions, halfWidth95, type Scatter } from './scatter.ts';

/**
 * The fitted curve, in SI: V(t) for drawing and residuals. Plain data, so that it can cross to a worker. Its volumes are
 * at the pressure of the start; `head`, where the level presses on the gas, makes readings of the cylinder of them.
 */
export type Shape = { readonly head?: RisingHead } & (
  | { readonly kind: 'polynomial'; readonly originS: number; readonly coefficients: readonly number[] }
  /** V = asymptote - (asymptote - first) exp(-k (t - origin)) */
  | {
      readonly kind: 'exponential';
      readonly originS: number;
      readonly firstM3: number;
      readonly asymptoteM3: number;
      readonly kPerS: number;
    }
  /** A curve without a formula for the volume, straight between its points; level before the first. Times rise. */
  | {
      readonly kind: 'sampled';
      readonly originS: number;
      readonly timesS: readonly number[];
      readonly volumesM3: readonly number[];
    }
);

/** Cylinder reading on a curve at a moment, m3. */
export function volumeOn(shape: Shape, timeS: number): number {
  const volume = volumeAtStart(shape, timeS);
  return shape.head ? asRead(shape.head, volume) : volume;
}

function volumeAtStart(shape: Shape, timeS: number): number {
  const s = timeS - shape.originS;
  if (shape.kind === 'exponential')
    return shape.firstM3 - (shape.asymptoteM3 - shape.firstM3) * Math.expm1(-shape.kPerS * s);
  if (shape.kind === 'sampled') {
    const i = pieceAt(shape.timesS, s);
    const from = nth(shape.volumesM3, i);
    return s < nth(shape.timesS, 0) ? from : from + slopeOn(shape, timeS) * (s - nth(shape.timesS, i));
  }
  let value = 0;
  for (let i = shape.coefficients.length - 1; i >= 0; i--) value = value * s + nth(shape.coefficients, i);
  return value;
}

/** Slope of a curve at a moment, m3/s at the pressure of the start. */
export function slopeOn(shape: Shape, timeS: number): number {
  const s = timeS - shape.originS;
  if (shape.kind === 'exponential')
    return shape.kPerS * (shape.asymptoteM3 - shape.firstM3) * Math.exp(-shape.kPerS * s);
  if (shape.kind === 'sampled') {
    const i = pieceAt(shape.timesS, s);
    const span = nth(shape.timesS, i + 1) - nth(shape.timesS, i);
    return s < nth(shape.timesS, 0) ? 0 : (nth(shape.volumesM3, i + 1) - nth(shape.volumesM3, i)) / span;
  }
  let value = 0;
  for (let i = shape.coefficients.length - 1; i >= 1; i--) value = value * s + i * nth(shape.coefficients, i);
  return value;
}

/** Which piece of a sampled curve a moment lies in; the last one beyond its end. */
function pieceAt(timesS: readonly number[], s: number): number {
  let i = 0;
  while (i < timesS.length - 2 && s > nth(timesS, i + 1)) i++;
  return i;
}

/** One estimate of one run's rate. */
export interface RateEstimate {
  readonly ok: true;
  readonly estimator: EstimatorName;
  /** m3/s of displaced gas, at the pressure of the start where the rising level presses on it. */
  readonly rateM3PerS: number;
  /** Where on the curve the rate holds: along the whole run, at the first reading, or when no gas had been made. */
  readonly at: 'whole-run' | 'first-reading' | 'zero-gas';
  /** From the readings' own scatter and stated uncertainties, and the curve's own shape: independent from run to run. */
  readonly uReadings: number;
  readonly dfReadings: number;
  /** The part of `uReadings` that runs of one reaction share: not knowing how the rate falls. Absent: none. */
  readonly uCurve?: number;
  /** From what all readings of the run share, m3/s. `ceiling` and `gain` may be shared by runs as well. */
  readonly uShared: { readonly gain: number; readonly baseline: number; readonly ceiling: number };
  /** Combined standard uncertainty, its effective degrees of freedom and the 95 % interval. */
  readonly u: number;
  readonly df: number;
  readonly low95: number;
  readonly high95: number;
  readonly scatter: Scatter;
  /** Akaike's criterion with the correction for few readings; lower is better; compare within one run only. */
  readonly aicc: number;
  readonly shape: Shape;
  /** Reading minus curve, m3, by position in the frame. */
  readonly residualsM3: readonly number[];
  /** First order only. */
  readonly kPerS?: { readonly value: number; readonly u: number; readonly df: number };
  /** First order only: what the ceiling was (from the baseline), m3, and where from: 'tied' is one fit for all runs. */
  readonly ceilingM3?: { readonly value: number; readonly u: number; readonly from: 'given' | 'tied' | 'fitted' };
  /** First order with a fitted ceiling: probability by chance of so much bend of another kind than its own. */
  readonly misfit?: { readonly p: number };
  /** Quadratic only: curvature over its standard uncertainty, and the probability of as much by chance. */
  readonly curvature?: { readonly t: number; readonly p: number };
}

/** Akaike's criterion in frame units; a fit perfect to rounding counts as one with errors of 1e-12 of the span. */
export function aiccOf(sumOfSquares: number, n: number, parameters: number): number {
  return correctedAkaike(n, parameters, Math.max(sumOfSquares, n * 1e-24));
}

/** Puts an estimate's parts together; rate and uncertainties in frame units go in, SI comes out. */
export function makeEstimate(
  frame: RunFrame,
  parts: {
    estimator: EstimatorName;
    at: RateEstimate['at'];
    slope: number;
    uSlope: number;
    scatter: Scatter;
    /** Error of the curve's own shape: a parabola cannot follow an exponential, and an exponential no other order. */
    shapeError?: number;
    gain: number;
    baseline: number;
    ceiling: number;
    aicc: number;
    shape: Shape;
    residuals: readonly number[];
    extra?: Pick<RateEstimate, 'kPerS' | 'ceilingM3' | 'curvature' | 'misfit'>;
  },
): RateEstimate | Refused {
  const unit = frame.volumeScaleM3 / frame.timeScaleS;
  const rate = parts.slope * unit;
  const ofReadings = combineContributions([
    { u: parts.uSlope * parts.scatter.scale * unit, df: parts.scatter.df },
    { u: Math.abs(parts.shapeError ?? 0) * unit, df: Number.POSITIVE_INFINITY },
  ]);
  const uShared = {
    gain: Math.abs(parts.gain) * unit,
    baseline: Math.abs(parts.baseline) * unit,
    ceiling: Math.abs(parts.ceiling) * unit,
  };
  const total = combineContributions([
    ofReadings,
    ...Object.values(uShared).map((u) => ({ u, df: Number.POSITIVE_INFINITY })),
  ]);
  const half = halfWidth95(total);
  if (![rate, total.u, half, parts.aicc === Number.POSITIVE_INFINITY ? 0 : parts.aicc].every(Number.isFinite))
    return refuse('no-convergence', 'These readings lie so far apart in size that no rate can be computed from them.');
  return {
    ok: true,
    estimator: parts.estimator,
    rateM3PerS: rate,
    at: parts.at,
    uReadings: ofReadings.u,
    dfReadings: ofReadings.df,
    uShared,
    u: total.u,
    df: total.df,
    low95: rate - half,
    high95: rate + half,
    scatter: parts.scatter,
    aicc: parts.aicc,
    shape: frame.head ? { ...parts.shape, head: frame.head } : parts.shape,
    residualsM3: residualsOf(frame, parts.residuals),
    ...parts.extra,
    ...(parts.extra?.ceilingM3 ? { ceilingM3: displacedCeiling(parts.extra.ceilingM3, frame.head?.perM3 ?? 0) } : {}),
  };
}

/** Reading minus curve as the cylinder shows it, m3. */
function residualsOf({ head, firstM3, v, volumeScaleM3 }: RunFrame, residuals: readonly number[]): number[] {
  if (!head) return residuals.map((r) => r * volumeScaleM3);
  const read = (inFrame: number): number => asRead(head, firstM3 + inFrame * volumeScaleM3);
  return residuals.map((r, i) => read(nth(v, i)) - read(nth(v, i) - r));
}

/** A ceiling at the pressure of the start as the water it displaces, both from the baseline. */
function displacedCeiling<Ceiling extends { value: number; u: number }>(ceiling: Ceiling, perM3: number): Ceiling {
  const value = asDisplaced(perM3, ceiling.value);
  return { ...ceiling, value, u: ceiling.u / stretchAt(perM3, value) };
}
