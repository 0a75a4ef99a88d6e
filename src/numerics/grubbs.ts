import { studentUpperQuantile, studentUpperTail } from './distributions.ts';
import { DegenerateData, OutOfRange, requireFinite } from './errors.ts';
import { nth } from './nth.ts';

export interface GrubbsResult {
  /** Index of the value furthest from the mean. */
  readonly index: number;
  /** Its distance from the mean in standard deviations (n - 1). */
  readonly statistic: number;
  /** Probability of a statistic this large without an outlier (upper bound, Bonferroni; exact where it is small). */
  readonly probability: number;
}

export type Sides = 'one-sided' | 'two-sided';

/**
 * Grubbs test for one outlier among n values: the value furthest from the mean on either side (two-sided), or the
 * furthest in a direction fixed beforehand, taken here as that of the furthest value (one-sided).
 *
 * @throws DegenerateData with fewer than three values, or all equal
 * Source: Grubbs, Technometrics 11 (1969) 1. Check: NIST/SEMATECH e-Handbook 1.3.5.17.1.
 * @example
 * grubbsTest([10, 10.1, 9.9, 10, 12]).index // => 4
 */
export function grubbsTest(values: readonly number[], sides: Sides = 'two-sided'): GrubbsResult {
  requireFinite(values, 'The values');
  const n = values.length;
  if (n < 3) throw new DegenerateData('A test for outliers needs at least three values.', `${n} given`);
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  if (!(squares > 0)) throw new DegenerateData('All values are equal; none can be an outlier.');
  let index = 0;
  for (let i = 1; i < n; i++) {
    if (Math.abs(nth(values, i) - mean) > Math.abs(nth(values, index) - mean)) index = i;
  }
  const statistic = Math.abs(nth(values, index) - mean) / Math.sqrt(squares / (n - 1));
  return { index, statistic, probability: grubbsProbability(statistic, n, sides) };
}

/**
 * Largest statistic to expect with probability 1 - alpha: (n-1)/sqrt(n) sqrt(t^2/(n-2+t^2)), t at alpha/n or alpha/2n.
 * @example
 * grubbsCritical(10, 0.05, 'one-sided') // => 2.176
 */
export function grubbsCritical(n: number, alpha: number, sides: Sides = 'two-sided'): number {
  if (!Number.isInteger(n) || n < 3) throw new OutOfRange('A test for outliers needs at least three values.', `${n}`);
  const t = studentUpperQuantile(alpha / (sides === 'two-sided' ? 2 * n : n), n - 2);
  return ((n - 1) / Math.sqrt(n)) * Math.sqrt((t * t) / (n - 2 + t * t));
}

function grubbsProbability(statistic: number, n: number, sides: Sides): number {
  const room = (n - 1) ** 2 - n * statistic * statistic;
  // The largest value that n numbers can reach: all others equal.
  if (room <= 1e-14 * (n - 1) ** 2) return 0;
  const t = Math.sqrt((n * (n - 2) * statistic * statistic) / room);
  return Math.min(1, (sides === 'two-sided' ? 2 : 1) * n * studentUpperTail(t, n - 2));
}
