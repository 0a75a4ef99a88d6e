import { expect, test } from 'vitest';
import { mayInterrupt } from '../../src/bench/warnings.ts';

test('a warning takes the place of no answer that was just given, and of no question that waits', () => {
  expect(mayInterrupt(null, 0)).toBe(true);
  const shown = [0, 1000, 2999, 3000, 9999, 10_000];
  const allowed = (tone: 'taken' | 'doubtful' | 'unresolved' | 'trouble') =>
    shown.map((ms) => mayInterrupt({ tone, atMs: 5000 }, 5000 + ms));
  expect(allowed('taken')).toEqual([false, false, false, true, true, true]);
  expect(allowed('trouble')).toEqual([false, false, false, true, true, true]);
  expect(allowed('doubtful')).toEqual([false, false, false, false, false, true]);
  expect(allowed('unresolved')).toEqual([false, false, false, false, false, true]);
});
