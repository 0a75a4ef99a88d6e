import { relativeLikelihoods } from '../numerics/information-criterion.ts';
import { type CommonTo, inputsToMove, type UncertainInput } from './inputs.ts';
import { judgeOrder } from './judge-order.ts';
import { areMany, juryOf } from './jury.ts';
import { type Experiment, type Refused, type RunData, refuse } from './run-data.ts';
import { type Contribution, combineContributions, halfWidth95 } from './scatter.ts';
import { tempered, tiedEachWay, unstated } from './tied-ceilings.ts';
import { usualActivationJPerMol } from './warming.ts';
import {
  type FittedFigure,
  type FollowedFit,
  followFit,
  type WholeFit,
  type WholeFitOptions,
  wholeFit,
} from './whole-fit.ts';
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
  /** Absent: each group of a class has an error of its own. */
  readonly commonTo?: CommonTo;
}

export interface WholeSetting {
  /** That of the law, so that both have one k. */
  readonly unit: 'amount' | 'volume';
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
 * @param before the result for nearly the same readings of very many runs, to start from
 */
export function wholeResult(
  experiment: Experiment,
  start: Readonly<Record<string, number>>,
  setting: WholeSetting,
  within: WithinOrder | null,
  before?: WholeResult,
): WholeResult | Refused {
  const base: WholeFitOptions = {
    start,
    unit: setting.unit,
    pace: setting.pace,
    activationJPerMol: setting.activationJPerMol?.value ?? usualActivationJPerMol,
  };
  const lagStartS =
    within && within.lagWeight > worthTrying ? (within.lag?.seconds ?? spanOf(experiment.runs) / 4) : null;
  // First and second order of what nobody stated bend alike at the start, and not quite alike further on.
  const byUnstated = experiment.runs.some(({ ceilingTiedBy }) => ceilingTiedBy === unstated);
  const bases = byUnstated ? [1, 2].map((order) => ({ ...base, fixed: { [unstated]: order } })) : [base];
  const tried = bases.flatMap((one) => [one, ...(lagStartS === null ? [] : [{ ...one, lagStartS }])]);
  const refused: Refused[] = [];
  const wanted = before && areMany(experiment.runs) ? tried.filter((one) => alike(before.free, one)) : tried;
  const ways = areMany(experiment.runs) ? [experiment.runs] : tiedEachWay(experiment.runs);
  const curves = likely(experiment.runs, wanted.length > 0 ? wanted : tried).flatMap((options) =>
    ways.flatMap((runs): Curve[] => {
      const fit = wholeFit(runs, { ...options, ...startFrom(before?.free, options) });
      if (!fit.ok) refused.push(fit);
      return fit.ok ? [{ experiment: { ...experiment, runs }, options, fit }] : [];
    }),
  );
  const [best] = [...curves].sort((a, b) => a.fit.aicc - b.fit.aicc);
  if (!best) return refused[0] ?? refuse('no-convergence', 'The fit of all readings did not settle.');
  const inputs = inputsToMove(experiment);
  const { kParts, orderParts } = partsOf(curves, best, inputs);
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
    accepted: orders && acceptedResult(orders, inputs, curves, before?.accepted?.fit),
    saturating: saturatingFit(best),
  };
}

/** Akaike weight below which a curve that some of very many runs speak against is not fitted to all of them. */
const worthAll = 0.3;

/** The curves to fit to all runs: every one, but where there are very many runs those that some of them find likely. */
function likely(runs: readonly RunData[], tried: readonly WholeFitOptions[]): readonly WholeFitOptions[] {
  const some = tried.length > 1 ? juryOf(runs) : null;
  if (!some) return tried;
  const fits = tried.flatMap((options) => {
    const fit = wholeFit(some, options);
    return fit.ok ? [{ options, aicc: fit.aicc }] : [];
  });
  const weights = relativeLikelihoods(fits.map(({ aicc }) => aicc));
  const sum = weights.reduce((a, b) => a + b, 0);
  const kept = fits.filter((_, i) => (weights[i] ?? 0) >= worthAll * sum).map(({ options }) => options);
  return kept.length > 0 ? kept : tried;
}

const startFrom = (near: WholeFit | undefined, options: WholeFitOptions): Partial<WholeFitOptions> =>
  near && areMany(near.runs) && alike(near, options) ? { near, nearSteps: 2 } : {};

/** Whether a fit has the parameters that the options ask for. */
const alike = ({ orders, lag }: WholeFit, { fixed = {}, lagStartS }: WholeFitOptions): boolean =>
  (lag !== null) === (lagStartS !== undefined) && Object.keys(orders).every((name) => fixed[name] === undefined);

