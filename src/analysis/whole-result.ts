import { inputsToMove, type UncertainInput } from './inputs.ts';
import { judgeOrder } from './judge-order.ts';
import { type Experiment, type Refused, type RunData, refuse } from './run-data.ts';
import { type Contribution, combineContributions, halfWidth95 } from './scatter.ts';
import { usualActivationJPerMol } from './warming.ts';
import { type FittedFigure, type WholeFit, type WholeFitOptions, wholeFit } from './whole-fit.ts';
import type { WithinOrder } from './within-order.ts';

/** The whole-notebook fit with the uncertainty of everything, not of the readings alone. */
export interface WholeResult {
  readonly ok: true;
  /** The likelier of the curves with and without held-back gas. */
  readonly free: WholeFit;
  readonly k: number;
  readonly u: number;
  readonly df: number;
  readonly low95: number;
  readonly high95: number;
  readonly orders: Readonly<Record<string, FittedFigure>>;
  /** At the accepted orders, when there are such. */
  readonly accepted: {
    readonly orders: Readonly<Record<string, number>>;
    readonly fit: WholeFit;
    readonly k: number;
    readonly u: number;
    readonly df: number;
    readonly low95: number;
    readonly high95: number;
    /** How `fit` was made, for draws of the errors to repeat; without `pace`, since no function goes between workers. */
    readonly options: Omit<WholeFitOptions, 'pace'>;
    /** What each source contributes to u(k)/k. */
    readonly budget: readonly BudgetLine[];
  } | null;
  /** The same readings with the Michaelis form in the limiting reagent; null where it could not be fitted. */
  readonly saturating: WholeFit | null;
}

export interface BudgetLine {
  readonly source: string;
  /** Contribution to the relative standard uncertainty of k. */
  readonly u: number;
  /** Share of the variance, 0..1; the shares of a budget add up to 1. */
  readonly share: number;
}

export interface WholeSetting {
  readonly pace: (run: RunData) => number;
  readonly activationJPerMol: { readonly value: number } | null;
  /** The person's orders, or those of the known reaction. */
  readonly orders?: Readonly<Record<string, number>>;
}

/** A lag less likely than this within the runs is not tried on all of them together. */
const worthTrying = 0.05;

/**
 * All readings at once, with and without held-back gas where the runs show any, and with the Michaelis form; orders
 * judged from the likelier, and k at those orders averaged over both by their Akaike weights.
 */
export function wholeResult(
  experiment: Experiment,
  start: Readonly<Record<string, number>>,
  setting: WholeSetting,
  within: WithinOrder | null,
): WholeResult | Refused {
  const base: WholeFitOptions = {
    start,
    pace: setting.pace,
    activationJPerMol: setting.activationJPerMol?.value ?? usualActivationJPerMol,
  };
  const plain = wholeFit(experiment.runs, base);
  const lagStartS =
    within && within.lagWeight > worthTrying ? (within.lag?.seconds ?? spanOf(experiment.runs) / 4) : null;
  const lagged = lagStartS === null ? null : wholeFit(experiment.runs, { ...base, lagStartS });
  const curves: Curve[] = [
    { options: base, fit: plain },
    ...(lagged && lagStartS !== null ? [{ options: { ...base, lagStartS }, fit: lagged }] : []),
  ].flatMap(({ options, fit }) => (fit.ok ? [{ options, fit }] : []));
  const [best] = [...curves].sort((a, b) => a.fit.aicc - b.fit.aicc);
  if (!best) return plain.ok ? refuse('no-convergence', 'The fit of all readings did not settle.') : plain;
  const inputs = inputsToMove(experiment);
  const { kParts, orderParts } = partsOf(experiment, best, inputs);
  const total = combineContributions(kParts);
  const half = halfWidth95(total);
  const judged = Object.entries(best.fit.orders).map(([name, { value }]) => {
    const part = combineContributions(orderParts.get(name) ?? []);
    const h = halfWidth95(part);
    return {
      name,
      figure: { value, u: part.u, low95: value - h, high95: value + h },
      estimate: judgeOrder(value, part),
    };
  });
  const orders =
    setting.orders ??
    ordersOf(
      experiment,
      best.fit,
      judged.map(({ name, estimate }) => [name, estimate.accepted]),
    );
  return {
    ok: true,
    free: best.fit,
    k: best.fit.k,
    u: best.fit.k * total.u,
    df: total.df,
    low95: best.fit.k * Math.exp(-half),
    high95: best.fit.k * Math.exp(half),
    orders: Object.fromEntries(judged.map(({ name, figure }) => [name, figure])),
    accepted: orders && acceptedResult(experiment, orders, inputs, curves),
    saturating: saturatingFit(experiment, best),
  };
}

interface Curve {
  readonly options: WholeFitOptions;
  readonly fit: WholeFit;
}

function spanOf(runs: readonly RunData[]): number {
  let longest = 0;
  for (const { readings } of runs) {
    const [first, last] = [readings[0], readings.at(-1)];
    if (first && last) longest = Math.max(longest, last.timeS - first.timeS);
  }
  return longest;
}

