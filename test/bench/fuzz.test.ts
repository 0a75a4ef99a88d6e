import fc from 'fast-check';
import { expect, test, vi } from 'vitest';
import type { Meaning } from '../../src/log/meaning.ts';
import { reduce } from '../../src/log/reduce.ts';
import { makeRoom, type Room } from './room.ts';

/**
 * Everything at random that can happen to hearing and storing, on a clock of its own: whatever comes, nothing is
 * rejected unseen, every utterance is in the log once, and the page never claims to hear while it cannot.
 */
const texts = fc.constantFrom(
  '12',
  '14',
  'sixteen',
  'fifty',
  'mark',
  'twenty',
  'five',
  'disregard',
  'correction 18',
  'that was 20',
  'start run',
  'start run two',
  'end run',
  'stand by',
  'go ahead',
  'undo',
  'yes',
  'next step',
  'baseline ten',
  'leak',
  'poured five of peroxide',
  'and then we waited for the bus',
);

const step = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      kind: fc.constant('sound' as const),
      lengthMs: fc.integer({ min: 150, max: 2500 }),
      text: fc.option(texts, { nil: null }),
      delayMs: fc.integer({ min: 0, max: 7000 }),
      wait: fc.boolean(),
    }),
  },
  {
    weight: 6,
    arbitrary: fc.record({ kind: fc.constant('browser' as const), text: texts, other: texts, final: fc.boolean() }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('ends' as const),
      error: fc.constantFrom(undefined, 'no-speech', 'network', 'aborted', 'audio-capture'),
    }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('hidden' as const), hidden: fc.boolean() }) },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('live' as const), live: fc.boolean() }) },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('disk' as const), broken: fc.boolean() }) },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('key' as const),
      meaning: fc.constantFrom<Meaning>(
        { kind: 'mark' },
        { kind: 'start-run', run: '3' },
        { kind: 'end-run' },
        { kind: 'disregard' },
        { kind: 'reading', values: [{ value: '22' }] },
      ),
    }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('undo' as const) }) },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('say' as const),
      text: fc.constantFrom('logged one two', 'not understood, kept'),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('ears' as const),
      browser: fc.constantFrom('on' as const, 'off' as const),
      own: fc.boolean(),
    }),
  },
);

const steps = fc.array(fc.record({ deed: step, thenMs: fc.integer({ min: 0, max: 4000 }) }), {
  minLength: 1,
  maxLength: 30,
});

async function play(
  room: Room,
  list: typeof steps extends fc.Arbitrary<infer T> ? T : never,
): Promise<{ onsetMs: number; endMs: number }[]> {
  const sounds: { onsetMs: number; endMs: number }[] = [];
  let live = true;
  let soundUntilMs = 0;
  let broken = false;
  for (const [k, { deed, thenMs }] of list.entries()) {
    switch (deed.kind) {
      case 'sound': {
        // One mouth: a sound begins when the one before is known to be over.
        await room.pass(Math.max(0, soundUntilMs - room.clock.now()));
        if (deed.text !== null)
          room.ownEar.set(`s${k}`, { best: [{ text: deed.text, p: 0.9 }], delayMs: deed.delayMs });
        const onsetMs = room.journal.timeOf(room.clock.now());
        if (live) sounds.push({ onsetMs, endMs: onsetMs + deed.lengthMs });
        room.sound(`s${k}`, deed.lengthMs);
        soundUntilMs = room.clock.now() + deed.lengthMs + 360;
        break;
      }
      case 'browser':
        room.browserSays([deed.text, deed.other], { final: deed.final });
        break;
      case 'ends':
        room.browserEnds(deed.error);
        break;
      case 'hidden':
        room.setHidden(deed.hidden);
        break;
      case 'live':
        // A microphone that goes takes the sound with it that is not yet known.
        await room.pass(Math.max(0, soundUntilMs - room.clock.now()));
        live = deed.live;
        room.setLive(live);
        break;
      case 'disk':
        broken = deed.broken;
        room.breakStorage(broken);
        break;
      case 'key':
        void room.session.press(deed.meaning, room.clock.now());
        break;
      case 'undo':
        void room.session.undo();
        break;
      case 'say':
        void room.speaker.say(deed.text);
        break;
      case 'ears':
        room.listening.choose({ browser: deed.browser, own: deed.own });
        break;
    }
    await room.pass(thenMs);
    // What the page says of its hearing is true.
    const { phase, hearsSound, hearsWords, browserEar, ownEar, sinceMs } = room.listening.state();
    expect(phase).toBe('open');
    expect(hearsSound).toBe(live);
    if (hearsWords) expect(browserEar === 'listening' || (ownEar === 'ready' && live)).toBe(true);
    if (browserEar === 'listening') expect(room.engineHears()).toBe(true);
    if (!live && browserEar !== 'listening') expect(sinceMs).toBeNull();
  }
  return sounds;
}

