import fc from 'fast-check';
import { expect, test } from 'vitest';
import { testBench } from './bench.ts';

const words = fc.constantFrom(
  '',
  'start run one',
  'end run',
  '12',
  '14',
  'fifteen',
  '50',
  'mark',
  'correction 20',
  'that was 18',
  'disregard',
  'say again',
  'stand by',
  'go ahead',
  'baseline ten',
  'temperature 22.5',
  'poured five of peroxide',
  'next step',
  'yes',
  'swirling',
  'we need more time for this one here',
  'note the stopper is loose',
  '1:30',
);

const utterance = fc.record({
  text: words,
  /** Words that come again, other or more, after the call was settled. */
  late: fc.option(words, { nil: null }),
  tentative: fc.boolean(),
  gapS: fc.double({ min: 0.8, max: 30, noNaN: true }),
  broken: fc.constantFrom(false, false, false, true),
});

test('whatever is said in whatever order: one utterance is one call, gives its readings once, and is on disk', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(utterance, { minLength: 1, maxLength: 25 }), fc.boolean(), async (said, soundMarks) => {
      const bench = await testBench();
      bench.prefer({ soundMarks });
      let atS = 1;
      for (const [index, { text, late, tentative, gapS, broken }] of said.entries()) {
        bench.breakStorage(broken);
        await bench.say(text, atS, { id: `u${index}`, tentative: tentative && text !== '' });
        if (late !== null) await bench.say(late, atS, { id: `u${index}` });
        atS += gapS;
      }
      bench.breakStorage(false);
      await bench.session.press({ kind: 'stand-by' }, 1000 * atS);
      const state = bench.state();
      expect(state.calls).toHaveLength(said.length);
      expect(new Set(state.calls.map((call) => call.id)).size).toBe(said.length);
      expect(state.calls.every((call) => call.outcome !== 'waiting')).toBe(true);
      const readings = state.runs.flatMap((run) => run.readings);
      expect(new Set(readings.map((reading) => reading.id)).size).toBe(readings.length);
      for (const call of state.calls) expect(call.readings.length).toBeLessThanOrEqual(2);
      expect((await bench.store.load(bench.journal.id)).events).toEqual(bench.journal.events());
    }),
    { numRuns: 60 },
  );
}, 60_000);
