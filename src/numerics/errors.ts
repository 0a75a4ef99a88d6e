/**
 * A precondition of a computation is broken, or it cannot finish. `sentence` is for the person at the screen,
 * `message` (the same sentence, with the detail behind it) for the developer.
 */
export class NumericsError extends Error {
  readonly sentence: string;

  constructor(sentence: string, detail?: string) {
    super(detail === undefined ? sentence : `${sentence} (${detail})`);
    this.sentence = sentence;
  }
}

/** The data cannot carry the result that was asked for: too few points, all abscissae equal, no spread. */
export class DegenerateData extends NumericsError {
  override readonly name = 'DegenerateData';
}

/** An iteration came to its cap, or to a place it cannot leave, without settling. */
export class NonConvergence extends NumericsError {
  override readonly name = 'NonConvergence';
}

/** An argument outside the range in which the formula holds, or not a finite number. */
export class OutOfRange extends NumericsError {
  override readonly name = 'OutOfRange';
}

/** Beyond this, squares and their sums overflow; no quantity of this work comes near. */
const LARGEST = 1e140;

/**
 * Throws OutOfRange unless every value is a number of size below 1e140. `what` begins the sentence: "The times".
 * @example
 * requireFinite([1, 2], 'The volumes') // => undefined
 * requireFinite([1, Number.NaN], 'The volumes') // => new OutOfRange('The volumes must all be ordinary numbers.', 'element 1 is NaN')
 */
export function requireFinite(values: readonly number[], what: string): void {
  const wrong = values.findIndex((value) => !(Math.abs(value) <= LARGEST));
  if (wrong >= 0) throw new OutOfRange(`${what} must all be ordinary numbers.`, `element ${wrong} is ${values[wrong]}`);
}

/**
 * Throws DegenerateData when a result came out without being a number: the readings were too close or too far apart.
 * @example
 * requireResult(0.2) // => undefined
 */
export function requireResult(...results: readonly number[]): void {
  if (results.some((result) => !Number.isFinite(result))) {
    throw new DegenerateData('The readings do not determine a result that can be written as a number.');
  }
}

/**
 * Throws OutOfRange unless both lists have the same length.
 * @example
 * requireSameLength([1, 2], [3, 4], 'Times and volumes') // => undefined
 */
export function requireSameLength(a: readonly unknown[], b: readonly unknown[], what: string): void {
  if (a.length !== b.length) throw new OutOfRange(`${what} must have the same length.`, `${a.length} and ${b.length}`);
}
