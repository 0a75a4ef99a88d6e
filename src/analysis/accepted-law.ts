import { fewDegreesFactor } from '../numerics/kenward-roger.ts';
import { named, nth } from '../numerics/nth.ts';
import type { CommonTo } from './inputs.ts';
import { ofConcentrations, rowVariance } from './law-fit.ts';
import type { LawRow } from './law-row.ts';
import { type Contribution, combineContributions, halfWidth95, judgeScatter, t95 } from './scatter.ts';

/**
 * What one uncertain input does to the result when it is moved by its standard uncertainty (computed through the whole
 * chain by the caller): to ln k at the estimated orders, to ln k at the accepted ones, to each order.
 */
export interface InputEffect {
  readonly source: string;
  /** true: the same error in all runs; it is then not part of what the scatter between runs can show. */
  readonly shared: boolean;
  readonly commonTo?: CommonTo | undefined;
  readonly lnK: number;
  readonly lnKAccepted: number;
  readonly orders: Readonly<Record<string, number>>;
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
  readonly shares: readonly ShareOfU[];
}

/** What one source contributes to u(k)/k. */
export interface ShareOfU {
  readonly source: string;
  readonly u: number;
  /** Absent: each group of a class has an error of its own. */
  readonly commonTo?: CommonTo | undefined;
}

/** Which uncertainties the rows have: any (`known`), and such that they can weigh (`stated`). */
interface RowUncertainties {
  readonly stated: boolean;
  readonly known: boolean;
}

/** k at given orders, its uncertainty, and k of every run. */
export function acceptedLaw(
  used: readonly LawRow[],
  orders: Readonly<Record<string, number>>,
  given: RowUncertainties,
  effects: readonly InputEffect[] | undefined,
): AcceptedLaw {
  return given.stated ? ofStated(used, orders, effects) : ofScatter(used, orders, given.known);
}

/** From the scatter of the runs' k about their mean, and from rounding where the figures are rounded. */
function ofScatter(used: readonly LawRow[], orders: Readonly<Record<string, number>>, known: boolean): AcceptedLaw {
  const species = Object.keys(orders);
  const powers = Object.values(orders);
  const { constants, k: mean } = constantsAt(used, orders, false);
  const n = used.length;
  const sd = n > 1 ? Math.sqrt(constants.reduce((sum, k) => sum + (k - mean) ** 2, 0) / (n - 1)) : 0;
  const scatter = { u: sd / Math.sqrt(n) / mean, df: n - 1 };
  const pulls = used.map(() => 1 / n);
  const own = known ? roundedSpread(pulls, used, { species, orders: powers }, scatter) : scatter;
  const total = combineContributions([own, ...stockParts(used, species, powers)]);
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
    perRun: perRunOf(used, constants, species, powers, known),
    birge: null,
    shares: told
      ? bySource([
          { source: known ? 'rounding and scatter of the runs' : 'scatter of the runs', u: own.u },
          ...stockShares(used, species, powers),
        ])
      : [],
  };
}

/** From the stated uncertainties, the inputs and the scatter together. */
function ofStated(
  used: readonly LawRow[],
  orders: Readonly<Record<string, number>>,
  effects: readonly InputEffect[] | undefined,
): AcceptedLaw {
  const species = Object.keys(orders);
  const powers = Object.values(orders);
  const { constants, relative, units, k } = constantsAt(used, orders, true);
  const weights = relative.map((v) => 1 / v);
  const sumW = weights.reduce((a, b) => a + b, 0);
  const n = used.length;
  const chi2 = constants.reduce((sum, one, i) => sum + (one / k - 1) ** 2 * nth(weights, i), 0);
  const ofReadings = (row: LawRow, i: number): number => (row.uReadings ?? row.uRate ?? 0) / (nth(units, i) * k);
  const parts = used.map((row, i) => ({
    u: ((effects ? ofReadings(row, i) : Math.sqrt(nth(relative, i))) * nth(weights, i)) / sumW,
    df: row.dfRate,
  }));
  const enlarged = fewDegreesFactor(
    [1],
    [used.map(() => 1)],
    weights,
    [[1 / sumW]],
    used.map(({ uRate, dfRate }, i) => {
      const share = ((uRate ?? 0) / (nth(units, i) * k)) ** 2 * nth(weights, i);
      return dfRate / Math.min(1, share) ** 2;
    }),
  );
  const endless = Number.POSITIVE_INFINITY;
  const part = (effect: InputEffect): Contribution => ({ u: Math.abs(effect.lnKAccepted), df: endless });
  const prior = combineContributions([
    ...parts.map(({ u, df }) => ({ u: u * Math.sqrt(enlarged), df })),
    ...(effects ?? []).filter((e) => !e.shared).map(part),
  ]);
  const own = pooledWithScatter(prior, chi2, n - 1);
  const stocks = stockParts(used, species, powers);
  const total = combineContributions([own, ...(effects ? effects.filter((e) => e.shared).map(part) : stocks)]);
  const half = total.u * t95(total.df);
  return {
    orders,
    k,
    u: k * total.u,
    df: total.df,
    low95: k * Math.exp(-half),
    high95: k * Math.exp(half),
    perRun: perRunOf(used, constants, species, powers, true),
    birge: n > 1 ? Math.sqrt(chi2 / (n - 1)) : null,
    shares: bySource([
      { source: 'times and readings', u: combineContributions(parts).u },
      ...(effects
        ? effects.map(({ source, commonTo, lnKAccepted }) => ({ source, commonTo, u: Math.abs(lnKAccepted) }))
        : stockShares(used, species, powers)),
    ]),
  };
}

