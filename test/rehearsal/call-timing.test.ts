import { expect, test } from 'vitest';
import { createRandom } from '../../src/numerics/random.ts';
import { c4, callTiming } from '../../src/rehearsal/call-timing.ts';
import { callerScript, usualCaller } from '../../src/rehearsal/caller-script.ts';
import { marksOf, momentOf, readingAt, type SimulatedRun } from '../../src/rehearsal/simulated-run.ts';

const run: SimulatedRun = { baselineMl: 0, ceilingMl: 45, kPerS: 3.68e-3, mixS: 2 };

/** One rehearsal of a caller: the marks of the run, called with the caller's habit, timed against the truth. */
function rehearse(seed: string, spanMl: number, stepMl = 2) {
  const script = callerScript({
    run,
    label: '1',
    stepMl,
    spanMl,
    fromMs: 0,
    habit: usualCaller,
    random: createRandom(seed),
  });
  const calls = script.lines
    .filter((line) => /^[\d.]+$/.test(line.text))
    .map((line, index) => ({ reading: `r${index}`, markMl: Number(line.text), calledMs: line.atMs }));
  const moment = (mark: number) => {
    const seconds = momentOf(run, mark);
    return seconds === null ? null : script.startMs + seconds * 1000;
  };
  return { calls, moment, marks: marksOf(run, stepMl, spanMl) };
}

const timed = (seed: string, spanMl: number, stepMl = 2) => {
  const { calls, moment, marks } = rehearse(seed, spanMl, stepMl);
  const timing = callTiming(calls, moment, marks);
  if (!timing) throw new Error('no timing');
  return timing;
};

test('the moment of a mark is when the drawn water passes it', () => {
  for (const mark of marksOf(run, 2, 30)) {
    const seconds = momentOf(run, mark);
    expect(seconds).not.toBeNull();
    expect(readingAt(run, seconds ?? 0)).toBeCloseTo(mark, 9);
  }
  expect(readingAt(run, 0)).toBe(0);
  expect(momentOf(run, 45)).toBeNull();
  expect(momentOf(run, -1)).toBeNull();
});

test('marks begin above the baseline and end at the span or below the ceiling', () => {
  expect(marksOf({ ...run, baselineMl: 3.4 }, 2, 10)).toEqual([4, 6, 8, 10, 12]);
  expect(marksOf({ ...run, baselineMl: 4 }, 2, 6)).toEqual([6, 8, 10]);
  expect(marksOf({ ...run, ceilingMl: 7 }, 2, 20)).toEqual([2, 4, 6]);
  expect(marksOf(run, 0.1, 0.5)).toEqual([0.1, 0.2, 0.3, 0.4, 0.5]);
});

test('a caller of mean 400 ms and spread 80 ms is shown as such to 15 %, from 150 calls', () => {
  for (const seed of ['a', 'b', 'c', 'd', 'e']) {
    const timing = timed(seed, 30, 0.2);
    expect(timing.count).toBe(150);
    expect(Math.abs(timing.spreadMs / 80 - 1)).toBeLessThan(0.15);
    expect(Math.abs(timing.meanMs - 400)).toBeLessThan(4 * (80 / Math.sqrt(150)));
  }
});

test('from ten calls the spread is right on the average, and its interval holds the truth 95 times in 100', () => {
  let sum = 0;
  let spreadHeld = 0;
  let meanHeld = 0;
  const rehearsals = 2000;
  for (let i = 0; i < rehearsals; i++) {
    const timing = timed(`few ${i}`, 20);
    expect(timing.count).toBe(10);
    sum += timing.spreadMs;
    if (timing.spreadBetweenMs[0] <= 80 && 80 <= timing.spreadBetweenMs[1]) spreadHeld += 1;
    if (timing.meanBetweenMs[0] <= 400 && 400 <= timing.meanBetweenMs[1]) meanHeld += 1;
  }
  // Spread of one estimate from 10 calls is 24 %, of the mean of 2000 of them 0.5 %: 2 % is four of these.
  expect(Math.abs(sum / rehearsals / 80 - 1)).toBeLessThan(0.02);
  // Standard error of a share of 0.95 in 2000 is 0.5 %.
  expect(Math.abs(spreadHeld / rehearsals - 0.95)).toBeLessThan(0.02);
  expect(Math.abs(meanHeld / rehearsals - 0.95)).toBeLessThan(0.02);
});

test('a misheard value is left out and named; a late call counts', () => {
  const { calls, moment, marks } = rehearse('misheard', 20);
  const spoiled = calls.map((call, index) =>
    index === 4 ? { ...call, markMl: 16 } : index === 7 ? { ...call, calledMs: call.calledMs + 1500 } : call,
  );
  const timing = callTiming(spoiled, moment, marks);
  expect(timing?.delays.map((entry) => entry.leftOut !== null)).toEqual(calls.map((_, index) => index === 4));
  expect(timing?.count).toBe(9);
  expect(timing?.spreadMs).toBeGreaterThan(300);
});

test('two calls say nothing about a spread', () => {
  const { calls, moment, marks } = rehearse('two', 20);
  expect(callTiming(calls.slice(0, 2), moment, marks)).toBeNull();
  expect(callTiming([], moment, marks)).toBeNull();
});

test('a value the water never reached has no moment and is left out', () => {
  const { calls, moment, marks } = rehearse('beyond', 20);
  const timing = callTiming([...calls, { reading: 'x', markMl: 90, calledMs: 1000 }], moment, marks);
  expect(timing?.delays.at(-1)?.leftOut).toMatch(/never/);
});

test('c4 has its tabulated values', () => {
  // c4 of quality-control tables (from memory): 2: 0.7979, 5: 0.9400, 10: 0.9727, 25: 0.9896.
  expect(c4(2)).toBeCloseTo(0.7979, 4);
  expect(c4(5)).toBeCloseTo(0.94, 4);
  expect(c4(10)).toBeCloseTo(0.9727, 4);
  expect(c4(25)).toBeCloseTo(0.9896, 4);
});
