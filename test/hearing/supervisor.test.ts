import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type EarBench, makeEarBench } from './ear-bench.ts';
import type { Delivered } from './scripted-recogniser.ts';

/** Laws of the supervisor under scripts that nobody wrote: random ones, and the known ones bent at random. */

const words = fc.constantFrom('25', '27', 'twenty five', '25 27', 'mark', '25.5', 'point 5', '', ' ', 'thirteen', '31');
const confidence = fc.constantFrom(0, 0.5, 0.9, 0.93, 1);
const event = fc.oneof(
  { weight: 3, arbitrary: words.map((text) => `i"${text}"`) },
  { weight: 3, arbitrary: fc.tuple(words, confidence).map(([text, sure]) => `f"${text}"@${sure}`) },
  { weight: 2, arbitrary: fc.constant('A') },
  { weight: 1, arbitrary: fc.constantFrom('S', 's', 'N', 'start') },
  { weight: 1, arbitrary: fc.constant('a') },
  { weight: 2, arbitrary: fc.constant('E') },
  {
    weight: 1,
    arbitrary: fc
      .constantFrom(
        'no-speech',
        'aborted',
        'network',
        'audio-capture',
        'not-allowed',
        'service-not-allowed',
        'language-not-supported',
        'phrases-not-supported',
        'something-new',
      )
      .map((code) => `X:${code}`),
  },
  {
    weight: 1,
    arbitrary: fc
      .array(fc.tuple(fc.boolean(), words, confidence), { maxLength: 4 })
      .map((list) => `[${list.map(([final, text, sure]) => `${final ? 'f' : 'i'}"${text}"@${sure}`).join(', ')}] ri0`),
  },
);
const section = (name: string): fc.Arbitrary<string> =>
  fc.oneof(
    { weight: 4, arbitrary: fc.constant('') },
    { weight: 1, arbitrary: fc.constant(`\n${name}: never`) },
    {
      weight: 1,
      arbitrary: fc
        .array(fc.tuple(fc.integer({ min: 1, max: 3000 }), event), { maxLength: 3 })
        .map((lines) => `\n${name}:${lines.map(([at, what]) => `\n${at} ${what}`).join('')}`),
    },
  );
const script = fc
  .tuple(
    fc.array(fc.tuple(fc.integer({ min: 0, max: 9000 }), event), { maxLength: 10 }),
    section('stop'),
    section('abort'),
  )
  .map(([lines, stop, abort]) => lines.map(([at, what]) => `${at} ${what}`).join('\n') + stop + abort);
const deed = fc.constantFrom('start', 'stop', 'pause', 'resume', 'hide', 'show', 'device', 'sound', 'soundEnd');
const deeds = fc
  .array(fc.tuple(fc.integer({ min: 0, max: 40000 }), deed), { maxLength: 6 })
  .map((list) => list.sort(([a], [b]) => a - b));

function act(bench: EarBench, what: string): void {
  const { supervisor } = bench;
  if (what === 'start') supervisor.start();
  else if (what === 'stop') supervisor.stop();
  else if (what === 'pause') void supervisor.pause();
  else if (what === 'resume') supervisor.resume();
  else if (what === 'hide') bench.setHidden(true);
  else if (what === 'show') bench.setHidden(false);
  else if (what === 'device') supervisor.devicesChanged();
  else if (what === 'sound') supervisor.soundBegan(bench.clock.now());
  else supervisor.soundEnded();
}

const stepMs = 100;

async function live(
  sessions: readonly string[],
  acts: readonly (readonly [number, string])[],
  oneShot: boolean,
  lengthMs: number,
): Promise<EarBench> {
  const bench = makeEarBench(sessions, { oneShot });
  bench.supervisor.start();
  let next = 0;
  for (let now = 0; now < lengthMs; now += stepMs) {
    while (next < acts.length && (acts[next]?.[0] ?? 0) <= now) act(bench, acts[next++]?.[1] ?? '');
    await bench.clock.advance(stepMs);
    // It never claims to listen while the engine does not.
    if (bench.supervisor.phase() === 'listening' && !bench.engine.hearing())
      throw new Error(`claims to listen at ${now + stepMs} ms`);
  }
  return bench;
}

