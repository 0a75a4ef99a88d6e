import { DegenerateData } from './errors.ts';
import { nth } from './nth.ts';
import { fitStraightLine } from './straight-line.ts';
import { fitYorkLine } from './york-line.ts';

/** A first-order rate constant that needs neither the final reading nor the moment of the start. */
export interface LaggedConstant {
  /** 1/unit(times). */
  readonly rateConstant: number;
  /** By the jackknife: each reading left out in turn. Null with fewer than seven readings. */
  readonly standardError: number | null;
  /** Final reading that the method tells, unit of the readings; null where it tells none. */
  readonly final: number | null;
  /** Distance in time between the members of a pair. */
  readonly lag: number;
  readonly pairs: number;
}

/** Fewer readings leave too few pairs, and without one of them too few to judge the scatter by. */
const leastReadings = 4;
const leastForScatter = 7;

/**
 * Guggenheim's method: of readings V(t) and V(t + lag) of a first-order reaction, ln |V(t + lag) - V(t)| falls with t along
 * a straight line of slope -k, whatever V was at the start and will be at the end.
 *
 * A reading at t + lag that was not taken lies on the parabola through the three nearest. Differences that are small have
 * large errors in their logarithms and weigh less.
 * @param lag same unit as `times`; half of their span unless given
 * @throws DegenerateData for fewer than four readings, or where no two differ
 * Source: E. A. Guggenheim, Phil. Mag. 2 (1926) 538 (from memory). Check: OpenStax Chemistry 2e, 12.4, and NIST Misra1a, in
 * test/published/without-ceiling.test.ts. Cost: O(n^2) with the jackknife.
 * @example
 * const times = [0, 1, 2, 3, 4, 5, 6, 7, 8];
 * guggenheim(times, times.map((t) => 5 - 4 * Math.exp(-0.3 * t)), 4).rateConstant.toFixed(4) // => '0.3000'
 */
export function guggenheim(
  times: readonly number[],
  readings: readonly number[],
  lag = halfSpan(times),
): LaggedConstant {
  return withJackknife(times, readings, lag, (pairs) => {
    const differences = pairs.map(({ later, now }) => Math.abs(later - now));
    const most = mostOf(differences);
    const kept = pairs.flatMap(({ time }, i) => {
      const difference = nth(differences, i);
      return difference > 1e-9 * most ? [{ time, difference }] : [];
    });
    const line = fitStraightLine(
      kept.map(({ time }) => time),
      kept.map(({ difference }) => Math.log(difference)),
      kept.map(({ difference }) => (difference / most) ** 2),
    );
    return { rateConstant: -line.slope, final: null };
  });
}

/**
 * The time-lag method: V(t + lag) against V(t) of a first-order reaction is a straight line of slope exp(-k lag), which meets
 * V(t + lag) = V(t) at the final reading. Both are readings with errors alike, so the line is York's.
 * @param lag same unit as `times`; half of their span unless given
 * @throws DegenerateData for fewer than four readings, or where the line does not rise
 * Source: F. J. Kezdy, J. Jaz and A. Bruylants, Bull. Soc. Chim. Belg. 67 (1958) 687; E. S. Swinbourne, J. Chem. Soc. (1960)
 * 2371 (both from memory). Check and cost as for `guggenheim`.
 * @example
 * const times = [0, 1, 2, 3, 4, 5, 6, 7, 8];
 * timeLag(times, times.map((t) => 5 - 4 * Math.exp(-0.3 * t)), 4).final?.toFixed(4) // => '5.0000'
 */
export function timeLag(times: readonly number[], readings: readonly number[], lag = halfSpan(times)): LaggedConstant {
  return withJackknife(times, readings, lag, (pairs) => {
    const now = pairs.map((pair) => pair.now);
    const later = pairs.map((pair) => pair.later);
    const error = 1e-3 * mostOf(pairs.map((pair) => Math.max(Math.abs(pair.later), Math.abs(pair.now))));
    const alike = pairs.map(() => error);
    const { slope, intercept } = fitYorkLine(now, later, alike, alike);
    if (!(slope > 0)) throw new DegenerateData('The readings do not follow a first-order curve.', `slope ${slope}`);
    return { rateConstant: -Math.log(slope) / lag, final: slope < 1 ? intercept / (1 - slope) : null };
  });
}

interface Pair {
  readonly time: number;
  readonly now: number;
  readonly later: number;
}

type Found = Pick<LaggedConstant, 'rateConstant' | 'final'>;

/** Pairs of neighbours share readings, so the scatter about the line says too little: each reading is left out in turn. */
function withJackknife(
  times: readonly number[],
  readings: readonly number[],
  lag: number,
  method: (pairs: readonly Pair[]) => Found,
): LaggedConstant {
  if (times.length < leastReadings || !(lag > 0))
    throw new DegenerateData('There are too few readings for pairs of them.', `${times.length} readings`);
  const order = times.map((_, i) => i).sort((a, b) => nth(times, a) - nth(times, b));
  const sortedTimes = order.map((i) => nth(times, i));
  const sorted = order.map((i) => nth(readings, i));
  const all = pairsOf(sortedTimes, sorted, lag);
  const found = method(all);
  if (sorted.length < leastForScatter) return { ...found, standardError: null, lag, pairs: all.length };
  const without = sorted.map((_, out) => {
    const keep = (_value: number, i: number): boolean => i !== out;
    return method(pairsOf(sortedTimes.filter(keep), sorted.filter(keep), lag)).rateConstant;
  });
  const n = without.length;
  const mean = without.reduce((sum, k) => sum + k, 0) / n;
  const variance = ((n - 1) / n) * without.reduce((sum, k) => sum + (k - mean) ** 2, 0);
  return { ...found, standardError: Math.sqrt(variance), lag, pairs: all.length };
}

/** A spread of very many numbers into one call overflows the stack. */
const mostOf = (values: readonly number[]): number =>
  values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY);

const halfSpan = (times: readonly number[]): number => (mostOf(times) + mostOf(times.map((time) => -time))) / 2;

/** @param times rising */
function pairsOf(times: readonly number[], readings: readonly number[], lag: number): Pair[] {
  const end = nth(times, times.length - 1);
  const pairs: Pair[] = [];
  let at = 1;
  for (let i = 0; i < times.length; i++) {
    const time = nth(times, i);
    if (time + lag > end * (1 + 1e-12)) break;
    const then = Math.min(time + lag, end);
    while (at < times.length - 2 && Math.abs(nth(times, at + 1) - then) < Math.abs(nth(times, at) - then)) at++;
    pairs.push({ time, now: nth(readings, i), later: between(times, readings, at, then) });
  }
  if (pairs.length < 2) throw new DegenerateData('There are too few pairs of readings.', `${pairs.length} pairs`);
  return pairs;
}

/** Reading at a moment, on the parabola through the three readings about `at`, which is nearest to it. */
function between(times: readonly number[], readings: readonly number[], at: number, time: number): number {
  let value = 0;
  for (let i = at - 1; i <= at + 1; i++) {
    let weight = 1;
    for (let j = at - 1; j <= at + 1; j++)
      if (j !== i) weight *= (time - nth(times, j)) / (nth(times, i) - nth(times, j));
    value += weight * nth(readings, i);
  }
  return value;
}
