import { OutOfRange } from './errors.ts';

/**
 * The element at a place that must be there.
 *
 * @throws OutOfRange where the list has none: a mistake in the code that asks
 * @example
 * nth([3, 1, 4], 2) // => 4
 */
export function nth<T>(values: ArrayLike<T>, i: number): T {
  const value = values[i];
  if (value === undefined) throw new OutOfRange('A list has no element at this place.', `${i} of ${values.length}`);
  return value;
}
