import { fisherUpperTail } from '../numerics/distributions.ts';
import { entry, nth } from '../numerics/nth.ts';
import { quadraticForm } from '../numerics/quadratic-form.ts';
import { fitBasis } from './basis-fit.ts';
import { aiccOf, makeEstimate, type RateEstimate } from './estimate.ts';
import { type Exponential, fitFree, fitToCeiling } from './exponential-fit.ts';
import { firstOrderFromStart } from './first-order-from-start.ts';
import { type Refused, refuse } from './run-data.ts';
import type { RunFrame } from './run-frame.ts';
import { judgeScatter, t95 } from './scatter.ts';
import { effectiveWeights } from './weights.ts';

/**
 * First-order curve with a stoichiometric ceiling: V(t) = V_inf - (V_inf - V_1) exp(-k'(t - t1)), V_inf = baseline +
 * ceiling. The gas comes at a rate proportional to what is left of the limiting reagent, so the rate before any gas was
 * made is k' times the ceiling, whenever mixing was: no time of mixing is needed, it is one offset of the time axis.
 *
 * With the ceiling given (limiting reagent and gas law) there are two parameters, as for a line. Otherwise the ceiling
 * is fitted, if the readings bend enough to tell it: k' must be more than 3 times its standard uncertainty and its 95 %
 * interval clear of zero. Without a baseline the first reading is taken as the start, with half a mark's uncertainty.
 *
 * Where a start was stated - a moment at which the cylinder still stood at its baseline - the curve is held to it
 * instead, see `firstOrderFromStart`.
 *
 * What the readings share enters by refitting with each moved by its standard uncertainty: the scale's gain (volumes
 * grow by gainU, a ceiling that comes from chemistry does not), the baseline, the ceiling.
 */
export function firstOrderRate(frame: RunFrame, gainU: number): RateEstimate | Refused {
  if (frame.start !== null && frame.baseline) return firstOrderFromStart(frame, frame.start, frame.baseline, gainU);
  const n = frame.t.length;
  if (new Set(frame.t).size < (frame.ceiling ? 2 : 4))
    return refuse('too-few-readings', 'A first-order curve with an unknown ceiling needs four readings or more.');
  const baseline = frame.baseline ?? { value: 0, u: unknownStart(frame) };
  return frame.ceiling ? given(frame, baseline, frame.ceiling, gainU) : free(frame, baseline, gainU, n);
}

/** Probability below which the readings count as bending of another kind. */
export const misfits = 0.05;