/** Accepted orders, where every fitted one has one and none stays open because its concentration is the same in all runs. */
function ordersOf(
  { runs }: Experiment,
  { orders }: WholeFit,
  judged: readonly (readonly [string, number | null])[],
): Record<string, number> | null {
  const species = Object.keys(runs.find(({ concentrations }) => concentrations)?.concentrations ?? {});
  if (species.some((name) => orders[name] === undefined)) return null;
  const accepted: Record<string, number> = {};
  for (const [name, order] of judged) {
    if (order === null) return null;
    accepted[name] = order;
  }
  return accepted;
}

/** What readings and inputs contribute to ln k and to each order, at free orders. */
function partsOf(
  experiment: Experiment,
  { options, fit }: Curve,
  inputs: readonly UncertainInput[],
): { kParts: Contribution[]; orderParts: ReadonlyMap<string, Contribution[]> } {
  const kParts: Contribution[] = [{ u: fit.uRelative, df: fit.df }];
  const orderParts = new Map(Object.entries(fit.orders).map(([n, o]) => [n, [{ u: o.u, df: fit.df }]]));
  for (const { up, down } of moves(experiment, { options, fit }, inputs)) {
    kParts.push({ u: Math.abs(Math.log(up.k / down.k)) / 2, df: Number.POSITIVE_INFINITY });
    for (const [name, parts] of orderParts)
      parts.push({
        u: Math.abs((up.orders[name]?.value ?? 0) - (down.orders[name]?.value ?? 0)) / 2,
        df: Number.POSITIVE_INFINITY,
      });
  }
  return { kParts, orderParts };
}

/** The fit with each input moved by its standard uncertainty either way. */
function moves(
  experiment: Experiment,
  { options, fit }: Curve,
  inputs: readonly UncertainInput[],
): { input: UncertainInput; up: WholeFit; down: WholeFit }[] {
  return inputs.flatMap((input) => {
    const up = wholeFit(input.move(experiment, 1).runs, { ...options, near: fit });
    const down = wholeFit(input.move(experiment, -1).runs, { ...options, near: fit });
    return up.ok && down.ok ? [{ input, up, down }] : [];
  });
}

/** k at given orders, averaged over the curves; their spread is part of its uncertainty. */
function acceptedResult(
  experiment: Experiment,
  orders: Readonly<Record<string, number>>,
  inputs: readonly UncertainInput[],
  curves: readonly Curve[],
): WholeResult['accepted'] {
  const held = curves.flatMap(({ options }): Curve[] => {
    const fixed = { ...options, fixed: orders };
    const fit = wholeFit(experiment.runs, fixed);
    return fit.ok ? [{ options: fixed, fit }] : [];
  });
  held.sort((a, b) => a.fit.aicc - b.fit.aicc);
  const [best] = held;
  if (!best) return null;
  const weights = held.map(({ fit }) => Math.exp((best.fit.aicc - fit.aicc) / 2));
  const sum = weights.reduce((a, b) => a + b, 0);
  const lnK = held.reduce((total, { fit }, i) => total + ((weights[i] ?? 0) * Math.log(fit.k)) / sum, 0);
  let own = 0;
  held.forEach(({ fit }, i) => {
    own += ((weights[i] ?? 0) / sum) * (fit.uRelative ** 2 + (Math.log(fit.k) - lnK) ** 2);
  });
  const bySource = new Map<string, number>([['times and readings', own]]);
  for (const { input, up, down } of moves(experiment, best, inputs))
    bySource.set(input.source, (bySource.get(input.source) ?? 0) + (Math.log(up.k / down.k) / 2) ** 2);
  const variance = [...bySource.values()].reduce((a, b) => a + b, 0);
  const total = combineContributions(
    [...bySource].map(([source, v]) => ({
      u: Math.sqrt(v),
      df: source === 'times and readings' ? best.fit.df : Number.POSITIVE_INFINITY,
    })),
  );
  const half = halfWidth95(total);
  const k = Math.exp(lnK);
  const { pace: _, ...options } = best.options;
  return {
    orders,
    fit: best.fit,
    options,
    k,
    u: k * total.u,
    df: total.df,
    low95: k * Math.exp(-half),
    high95: k * Math.exp(half),
    budget: [...bySource]
      .map(([source, v]) => ({ source, u: Math.sqrt(v), share: variance > 0 ? v / variance : 0 }))
      .filter(({ u }) => u > 0)
      .sort((a, b) => b.share - a.share),
  };
}

/** From this order up the Michaelis form is not tried. */
const levelsOff = 0.9;

/** The Michaelis form in place of an order in the limiting reagent, from half the mean concentration. */
function saturatingFit({ runs }: Experiment, { options, fit: power }: Curve): WholeFit | null {
  const names = Object.keys(runs[0]?.concentrations ?? {});
  const limiting = runs.find(({ gas }) => gas)?.gas?.limiting ?? (names.length === 1 ? names[0] : undefined);
  // A rate that levels off looks like an order below one.
  if (limiting === undefined || !((power.orders[limiting]?.value ?? 1) < levelsOff)) return null;
  const found = runs.flatMap(({ concentrations }) => {
    const c = concentrations?.[limiting]?.value;
    return c === undefined ? [] : [c / 1000];
  });
  const mean = found.reduce((a, b) => a + b, 0) / found.length;
  const fit = mean > 0 ? wholeFit(runs, { ...options, saturationStart: mean / 2 }) : null;
  return fit?.ok ? fit : null;
}
