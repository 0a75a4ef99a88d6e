import { type BasisFit, fitBasis } from './basis-fit.ts';
import { identifyOrders, type OrderProblem } from './identify-orders.ts';
import { judgeOrder, type OrderEstimate } from './judge-order.ts';
import type { LawRow } from './law-row.ts';
import { moderated } from './moderated-rows.ts';
import { type Refused, refuse } from './run-data.ts';
import { type Contribution, combineContributions, halfWidth95, judgeScatter, type Scatter, t95 } from './scatter.ts';

/**
 * What one uncertain input does to the result when it is moved by its standard uncertainty (computed through the whole
 * chain by the caller): to ln k at the estimated orders, to ln k at the accepted ones, to each order.
 */
export interface InputEffect {
  readonly source: string;
  /** true: the same error in all runs; it is then not part of what the scatter between runs can show. */
  readonly shared: boolean;
  readonly lnK: number;
  readonly lnKAccepted: number;
  readonly orders: Readonly<Record<string, number>>;
}

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
  /** ln(rate) minus the fitted law, by used row. */
  readonly residuals: readonly number[];
}

export interface AcceptedLaw {
  readonly orders: Readonly<Record<string, number>>;
  readonly k: number;
  readonly u: number | null;
  readonly df: number;
  readonly low95: number | null;
  readonly high95: number | null;
  /** k of each run at these orders. */
  readonly perRun: readonly { readonly label: string; readonly k: number; readonly u: number | null }[];
  /** sqrt(chi-square per degree of freedom) of the runs' k about their mean; null with one run or nothing stated. */
  readonly birge: number | null;
  /** Contribution of each source to u(k)/k, before the scatter between runs is pooled in; empty when u is null. */
  readonly shares: readonly { readonly source: string; readonly u: number }[];
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
 * ln(rate) = ln k + x ln[A] + y ln[B] is a linear least-squares problem. Each row weighs by the variance of its
 * ln(rate), u(r)^2/r^2 + sum x^2 u(c)^2/c^2, where the orders in the second term come from the fit before (twice
 * round). What runs share (label of a stock, cylinder, temperature) does not count in it; it is added afterwards, through
 * `effects` where the caller has computed them, else as the stocks' relative uncertainties in k alone. Without any
 * u(rate) all rows weigh the same and the scatter speaks; with as many runs as unknowns there is no scatter, and the
 * uncertainty is what the stated ones propagate to. A table of rounded figures is in between, see `roundedSpread`.
 *
 * The stated uncertainties and the scatter about the law are pooled as in `judgeScatter`, the former with the degrees
 * of freedom that the rates came with (Welch and Satterthwaite).
 *
 * An order is accepted as the nearest integer when that lies in its 99 % interval or within 0.05; else the nearest
 * half-integer on the same terms. k at the accepted orders is then the mean of the runs' own k, weighted by their
 * variances (the plain mean when nothing is stated), its uncertainty enlarged by the Birge ratio when that is more
 * than chance allows (1 %).
 */
export function rateLaw(rows: readonly LawRow[], options: RateLawOptions = {}): RateLaw | Refused {
  const law = fitLaw(rows, options);
  if (!law.ok) return law;
  const { used, leftOut, told, problems, fitted, known, stated, fit, orders, variances, centres, centred } = law;
  const df = used.length - fit.coefficients.length;

  const { effects } = options;
  const uncertaintyOf = (gradient: readonly number[], effectOf: (effect: InputEffect) => number): Contribution =>
    spread({
      gradient,
      fit,
      centred,
      used,
      weights: variances.map((v) => 1 / v),
      own: used.map((row) =>
        effects ? ((row.uReadings ?? row.uRate ?? 0) / row.rate) ** 2 : rowVariance(row, fitted, orders, known),
      ),
      inputs: (effects ?? []).map((effect) => ({ shared: effect.shared, u: Math.abs(effectOf(effect)) })),
      df,
      stated,
      rounded: known && !stated ? { species: fitted, orders } : null,
    });
  const estimates: Record<string, OrderEstimate> = {};
  told.forEach((name, j) => {
    const part = uncertaintyOf([0, ...fitted.map((_, i) => (i === j ? 1 : 0))], (effect) => effect.orders[name] ?? 0);
    estimates[name] = judgeOrder(orders[j]!, part);
  });
  const open = problems.length > 0;
  const own = uncertaintyOf([1, ...centres.map((c) => -c)], (effect) => effect.lnK);
  const { k } = law;
  const whole = combineContributions(effects ? [own] : [own, ...stockParts(used, fitted, orders)]);
  const { chosen, complete, closed } = choose(
    law,
    (name) => options.orders?.[name] ?? estimates[name]!.accepted,
    options.orders,
  );
  const atChosen = complete ? acceptedLaw(used, chosen, { stated, known }, effects) : null;
  return {
    ok: true,
    orders: estimates,
    problems,
    k: open ? null : k,
    kReason: open
      ? `No rate constant is stated while an order is open. ${problems.map(({ sentence }) => sentence).join(' ')}`
      : null,
    u: !open && (known || df > 0) ? k * whole.u : null,
    df: whole.df,
    scatter: judgeScatter(fit.sumOfSquares, df, { stated, assumed: 0 }),
    accepted: closed ? atChosen : null,
    effective: closed ? null : atChosen,
    used,
    leftOut,
    residuals: fit.residuals,
  };
}

/** The least-squares law before anything is said about its uncertainty. */
interface FittedLaw {
  readonly ok: true;
  readonly used: readonly LawRow[];
  readonly leftOut: readonly { readonly label: string; readonly sentence: string }[];
  readonly told: readonly string[];
  readonly standIns: readonly string[];
  readonly problems: readonly OrderProblem[];
  /** The species of the columns: `told`, then `standIns`. */
  readonly fitted: readonly string[];
  readonly known: boolean;
  readonly stated: boolean;
  readonly fit: BasisFit;
  /** By column. */
  readonly orders: readonly number[];
  readonly variances: readonly number[];
  readonly centres: readonly number[];
  readonly centred: readonly (readonly number[])[];
  /** At the fitted orders. */
  readonly k: number;
}

/** @param asIn tells the same orders as this law, whatever the design of `rows` would tell */
function fitLaw(rows: readonly LawRow[], options: RateLawOptions, asIn?: FittedLaw): FittedLaw | Refused {
  const leftOut: { label: string; sentence: string }[] = [];
  const species = [...new Set(rows.flatMap((row) => Object.keys(row.concentrations)))];
  const fastest = Math.max(...rows.map(({ rate }) => rate));
  const all = options.rounding === true ? rows : moderated(rows);
  const used = all.filter((row) => {
    const why = whyNot(row, species, fastest);
    if (why) leftOut.push({ label: row.label, sentence: why });
    return why === null;
  });
  if (species.length === 0)
    return refuse('no-concentrations', 'No starting concentrations are known, so there is no rate law to find.');
  if (used.length === 0) return refuse('not-positive', leftOut[0]?.sentence ?? 'There are no runs with a rate.');
  const { told, standIns, problems } = asIn ?? identifyOrders(used, species);
  const fitted = [...told, ...standIns];
  if (fitted.length + 1 > used.length)
    return refuse(
      'not-identifiable',
      `${used.length} runs cannot tell ${fitted.length} orders and a rate constant; at least ${fitted.length + 1} runs are needed.`,
    );

  const known = used.every((row) => row.uRate !== null && row.uRate > 0);
  const stated = known && options.rounding !== true;
  const y = used.map((row) => Math.log(row.rate));
  const ones = used.map(() => 1);
  const logs = fitted.map((name) => used.map((row) => Math.log(row.concentrations[name]!.value)));
  // Centred, so that the intercept is the rate in the middle of the design and nothing depends on units.
  const centres = logs.map((column) => column.reduce((sum, x) => sum + x, 0) / column.length);
  const centred = logs.map((column, j) => column.map((x) => x - centres[j]!));
  let orders = fitted.map(() => 1);
  let variances = used.map((row) => rowVariance(row, fitted, orders, stated));
  let fit = fitBasis(
    [ones, ...centred],
    y,
    variances.map((v) => 1 / v),
  );
  for (let pass = 0; pass < 2 && fit && stated; pass++) {
    orders = fit.coefficients.slice(1);
    variances = used.map((row) => rowVariance(row, fitted, orders, stated));
    fit = fitBasis(
      [ones, ...centred],
      y,
      variances.map((v) => 1 / v),
    );
  }
  if (!fit) return refuse('not-identifiable', 'These runs cannot tell any order apart from the rate constant.');
  orders = fit.coefficients.slice(1);
  // ln k = intercept - sum x_j centre_j
  const k = Math.exp(fit.coefficients[0]! - orders.reduce((sum, x, j) => sum + x * centres[j]!, 0));
  return {
    ok: true,
    used,
    leftOut,
    told,
    standIns,
    problems,
    fitted,
    known,
    stated,
    fit,
    orders,
    variances,
    centres,
    centred,
    k,
  };
}

/** The orders that k is stated at, whether they are all there, and whether none is open. */
function choose(
  { told, standIns, problems }: FittedLaw,
  orderOf: (name: string) => number | null | undefined,
  given: Readonly<Record<string, number>> | undefined,
): { chosen: Record<string, number>; complete: boolean; closed: boolean } {
  const chosen: Record<string, number> = {};
  let complete = true;
  let closed = true;
  for (const name of told) {
    const order = orderOf(name);
    if (order === null || order === undefined) complete = false;
    else chosen[name] = order;
  }
  // An order that the runs cannot tell can still be given (a known reaction); k is then a true rate constant.
  for (const problem of problems) {
    const order = given?.[problem.species];
    if (order !== undefined) chosen[problem.species] = order;
  }
  if (Object.keys(chosen).length === 0 || standIns.some((name) => chosen[name] === undefined)) complete = false;
  for (const { kind, species: name } of problems) {
    if (chosen[name] !== undefined) continue;
    closed = false;
    if (kind !== 'constant') complete = false;
  }
  return { chosen, complete, closed };
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
  const unmoved = fitLaw(rows, {});
  if (!unmoved.ok) return unmoved;
  return {
    ok: true,
    told: unmoved.told,
    at: (moved) => {
      const law = fitLaw(moved, {}, unmoved);
      if (!law.ok) return null;
      return {
        orders: Object.fromEntries(law.told.map((name, j) => [name, law.orders[j]!])),
        k: law.problems.length > 0 ? null : law.k,
        kAt: (given) => {
          const { chosen, complete } = choose(law, (name) => given[name], given);
          return complete ? constantsAt(law.used, chosen, law.stated).k : null;
        },
      };
    },
  };
}

/** Below a molecule in a bathtub (mol/L) a concentration is none. */
const smallest = 1e-26;

/** A rate below three of its uncertainties, and below a tenth of the fastest, is none that a power law could follow. */
const unmeasured = ({ rate, uRate }: LawRow, fastest: number): boolean =>
  uRate !== null && rate < 3 * uRate && rate < 0.1 * fastest;

function whyNot(row: LawRow, species: readonly string[], fastest: number): string | null {
  if (!(row.rate > 1e-60) || !Number.isFinite(row.rate))
    return `Run ${row.label} has no rate above zero, so it cannot enter a rate law.`;
  if (unmeasured(row, fastest))
    return `Run ${row.label} has no measurable rate: it is smaller than three times its uncertainty, so the run is left out.`;
  for (const name of species) {
    const c = row.concentrations[name];
    if (c === undefined) return `Run ${row.label} has no concentration of ${name}.`;
    if (!(c.value > smallest) || !Number.isFinite(c.value))
      return `Run ${row.label} has no ${name}: a power law cannot be fitted through a zero concentration, so this run is left out.`;
  }
  return null;
}

/** Variance of ln(rate) about the law that belongs to this run alone. */
function rowVariance(row: LawRow, species: readonly string[], orders: readonly number[], stated: boolean): number {
  if (!stated) return 1;
  let variance = ((row.uRate ?? 0) / row.rate) ** 2;
  species.forEach((name, j) => {
    const c = row.concentrations[name]!;
    variance += (orders[j]! * (c.u / c.value)) ** 2;
  });
  return Math.max(variance, 1e-24);
}

interface SpreadInput {
  readonly gradient: readonly number[];
  readonly fit: BasisFit;
  readonly centred: readonly (readonly number[])[];
  readonly used: readonly LawRow[];
  readonly weights: readonly number[];
  /** Variance of each row's ln(rate) that is not among `inputs`. */
  readonly own: readonly number[];
  readonly inputs: readonly { readonly shared: boolean; readonly u: number }[];
  readonly df: number;
  readonly stated: boolean;
  /** Figures that are only rounded: the species of the centred columns and their orders. */
  readonly rounded: Powers | null;
}

/** The concentrations of a power law and their powers. */
interface Powers {
  readonly species: readonly string[];
  readonly orders: readonly number[];
}

/**
 * Standard uncertainty and degrees of freedom of gradient . coefficients: each coefficient is a linear combination of
 * the rows' ln(rate), so the stated parts add up row by row, each with its own degrees of freedom; then the inputs.
 */
function spread(input: SpreadInput): Contribution {
  const { gradient, fit, used, df, stated, rounded } = input;
  const columns = [used.map(() => 1), ...input.centred];
  const projected = fit.covariance.map((row) => row.reduce((sum, c, j) => sum + c * gradient[j]!, 0));
  const pulls = used.map((_, i) =>
    columns.reduce((sum, column, j) => sum + projected[j]! * column[i]! * input.weights[i]!, 0),
  );
  if (!stated) {
    const unit = Math.sqrt(gradient.reduce((sum, g, i) => sum + g * projected[i]!, 0));
    const scatter = { u: df > 0 ? unit * Math.sqrt(fit.sumOfSquares / df) : 0, df };
    if (rounded) return roundedSpread(pulls, used, rounded, scatter);
    return df > 0 ? scatter : { u: 0, df: Number.POSITIVE_INFINITY };
  }
  const parts: Contribution[] = used.map((row, i) => ({
    u: Math.abs(pulls[i]!) * Math.sqrt(input.own[i]!),
    df: row.dfRate,
  }));
  const endless = Number.POSITIVE_INFINITY;
  const shared = input.inputs.filter((one) => one.shared).map(({ u }) => ({ u, df: endless }));
  const prior = combineContributions([
    ...parts,
    ...input.inputs.filter((one) => !one.shared).map(({ u }) => ({ u, df: endless })),
  ]);
  return combineContributions([pooledWithScatter(prior, fit.sumOfSquares, df), ...shared]);
}

/**
 * Uncertainty of sum(pull_i ln rate_i) from a table of rounded figures. Every rate is rounded by itself; what the
 * scatter between the runs shows beyond that is added with its own degrees of freedom, so that the two together are the
 * larger of both. A concentration written the same in several runs is one solution, off by the same amount in all of
 * them, which no scatter shows: it pulls with the sum of their pulls, times its order, and comes on top.
 */
function roundedSpread(
  pulls: readonly number[],
  used: readonly LawRow[],
  { species, orders }: Powers,
  scatter: Contribution,
): Contribution {
  const endless = Number.POSITIVE_INFINITY;
  const parts = used.map((row, i) => ({ u: (Math.abs(pulls[i]!) * row.uRate!) / row.rate, df: endless }));
  const ofRates = combineContributions(parts).u;
  parts.push({ u: Math.sqrt(Math.max(scatter.u ** 2 - ofRates ** 2, 0)), df: scatter.df });
  species.forEach((name, j) => {
    const figures = new Map<number, number>();
    used.forEach((row, i) => {
      const { value, u } = row.concentrations[name]!;
      figures.set(value, (figures.get(value) ?? 0) + (pulls[i]! * orders[j]! * u) / value);
    });
    for (const u of figures.values()) parts.push({ u: Math.abs(u), df: endless });
  });
  return combineContributions(parts);
}

/** A stated uncertainty pooled with the scatter between runs, as `judgeScatter` does, with its own degrees of freedom. */
function pooledWithScatter(prior: Contribution, sumOfSquares: number, df: number): Contribution {
  if (df <= 0) return prior;
  const judged = judgeScatter(sumOfSquares, df, { stated: true, assumed: 0 });
  if (judged.basis === 'scatter') return { u: prior.u * judged.scale, df };
  const priorDf = Math.min(prior.df, 1e6);
  return { u: prior.u * Math.sqrt((priorDf + sumOfSquares) / (priorDf + df)), df: priorDf + df };
}

/** Stock labels, each by the order of its species, in ln k. */
function stockParts(used: readonly LawRow[], species: readonly string[], orders: readonly number[]): Contribution[] {
  return species.map((name, j) => {
    const mean = used.reduce((sum, row) => sum + row.concentrations[name]!.uCommonRelative, 0) / used.length;
    return { u: Math.abs(orders[j]!) * mean, df: Number.POSITIVE_INFINITY };
  });
}

/** k of every run at the orders, and their mean: weighted by the row variances, plain when nothing is stated. */
function constantsAt(
  used: readonly LawRow[],
  orders: Readonly<Record<string, number>>,
  stated: boolean,
): { constants: number[]; relative: number[]; k: number; lnMean: number; sumW: number } {
  const species = Object.keys(orders);
  const powers = species.map((name) => orders[name]!);
  const constants = used.map((row) => {
    let k = row.rate;
    species.forEach((name, j) => {
      k /= row.concentrations[name]!.value ** powers[j]!;
    });
    return k;
  });
  if (!stated) {
    const mean = constants.reduce((sum, k) => sum + k, 0) / constants.length;
    return { constants, relative: [], k: mean, lnMean: Math.log(mean), sumW: 0 };
  }
  // Relative weights from the row variances: k_i and its weight do not depend on the unit, nor on k_i's own error.
  const relative = used.map((row) => rowVariance(row, species, powers, true));
  const sumW = relative.reduce((sum, v) => sum + 1 / v, 0);
  const lnMean = constants.reduce((sum, k, i) => sum + Math.log(k) / relative[i]!, 0) / sumW;
  return { constants, relative, k: Math.exp(lnMean), lnMean, sumW };
}

function acceptedLaw(
  used: readonly LawRow[],
  orders: Readonly<Record<string, number>>,
  { stated, known }: { readonly stated: boolean; readonly known: boolean },
  effects: readonly InputEffect[] | undefined,
): AcceptedLaw {
  const species = Object.keys(orders);
  const powers = species.map((name) => orders[name]!);
  const { constants, relative, k, lnMean, sumW } = constantsAt(used, orders, stated);
  const perRun = used.map((row, i) => ({
    label: row.label,
    k: constants[i]!,
    u: known ? constants[i]! * Math.sqrt(rowVariance(row, species, powers, true)) : null,
  }));
  const n = perRun.length;
  const stocks = stockParts(used, species, powers);
  if (!stated) {
    const mean = k;
    const sd = n > 1 ? Math.sqrt(perRun.reduce((sum, { k }) => sum + (k - mean) ** 2, 0) / (n - 1)) : 0;
    const scatter = { u: sd / Math.sqrt(n) / mean, df: n - 1 };
    const own = known
      ? roundedSpread(
          used.map(() => 1 / n),
          used,
          { species, orders: powers },
          scatter,
        )
      : scatter;
    const total = combineContributions([own, ...stocks]);
    // Nothing stated, and runs that agree to the last figure a computer holds: not known, which is not the same as none.
    const told = total.u > 1e-12;
    const half = halfWidth95(total) * mean;
    return {
      orders,
      k: mean,
      u: told ? total.u * mean : null,
      df: Math.min(total.df, 1e6),
      low95: told ? mean - half : null,
      high95: told ? mean + half : null,
      perRun,
      birge: null,
      shares: told ? [{ source: known ? 'rounding and scatter of the runs' : 'scatter of the runs', u: own.u }] : [],
    };
  }
  const chi2 = perRun.reduce((sum, run, i) => sum + (Math.log(run.k) - lnMean) ** 2 / relative[i]!, 0);
  const parts = used.map((row, i) => ({
    u: (effects ? (row.uReadings ?? row.uRate ?? 0) / row.rate : Math.sqrt(relative[i]!)) / relative[i]! / sumW,
    df: row.dfRate,
  }));
  const fewReadings = meierFactor(
    relative.map((v) => 1 / v / sumW),
    used.map(({ dfRate }) => dfRate),
  );
  const endless = Number.POSITIVE_INFINITY;
  const part = (effect: InputEffect): Contribution => ({ u: Math.abs(effect.lnKAccepted), df: endless });
  const prior = combineContributions([
    ...parts.map(({ u, df }) => ({ u: u * Math.sqrt(fewReadings), df })),
    ...(effects ?? []).filter((e) => !e.shared).map(part),
  ]);
  const own = pooledWithScatter(prior, chi2, n - 1);
  const common = effects ? effects.filter((e) => e.shared).map(part) : stocks;
  const total = combineContributions([own, ...common]);
  const half = total.u * t95(total.df);
  return {
    orders,
    k,
    u: k * total.u,
    df: total.df,
    low95: k * Math.exp(-half),
    high95: k * Math.exp(half),
    perRun,
    birge: n > 1 ? Math.sqrt(chi2 / (n - 1)) : null,
    shares: bySource([
      { source: 'times and readings', u: combineContributions(parts).u },
      ...(effects
        ? effects.map(({ source, lnKAccepted }) => ({ source, u: Math.abs(lnKAccepted) }))
        : species.map((name, j) => ({ source: `strength of ${name}`, u: stocks[j]!.u }))),
    ]),
  };
}

/**
 * By what the variance of a weighted mean grows because its weights come from few degrees of freedom:
 * 1 + 4 sum w (1 - w)/df, w being the shares of the weights.
 * Source: Meier, "Variance of a weighted mean", Biometrics 9 (1953) 59.
 */
export function meierFactor(shares: readonly number[], dfs: readonly number[]): number {
  return shares.reduce((sum, w, i) => sum + (4 * w * (1 - w)) / Math.max(dfs[i] ?? 1, 1), 1);
}

/** Contributions of the same source added in quadrature, largest first; those of nothing left out. */
function bySource(parts: readonly { source: string; u: number }[]): { source: string; u: number }[] {
  const sums = new Map<string, number>();
  for (const { source, u } of parts) sums.set(source, (sums.get(source) ?? 0) + u * u);
  return [...sums]
    .map(([source, square]) => ({ source, u: Math.sqrt(square) }))
    .filter(({ u }) => u > 0)
    .sort((a, b) => b.u - a.u);
}
