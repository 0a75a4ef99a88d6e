import { DegenerateData } from './errors.ts';
import { nth } from './nth.ts';

/**
 * Middle value; of an even number, the mean of the two middle ones.
 * @throws DegenerateData for an empty list
 * @example
 * median([3, 1, 4, 1]) // => 2
 */
export function median(values: readonly number[]): number {
  if (values.length === 0) throw new DegenerateData('There are no values to take the middle of.');
  const sorted = Float64Array.from(values).sort();
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? nth(sorted, half) : (nth(sorted, half - 1) + nth(sorted, half)) / 2;
}
