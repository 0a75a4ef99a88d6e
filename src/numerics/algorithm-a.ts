import { DegenerateData, NonConvergence, requireFinite } from './errors.ts';
import { median } from './median.ts';

/**
 * Robust mean and standard deviation of a list of results: values further out than 1.5 s* are moved to that edge, over
 * and over, until mean and spread stand still.
 *
 * @param values at least two
 * @returns mean x*, standardDeviation s* (in the unit of the values), iterations
 * @throws DegenerateData with fewer than two values; NonConvergence after 2000 iterations
 * Source: ISO 5725-5:1998, Algorithm A. Check: its creosote example, test/published/algorithm-a.test.ts.
 * @example
 * algorithmA([9.9, 10, 10.1, 10, 14]).mean // => 10.10
 */
export function algorithmA(values: readonly number[]): {
  mean: number;
  standardDeviation: number;
  iterations: number;
} {
  requireFinite(values, 'The results');
  const n = values.length;
  if (n < 2) throw new DegenerateData('A spread needs at least two results.', `${n} given`);
  let { mean, standardDeviation } = algorithmAStart(values);
  const size = values.reduce((largest, value) => Math.max(largest, Math.abs(value)), 0);
  for (let iteration = 1; iteration <= 2000; iteration++) {
    const next = algorithmAStep(values, mean, standardDeviation);
    const settled =
      Math.abs(next.mean - mean) <= 1e-14 * size &&
      Math.abs(next.standardDeviation - standardDeviation) <= 1e-14 * size;
    ({ mean, standardDeviation } = next);
    if (settled) return { mean, standardDeviation, iterations: iteration };
  }
  throw new NonConvergence('The robust mean did not settle.', '2000 iterations');
}

/**
 * Start: median, and 1.483 times the median distance from it.
 * @example
 * algorithmAStart([9.9, 10, 10.1, 10, 14]) // => { mean: 10, standardDeviation: 0.1483 }
 */
export function algorithmAStart(values: readonly number[]): { mean: number; standardDeviation: number } {
  const mean = median(values);
  return { mean, standardDeviation: 1.483 * median(values.map((value) => Math.abs(value - mean))) };
}

/**
 * One round: clip to mean ± 1.5 s, then mean and 1.134 times the standard deviation of what is there.
 * @example
 * algorithmAStep([9.9, 10, 10.1, 10, 14], 10, 0.1483).mean // => 10.0445
 */
export function algorithmAStep(
  values: readonly number[],
  mean: number,
  standardDeviation: number,
): { mean: number; standardDeviation: number } {
  const edge = 1.5 * standardDeviation;
  const clipped = values.map((value) => Math.min(Math.max(value, mean - edge), mean + edge));
  const average = clipped.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = clipped.reduce((sum, value) => sum + (value - average) ** 2, 0);
  return { mean: average, standardDeviation: 1.134 * Math.sqrt(squares / (values.length - 1)) };
}
