import type { RunAnalysis } from './analyse-run.ts';
import type { RateEstimate } from './estimate.ts';
import { amountPerVolumeRate, ceilingOf } from './gas-frame.ts';
import type { Refused, RunData } from './run-data.ts';
import { combineContributions, halfWidth95, type Scatter } from './scatter.ts';
import type { RateForm } from './verdict.ts';
import { wholeFit } from './whole-fit.ts';

/** How the rate falls within the runs: with the power `order` of what is left of the limiting reagent. */
export interface WithinOrder {
  readonly order: number;
  /** With what a wrong ceiling does. */
  readonly u: number;
  /** From the readings alone. */
  readonly uReadings: number;
  readonly df: number;
  readonly form: RateForm;
  /** Akaike weight of the fitted power against first order, 0..1. */
  readonly weight: number;
  /** Labels of the runs that it comes from. */
  readonly runs: readonly string[];
}

/** One species stands for the limiting reagent, at 1 mol/L, so that k of the fit is the rate at zero gas. */
const stand = 'limiting';

const alone = (run: RunData): RunData => {
  const ceiling = ceilingOf(run);
  return {
    ...run,
    concentrations: { [stand]: { value: 1000, u: 0, uCommonRelative: 0 } },
    ...(ceiling ? { ceilingM3: ceiling } : {}),
  };
};

interface Fitted {
  readonly rateM3PerS: number;
  readonly uRelative: number;
  readonly df: number;
  readonly scatter: Scatter;
  readonly order: { readonly value: number; readonly u: number };
}

/** One run by itself: rate at zero gas and, where no order is given, the power with which it falls. */
function fitOne(run: RunData, order?: number): Fitted | null {
  if (!run.baselineM3 || !ceilingOf(run)) return null;
  const own = alone(run);
  const fit = wholeFit([own], { limiting: stand, ...(order === undefined ? {} : { fixed: { [stand]: order } }) });
  if (!fit.ok) return null;
  const amount = fit.unit === 'amount' ? amountPerVolumeRate(own) : null;
  const rateM3PerS = amount ? (fit.k * 1000) / amount.factor : fit.k;
  if (!(rateM3PerS > 0) || !Number.isFinite(rateM3PerS)) return null;
  const found = fit.orders[stand];
  return {
    rateM3PerS,
    uRelative: fit.uRelative,
    df: fit.df,
    scatter: fit.scatter,
    order: found ? { value: found.value, u: found.u } : { value: order ?? 1, u: 0 },
  };
}

/** The run's curve to its known ceiling, where the person did not choose another estimate. */
function toCeiling({ estimates: { firstOrder }, used, usedBy }: RunAnalysis): RateEstimate | null {
  if (!used || (usedBy === 'choice' && used.estimator !== 'firstOrder')) return null;
  return firstOrder.ok && firstOrder.ceilingM3?.given ? firstOrder : null;
}

/** Fewer readings tell no bend beyond the first-order one. */
const leastReadings = 4;

/**
 * The power with which the rate falls within the runs, one for all of them: each run that has a baseline and a ceiling is
 * fitted by itself with the power free (`wholeFit`), and the powers are averaged by their variances. A reaction of
 * another order, saturation, warming, a leak and gas that is held back all show here, whatever the runs say together.
 * @returns null where no run tells
 */
export function withinOrder(runs: readonly (RunAnalysis | Refused)[]): WithinOrder | null {
  const parts = runs.flatMap((analysis) => {
    if (!analysis.ok || !toCeiling(analysis)) return [];
    if (analysis.frame.index.length < leastReadings || analysis.run.startS !== undefined) return [];
    // A called drift is carried by the clock of the run's own fit, which this one does not have.
    if (analysis.run.driftKPerS) return [];
    const fit = fitOne(analysis.run);
    // A run of exact figures has no scatter to weigh by.
    return fit && fit.order.u > 1e-6 ? [{ label: analysis.run.label, ...fit }] : [];
  });
  if (parts.length === 0) return null;
  const sum = parts.reduce((total, { order }) => total + 1 / order.u ** 2, 0);
  const order = parts.reduce((total, part) => total + part.order.value / part.order.u ** 2, 0) / sum;
  const contributions = parts.map((part) => ({ u: 1 / part.order.u / sum, df: part.df }));
  const { u: own, df } = combineContributions(contributions);
  // What a wrong ceiling or baseline does to the power: f is off by its relative error, and the fall with it.
  const u = Math.hypot(own, ceilingShare(runs, order));
  const z = (order - 1) / own;
  const weight = 1 / (1 + Math.exp(-(z * z - 2) / 2));
  return { order, u, uReadings: own, df, form: formOf(order, u), weight, runs: parts.map(({ label }) => label) };
}