test('whatever an engine does: no claim to listen that is not true, bounded restarts, no dead end', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(script, { maxLength: 6 }), deeds, fc.boolean(), async (sessions, acts, oneShot) => {
      const bench = await live(sessions, acts, oneShot, 60_000);
      const { starts } = bench.engine;
      for (const at of starts)
        expect(starts.filter((other) => other >= at && other < at + 60_000).length).toBeLessThanOrEqual(60);
      // Set free of all that the person did, it listens again, or has stopped and said so.
      for (let pause = 0; pause < acts.filter(([, what]) => what === 'pause').length; pause++)
        bench.supervisor.resume();
      bench.setHidden(false);
      bench.supervisor.devicesChanged();
      bench.supervisor.start();
      await bench.clock.advance(120_000);
      const phase = bench.supervisor.phase();
      if (phase === 'stopped') expect(bench.told.some(({ stopped }) => stopped)).toBe(true);
      else if (phase === 'waiting') expect(bench.clock.pending()).toBeGreaterThan(0);
      else expect(['listening', 'starting', 'ending']).toContain(phase);
      bench.supervisor.dispose();
    }),
    { numRuns: 400 },
  );
});

test('whatever an engine does: no phrase is left open, none comes twice, no final word is lost', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(script, { maxLength: 5 }), fc.boolean(), async (sessions, oneShot) => {
      const bench = await live(sessions, [], oneShot, 60_000);
      bench.supervisor.stop();
      await bench.clock.advance(10_000);
      bench.supervisor.dispose();
      expect(bench.phrases().filter(({ how }) => how === 'open')).toEqual([]);
      for (const generation of new Set(bench.heard.map((heard) => heard.generation))) {
        const said = bench.heard.filter((heard) => heard.generation === generation);
        const finals = said.filter(({ final, alternatives }) => final && alternatives.length > 0);
        // At most one call for each final result that was not in the list before.
        expect(new Set(finals.map(({ phrase }) => phrase)).size).toBeLessThanOrEqual(
          newFinals(bench.engine.delivered.filter(({ session }) => session === generation)),
        );
        // Every word that the engine was sure of is in some phrase of the session.
        const kept = new Set(said.flatMap(({ alternatives }) => alternatives.flatMap(({ text }) => text.split(' '))));
        for (const { session, finals: sure, afterAbort } of bench.engine.delivered)
          if (session === generation && !afterAbort)
            for (const { text, confidence: c } of sure)
              if (c > 0) for (const word of text.split(' ')) if (word) expect(kept).toContain(word);
      }
    }),
    { numRuns: 400 },
  );
});

/** How many final results of a session were new when they came: unlike the one at their place, or after such a one. */
function newFinals(lists: readonly Delivered[]): number {
  let count = 0;
  let before: string[] = [];
  for (const { finals } of lists) {
    const now = finals.map(({ text }) => text);
    const same = now.findIndex((text, at) => text !== before[at]);
    if (same >= 0) count += now.length - same;
    before = now.length < before.length && same < 0 ? before : now;
  }
  return count;
}

/** A healthy run of calls, whose scripts are then bent: an end left out, an event late, one twice, one missing. */
test('bent scripts of a healthy run: every call whose words came is kept once', async () => {
  const calls = ['25', '27', '29', '31', '33'];
  const bend = fc.record({
    session: fc.nat({ max: calls.length - 1 }),
    how: fc.constantFrom('no end', 'late', 'twice', 'no audio', 'no final'),
  });
  await fc.assert(
    fc.asyncProperty(fc.array(bend, { maxLength: 4 }), fc.boolean(), async (bends, oneShot) => {
      const sessions = calls.map((call, index) => {
        const has = (how: string): boolean => bends.some((one) => one.session === index && one.how === how);
        const late = has('late') ? 700 : 0;
        return [
          has('no audio') ? '' : '150 A',
          `${1000 + late} i"${call}"`,
          has('no final') ? '' : `${1600 + late} f"${call}"@.9`,
          has('twice') && !has('no final') ? `${1700 + late} [f"${call}"@.9, f"${call}"@.9] ri1` : '',
          has('no end') ? '' : `${1900 + late} a E`,
        ].join('\n');
      });
      const bench = await live(sessions, [], oneShot, 60_000);
      bench.supervisor.stop();
      await bench.clock.advance(5000);
      const expected = calls.filter((_, index) => index < bench.engine.starts.length);
      expect(bench.phrases().map(({ text }) => text)).toEqual(expected);
      const unfinished = new Set(bends.filter(({ how }) => how === 'no final').map(({ session }) => session));
      expect(bench.tentative()).toEqual(expected.filter((_, index) => unfinished.has(index)));
      bench.supervisor.dispose();
    }),
    { numRuns: 200 },
  );
});