function given(
  frame: RunFrame,
  baseline: { value: number; u: number },
  ceiling: { value: number; u: number },
  gainU: number,
): RateEstimate | Refused {
  const n = frame.t.length;
  const asymptote = baseline.value + ceiling.value;
  // Readings of a finished reaction scatter about the ceiling; only what is clearly above contradicts it.
  const slack = 4 * (Math.max(frame.assumed, 0.01) + ceiling.u);
  if (!(ceiling.value > 0) || frame.v.some((v) => v > asymptote + slack))
    return refuse(
      'above-ceiling',
      'More gas came than the planned amounts can make. Check the strengths, the volumes poured and the baseline; the first-order estimate needs a ceiling above every reading.',
    );
  const fitted = fitToCeiling(frame, asymptote);
  if (!fitted) return refuse('no-convergence', 'The first-order curve did not settle on these readings.');
  if (!(fitted.kappa > 0)) return refuse('falling', 'The volume does not rise, so there is no first-order rate.');
  const slope = fitted.kappa * ceiling.value;
  /** k' C and k' when baseline, ceiling or scale are moved; the refit starts from the data, so it is exact. */
  const moved = (change: { baseline?: number; ceiling?: number; gain?: number }): Moved | null => {
    const gain = 1 + (change.gain ?? 0);
    // A tied ceiling comes from the same cylinder as the readings.
    const c = (change.ceiling ?? ceiling.value) * (frame.tied ? gain : 1);
    const b = (baseline.value + (change.baseline ?? 0)) * gain;
    const scaled = gain === 1 ? frame : { ...frame, v: frame.v.map((v) => v * gain) };
    const again = c > 0 ? fitToCeiling(scaled, b + c) : null;
    return again && { slope: again.kappa * c, kappa: again.kappa };
  };
  const still: Moved = { slope, kappa: fitted.kappa };
  const shift = (up: Moved | null, down: Moved | null, fallback: number): Moved => {
    if (!up && !down) return { slope: fallback, kappa: fallback / ceiling.value };
    // One way alone is as far from the estimate, both are twice as far from each other.
    const by = up && down ? 2 : 1;
    const [from, to] = [down ?? still, up ?? still];
    return { slope: (to.slope - from.slope) / by, kappa: (to.kappa - from.kappa) / by };
  };
  const none: Moved = { slope: 0, kappa: 0 };
  const scatter = judgeScatter(fitted.fit.sumOfSquares, n - 2, frame);
  const uKappa = Math.sqrt(entry(fitted.fit.covariance, 1, 1));
  const [high, low] = ceilingsAround(ceiling, frame.tied);
  const byCeiling = ceiling.u > 0 ? shift(moved({ ceiling: high }), moved({ ceiling: low }), slope) : none;
  const byGain = gainU > 0 ? shift(moved({ gain: gainU }), moved({ gain: -gainU }), slope * gainU) : none;
  const byBaseline =
    baseline.u > 0 ? shift(moved({ baseline: baseline.u }), moved({ baseline: -baseline.u }), slope) : none;
  const uConstant = Math.hypot(
    uKappa * scatter.scale,
    byCeiling.kappa,
    byGain.slope / ceiling.value,
    byBaseline.slope / ceiling.value,
  );
  return makeEstimate(frame, {
    estimator: 'firstOrder',
    at: 'zero-gas',
    slope,
    uSlope: uKappa * ceiling.value,
    scatter,
    gain: byGain.slope,
    baseline: byBaseline.slope,
    ceiling: byCeiling.slope,
    aicc: aiccOf(fitted.fit.sumOfSquares, n, 2),
    shape: shapeOf(frame, fitted),
    residuals: fitted.fit.residuals,
    extra: {
      kPerS: { value: fitted.kappa / frame.timeScaleS, u: uConstant / frame.timeScaleS, df: scatter.df },
      ceilingM3: {
        value: ceiling.value * frame.volumeScaleM3,
        u: ceiling.u * frame.volumeScaleM3,
        from: frame.tied ? 'tied' : 'given',
      },
    },
  });
}

interface Moved {
  readonly slope: number;
  readonly kappa: number;
}

/** So many times as high, a ceiling bends nothing. */
const endless = 1e3;

/**
 * The ceiling one standard uncertainty higher and lower. Of a tied one the bend is what was found, 1 over the ceiling, so that
 * is moved: an uncertain bend lets the ceiling be without end, but no lower than the bend allows.
 */
function ceilingsAround({ value, u }: { value: number; u: number }, tied: boolean): readonly [number, number] {
  if (!tied) return [value + u, value - u];
  const relative = u / value;
  return [Math.min(value / Math.max(1 - relative, 1 / endless), endless * value), value / (1 + relative)];
}