/** (1 - f/(1 + e))^x falls like (1 - f)^(x/(1 + e)): a ceiling that is off by e changes the power by x e. */
function ceilingShare(runs: readonly (RunAnalysis | Refused)[], order: number): number {
  const relative = runs.flatMap((run) =>
    run.ok && run.ceilingM3 && run.ceilingM3.value > 0 ? [run.ceilingM3.u / run.ceilingM3.value] : [],
  );
  return relative.length === 0 ? 0 : Math.abs(order) * (relative.reduce((a, b) => a + b, 0) / relative.length);
}

/** The plainest form that the power allows within two standard uncertainties. */
function formOf(order: number, u: number): RateForm {
  const plain: readonly (readonly [number, RateForm])[] = [
    [1, 'first-order'],
    [0, 'zero-order'],
    [2, 'second-order'],
    [2 / 3, 'shrinking-solid'],
  ];
  return plain.find(([value]) => Math.abs(order - value) <= 2 * u)?.[1] ?? 'nth-order';
}

/**
 * A run's first-order rate averaged with the rate at the power that all runs show, by their Akaike weights; the spread
 * between the two is part of the uncertainty (Burnham and Anderson, Model Selection and Multimodel Inference, 2nd ed.
 * 2002, formula 4.9). The run as it is where that cannot be had or was chosen by the person.
 */
export function averaged(analysis: RunAnalysis | Refused, within: WithinOrder | null): RunAnalysis | Refused {
  if (!analysis.ok || !within || !analysis.used || analysis.usedBy === 'choice') return analysis;
  const first = toCeiling(analysis);
  if (!first || !within.runs.includes(analysis.run.label)) return analysis;
  // Readings that refuse the first-order curve are left to the other estimates unless the fitted power is clearly better.
  const otherwise = analysis.used.estimator !== 'firstOrder';
  if (otherwise && within.weight < 0.5) return analysis;
  const at = fitOne(analysis.run, within.order);
  const up = fitOne(analysis.run, within.order + within.uReadings);
  const down = fitOne(analysis.run, within.order - within.uReadings);
  if (!at || !up || !down) return analysis;
  const { form, order, weight } = within;
  return {
    ...analysis,
    ...(otherwise
      ? {
          recommended: {
            name: 'firstOrder',
            reason: `The ceiling is known, and the rate falls with the power ${order.toFixed(1)} of what is left.`,
          },
        }
      : {}),
    used: averagedEstimate(first, at, (up.rateM3PerS - down.rateM3PerS) / 2, within),
    model: { form, order, lag: null, weight, ceiling: 'given' },
  };
}

function averagedEstimate(first: RateEstimate, power: Fitted, byOrder: number, { weight }: WithinOrder): RateEstimate {
  const rate = (1 - weight) * first.rateM3PerS + weight * power.rateM3PerS;
  const uPower = Math.hypot(power.rateM3PerS * power.uRelative, byOrder);
  const uReadings = Math.sqrt(
    (1 - weight) * (first.uReadings ** 2 + (first.rateM3PerS - rate) ** 2) +
      weight * (uPower ** 2 + (power.rateM3PerS - rate) ** 2),
  );
  const total = combineContributions([
    { u: uReadings, df: first.dfReadings },
    ...Object.values(first.uShared).map((u) => ({ u, df: Number.POSITIVE_INFINITY })),
  ]);
  const half = halfWidth95(total);
  return {
    ...first,
    rateM3PerS: rate,
    uReadings,
    scatter: weight > 0.5 ? power.scatter : first.scatter,
    u: total.u,
    df: total.df,
    low95: rate - half,
    high95: rate + half,
  };
}