interface Curve {
  /** With the ceilings tied one way, where they are. */
  readonly experiment: Experiment;
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
  curves: readonly Curve[],
  best: Curve,
  inputs: readonly UncertainInput[],
): { kParts: Contribution[]; orderParts: ReadonlyMap<string, Contribution[]> } {
  const { fit } = best;
  const kParts: Contribution[] = [
    { u: fit.uRelative, df: fit.df },
    { u: spreadOf(curves, best, ({ k }) => Math.log(k)), df: Number.POSITIVE_INFINITY },
  ];
  const orderParts = new Map(Object.entries(fit.orders).map(([n, o]) => [n, [{ u: o.u, df: fit.df }]]));
  for (const [name, parts] of orderParts)
    parts.push({ u: spreadOf(curves, best, ({ orders }) => orders[name]?.value), df: Number.POSITIVE_INFINITY });
  for (const { up, down } of moves(best, inputs)) {
    kParts.push({ u: Math.abs(up.lnK - down.lnK) / 2, df: Number.POSITIVE_INFINITY });
    for (const [name, parts] of orderParts)
      parts.push({
        u: Math.abs((up.orders[name] ?? 0) - (down.orders[name] ?? 0)) / 2,
        df: Number.POSITIVE_INFINITY,
      });
  }
  return { kParts, orderParts };
}

/** Akaike weights, the likeliest 1; where ceilings are tied, of the reagents that may do it, see `tempered`. */
function fairWeights(curves: readonly Curve[]): number[] {
  return relativeLikelihoods(
    tempered(
      curves.map(({ experiment: { runs }, fit }) => ({
        by: runs.find(({ ceilingTiedBy }) => ceilingTiedBy !== undefined)?.ceilingTiedBy,
        aicc: fit.aicc,
      })),
    ),
  );
}

/** By how much the reagents that may tie the ceilings, and the orders of one that nobody stated, differ in a figure: root mean square about the best, by Akaike weights. */
function spreadOf(curves: readonly Curve[], best: Curve, figureOf: (fit: WholeFit) => number | undefined): number {
  const alternatives = curves.filter(({ options }) => options.lagStartS === best.options.lagStartS);
  const weights = fairWeights(alternatives);
  const sum = weights.reduce((a, b) => a + b, 0);
  const value = figureOf(best.fit) ?? Number.NaN;
  const square = alternatives.reduce(
    (total, { fit }, i) => total + ((weights[i] ?? 0) / sum) * ((figureOf(fit) ?? value) - value) ** 2,
    0,
  );
  return Math.sqrt(square);
}

/** The fit with each input moved by its standard uncertainty either way. Where one way leaves no fit, because the ceiling falls below a reading, it is taken as far off as the other. */
function moves(
  { experiment, options, fit }: Curve,
  inputs: readonly UncertainInput[],
): { input: UncertainInput; up: FollowedFit; down: FollowedFit }[] {
  const at = followFit(experiment.runs, options, fit);
  return inputs.flatMap((input) => {
    const up = at(input.move(experiment, 1).runs);
    const down = at(input.move(experiment, -1).runs);
    const one = up ?? down;
    return one ? [{ input, up: up ?? opposite(one, fit), down: down ?? opposite(one, fit) }] : [];
  });
}

/** As far on the other side of the fit. */
function opposite(moved: FollowedFit, { k, orders }: WholeFit): FollowedFit {
  return {
    lnK: 2 * Math.log(k) - moved.lnK,
    orders: Object.fromEntries(
      Object.entries(orders).map(([name, { value }]) => [name, 2 * value - (moved.orders[name] ?? value)]),
    ),
  };
}

/** k at given orders, averaged over the curves; their spread is part of its uncertainty. */
function acceptedResult(
  orders: Readonly<Record<string, number>>,
  inputs: readonly UncertainInput[],
  curves: readonly Curve[],
  before?: WholeFit,
): WholeResult['accepted'] {
  const held = curves.flatMap(({ experiment, options }): Curve[] => {
    const fixed = { ...options, fixed: { ...options.fixed, ...orders } };
    const fit = wholeFit(experiment.runs, { ...fixed, ...startFrom(before, fixed) });
    return fit.ok ? [{ experiment, options: fixed, fit }] : [];
  });
  held.sort((a, b) => a.fit.aicc - b.fit.aicc);
  const [best] = held;
  if (!best) return null;
  const weights = fairWeights(held);
  const sum = weights.reduce((a, b) => a + b, 0);
  const lnK = held.reduce((total, { fit }, i) => total + ((weights[i] ?? 0) * Math.log(fit.k)) / sum, 0);
  let own = 0;
  held.forEach(({ fit }, i) => {
    own += ((weights[i] ?? 0) / sum) * (fit.uRelative ** 2 + (Math.log(fit.k) - lnK) ** 2);
  });
  const bySource = new Map<string, number>([['times and readings', own]]);
  for (const { input, up, down } of moves(best, inputs))
    bySource.set(input.source, (bySource.get(input.source) ?? 0) + ((up.lnK - down.lnK) / 2) ** 2);
  const commonTo = new Map(inputs.flatMap((input) => (input.commonTo ? [[input.source, input.commonTo]] : [])));
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
      .map(([source, v]): BudgetLine => {
        const common = commonTo.get(source);
        const share = variance > 0 ? v / variance : 0;
        return { source, u: Math.sqrt(v), share, ...(common ? { commonTo: common } : {}) };
      })
      .filter(({ u }) => u > 0)
      .sort((a, b) => b.share - a.share),
  };
}

/** From this order up the Michaelis form is not tried. */
const levelsOff = 0.9;

/** The Michaelis form in place of an order in the limiting reagent, from half the mean concentration. */
function saturatingFit({ experiment: { runs }, options, fit: power }: Curve): WholeFit | null {
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
