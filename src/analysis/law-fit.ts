import { fewDegreesFactor } from '../numerics/kenward-roger.ts';
import { nth } from '../numerics/nth.ts';
import { type BasisFit, fitBasis } from './basis-fit.ts';
import { identifyOrders, type OrderProblem } from './identify-orders.ts';
import type { LawRow } from './law-row.ts';
import { moderated } from './moderated-rows.ts';
import { type Refused, refuse } from './run-data.ts';

/** The least-squares law before anything is said about its uncertainty. */
export interface FittedLaw {
  readonly ok: true;
  readonly used: readonly LawRow[];
  readonly leftOut: readonly { readonly label: string; readonly sentence: string }[];
  readonly told: readonly string[];
  readonly standIns: readonly string[];
  readonly problems: readonly OrderProblem[];
  /** The species of the columns: `told`, then `standIns`. */
  readonly fitted: readonly string[];
  /** Whether every row has an uncertainty. */
  readonly known: boolean;
  /** Whether these are uncertainties to weigh by. */
  readonly stated: boolean;
  readonly fit: PowerFit;
  /** By column. */
  readonly orders: readonly number[];
  readonly centres: readonly number[];
  /** At the fitted orders. */
  readonly k: number;
}

/** rate = exp(sum coefficient_j column_j), fitted to rates. */
export interface PowerFit extends BasisFit {
  readonly columns: readonly (readonly number[])[];
  /** Rates of the law. */
  readonly rates: readonly number[];
  /** Inverse variances of the rates in units of the law's. */
  readonly weights: readonly number[];
}

/**
 * The law of some rows: orders that they can tell, and the rate in the middle of the design.
 * @param rounding true: the rows' uncertainties are rounding alone and give no weights
 * @param asIn tells the same orders as this law, whatever the design of `rows` would tell
 */
export function fitLaw(rows: readonly LawRow[], rounding: boolean, asIn?: FittedLaw): FittedLaw | Refused {
  const species = [...new Set(rows.flatMap((row) => Object.keys(row.concentrations)))];
  const { able, leftOut } = setApart(rows, species);
  const used = rounding ? able : moderated(able);
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
  const stated = known && !rounding;
  const logs = fitted.map((name) => used.map((row) => Math.log(row.concentrations[name]?.value ?? Number.NaN)));
  // Centred, so that the intercept is the rate in the middle of the design and nothing depends on units.
  const centres = logs.map((column) => column.reduce((sum, x) => sum + x, 0) / column.length);
  const centred = logs.map((column, j) => column.map((x) => x - nth(centres, j)));
  const fit = powerFit(used, fitted, [used.map(() => 1), ...centred], stated);
  if (!fit) return refuse('not-identifiable', 'These runs cannot tell any order apart from the rate constant.');
  const [middle = Number.NaN, ...orders] = fit.coefficients;
  // ln k = intercept - sum x_j centre_j
  const k = Math.exp(middle - orders.reduce((sum, x, j) => sum + x * nth(centres, j), 0));
  return { ok: true, used, leftOut, told, standIns, problems, fitted, known, stated, fit, orders, centres, k };
}

/** A smaller concentration counts as none, mol/L: it is less than a molecule in a bathtub. */
const smallest = 1e-26;

/** No power law can follow a rate below three of its uncertainties and below a tenth of the fastest. */
const unmeasured = ({ rate, uRate }: LawRow, fastest: number): boolean =>
  uRate !== null && rate < 3 * uRate && rate < 0.1 * fastest;

/** Rows that no power law can use, with the reason, and the others. */
function setApart(rows: readonly LawRow[], species: readonly string[]) {
  const leftOut: { label: string; sentence: string }[] = [];
  const fastest = Math.max(...rows.map(({ rate }) => rate));
  const able = rows.filter((row) => {
    const why = whyNot(row, species, fastest);
    if (why) leftOut.push({ label: row.label, sentence: why });
    return why === null;
  });
  return { able, leftOut };
}

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

/**
 * Variance of a row's rate about the law, over the square of the law's rate: that of the rate itself, whatever the law
 * says, and that of this run's own concentrations, in proportion to the rate. 1 where nothing is stated: the errors are
 * then taken to be in proportion to the rate.
 * @param rate of the law
 */
export function rowVariance(
  row: LawRow,
  rate: number,
  species: readonly string[],
  orders: readonly number[],
  stated: boolean,
): number {
  if (!stated) return 1;
  const variance = ((row.uRate ?? 0) / rate) ** 2 + ofConcentrations(row, species, orders);
  return Math.max(variance, 1e-24);
}

