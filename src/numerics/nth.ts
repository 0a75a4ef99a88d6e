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

/**
 * The last element of a list that has one.
 *
 * @throws OutOfRange where the list is empty
 * @example
 * last([3, 1, 4]) // => 4
 */
export function last<T>(values: ArrayLike<T>): T {
  return nth(values, values.length - 1);
}

/**
 * The entry of a matrix, given row by row, that must be there.
 *
 * @throws OutOfRange where the matrix has none
 * @example
 * entry([[1, 2], [3, 4]], 1, 0) // => 3
 */
export function entry<T>(rows: ArrayLike<ArrayLike<T>>, row: number, column: number): T {
  return nth(nth(rows, row), column);
}

/**
 * The element of a list that has just one; undefined where it has none or several.
 * @example
 * only([5]) // => 5
 * only([5, 6]) // => undefined
 */
export function only<T>(values: readonly T[]): T | undefined {
  return values.length === 1 ? values[0] : undefined;
}

/**
 * The value of a key that must be there.
 *
 * @throws OutOfRange where the map has none
 * @example
 * held(new Map([['k', 3]]), 'k') // => 3
 */
export function held<K, V>(map: ReadonlyMap<K, V>, key: K): V {
  const value = map.get(key);
  if (value === undefined) throw new OutOfRange('A map has no value for this key.', String(key));
  return value;
}

/**
 * The value that a record holds under a name that must be there.
 *
 * @throws OutOfRange where the record has none
 * @example
 * named({ iodide: 1 }, 'iodide') // => 1
 */
export function named<T>(record: Readonly<Record<string, T>>, name: string): T {
  const value = record[name];
  if (value === undefined) throw new OutOfRange('A record has nothing under this name.', name);
  return value;
}

/**
 * `nth` of a column of doubles, for inner loops. A function that reads only one kind of list is as fast as a read
 * without the check; `nth` itself, which reads every kind, takes three to ten times as long.
 *
 * @throws OutOfRange where the column has none
 * @example
 * real(Float64Array.of(3, 1, 4), 2) // => 4
 */
export function real(values: Float64Array, i: number): number {
  const value = values[i];
  if (value === undefined) throw new OutOfRange('A column has no element at this place.', `${i} of ${values.length}`);
  return value;
}

/**
 * `nth` of a plain list of numbers, for the inner loops of fits.
 *
 * @throws OutOfRange where the list has none
 * @example
 * item([3, 1, 4], 2) // => 4
 */
export function item(values: readonly number[], i: number): number {
  const value = values[i];
  if (value === undefined) throw new OutOfRange('A list of numbers is too short.', `${i} of ${values.length}`);
  return value;
}

/**
 * The same for samples of sound and the weights of the ear.
 *
 * @throws OutOfRange where the list has none
 * @example
 * single(Float32Array.of(3, 1, 4), 2) // => 4
 */
export function single(values: Float32Array, i: number): number {
  const value = values[i];
  if (value === undefined) throw new OutOfRange('A list has no sample at this place.', `${i} of ${values.length}`);
  return value;
}