const perRunOf = (
  used: readonly LawRow[],
  constants: readonly number[],
  species: readonly string[],
  powers: readonly number[],
  known: boolean,
): AcceptedLaw['perRun'] =>
  used.map((row, i) => {
    const k = nth(constants, i);
    return { label: row.label, k, u: known ? k * Math.sqrt(rowVariance(row, row.rate, species, powers, true)) : null };
  });

/**
 * k of every run at the orders, and their mean: weighted by the row variances, plain when nothing is stated. The part of a
 * variance that is in proportion to the rate follows the mean, not the run's own k: a run that came out slow by chance
 * counts no more than one that came out fast.
 */
export function constantsAt(
  used: readonly LawRow[],
  orders: Readonly<Record<string, number>>,
  stated: boolean,
): {
  readonly constants: readonly number[];
  /** Variance of each, over the square of the mean. */
  readonly relative: readonly number[];
  /** Rate of each run at k = 1. */
  readonly units: readonly number[];
  readonly k: number;
} {
  const species = Object.keys(orders);
  const powers = Object.values(orders);
  const units = used.map(({ concentrations }) =>
    species.reduce((product, name, j) => product * (concentrations[name]?.value ?? Number.NaN) ** nth(powers, j), 1),
  );
  const constants = used.map(({ rate }, i) => rate / nth(units, i));
  let k = constants.reduce((sum, one) => sum + one, 0) / constants.length;
  if (!stated) return { constants, relative: [], units, k };
  const ofOwn = used.map((row) => ofConcentrations(row, species, powers));
  const relativeAt = (mean: number): number[] =>
    used.map(({ uRate }, i) => Math.max(((uRate ?? 0) / (nth(units, i) * mean)) ** 2 + nth(ofOwn, i), 1e-24));
  for (let pass = 0; pass < mostPasses; pass++) {
    const weights = relativeAt(k).map((v) => 1 / v);
    const sum = weights.reduce((a, b) => a + b, 0);
    const next = constants.reduce((total, one, i) => total + one * (nth(weights, i) / sum), 0);
    const settled = Math.abs(next / k - 1) < 1e-14;
    k = next;
    if (settled) break;
  }
  return { constants, relative: relativeAt(k), units, k };
}

/** Enough for weights that follow the mean; most settle in ten. */
const mostPasses = 100;

/** The concentrations of a power law and their powers. */
interface Powers {
  readonly species: readonly string[];
  readonly orders: readonly number[];
}

/**
 * Uncertainty of sum(pull_i ln rate_i) from a table of rounded figures. Every rate is rounded by itself; what the
 * scatter between the runs shows beyond that is added with its own degrees of freedom, so that the two together are the
 * larger of both. A concentration written the same in several runs is one solution, off by the same amount in all of
 * them, which no scatter shows: it pulls with the sum of their pulls, times its order, and comes on top.
 */
export function roundedSpread(
  pulls: readonly number[],
  used: readonly LawRow[],
  { species, orders }: Powers,
  scatter: Contribution,
): Contribution {
  const endless = Number.POSITIVE_INFINITY;
  const parts = used.map(({ rate, uRate }, i) => ({ u: (Math.abs(nth(pulls, i)) * (uRate ?? 0)) / rate, df: endless }));
  const ofRates = combineContributions(parts).u;
  parts.push({ u: Math.sqrt(Math.max(scatter.u ** 2 - ofRates ** 2, 0)), df: scatter.df });
  species.forEach((name, j) => {
    const figures = new Map<number, number>();
    used.forEach((row, i) => {
      const { value, u } = named(row.concentrations, name);
      figures.set(value, (figures.get(value) ?? 0) + (nth(pulls, i) * nth(orders, j) * u) / value);
    });
    for (const u of figures.values()) parts.push({ u: Math.abs(u), df: endless });
  });
  return combineContributions(parts);
}

/** A stated uncertainty pooled with the scatter between runs, as `judgeScatter` does, with its own degrees of freedom. */
export function pooledWithScatter(prior: Contribution, sumOfSquares: number, df: number): Contribution {
  if (df <= 0) return prior;
  const judged = judgeScatter(sumOfSquares, df, { stated: true, assumed: 0 });
  if (judged.basis === 'scatter') return { u: prior.u * judged.scale, df };
  const priorDf = Math.min(prior.df, 1e6);
  return { u: prior.u * Math.sqrt((priorDf + sumOfSquares) / (priorDf + df)), df: priorDf + df };
}

/** Stock labels, each by the order of its species, in ln k. */
export function stockParts(
  used: readonly LawRow[],
  species: readonly string[],
  orders: readonly number[],
): Contribution[] {
  return species.map((name, j) => {
    const mean = used.reduce((sum, row) => sum + named(row.concentrations, name).uCommonRelative, 0) / used.length;
    return { u: Math.abs(nth(orders, j)) * mean, df: Number.POSITIVE_INFINITY };
  });
}

const stockShares = (used: readonly LawRow[], species: readonly string[], orders: readonly number[]): ShareOfU[] =>
  stockParts(used, species, orders).map(({ u }, j) => ({
    source: `strength of ${nth(species, j)}`,
    commonTo: 'kit',
    u,
  }));

/** Contributions of the same source added in quadrature, largest first; those of nothing left out. */
function bySource(parts: readonly ShareOfU[]): ShareOfU[] {
  const sums = new Map<string, { readonly square: number; readonly commonTo: CommonTo | undefined }>();
  for (const { source, u, commonTo } of parts) {
    const sum = sums.get(source);
    sums.set(source, { square: (sum?.square ?? 0) + u * u, commonTo: sum?.commonTo ?? commonTo });
  }
  return [...sums]
    .map(([source, { square, commonTo }]) => ({ source, u: Math.sqrt(square), ...(commonTo ? { commonTo } : {}) }))
    .filter(({ u }) => u > 0)
    .sort((a, b) => b.u - a.u);
}