function free(
  frame: RunFrame,
  baseline: { value: number; u: number },
  gainU: number,
  n: number,
): RateEstimate | Refused {
  const fitted = fitFree(frame);
  const hidden = refuse(
    'no-bend',
    'The readings do not bend enough to tell the ceiling. Give the ceiling, or what was poured, for a first-order estimate.',
  );
  if (!fitted) return hidden;
  const scatter = judgeScatter(fitted.fit.sumOfSquares, n - 3, frame);
  const uKappa = Math.sqrt(entry(fitted.fit.covariance, 2, 2)) * scatter.scale;
  const [a = 0, b = 0, kappa = 0] = fitted.fit.coefficients;
  if (!(kappa > 0) || !(kappa > 3 * uKappa) || !(kappa > t95(scatter.df) * uKappa)) return hidden;
  if (baseline.value > a + b / kappa) return hidden;
  // Rate at zero gas: k'(V_inf - baseline) = b + kappa (a - baseline), with V = a + b (1 - exp(-kappa t))/kappa.
  const gradient = [kappa, 1, a - baseline.value];
  const slope = b + kappa * (a - baseline.value);
  const variance = quadraticForm(fitted.fit.covariance, gradient);
  // Asymptote a + b/kappa minus baseline, for show.
  const toCeiling = [1, 1 / kappa, -b / kappa ** 2];
  const ceilingVariance = quadraticForm(fitted.fit.covariance, toCeiling);
  const ceiling = a + b / kappa - baseline.value;
  const misfit = misfitOf(frame, fitted);
  return makeEstimate(frame, {
    estimator: 'firstOrder',
    at: 'zero-gas',
    slope,
    uSlope: Math.sqrt(Math.max(variance, 0)),
    scatter,
    shapeError: misfit.p < misfits ? misfit.change : 0,
    gain: slope * gainU,
    baseline: kappa * baseline.u,
    ceiling: 0,
    aicc: aiccOf(fitted.fit.sumOfSquares, n, 3),
    shape: shapeOf(frame, fitted),
    residuals: fitted.fit.residuals,
    extra: {
      kPerS: { value: kappa / frame.timeScaleS, u: uKappa / frame.timeScaleS, df: scatter.df },
      ceilingM3: {
        value: ceiling * frame.volumeScaleM3,
        u: Math.sqrt(Math.max(ceilingVariance, 0)) * scatter.scale * frame.volumeScaleM3,
        from: 'fitted',
      },
      misfit: { p: misfit.p },
    },
  });
}

/**
 * Whether the readings bend otherwise than any first-order curve: a cubic term, or a cubic and a quartic one, beside its
 * three parameters (F test), and what they change of the slope at the first reading. A reaction of another order, or a
 * gas that comes more slowly by and by, does that; the curve then fits no longer for the right reason, and the change is
 * what its slope may be off by.
 */
function misfitOf(frame: RunFrame, fitted: Exponential): { readonly p: number; readonly change: number } {
  const n = frame.t.length;
  const { coefficients, residuals, sumOfSquares } = fitted.fit;
  const weights = effectiveWeights(
    frame,
    frame.t.map((t) => nth(coefficients, 1) * Math.exp(-fitted.kappa * t)),
  );
  let found = { p: 1, change: 0 };
  for (const powers of [[3], [3, 4]]) {
    const df = n - 3 - powers.length;
    if (df < 2) continue;
    const fit = fitBasis([...fitted.columns, ...powers.map((m) => frame.t.map((t) => t ** m))], residuals, weights);
    if (!fit) continue;
    const scatter = judgeScatter(fit.sumOfSquares, df, frame);
    const gain = Math.max(0, sumOfSquares - fit.sumOfSquares) / powers.length;
    if (!(scatter.scale > 0)) continue;
    // Two tests: each counts double.
    const p = Math.min(1, 2 * fisherUpperTail(gain / scatter.scale ** 2, powers.length, scatter.df));
    if (p < found.p) found = { p, change: nth(fit.coefficients, 1) };
  }
  return found;
}

function shapeOf(frame: RunFrame, fitted: Exponential): RateEstimate['shape'] {
  return {
    kind: 'exponential',
    originS: frame.firstTimeS,
    firstM3: frame.firstM3 + fitted.first * frame.volumeScaleM3,
    asymptoteM3: frame.firstM3 + fitted.asymptote * frame.volumeScaleM3,
    kPerS: fitted.kappa / frame.timeScaleS,
  };
}

/** Gas made before the first reading when no baseline was called: unknown, of the order of half a step. */
function unknownStart(frame: RunFrame): number {
  const n = frame.v.length;
  return Math.abs(nth(frame.v, n - 1) - nth(frame.v, 0)) / (n - 1) / 2;
}
