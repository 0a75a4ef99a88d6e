import fc from 'fast-check';
import { expect, test } from 'vitest';
import { nextMarkMl } from '../../src/bench/marks.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { everyKind, makeCaller } from '../benchmarks/caller.ts';
import { sessionInMemory } from './session-in-memory.ts';

/** Callers know nothing of the tool (`test/benchmarks/caller.ts`); the ear hears every number as it was said. */
const cylinder = { capacityMl: 100, divisionMl: 1, accuracy: 'B' } as const;

test('with a perfect ear no reading is ever doubted for being off the marks', async () => {
  await fc.assert(
    fc.asyncProperty(fc.string({ minLength: 1, maxLength: 12 }), async (seed) => {
      const caller = makeCaller(createRandom(seed), everyKind);
      const bench = await sessionInMemory({ stepMl: caller.plannedStepMl, cylinder });
      if (caller.baselineMl !== null)
        await bench.session.press({ kind: 'baseline', value: String(caller.baselineMl) }, 1000);
      for (const { timeS, value } of caller.calls) await bench.say([{ text: value, p: 0.9 }], timeS);
      const judged = bench.events().flatMap(({ body }) => (body.kind === 'judged' ? [body] : []));
      expect(judged.filter(({ outcome }) => outcome !== 'taken')).toEqual([]);
      expect(bench.run().readings.map(({ value }) => value)).toEqual(caller.calls.map(({ value }) => value));
    }),
    { numRuns: 60 },
  );
}, 30_000);

test.each([
  [63, 2],
  [31.5, 2],
  [8, 2.5],
  [41.3, 0.5],
  [7, 5],
])(
  'a caller who starts at %s and calls every %s mL has the right mark next from the second reading on',
  async (start, step) => {
    const bench = await sessionInMemory({ stepMl: step, cylinder });
    for (let k = 0; k < 9; k++) {
      await bench.say([{ text: String(Number((start + k * step).toFixed(2))), p: 0.9 }], 20 + 20 * k);
      expect(nextMarkMl(bench.run(), bench.state().setup)).toBeCloseTo(start + (k + 1) * step, 9);
    }
  },
);

test('a call that was not understood has used up its mark; a cough in between has not', async () => {
  const bench = await sessionInMemory({ stepMl: 2, cylinder });
  for (let k = 0; k < 5; k++) await bench.say([{ text: String(63 + 2 * k), p: 0.9 }], 20 + 20 * k);
  const next = () => nextMarkMl(bench.run(), bench.state().setup, bench.state().calls);
  expect(next()).toBe(73);
  await bench.say([], 108);
  expect(next()).toBe(73);
  await bench.say([], 120);
  expect(next()).toBe(75);
});

test('a clear number is not refused for one before it that was not clear', async () => {
  const bench = await sessionInMemory({ stepMl: 2, cylinder });
  const heard = ['86', '44'].map((text) => ({ text, p: 0.9 }));
  await bench.say(heard, 20);
  await bench.say([{ text: '46', p: 0.9 }], 40);
  const outcomes = bench.events().flatMap(({ body }) => (body.kind === 'judged' ? [body] : []));
  expect(outcomes[1]).toMatchObject({ outcome: 'taken', meaning: { values: [{ value: '46' }] } });
});

test('what cannot have been said is no rival to a clear number', async () => {
  const bench = await sessionInMemory({ stepMl: 2, cylinder });
  for (let k = 0; k < 5; k++) await bench.say([{ text: (51.1 + 2 * k).toFixed(1), p: 0.9 }], 20 + 20 * k);
  await bench.say(
    ['64.1', '54.1', '58'].map((text) => ({ text, p: 0.9 })),
    152,
  );
  expect(bench.run().readings.at(-1)).toMatchObject({ value: '64.1', outcome: 'taken' });
});

test('the number that was asked about is a reading once the water had the time to reach it', async () => {
  const bench = await sessionInMemory({ stepMl: 2, cylinder });
  const own = (...offer: [string, number][]) => offer.map(([text, p]) => ({ text, p }));
  const values = ['46.1', '48.1', '50.1', '52.1', '54.1', '56.1', '58.1', '59.1', '60.1'];
  const times = [20, 30, 40, 50, 60, 70, 80, 85, 90];
  for (const [k, value] of values.entries()) await bench.say(own([value, 0.995]), times[k] ?? 0, 'own');
  await bench.say(own(['60.1', 0.634], ['51.1', 0.11], ['61.1', 0.11]), 95, 'own');
  expect(bench.run().readings.at(-1)).toMatchObject({ outcome: 'doubtful' });
  await bench.say(own(['62.1', 0.991], ['51', 0.003], ['52.1', 0.003]), 100, 'own');
  expect(bench.run().readings).toHaveLength(11);
  expect(bench.run().readings.at(-1)).toMatchObject({ value: '62.1', outcome: 'taken' });
});