const overlap = (
  a: { readonly onsetMs: number; readonly endMs: number | null },
  b: { readonly onsetMs: number; readonly endMs: number | null },
): boolean => a.onsetMs < (b.endMs ?? b.onsetMs) && b.onsetMs < (a.endMs ?? a.onsetMs);

test('whatever happens, in whatever order: no utterance lost or doubled, no promise left to fail, no false claim to hear', async () => {
  const rejected: unknown[] = [];
  const note = (reason: unknown): void => {
    rejected.push(reason);
  };
  process.on('unhandledRejection', note);
  const faults = vi.spyOn(console, 'error');
  try {
    await fc.assert(
      fc.asyncProperty(
        steps,
        fc.record({
          ears: fc.constantFrom(
            { browser: 'on' as const, own: true },
            { browser: 'on' as const, own: false },
            { browser: 'off' as const, own: true },
            { browser: 'off' as const, own: false },
          ),
          soundMarks: fc.boolean(),
          readBack: fc.constantFrom('off' as const, 'when-doubtful' as const, 'always' as const),
          echoMs: fc.constantFrom(null, 80),
        }),
        async (list, { ears, soundMarks, readBack, echoMs }) => {
          const room = await makeRoom({ ears, echoMs, preferences: { soundMarks, readBack } });
          const sounds = await play(room, list);
          room.breakStorage(false);
          await room.pass(15_000);
          await room.session.press({ kind: 'go-ahead' }, room.clock.now());
          room.listening.close();
          await room.pass(1000);
          const state = room.state();
          const heard = state.calls.filter((call) => call.timing === 'sound');
          const spoken = room.spoken.map(({ fromMs, toMs }) => ({
            onsetMs: room.journal.timeOf(fromMs + (echoMs ?? 0)),
            endMs: room.journal.timeOf((toMs ?? room.clock.now()) + (echoMs ?? 0)),
          }));
          for (const sound of sounds) {
            const found = heard.filter((call) => Math.abs(call.onsetMs - sound.onsetMs) < 0.6);
            // One microphone: a sound over the tool's own voice may come in with it, as one sound.
            const over = echoMs !== null && spoken.some((own) => overlap(own, sound));
            const among = found.length === 0 && over ? heard.filter((call) => overlap(call, sound)) : found;
            expect(among.length).toBeGreaterThan(0);
            expect(found.length).toBeLessThan(2);
            expect(among[0]?.clip).toBe(true);
          }
          expect(state.calls.filter((call) => call.outcome === 'waiting')).toEqual([]);
          expect(new Set(state.calls.map((call) => call.id)).size).toBe(state.calls.length);
          const readings = state.runs.flatMap((run) => run.readings);
          expect(new Set(readings.map((reading) => reading.id)).size).toBe(readings.length);
          // All of it is on the disk, in order, and amounts to what is shown.
          expect(room.disk.map((event) => event.seq)).toEqual(room.disk.map((_, k) => k + 1));
          expect(reduce(room.disk)).toEqual(state);
          expect(room.state().openRun === null || state.runs.some((run) => run.id === state.openRun)).toBe(true);
        },
      ),
      { numRuns: Number(process.env.FUZZ_RUNS ?? 80) },
    );
  } finally {
    process.off('unhandledRejection', note);
  }
  expect(rejected).toEqual([]);
  expect(faults.mock.calls).toEqual([]);
  faults.mockRestore();
}, 180_000);
