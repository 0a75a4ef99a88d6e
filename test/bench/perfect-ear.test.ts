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
      // A slowdown with a change of the step beside it can still look like one reading off the curve.
      const offMarks = judged.filter(({ outcome, reason }) => outcome !== 'taken' && !/leaves the curve/.test(reason));
      expect(offMarks).toEqual([]);
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