/** The part of a row's relative variance that its own concentrations bring. */
export function ofConcentrations({ concentrations }: LawRow, species: readonly string[], orders: readonly number[]) {
  let variance = 0;
  species.forEach((name, j) => {
    const { u, value } = concentrations[name] ?? { u: 0, value: 1 };
    variance += (nth(orders, j) * (u / value)) ** 2;
  });
  return variance;
}

const mostSteps = 60;

/**
 * The rates themselves fitted by a power law (Gauss and Newton's method, halving steps that make it worse; weights
 * follow the fit), from where a straight line through their logarithms begins. Unlike their logarithms the rates have
 * errors of the stated size about the law: slow runs neither pull the orders nor count for more when they came out fast by
 * chance. Without stated uncertainties all errors are in proportion to the rate (quasi-likelihood with a constant
 * coefficient of variation: McCullagh and Nelder, Generalized Linear Models, 2nd ed. 1989, chapter 8).
 * @returns null where the columns cannot be told apart, or nothing settles
 */
function powerFit(
  used: readonly LawRow[],
  species: readonly string[],
  columns: readonly (readonly number[])[],
  stated: boolean,
): PowerFit | null {
  const start = fitBasis(
    columns,
    used.map(({ rate }) => Math.log(rate)),
    used.map(({ rate, uRate }) => (stated && uRate ? (rate / uRate) ** 2 : 1)),
  );
  if (!start) return null;
  let coefficients = start.coefficients;
  const ratesAt = (at: readonly number[]): number[] =>
    used.map((_, i) => Math.exp(columns.reduce((sum, column, j) => sum + nth(at, j) * nth(column, i), 0)));
  const weightsAt = (at: readonly number[], rates: readonly number[]): number[] =>
    used.map((row, i) => 1 / rowVariance(row, nth(rates, i), species, at.slice(1), stated));
  for (let step = 0; step < mostSteps; step++) {
    const rates = ratesAt(coefficients);
    const weights = weightsAt(coefficients, rates);
    const off = used.map(({ rate }, i) => rate / nth(rates, i) - 1);
    const fit = fitBasis(columns, off, weights);
    if (!fit) return null;
    const size = Math.max(...fit.coefficients.map(Math.abs));
    if (size < 1e-12) {
      const residuals = off;
      const sumOfSquares = off.reduce((sum, r, i) => sum + nth(weights, i) * r * r, 0);
      return { coefficients, covariance: fit.covariance, residuals, sumOfSquares, columns, rates, weights };
    }
    const next = shortened(coefficients, fit.coefficients, size, (at) => misfit(used, ratesAt(at), rates, weights));
    if (!next) return null;
    coefficients = next;
  }
  return null;
}

/** Sum of squares of the rates about others, at the weights and in the units of given ones. */
const misfit = (
  used: readonly LawRow[],
  about: readonly number[],
  unit: readonly number[],
  weights: readonly number[],
): number => used.reduce((sum, { rate }, i) => sum + nth(weights, i) * ((rate - nth(about, i)) / nth(unit, i)) ** 2, 0);

/** The step, halved until the misfit does not grow. */
function shortened(
  from: readonly number[],
  step: readonly number[],
  size: number,
  misfitAt: (at: readonly number[]) => number,
): readonly number[] | null {
  const before = misfitAt(from);
  // No more than a factor of e^2 at a time.
  let share = Math.min(1, 2 / size);
  for (let halving = 0; halving < 40; halving++, share /= 2) {
    const next = from.map((value, j) => value + share * nth(step, j));
    if (misfitAt(next) <= before * (1 + 1e-9) + 1e-24) return next;
    if (share * size < 1e-11) return next;
  }
  return null;
}

/**
 * Factor by which weights that come from few degrees of freedom enlarge the variance of gradient . coefficients. The part
 * of a weight that is known beforehand (concentrations) is not an estimate.
 */
export function fewDegrees(law: FittedLaw, gradient: readonly number[]): number {
  const { fit, used } = law;
  const dfs = used.map(({ uRate, dfRate }, i) => {
    const ofScatter = ((uRate ?? 0) / nth(fit.rates, i)) ** 2 * nth(fit.weights, i);
    return dfRate / Math.min(1, ofScatter) ** 2;
  });
  return fewDegreesFactor(gradient, fit.columns, fit.weights, fit.covariance, dfs);
}

/** The orders that k is stated at, whether they are all there, and whether none is open. */
export function chooseOrders(
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
