import { fitBasis } from './basis-fit.ts';
import { amountPerVolumeRate, ceilingOf, growthPerM3 } from './gas-frame.ts';
import { atStartPressure, stretchAt } from './rising-head.ts';
import { type Refused, type RunData, refuse } from './run-data.ts';
import { halfWidth95, judgeScatter, type Scatter } from './scatter.ts';

/** All readings of all runs fitted at once. */
export interface WholeFit {
  readonly ok: true;
  /** d[gas]/dt = k prod c^order in mol, L, s; with m3/s of displaced gas for the rate where amounts are not known. */
  readonly k: number;
  /** Standard uncertainty of ln k from the readings alone. */
  readonly uRelative: number;
  readonly df: number;
  readonly orders: Readonly<
    Record<string, { readonly value: number; readonly u: number; readonly low95: number; readonly high95: number }>
  >;
  readonly scatter: Scatter;
  /** Moment of zero gas of each run, on its own time axis, s. */
  readonly offsetsS: readonly { readonly label: string; readonly value: number; readonly u: number }[];
  /** Called moment minus fitted moment, s, by run and reading (index in `run.readings`). */
  readonly residuals: readonly { readonly label: string; readonly index: number; readonly residualS: number }[];
  readonly runs: readonly string[];
  /** 'amount': k in concentration units; 'volume': in m3/s of displaced gas. */
  readonly unit: 'amount' | 'volume';
}

export interface WholeFitOptions {
  /** Orders to hold; every other species whose concentration differs is fitted, the limiting one always. */
  readonly fixed?: Readonly<Record<string, number>>;
  /** Where to start; 1 unless given. */
  readonly start?: Readonly<Record<string, number>>;
  /** Key of the limiting reagent when the runs carry no gas frame. */
  readonly limiting?: string;
  /** Rate of each run at its own temperature over that at the reference temperature (Arrhenius); 1 unless given. */
  readonly pace?: (run: RunData) => number;
}

interface Point {
  readonly run: number;
  readonly index: number;
  readonly time: number;
  readonly f: number;
  /** -ln(1 - f) */
  readonly log: number;
  readonly ut: number;
  readonly uf: number;
}

const maxIterations = 50;

/** The power of what is left in one run can be larger than any order: gas held back, or a leak. */
const wildExponent = 10;

/**
 * One rate law for all readings: with f the share of the limiting reagent used up (displaced gas over the ceiling, both
 * at the pressure of the start), dV/dt = r0 (1 - f)^x, r0 = k prod c0^order / (moles per volume), whose solution for the moment of a reading is
 * t = t0 + (C/r0) g(f), g(f) = (1 - (1 - f)^(1-x))/(1 - x), which is -ln(1 - f) for x = 1: closed for any order x in
 * the limiting reagent. The moment is what is uncertain in a reading called at a mark, so the residuals are in time,
 * with variance u_t^2 + (u_V dt/dV)^2. Unknown: ln k, the orders, one t0 for each run (mixing, dead time and the
 * caller's delay all go there). Gauss-Newton with halved steps; each reading's weight follows the fit.
 *
 * ln k is taken at the geometric mean of the concentrations and carried to the unit afterwards, so that nothing depends
 * on units. Other reagents than the limiting one are taken as lasting (a catalyst, or in excess).
 *
 * @returns refusals: no ceiling or baseline, readings beyond the ceiling, no convergence
 */
