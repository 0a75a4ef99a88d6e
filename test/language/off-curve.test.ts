import { expect, test } from 'vitest';
import { leavesCurve } from '../../src/language/off-curve.ts';

/** Calls that are taken, at these moments, s. */
const taken = (times: readonly number[]) =>
  times.map((timeS) => ({ timeS, settled: null, current: { doubtful: false } }));

test('a number misheard amid even readings leaves the curve for that moment', () => {
  const calls = taken([0, 20, 40, 60, 80, 100, 120]);
  const levels = [40, 42, 44, 56, 48, 50, 52];
  expect(leavesCurve(calls, levels, 3)(56)).toBe(true);
  expect(leavesCurve(calls, levels, 3)(46)).toBe(false);
});

// Times of a first-order course with the caller's scatter (`test/benchmarks/caller.ts`).
test.each([
  [
    'a surge with a reading in between after it',
    5,
    [54.1, 56.1, 58.1, 62.1, 64.1, 76.1, 78.1, 78.6],
    [20.3, 29.8, 39.6, 60.9, 71.4, 82.7, 94.4, 97.2],
  ],
  [
    'a surge of twelve millilitres late in the run',
    7,
    [6, 8, 10, 12, 14, 16, 18, 28, 30, 30.7],
    [19.8, 40, 60.3, 80.9, 102.3, 124.4, 146.6, 193.1, 217.5, 226],
  ],
  [
    'a step ten times longer while the rate falls',
    5,
    [46, 46.5, 47, 47.5, 48, 53, 58, 63],
    [20.1, 33.2, 47, 61.7, 76.5, 272.4, 713.9, 1063.7],
  ],
])('%s is no reading off the curve', (_, i, levels, times) => {
  expect(leavesCurve(taken(times), levels, i)(levels[i] ?? 0)).toBe(false);
});
