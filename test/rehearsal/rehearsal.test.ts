import { expect, test } from 'vitest';
import { reduce } from '../../src/log/reduce.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { timingInWords } from '../../src/rehearsal/call-timing.ts';
import { callerScript, usualCaller } from '../../src/rehearsal/caller-script.ts';
import { levelAt, type Rehearsal, rehearsalNotebook, rehearsedTiming } from '../../src/rehearsal/rehearsal.ts';
import { readingAt } from '../../src/rehearsal/simulated-run.ts';
import { type TestBench, testBench } from '../bench/bench.ts';

const rehearsal: Rehearsal = {
  notebook: 'r',
  run: { baselineMl: 0, ceilingMl: 45, kPerS: 0.0037, mixS: 3 },
  caller: 'self',
};

/** Has the simulated caller call runs 1 to `runs` at a real session: words understood, readings judged and stored. */
async function rehearse(seed: string, runs: number): Promise<TestBench> {
  const bench = await testBench();
  const random = createRandom(seed);
  let fromMs = 1000;
  for (let label = 1; label <= runs; label++) {
    const script = callerScript({
      run: rehearsal.run,
      label: String(label),
      stepMl: 2,
      spanMl: 20,
      fromMs,
      habit: usualCaller,
      random,
    });
    for (const line of script.lines) await bench.say(line.text, line.atMs / 1000);
    fromMs = script.endMs + 10_000;
  }
  return bench;
}

test('through the whole session: a caller of mean 400 ms and spread 80 ms is shown as such to 15 %', async () => {
  const bench = await rehearse('eight runs', 8);
  const timing = rehearsedTiming(rehearsal, bench.state());
  expect(timing?.count).toBe(80);
  expect(Math.abs((timing?.spreadMs ?? 0) / 80 - 1)).toBeLessThan(0.15);
  // The mean of 80 calls is good to 9 ms; the log keeps tenths of a millisecond.
  expect(Math.abs((timing?.meanMs ?? 0) - 400)).toBeLessThan(4 * (80 / Math.sqrt(80)));
});

test('a struck reading says nothing about timing', async () => {
  const bench = await rehearse('one run', 1);
  const before = rehearsedTiming(rehearsal, bench.state());
  const last = bench.run('1').readings.at(-1);
  await bench.journal.record({ kind: 'struck', reading: last?.id ?? '', by: 'hand' });
  expect(rehearsedTiming(rehearsal, bench.state())?.count).toBe((before?.count ?? 0) - 1);
});

test('the drawn water stands at the baseline, rises with the run and stops with it', async () => {
  const bench = await testBench();
  expect(levelAt(rehearsal, bench.state(), 5000)).toBe(0);
  await bench.say('start run one', 10);
  expect(levelAt(rehearsal, bench.state(), 10_000)).toBe(0);
  expect(levelAt(rehearsal, bench.state(), 40_000)).toBeCloseTo(readingAt(rehearsal.run, 30), 9);
  await bench.say('end run', 50);
  expect(levelAt(rehearsal, bench.state(), 500_000)).toBeCloseTo(readingAt(rehearsal.run, 40), 9);
});

test('a rehearsal has a notebook of its own, marked as invented, with the setup it is rehearsed for', () => {
  const setup = { ...defaultSetup, stepMl: 5 };
  const state = reduce(rehearsalNotebook('x', setup, 7, 1.7e12).events);
  expect(state).toMatchObject({ invented: true, seed: 7, setup, runs: [] });
  expect(state.title).toMatch(/Rehearsal/);
});

test('the result says how sure it is, and what cancels', async () => {
  const timing = rehearsedTiming(rehearsal, (await rehearse('words', 1)).state());
  const words = timing ? timingInWords(timing, 'en').join(' ') : '';
  expect(words).toMatch(/10 calls count/);
  expect(words).toMatch(/after the mark \(95 %: \d+ to \d+ ms\)\. That cancels in time differences/);
  expect(words).toMatch(/known to about 24 %/);
  expect(timing ? timingInWords(timing, 'de').join(' ') : '').toMatch(
    /^10 Ansagen zählen\. .+ nach der Marke .+ auf etwa 24 % bekannt/,
  );
});