export function wholeFit(runs: readonly RunData[], options: WholeFitOptions = {}): WholeFit | Refused {
  const able = runs.filter((run) => run.concentrations && run.baselineM3 && ceilingOf(run));
  const limiting = options.limiting ?? able[0]?.gas?.limiting;
  if (able.length === 0 || limiting === undefined)
    return refuse(
      'no-ceiling',
      'Fitting all readings at once needs the baseline, what was poured and the conditions of the gas for every run.',
    );
  const amount = able.every((run) => amountPerVolumeRate(run) !== null);
  const factors = able.map(
    (run) => (amount ? amountPerVolumeRate(run)!.factor / 1000 : 1) / (options.pace?.(run) ?? 1),
  );
  // Each run on a clock from its first reading: the page's own times can be days apart.
  const starts = able.map((run) => Math.min(...run.readings.map((reading) => reading.timeS)));
  const growths = able.map(growthPerM3);
  const ceilings = able.map((run, r) => atStartPressure(growths[r]!, ceilingOf(run)!.value));
  const points: Point[] = [];
  for (const [r, run] of able.entries()) {
    run.readings.forEach((reading, index) => {
      if (reading.setAside !== undefined) return;
      const displaced = reading.volumeM3 - run.baselineM3!.value;
      const f = atStartPressure(growths[r]!, displaced) / ceilings[r]!;
      points.push({
        run: r,
        index,
        time: reading.timeS - starts[r]!,
        f,
        log: -Math.log1p(-f),
        ut: reading.uTimeS,
        uf: (reading.uVolumeM3 * stretchAt(growths[r]!, displaced)) / ceilings[r]!,
      });
    });
  }
  if (points.some((p) => !Number.isFinite(p.time) || Number.isNaN(p.f)))
    return refuse('not-finite', 'A reading has a time or volume that is not a number.');
  if (points.some((p) => !(p.f < 0.995)))
    return refuse(
      'above-ceiling',
      'A reading lies at or above what the planned amounts can make; check strengths, pours and baseline.',
    );
  const species = Object.keys(able[0]!.concentrations!);
  if (able.some((run) => species.some((name) => !((run.concentrations![name]?.value ?? 0) > 1e-23))))
    return refuse('no-concentrations', 'A run lacks a starting concentration, or has one of zero.');
  if (!species.includes(limiting))
    return refuse('no-concentrations', `The limiting reagent ${limiting} is not among the concentrations.`);

  const logs = new Map(
    species.map((name) => [name, able.map((run) => Math.log(run.concentrations![name]!.value / 1000))]),
  );
  const centre = (name: string): number => logs.get(name)!.reduce((sum, x) => sum + x, 0) / able.length;
  const varies = (name: string): boolean => {
    const column = logs.get(name)!;
    return Math.max(...column) - Math.min(...column) > 1e-4;
  };
  const fixed = options.fixed ?? {};
  const free = species.filter((name) => fixed[name] === undefined && (name === limiting || varies(name)));
  const orderOf = (orders: readonly number[], name: string): number => {
    const j = free.indexOf(name);
    return j >= 0 ? orders[j]! : (fixed[name] ?? 0);
  };
  const scaleT = Math.max(...points.map((p) => p.time));
  if (!(scaleT > 0)) return refuse('equal-times', 'All readings have the same time.');

  let orders = free.map((name) => options.start?.[name] ?? 1);
  let offsets = able.map(() => 0);
  /** ln of r0/C of each run at ln k = 0 in the middle of the design: what the orders add. */
  const lnShape = (x: readonly number[], r: number): number => {
    let sum = -Math.log(factors[r]! * ceilings[r]!);
    for (const name of species) sum += orderOf(x, name) * (logs.get(name)![r]! - centre(name));
    return sum;
  };
  const moments = (lnK: number, x: readonly number[]): number[] =>
    points.map((p) => conversionTime(p.log, orderOf(x, limiting)) * Math.exp(-lnK - lnShape(x, p.run)));
  let lnK = startLnK(points, able.length, (r) => lnShape(orders, r), orderOf(orders, limiting));
  if (!Number.isFinite(lnK))
    return refuse('falling', 'The readings do not rise with time, so there is no rate to fit.');

  const weightsAt = (k: number, x: readonly number[]): number[] =>
    points.map((p) => {
      // dt/df = (C/r0)(1 - f)^(-x)
      const dtdf = Math.exp(orderOf(x, limiting) * p.log - k - lnShape(x, p.run));
      return 1 / Math.max(p.ut ** 2 + (p.uf * dtdf) ** 2, (1e-9 * scaleT) ** 2);
    });
  const cost = (k: number, x: readonly number[], t0: readonly number[], weights: readonly number[]): number => {
    const model = moments(k, x);
    let sum = 0;
    points.forEach((p, i) => {
      sum += weights[i]! * (p.time - t0[p.run]! - model[i]!) ** 2;
    });
    return sum;
  };
  // Offsets are linear: best ones for a given curve, so that the start is near.
  offsets = bestOffsets(points, able.length, moments(lnK, orders), weightsAt(lnK, orders));
  let last: { fit: NonNullable<ReturnType<typeof fitBasis>>; sum: number; weights: number[] } | null = null;
  let settled = false;
  for (let iteration = 0; iteration < maxIterations && !settled; iteration++) {
    const weights = weightsAt(lnK, orders);
    const model = moments(lnK, orders);
    const x = orderOf(orders, limiting);
    const columns: number[][] = [model.map((m) => -m)];
    for (const name of free) {
      const column = points.map((p, i) => -model[i]! * (logs.get(name)![p.run]! - centre(name)));
      if (name === limiting)
        points.forEach((p, i) => {
          column[i]! += conversionTimeSlope(p.log, x) * Math.exp(-lnK - lnShape(orders, p.run));
        });
      columns.push(column);
    }
    for (let r = 0; r < able.length; r++) columns.push(points.map((p) => (p.run === r ? 1 : 0)));
    const residuals = points.map((p, i) => p.time - offsets[p.run]! - model[i]!);
    const fit = fitBasis(columns, residuals, weights);
    if (!fit) return refuse('not-identifiable', 'These runs cannot tell all orders and the rate constant apart.');
    const before = cost(lnK, orders, offsets, weights);
    const stepOf = (s: number): [number, number[], number[]] => [
      lnK + s * fit.coefficients[0]!,
      orders.map((v, j) => v + s * fit.coefficients[1 + j]!),
      offsets.map((v, r) => v + s * fit.coefficients[1 + free.length + r]!),
    ];
    let s = 1;
    while (s > 1e-7 && !(cost(...stepOf(s), weights) <= before * (1 + 1e-12))) s /= 2;
    settled = s <= 1e-7 || fit.coefficients.every((c, j) => Math.abs(c) < (j > free.length ? 1e-9 * scaleT : 1e-9));
    if (s > 1e-7) [lnK, orders, offsets] = stepOf(s);
    if (![lnK, ...orders, ...offsets].every(Number.isFinite)) break;
    last = { fit, sum: cost(lnK, orders, offsets, weights), weights };
  }
  if (!last || !settled) return refuse('no-convergence', 'The fit of all readings together did not settle.');
  if (orders.some((order) => Math.abs(order) > wildExponent))
    return refuse(
      'not-identifiable',
      'All readings together do not follow a rate law in powers of the concentrations: look for readings that are off, or a wrong ceiling.',
    );
  const stated = able.every((run) => run.uStated !== false);
  const df = points.length - 1 - free.length - able.length;
  if (df < 0) return refuse('too-few-readings', 'There are fewer readings than unknowns.');
  const scatter = judgeScatter(last.sum, df, { stated, assumed: 1 });
  const { covariance } = last.fit;
  // ln k at unit concentration: ln k_mid - sum order_j centre_j, with covariance.
  const gradient = covariance.map((_, j) => (j === 0 ? 1 : j <= free.length ? -centre(free[j - 1]!) : 0));
  let variance = 0;
  covariance.forEach((row, i) => {
    row.forEach((c, j) => {
      variance += gradient[i]! * gradient[j]! * c;
    });
  });
  let lnUnit = lnK;
  for (const name of species) lnUnit -= orderOf(orders, name) * centre(name);
  const model = moments(lnK, orders);
  return {
    ok: true,
    k: Math.exp(lnUnit),
    uRelative: Math.sqrt(Math.max(variance, 0)) * scatter.scale,
    df: scatter.df,
    orders: Object.fromEntries(
      free.map((name, j) => {
        const u = Math.sqrt(covariance[1 + j]![1 + j]!) * scatter.scale;
        const half = halfWidth95({ u, df: scatter.df });
        return [name, { value: orders[j]!, u, low95: orders[j]! - half, high95: orders[j]! + half }];
      }),
    ),
    scatter,
    offsetsS: able.map((run, r) => ({
      label: run.label,
      value: offsets[r]! + starts[r]!,
      u: Math.sqrt(covariance[1 + free.length + r]![1 + free.length + r]!) * scatter.scale,
    })),
    residuals: points.map((p, i) => ({
      label: able[p.run]!.label,
      index: p.index,
      residualS: p.time - offsets[p.run]! - model[i]!,
    })),
    runs: able.map((run) => run.label),
    unit: amount ? 'amount' : 'volume',
  };
}

