import { amountPerVolumeRate, ceilingOf, growthPerM3 } from './gas-frame.ts';
import { atStartPressure, stretchAt } from './rising-head.ts';
import { type Refused, type RunData, refuse } from './run-data.ts';
import { unstated } from './tied-ceilings.ts';

/** Readings of one run as shares of its ceiling. */
export interface RunPoints {
  readonly run: RunData;
  /** In `run.readings`; of neighbours that stand together, the first. */
  readonly index: readonly number[];
  /** s since the run's first reading: the page's own times can be days apart. */
  readonly times: readonly number[];
  /** -ln(1 - f), f being the share of the gas of full conversion, at the pressure of the start. */
  readonly logs: readonly number[];
  readonly uTimes: readonly number[];
  /** Of f. */
  readonly uShares: readonly number[];
  /** Moment of the first reading on the run's own clock, s. */
  readonly firstS: number;
  /** Ceiling at the pressure of the start, m3. */
  readonly ceilingM3: number;
  /** true: each point is the mean of neighbouring readings. */
  readonly gathered: boolean;
}

export interface WholePoints {
  readonly ok: true;
  readonly runs: readonly RunPoints[];
  readonly limiting: string;
  /** 'amount': rates in mol/(L s); 'volume': in m3/s of displaced gas. */
  readonly unit: 'amount' | 'volume';
  /** Longest run, s. */
  readonly spanS: number;
  readonly count: number;
}

/**
 * The readings of all runs that have a baseline, a ceiling and concentrations, as shares of their ceilings.
 * @param limiting key of the limiting reagent when the runs carry no gas frame; the only species otherwise
 */
export function wholePoints(runs: readonly RunData[], limiting?: string): WholePoints | Refused {
  const able = runs.filter((run) => run.concentrations && run.baselineM3 && ceilingOf(run));
  const names = Object.keys(able[0]?.concentrations ?? {});
  const key =
    limiting ?? able[0]?.gas?.limiting ?? able[0]?.ceilingTiedBy ?? (names.length === 1 ? names[0] : undefined);
  if (able.length === 0 || key === undefined)
    return refuse(
      'no-ceiling',
      'Fitting all readings at once needs the baseline, what was poured and the conditions of the gas for every run.',
    );
  if (able.some((run) => run.solids?.[key]))
    return refuse(
      'solid',
      `${key} is a solid and runs out first: it has no concentration, so the readings cannot be fitted all at once.`,
    );
  const points = able.map((run) => gathered(pointsOf(run)));
  if (points.some(({ times, logs }) => ![...times].every(Number.isFinite) || logs.some(Number.isNaN)))
    return refuse('not-finite', 'A reading has a time or volume that is not a number.');
  if (points.some(({ logs }) => logs.some((log) => !(log < mostLog))))
    return refuse(
      'above-ceiling',
      'A reading lies at or above what the planned amounts can make; check strengths, pours and baseline.',
    );
  const species = Object.keys(able[0]?.concentrations ?? {});
  if (able.some((run) => species.some((name) => !((run.concentrations?.[name]?.value ?? 0) > 1e-23))))
    return refuse('no-concentrations', 'A run lacks a starting concentration, or has one of zero.');
  if (!species.includes(key) && key !== unstated)
    return refuse('no-concentrations', `The limiting reagent ${key} is not among the concentrations.`);
  let spanS = 0;
  let count = 0;
  for (const { times } of points) {
    count += times.length;
    for (const time of times) spanS = Math.max(spanS, time);
  }
  if (!(spanS > 0)) return refuse('equal-times', 'All readings have the same time.');
  const unit = able.every((run) => amountPerVolumeRate(run) !== null) ? 'amount' : 'volume';
  return { ok: true, runs: points, limiting: key, unit, spanS, count };
}

/** Beyond 99.5 % of the ceiling a reading says nothing of the rate. */
const mostLog = -Math.log(0.005);

/** The readings of one run that has a baseline and a ceiling, one by one. */
export function pointsOf(run: RunData): RunPoints {
  const growth = growthPerM3(run);
  const ceilingM3 = atStartPressure(growth, ceilingOf(run)?.value ?? Number.NaN);
  const baseline = run.baselineM3?.value ?? Number.NaN;
  let firstS = Number.POSITIVE_INFINITY;
  for (const { timeS } of run.readings) firstS = Math.min(firstS, timeS);
  const index: number[] = [];
  const times: number[] = [];
  const logs: number[] = [];
  const uTimes: number[] = [];
  const uShares: number[] = [];
  run.readings.forEach((reading, i) => {
    if (reading.setAside !== undefined) return;
    const displaced = reading.volumeM3 - baseline;
    const share = atStartPressure(growth, displaced) / ceilingM3;
    index.push(i);
    times.push(reading.timeS - firstS);
    logs.push(share >= 1 ? Number.POSITIVE_INFINITY : -Math.log1p(-share));
    uTimes.push(reading.uTimeS);
    uShares.push((reading.uVolumeM3 * stretchAt(growth, displaced)) / ceilingM3);
  });
  return { run, index, times, logs, uTimes, uShares, firstS, ceilingM3, gathered: false };
}

/** More readings of one run than this stand together with their neighbours. */
const mostPoints = 2000;

/**
 * A logger's run of very many readings as means of neighbours, which lie on one straight piece of the curve: nothing of
 * the curve is lost, and a mean of m readings is uncertain by 1/root(m) of one.
 */
function gathered(points: RunPoints): RunPoints {
  const size = Math.ceil(points.times.length / mostPoints);
  if (size <= 1) return points;
  const order = points.times.map((_, i) => i).sort((a, b) => (points.times[a] ?? 0) - (points.times[b] ?? 0));
  const groups = order.flatMap((_, i) => (i % size === 0 ? [order.slice(i, i + size)] : []));
  const overGroups = (values: readonly number[], of: (sum: number, value: number) => number): number[] =>
    groups.map((group) => group.reduce((sum, i) => of(sum, values[i] ?? Number.NaN), 0) / group.length);
  const means = (values: readonly number[]): number[] => overGroups(values, (sum, value) => sum + value);
  const uMeans = (values: readonly number[]): number[] => overGroups(values, (sum, value) => Math.hypot(sum, value));
  return {
    ...points,
    index: groups.map(([first = 0]) => points.index[first] ?? first),
    times: means(points.times),
    logs: means(points.logs),
    uTimes: uMeans(points.uTimes),
    uShares: uMeans(points.uShares),
    gathered: true,
  };
}
