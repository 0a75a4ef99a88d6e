import { NumericsError } from '../numerics/errors.ts';
import { fitFirstOrder } from '../numerics/first-order-fit.ts';
import { fitNonlinear } from '../numerics/nonlinear-least-squares.ts';
import { entry, nth } from '../numerics/nth.ts';
import { aiccOf, makeEstimate, type RateEstimate } from './estimate.ts';
import { type Measured, type Refused, refuse } from './run-data.ts';
import type { RunFrame } from './run-frame.ts';
import { judgeScatter, t95 } from './scatter.ts';
import { effectiveWeights } from './weights.ts';

/** V = baseline + rate (1 - exp(-kappa s))/kappa, s = t - start, frame units. */
interface Pinned {
  readonly kappa: number;
  /** Rate before any gas was made. */
  readonly rate: number;
  /** Covariance of rate and kappa for weights that are inverse variances. */
  readonly varRate: number;
  readonly varKappa: number;
  /** Variance of rate/kappa, the height to the ceiling; 0 when that was given. */
  readonly varHeight: number;
  readonly sumOfSquares: number;
}

/**
 * First-order curve held to a known start: no gas had come at a stated moment, V(start) = baseline. Two parameters, rate
 * and k' (Misra1a of the NIST is this curve), or one where the ceiling is known as well, rate = k' ceiling. Readings at or
 * before the start say nothing about it and are left out. Without a ceiling, k' must be told from zero as in
 * `firstOrderRate`.
 *
 * Uncertain baseline, ceiling and scale enter by refitting with each moved by its standard uncertainty; the start is
 * taken as exact.
 */
export function firstOrderFromStart(
  frame: RunFrame,
  start: number,
  baseline: Measured,
  gainU: number,
): RateEstimate | Refused {
  const { ceiling } = frame;
  const after = frame.t.flatMap((t, i) => (t > start ? [i] : []));
  const parameters = ceiling ? 1 : 2;
  if (new Set(after.map((i) => frame.t[i])).size < parameters + 1)
    return refuse('too-few-readings', 'Too few readings come after the start for a first-order curve from there.');
  const refit = (change: { baseline?: number; ceiling?: number; gain?: number }): Pinned | Refused => {
    const gain = 1 + (change.gain ?? 0);
    const from = (baseline.value + (change.baseline ?? 0)) * gain;
    const height = ceiling ? ceiling.value + (change.ceiling ?? 0) : null;
    return pinned(
      frame,
      after.map((i) => ({ i, s: nth(frame.t, i) - start, made: nth(frame.v, i) * gain - from })),
      height,
    );
  };
  const fitted = refit({});
  if ('ok' in fitted) return fitted;
  const { kappa, rate } = fitted;
  const scatter = judgeScatter(fitted.sumOfSquares, after.length - parameters, frame);
  const uKappa = Math.sqrt(fitted.varKappa) * scatter.scale;
  if (!(kappa > 0) || (!ceiling && !(kappa > 3 * uKappa && kappa > t95(scatter.df) * uKappa)))
    return refuse(
      'no-bend',
      'The readings do not bend enough from the stated start to tell the ceiling. Give the ceiling for a first-order estimate.',
    );
  const moved = (change: Parameters<typeof refit>[0]): { rate: number; kappa: number } => {
    const again = refit(change);
    return 'ok' in again ? { rate: 0, kappa: 0 } : { rate: again.rate - rate, kappa: again.kappa - kappa };
  };
  const still = { rate: 0, kappa: 0 };
  const byBaseline = baseline.u > 0 ? moved({ baseline: baseline.u }) : still;
  const byGain = gainU > 0 ? moved({ gain: gainU }) : still;
  const byCeiling = ceiling && ceiling.u > 0 ? moved({ ceiling: ceiling.u }) : still;
  const height = rate / kappa;
  const { timeScaleS, volumeScaleM3 } = frame;
  return makeEstimate(frame, {
    estimator: 'firstOrder',
    at: 'zero-gas',
    slope: rate,
    uSlope: Math.sqrt(fitted.varRate),
    scatter,
    gain: byGain.rate,
    baseline: byBaseline.rate,
    ceiling: byCeiling.rate,
    aicc: aiccOf(fitted.sumOfSquares, after.length, parameters),
    shape: {
      kind: 'exponential',
      originS: frame.firstTimeS + start * timeScaleS,
      firstM3: frame.firstM3 + baseline.value * volumeScaleM3,
      asymptoteM3: frame.firstM3 + (baseline.value + height) * volumeScaleM3,
      kPerS: kappa / timeScaleS,
    },
    residuals: frame.v.map(
      (v, i) => v - baseline.value + height * Math.expm1(-kappa * Math.max(nth(frame.t, i) - start, 0)),
    ),
    extra: {
      kPerS: {
        value: kappa / timeScaleS,
        u: Math.hypot(uKappa, byGain.kappa, byBaseline.kappa, byCeiling.kappa) / timeScaleS,
        df: scatter.df,
      },
      ceilingM3: {
        value: height * volumeScaleM3,
        u: (ceiling ? ceiling.u : Math.sqrt(fitted.varHeight) * scatter.scale) * volumeScaleM3,
        from: ceiling === null ? 'fitted' : 'given',
      },
    },
  });
}

