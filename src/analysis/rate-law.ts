import { nth } from '../numerics/nth.ts';
import {
  type AcceptedLaw,
  acceptedLaw,
  constantsAt,
  type InputEffect,
  pooledWithScatter,
  roundedSpread,
  stockParts,
} from './accepted-law.ts';
import type { OrderProblem } from './identify-orders.ts';
import { isWild, judgeOrder, type OrderEstimate } from './judge-order.ts';
import { chooseOrders, type FittedLaw, fewDegrees, fitLaw, rowVariance } from './law-fit.ts';
import type { LawRow } from './law-row.ts';
import type { Refused } from './run-data.ts';
import { type Contribution, combineContributions, judgeScatter, type Scatter } from './scatter.ts';

export interface RateLaw {
  readonly ok: true;
  /** Orders that the runs can tell, as estimated. */
  readonly orders: Readonly<Record<string, OrderEstimate>>;
  /** Orders that they cannot, each with its sentence. */
  readonly problems: readonly OrderProblem[];
  /**
   * k at the estimated orders; unit(rate) over unit(concentration) to the sum of orders. Null while any order is open:
   * a number that still holds an unknown power of a concentration is no rate constant.
   */
  readonly k: number | null;
  /** Why there is no k. */
  readonly kReason: string | null;
  /** Null when it cannot be told (nothing stated, no scatter). */
  readonly u: number | null;
  readonly df: number;
  readonly scatter: Scatter;
  /** k at the accepted orders (or those given); null while any order is open. */
  readonly accepted: AcceptedLaw | null;
  /**
   * Where concentrations that are the same in all runs leave their orders open, and nothing else does: what the rate is
   * with those concentrations taken into the constant. It compares such runs with one another (their temperatures, say)
   * and with nothing else. Null when `accepted` says more, or when not even this can be had.
   */
  readonly effective: AcceptedLaw | null;
  /** Rows that were used, and those that were not, with the reason. */
  readonly used: readonly LawRow[];
  readonly leftOut: readonly { readonly label: string; readonly sentence: string }[];
  /** Rate over that of the law, less 1, by used row. */
  readonly residuals: readonly number[];
}

export interface RateLawOptions {
  /** Every uncertain input beside the readings; the rows' own concentration uncertainties then only give weights. */
  readonly effects?: readonly InputEffect[];
  /** Orders to use for k whatever the data say (the person's choice, or those of the known reaction). */
  readonly orders?: Readonly<Record<string, number>>;
  /**
   * true: the uncertainties of the rows are only what the rounding of written figures leaves. They then give no weights.
   * What they propagate to is the least that orders and k are uncertain by, whatever the design; scatter between the
   * runs beyond that comes on top.
   */
  readonly rounding?: boolean;
}

/**
 * Orders and rate constant from the starting rates of several runs: rate = k [A]^x [B]^y ...
 *
 * The rates themselves are fitted (see `fitLaw`), each with the variance u(r)^2 + r^2 sum x^2 u(c)^2/c^2, r in the second
 * term being the law's rate. What runs share (label of a stock, cylinder, temperature) does not count in it; it is added
 * afterwards, through `effects` where the caller has computed them, else as the stocks' relative uncertainties in k alone.
 * Without any u(rate) errors are in proportion to the rate and the scatter speaks; with as many runs as unknowns there is
 * no scatter, and the uncertainty is what the stated ones propagate to. A table of rounded figures is in between, see
 * `roundedSpread`.
 *
 * Weights from few degrees of freedom enlarge the uncertainty as Kenward and Roger say. The stated uncertainties and the
 * scatter about the law are pooled as in `judgeScatter`, the former with the degrees of freedom that the rates came with
 * (Welch and Satterthwaite).
 *
 * An order is accepted as the nearest integer when that lies in its 99 % interval or within 0.05; else the nearest
 * half-integer when that lies in its 95 % interval or within 0.05. k at the accepted orders is then the mean of the runs' own k, weighted by their
 * variances (the plain mean when nothing is stated), its uncertainty enlarged by the Birge ratio when that is more
 * than chance allows (1 %).
 */
export function rateLaw(rows: readonly LawRow[], options: RateLawOptions = {}): RateLaw | Refused {
  const law = fitLaw(rows, options.rounding === true);
  if (!law.ok) return law;
  const { used, leftOut, told, problems, fitted, known, stated, fit, orders, centres } = law;
  const df = used.length - fit.coefficients.length;
  const { effects } = options;
  const estimates: Record<string, OrderEstimate> = {};
  told.forEach((name, j) => {
    const gradient = [0, ...fitted.map((_, i) => (i === j ? 1 : 0))];
    estimates[name] = judgeOrder(
      nth(orders, j),
      uncertaintyOf(law, gradient, effects, (effect) => effect.orders[name] ?? 0),
    );
  });
  const why = whyNoConstant(law, estimates);
  const own = uncertaintyOf(law, [1, ...centres.map((c) => -c)], effects, (effect) => effect.lnK);
  const whole = combineContributions(effects ? [own] : [own, ...stockParts(used, fitted, orders)]);
  const { chosen, complete, closed } = chooseOrders(
    law,
    (name) => options.orders?.[name] ?? estimates[name]?.accepted,
    options.orders,
  );
  const atChosen = complete ? acceptedLaw(used, chosen, { stated, known }, effects) : null;
  return {
    ok: true,
    orders: estimates,
    problems,
    k: why === null ? law.k : null,
    kReason: why,
    u: why === null && (known || df > 0) ? law.k * whole.u : null,
    df: whole.df,
    scatter: judgeScatter(fit.sumOfSquares, df, { stated, assumed: 0 }),
    accepted: closed ? atChosen : null,
    effective: closed ? null : atChosen,
    used,
    leftOut,
    residuals: fit.residuals,
  };
}

