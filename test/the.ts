/**
 * A value that a test takes for granted. Where it is missing the test fails here, and not later at something else.
 *
 * @throws where it is null or undefined
 */
export function the<T>(value: T): NonNullable<T> {
  if (value === null || value === undefined) throw new Error('What the test asks for is not there.');
  return value;
}