type Made = { readonly i: number; readonly s: number; readonly made: number };

/** The fit, with weights renewed as the slopes settle. */
function pinned(frame: RunFrame, readings: readonly Made[], ceiling: number | null): Pinned | Refused {
  const at = new Map(readings.map(({ i, s }) => [i, s]));
  const fitted = (slopes: readonly number[], near?: number): Pinned => {
    const weights = effectiveWeights(frame, slopes);
    const own = readings.map(({ i }) => nth(weights, i));
    return ceiling === null ? freeCeiling(readings, own) : knownCeiling(readings, own, ceiling, near);
  };
  try {
    let result = fitted(frame.t.map(() => 1));
    for (let pass = 1; pass < (frame.stated ? 4 : 1); pass++) {
      const { rate, kappa } = result;
      result = fitted(
        frame.t.map((_, i) => rate * Math.exp(-kappa * (at.get(i) ?? 0))),
        kappa,
      );
    }
    return result;
  } catch (error) {
    if (error instanceof NumericsError) return refuse('no-convergence', error.sentence);
    throw error;
  }
}

function freeCeiling(readings: readonly Made[], weights: readonly number[]): Pinned {
  const fit = fitFirstOrder(
    readings.map(({ s }) => s),
    readings.map(({ made }) => made),
    { weights },
  );
  const [[varRate = 0, covariance = 0] = [], [, varKappa = 0] = []] = fit.cofactor;
  const { initialSlope: rate, rateConstant: kappa } = fit;
  return {
    rate,
    kappa,
    varRate,
    varKappa,
    // d(rate/kappa) = (d rate - height d kappa)/kappa
    varHeight: Math.max(0, varRate + (rate / kappa) ** 2 * varKappa - 2 * (rate / kappa) * covariance) / kappa ** 2,
    sumOfSquares: fit.sumOfSquares,
  };
}

/** @param near kappa of the pass before, with other weights: nearly the answer */
function knownCeiling(readings: readonly Made[], weights: readonly number[], ceiling: number, near?: number): Pinned {
  const root = weights.map(Math.sqrt);
  const fit = fitNonlinear({
    start: [near !== undefined && near > 0 ? near : throughLast(readings, ceiling)],
    residuals: ([kappa]) => readings.map(({ s, made }, k) => nth(root, k) * (made + ceiling * Math.expm1(-kappa * s))),
    jacobian: ([kappa]) => readings.map(({ s }, k) => [-nth(root, k) * ceiling * s * Math.exp(-kappa * s)]),
  });
  const [kappa] = fit.parameters;
  const varKappa = entry(fit.cofactor, 0, 0);
  return {
    kappa,
    rate: kappa * ceiling,
    varKappa,
    varRate: varKappa * ceiling ** 2,
    varHeight: 0,
    sumOfSquares: fit.sumOfSquares,
  };
}

/** kappa of the curve through the last reading. */
function throughLast(readings: readonly Made[], ceiling: number): number {
  const last = readings.reduce((a, b) => (b.s > a.s ? b : a));
  const share = Math.min(Math.max(last.made / ceiling, 0.01), 0.99);
  return -Math.log1p(-share) / last.s;
}
