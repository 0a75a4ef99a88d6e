import { normalQuantile } from './distributions.ts';
import { DegenerateData, OutOfRange, requireFinite, requireResult, requireSameLength } from './errors.ts';
import { median } from './median.ts';
import { last, nth } from './nth.ts';
import { pairOffsets } from './pair-offsets.ts';

export interface TheilSenLine {
  readonly slope: number;
  /** median(y) - slope * median(x). */
  readonly interceptOfMedians: number;
  /** Median of y - slope x: half of the readings lie above the line. */
  readonly intercept: number;
  /** Ends of the slope's distribution-free confidence interval. */
  readonly slopeLow: number;
  readonly slopeHigh: number;
}

/**
 * Median of the slopes of all pairs of readings (Theil 1950, Sen 1968): a straight-line slope that up to 29 % of wild
 * readings cannot move, with Sen's interval from the distribution of Kendall's rank statistic (ties corrected).
 *
 * @param x abscissae, length n >= 2, at least two different values
 * @param y ordinates, same length
 * @param confidence of the interval, default 0.95
 * @throws DegenerateData when fewer than two different x remain
 * Cost: O(n^2) time and memory up to 2,000 readings; above that 2 million pairs at evenly spaced distances.
 * Source: Sen, J. Am. Stat. Assoc. 63 (1968) 1379. Check: its worked example, test/published/robust-lines.test.ts.
 * @example
 * fitTheilSen([0, 1, 2, 3, 4], [1, 3, 5, 7, 99]).slope // => 2
 */
export function fitTheilSen(x: readonly number[], y: readonly number[], confidence = 0.95): TheilSenLine {
  requireSameLength(x, y, 'Abscissae and ordinates');
  requireFinite(x, 'The abscissae');
  requireFinite(y, 'The ordinates');
  if (!(confidence > 0 && confidence < 1)) throw new OutOfRange('A confidence lies between 0 and 1.', `${confidence}`);
  const n = x.length;
  const slopes: number[] = [];
  for (const offset of pairOffsets(n)) {
    for (let i = 0; i + offset < n; i++) {
      const run = nth(x, i + offset) - nth(x, i);
      if (run !== 0) slopes.push((nth(y, i + offset) - nth(y, i)) / run);
    }
  }
  if (slopes.length === 0) throw new DegenerateData('All abscissae are equal, so there is no slope to find.');
  const sorted = Float64Array.from(slopes).sort();
  const slope = median(slopes);
  requireResult(slope, nth(sorted, 0), last(sorted));

  // Variance of Kendall's S; the ranks that its quantile cuts off are the ends of the interval. With a part of the
  // pairs the ranks are scaled down in proportion.
  const variance = (spread(n) - tieCorrection(x) - tieCorrection(y)) / 18;
  const share = sorted.length / ((n * (n - 1)) / 2);
  const reach = normalQuantile((1 + confidence) / 2) * Math.sqrt(Math.max(0, variance)) * Math.min(1, share);
  const end = sorted.length - 1;
  const high = Math.min(Math.round((sorted.length + reach) / 2), end);
  const low = Math.max(Math.round((sorted.length - reach) / 2) - 1, 0);
  return {
    slope,
    interceptOfMedians: median(y) - slope * median(x),
    intercept: median(y.map((value, i) => value - slope * nth(x, i))),
    slopeLow: nth(sorted, low),
    slopeHigh: nth(sorted, high),
  };
}

const spread = (n: number): number => n * (n - 1) * (2 * n + 5);

function tieCorrection(values: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  let sum = 0;
  for (const count of counts.values()) sum += spread(count);
  return sum;
}
