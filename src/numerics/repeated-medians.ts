import { DegenerateData, requireFinite, requireResult, requireSameLength } from './errors.ts';
import { median } from './median.ts';
import { nth } from './nth.ts';
import { pairOffsets } from './pair-offsets.ts';

export interface RepeatedMediansLine {
  readonly slope: number;
  /** Median of y - slope x. */
  readonly intercept: number;
}

/**
 * Median over the readings of the median slope from each reading to all others (Siegel 1982): a straight line that
 * nearly half of the readings may be wild in.
 *
 * @param x abscissae, length n >= 2, at least two different values
 * @param y ordinates, same length
 * @throws DegenerateData when fewer than two different x remain
 * Cost: O(n^2) time up to 2,000 readings, bounded above (see pair-offsets.ts); memory O(n).
 * Source: Siegel, Biometrika 69 (1982) 242.
 * @example
 * fitRepeatedMedians([0, 1, 2, 3, 4], [1, 3, 5, 7, 99]) // => { slope: 2, intercept: 1 }
 */
export function fitRepeatedMedians(x: readonly number[], y: readonly number[]): RepeatedMediansLine {
  requireSameLength(x, y, 'Abscissae and ordinates');
  requireFinite(x, 'The abscissae');
  requireFinite(y, 'The ordinates');
  const n = x.length;
  const offsets = pairOffsets(n);
  const inner: number[] = [];
  for (let i = 0; i < n; i++) {
    const slopes: number[] = [];
    for (const offset of offsets) {
      // Both ways round: with all offsets this meets every other reading exactly once.
      for (const j of [i + offset, i - offset]) {
        if (j < 0 || j >= n) continue;
        const run = nth(x, j) - nth(x, i);
        if (run !== 0) slopes.push((nth(y, j) - nth(y, i)) / run);
      }
    }
    if (slopes.length > 0) inner.push(median(slopes));
  }
  if (inner.length === 0) throw new DegenerateData('All abscissae are equal, so there is no slope to find.');
  const slope = median(inner);
  requireResult(slope);
  return { slope, intercept: median(y.map((value, i) => value - slope * nth(x, i))) };
}