/** Why there is no rate constant at the estimated orders; null where there is one. */
function whyNoConstant({ problems }: FittedLaw, estimates: Readonly<Record<string, OrderEstimate>>): string | null {
  if (problems.length > 0)
    return `No rate constant is stated while an order is open. ${problems.map(({ sentence }) => sentence).join(' ')}`;
  const wild = Object.values(estimates).find(({ value }) => isWild(value));
  return wild ? `No rate constant is stated at such orders. ${wild.reason}` : null;
}

/**
 * Standard uncertainty and degrees of freedom of gradient . coefficients: each coefficient is a linear combination of
 * the rows' rates, so the stated parts add up row by row, each with its own degrees of freedom; then the inputs.
 */
function uncertaintyOf(
  law: FittedLaw,
  gradient: readonly number[],
  effects: readonly InputEffect[] | undefined,
  effectOf: (effect: InputEffect) => number,
): Contribution {
  const { fit, used, fitted, orders, known, stated } = law;
  const df = used.length - fit.coefficients.length;
  const endless = Number.POSITIVE_INFINITY;
  const projected = fit.covariance.map((row) => row.reduce((sum, c, j) => sum + c * nth(gradient, j), 0));
  const pulls = used.map((_, i) =>
    fit.columns.reduce((sum, column, j) => sum + nth(projected, j) * nth(column, i) * nth(fit.weights, i), 0),
  );
  if (!stated) {
    const unit = Math.sqrt(gradient.reduce((sum, g, i) => sum + g * nth(projected, i), 0));
    const scatter = { u: df > 0 ? unit * Math.sqrt(fit.sumOfSquares / df) : 0, df };
    if (known) return roundedSpread(pulls, used, { species: fitted, orders }, scatter);
    return df > 0 ? scatter : { u: 0, df: endless };
  }
  const enlarged = Math.sqrt(fewDegrees(law, gradient));
  const parts: Contribution[] = used.map((row, i) => {
    const rate = nth(fit.rates, i);
    const own = effects
      ? (row.uReadings ?? row.uRate ?? 0) / rate
      : Math.sqrt(rowVariance(row, rate, fitted, orders, true));
    return { u: Math.abs(nth(pulls, i)) * own * enlarged, df: row.dfRate };
  });
  const inputs = (shared: boolean): Contribution[] =>
    (effects ?? [])
      .filter((effect) => effect.shared === shared)
      .map((effect) => ({ u: Math.abs(effectOf(effect)), df: endless }));
  const prior = combineContributions([...parts, ...inputs(false)]);
  return combineContributions([pooledWithScatter(prior, fit.sumOfSquares, df), ...inputs(true)]);
}

/** What a law comes to without its uncertainties. */
export interface LawValues {
  readonly orders: Readonly<Record<string, number>>;
  /** As in `RateLaw`. */
  readonly k: number | null;
  /** k at the given orders, of the accepted or the effective law; null where there is none. */
  readonly kAt: (given: Readonly<Record<string, number>>) => number | null;
}

/** The law of some rows, to be followed as they are moved. */
export interface LawMover {
  readonly ok: true;
  /** Species whose orders are given. */
  readonly told: readonly string[];
  /** The values at moved rows; null where no law can be fitted to them. */
  readonly at: (moved: readonly LawRow[]) => LawValues | null;
}

/**
 * The values of `rateLaw`, to the last digit, for rows with an input moved, without the uncertainties, which are most of
 * its cost. The orders told are those of the unmoved rows: a pour moved in one run alone does not make a species vary
 * that is the same in all.
 */
export function lawMover(rows: readonly LawRow[]): LawMover | Refused {
  const unmoved = fitLaw(rows, false);
  if (!unmoved.ok) return unmoved;
  return {
    ok: true,
    told: unmoved.told,
    at: (moved) => {
      const law = fitLaw(moved, false, unmoved);
      if (!law.ok) return null;
      return {
        orders: Object.fromEntries(law.told.map((name, j) => [name, nth(law.orders, j)])),
        k: law.problems.length > 0 ? null : law.k,
        kAt: (given) => {
          const { chosen, complete } = chooseOrders(law, (name) => given[name], given);
          return complete ? constantsAt(law.used, chosen, law.stated).k : null;
        },
      };
    },
  };
}