/** g(f) as a function of L = -ln(1 - f): expm1((x - 1) L)/(x - 1), L itself at x = 1. */
export function conversionTime(log: number, order: number): number {
  const y = order - 1;
  return Math.abs(y * log) < 1e-9 ? log * (1 + (y * log) / 2) : Math.expm1(y * log) / y;
}

/** dg/dx. */
function conversionTimeSlope(log: number, order: number): number {
  const y = order - 1;
  const z = y * log;
  if (Math.abs(z) < 1e-3) return log * log * (1 / 2 + z / 3 + (z * z) / 8 + (z * z * z) / 30);
  return (log * Math.exp(z) - Math.expm1(z) / y) / y;
}

/** ln k from the slope of each run's moments against g(f), averaged. */
function startLnK(points: readonly Point[], runs: number, lnShape: (r: number) => number, order: number): number {
  let sum = 0;
  let count = 0;
  for (let r = 0; r < runs; r++) {
    const own = points.filter((p) => p.run === r);
    if (own.length < 2) continue;
    const g = own.map((p) => conversionTime(p.log, order));
    const t = own.map((p) => p.time);
    const meanG = g.reduce((a, b) => a + b, 0) / g.length;
    const meanT = t.reduce((a, b) => a + b, 0) / t.length;
    let gt = 0;
    let gg = 0;
    g.forEach((value, i) => {
      gt += (value - meanG) * (t[i]! - meanT);
      gg += (value - meanG) ** 2;
    });
    const slope = gt / gg;
    if (!(slope > 0)) continue;
    sum += -Math.log(slope) - lnShape(r);
    count++;
  }
  return count > 0 ? sum / count : Number.NaN;
}

function bestOffsets(
  points: readonly Point[],
  runs: number,
  model: readonly number[],
  weights: readonly number[],
): number[] {
  return Array.from({ length: runs }, (_, r) => {
    let top = 0;
    let bottom = 0;
    points.forEach((p, i) => {
      if (p.run !== r) return;
      top += weights[i]! * (p.time - model[i]!);
      bottom += weights[i]!;
    });
    return bottom > 0 ? top / bottom : 0;
  });
}
