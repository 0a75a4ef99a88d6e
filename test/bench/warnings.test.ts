import { expect, test } from 'vitest';
import { makeWarner, mayInterrupt } from '../../src/bench/warnings.ts';

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

type Tone = 'taken' | 'doubtful' | 'unresolved';

/** Seconds at which warnings are said in a minute in which an answer comes at each of these seconds. */
function saidAt(answersS: (s: number) => boolean, tone: Tone, wrong: readonly { key: string; urgent?: boolean }[]) {
  const warner = makeWarner();
  let exchange: { tone: Tone | 'trouble'; atMs: number } | null = null;
  const said: [number, string][] = [];
  for (let s = 0; s < 60; s++) {
    if (answersS(s)) exchange = { tone, atMs: 1000 * s - 100 };
    const text = warner(
      wrong.map((one) => ({ ...one, text: one.key })),
      exchange,
      1000 * s,
    );
    if (text === null) continue;
    said.push([s, text]);
    exchange = { tone: 'trouble', atMs: 1000 * s };
  }
  return said;
}

test('a warning is said once in a brisk run and in a noisy room, and not right after another', () => {
  const wrong = [{ key: 'slower' }, { key: 'no-reading' }];
  const brisk = saidAt((s) => s % 2 === 0, 'taken', wrong);
  expect(brisk).toEqual([
    [10, 'slower'],
    [13, 'no-reading'],
  ]);
  expect(saidAt((s) => s % 9 === 0, 'unresolved', [{ key: 'slower' }])).toEqual([[10, 'slower']]);
  // A question that was just asked stays even then.
  expect(saidAt((s) => s % 9 === 0 || s === 10, 'doubtful', [{ key: 'slower' }])).toEqual([[13, 'slower']]);
});

test('a doubt about the clock waits for questions alone', () => {
  expect(saidAt((s) => s % 2 === 0, 'taken', [{ key: 'clock', urgent: true }])).toEqual([[0, 'clock']]);
  expect(saidAt((s) => s === 0, 'doubtful', [{ key: 'clock', urgent: true }])).toEqual([[10, 'clock']]);
});

test('a warning that passed before it could be said is not said later', () => {
  const warner = makeWarner();
  const answered = (s: number) => ({ tone: 'taken' as const, atMs: 1000 * s });
  const slower = [{ key: 'slower', text: 'slower' }];
  expect(warner(slower, answered(0), 1000)).toBe(null);
  expect(warner([], answered(8), 9000)).toBe(null);
  expect(warner(slower, answered(12), 12_500)).toBe(null);
});
