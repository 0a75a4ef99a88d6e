import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isEcho, withoutOwn } from '../../src/language/echo.ts';
import { de } from '../../src/language/words/de.ts';
import { en } from '../../src/language/words/en.ts';
import { the } from '../the.ts';
import { makeRoom, type Room } from './room.ts';

const own = { browser: 'off', own: true } as const;
const browser = { browser: 'on', own: false } as const;
const both = { browser: 'on', own: true } as const;

const readings = (room: Room): string[] =>
  room.state().runs.flatMap((run) => run.readings.filter(({ struck }) => !struck).map(({ value }) => value));
/** Sounds by where they ended: outcome and what they gave. */
const ends = (room: Room): string[] =>
  room
    .state()
    .calls.map((call) =>
      `${call.outcome} ${call.meaning?.kind === 'reading' ? call.meaning.values.map((one) => one.value) : ''}`.trim(),
    );

/** Says a number or a command; the ear of our own answers 200 ms after the sound is known. */
async function say(room: Room, id: string, text: string, thenMs = 2500): Promise<void> {
  if (text) room.ownEar.set(id, { best: [{ text, p: 0.95 }], delayMs: 200 });
  room.sound(id);
  await room.pass(thenMs);
}

describe('the tool reads back', () => {
  test('a call over the read-back is a reading, the tool’s own voice is none, and nothing is doubled', async () => {
    const room = await makeRoom({ ears: own, preferences: { readBack: 'always' }, echoMs: 60 });
    await say(room, 'start', 'start run one', 6000);
    room.ownEar.set('a', { best: [{ text: 'twelve', p: 0.95 }], delayMs: 200 });
    room.sound('a');
    await room.pass(1500);
    expect(room.spoken.at(-1)).toMatchObject({ text: 'logged one two', toMs: null });
    room.ownEar.set('b', { best: [{ text: 'fourteen', p: 0.95 }], delayMs: 200 });
    room.sound('b', 600);
    await room.pass(8000);
    expect(readings(room)).toEqual(['12', '14']);
    expect(room.state().calls.filter(({ reason }) => reason.startsWith('the tool’s own voice')).length).toBeGreaterThan(
      0,
    );
  });

  test('a call over the read-back that no ear put into words is kept with its sound, unresolved, never a mark', async () => {
    for (const preferences of [{ soundMarks: true }, {}]) {
      const room = await makeRoom({
        ears: preferences.soundMarks ? { browser: 'off', own: false } : browser,
        preferences: { readBack: 'always', ...preferences },
        echoMs: null,
      });
      await room.session.press({ kind: 'start-run', run: '1' }, room.clock.now());
      await room.pass(3000);
      await room.session.press({ kind: 'reading', values: [{ value: '12' }] }, room.clock.now());
      await room.pass(300);
      expect(room.spoken.at(-1)?.toMs).toBeNull();
      room.sound('over');
      await room.pass(8000);
      expect(readings(room)).toEqual(['12']);
      const call = room.state().calls.at(-1);
      expect(call).toMatchObject({ outcome: 'unresolved', clip: true, overSpeech: true });
      expect(call?.reason).toContain('while the tool was speaking');
      expect(call?.rivals[0]?.meaning).toEqual({ kind: 'reading', values: [{ value: '14' }] });
    }
  });

  test('a sound over the read-back takes no correction and passes no mark', async () => {
    const room = await makeRoom({ ears: own, preferences: { readBack: 'always' }, echoMs: 60 });
    room.ownEar.set('echo-1', { best: [], delayMs: 100 });
    room.ownEar.set('echo-2', { best: [], delayMs: 100 });
    await say(room, 'start', 'start run one', 6000);
    await say(room, 'a', 'twelve', 6000);
    await say(room, 'c', 'correction fourteen', 6000);
    expect(readings(room)).toEqual(['14']);
    expect(ends(room)).toContain('unresolved');
  });

  test('its own voice is not answered: no cue, no word, no loop', async () => {
    const room = await makeRoom({ ears: browser, preferences: { readBack: 'when-doubtful' }, echoMs: 60 });
    await room.session.press({ kind: 'start-run', run: '1' }, room.clock.now());
    room.sound('x');
    await room.pass(60_000);
    expect(room.spoken.map(({ text }) => text)).toEqual(['not understood, kept']);
    expect(room.cues.filter(({ cue }) => cue === 'unresolved')).toHaveLength(1);
  });

  test('words of the browser that were on their way when the tool began to speak are not lost', async () => {
    const room = await makeRoom({ ears: browser, preferences: { readBack: 'always' }, echoMs: null });
    await room.session.press({ kind: 'start-run', run: '1' }, room.clock.now());
    await room.pass(3000);
    room.sound('a');
    await room.pass(500);
    // Something is said aloud while the person is speaking: it waits for the words.
    room.session.tell({ tone: 'told', text: 'no reading for 0:40' });
    await room.pass(1400);
    expect(room.browserSays(['12'])).toBe(true);
    await room.pass(6000);
    expect(readings(room)).toEqual(['12']);
    expect(room.spoken.at(-1)?.text).toBe('logged one two');
  });

  test('the browser’s words of the tool’s own voice are kept as no reading; the value is a rival', async () => {
    const room = await makeRoom({ ears: browser, preferences: { readBack: 'always' }, echoMs: 60 });
    await room.session.press({ kind: 'start-run', run: '1' }, room.clock.now());
    await room.pass(3000);
    await room.session.press({ kind: 'reading', values: [{ value: '24' }] }, room.clock.now());
    await room.pass(2600);
    expect(room.browserSays(['24'])).toBe(true);
    await room.pass(6000);
    expect(readings(room)).toEqual(['24']);
    const kept = room.state().calls.filter(({ outcome }) => outcome === 'not-a-reading');
    expect(kept).toHaveLength(1);
    expect(kept[0]?.rivals[0]?.meaning).toEqual({ kind: 'reading', values: [{ value: '24' }] });
  });

  test('an answer to the question, right after it, is no echo of the question', async () => {
    const room = await makeRoom({ ears: own, preferences: { readBack: 'when-doubtful' }, echoMs: 60 });
    await say(room, 'start', 'start run one', 4000);
    room.ownEar.set('b', {
      best: [
        { text: 'fifteen', p: 0.5 },
        { text: 'fifty', p: 0.45 },
      ],
      delayMs: 200,
    });
    room.sound('b');
    let waited = 0;
    while (room.spoken.at(-1)?.toMs === null || room.spoken.length === 0) {
      await room.pass(100);
      waited += 100;
      if (waited > 20_000) break;
    }
    expect(room.spoken.at(-1)?.text).toContain('or');
    await room.pass(500);
    await say(room, 'answer', 'fifteen', 4000);
    expect(readings(room)).toEqual(['15']);
    expect(room.state().runs[0]?.readings.at(-1)?.settled).toBe(true);
  });
});

describe('speaking over it', () => {
  test('with headphones, the read-back stops when the person begins; with a loudspeaker its own voice does not stop it', async () => {
    for (const [echoMs, cut] of [
      [null, true],
      [60, false],
    ] as const) {
      const room = await makeRoom({ ears: own, preferences: { readBack: 'always' }, echoMs });
      await say(room, 'start', 'start run one', 6000);
      for (const [k, text] of ['twelve', 'fourteen', 'sixteen'].entries()) await say(room, `n${k}`, text, 8000);
      room.ownEar.set('last', { best: [{ text: 'eighteen', p: 0.95 }], delayMs: 200 });
      room.sound('last');
      await room.pass(1400);
      const said = the(room.spoken.at(-1));
      expect(said).toMatchObject({ text: 'logged one eight', toMs: null });
      room.ownEar.set('over', { best: [{ text: 'twenty', p: 0.95 }], delayMs: 200 });
      room.sound('over');
      await room.pass(8000);
      expect(the(said.toMs) - said.fromMs < 60 * said.text.length).toBe(cut);
      expect(readings(room)).toEqual(['12', '14', '16', '18', '20']);
    }
  });
});

const step = fc.oneof(
  fc.record({
    kind: fc.constant('call' as const),
    words: fc.boolean(),
    lengthMs: fc.integer({ min: 300, max: 1500 }),
    gapMs: fc.integer({ min: 1200, max: 6000 }),
  }),
  fc.record({
    kind: fc.constant('say' as const),
    text: fc.constantFrom('logged two four', 'not understood, kept', 'one five or five zero?', 'Next: water 15.'),
    gapMs: fc.integer({ min: 0, max: 2500 }),
  }),
);

test('however calls and the tool’s own speech fall together, each call ends in the log, with its sound, once', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(step, { minLength: 1, maxLength: 12 }),
      fc.constantFrom(own, browser, both, { browser: 'off', own: false } as const),
      fc.constantFrom(null, 60, 300),
      fc.constantFrom('always' as const, 'when-doubtful' as const, 'off' as const),
      fc.boolean(),
      async (steps, ears, echoMs, readBack, soundMarks) => {
        const room = await makeRoom({ ears, echoMs, preferences: { readBack, soundMarks } });
        await room.session.press({ kind: 'start-run', run: '1' }, room.clock.now());
        const onsets: number[] = [];
        let value = 10;
        for (const [k, one] of steps.entries()) {
          if (one.kind === 'say') void room.speaker.say(one.text);
          else {
            value += 2;
            if (one.words) room.ownEar.set(`p${k}`, { best: [{ text: String(value), p: 0.9 }], delayMs: 200 });
            onsets.push(room.journal.timeOf(room.clock.now()));
            room.sound(`p${k}`, one.lengthMs);
            await room.pass(one.lengthMs + 360);
          }
          await room.pass(one.gapMs);
        }
        await room.pass(12_000);
        const { calls, runs } = room.state();
        const echoes = room.spoken.map(({ fromMs }) => room.journal.timeOf(fromMs + (echoMs ?? Number.NaN)));
        for (const onsetMs of onsets) {
          const found = calls.filter((call) => Math.abs(call.onsetMs - onsetMs) < 1);
          // Where the own voice came back at that very moment, that sound is in the log too.
          expect(found).toHaveLength(1 + echoes.filter((echoMs) => Math.abs(echoMs - onsetMs) < 1).length);
          for (const { clip, outcome } of found) {
            expect(clip).toBe(true);
            expect(outcome).not.toBe('waiting');
          }
        }
        // Readings come from the person only, one for each call.
        const given = runs.flatMap((run) => run.readings);
        const persons = given.filter((reading) => onsets.some((onsetMs) => Math.abs(reading.timeMs - onsetMs) < 1));
        if (!soundMarks && ears.own) expect(given.length).toBe(persons.length);
        expect(new Set(given.map((reading) => reading.call)).size).toBe(given.length);
      },
    ),
    { numRuns: 60 },
  );
}, 120_000);

describe('telling the own voice, in the language in use', () => {
  test('German', () => {
    expect(isEcho('notiert zwo fünf', 'notiert zwo fünf', -1, de)).toBe(true);
    expect(isEcho('notiert 25', 'notiert zwo fünf', 700, de)).toBe(true);
    expect(isEcho('25', 'notiert zwo fünf', 700, de)).toBe(true);
    expect(isEcho('zwei fünf', 'notiert zwo fünf', 100, de)).toBe(true);
    expect(isEcho('siebenundzwanzig', 'notiert zwo fünf', 100, de)).toBe(false);
    expect(isEcho('streichen', 'notiert zwo fünf', 100, de)).toBe(false);
    expect(isEcho('25', 'notiert zwo fünf', 1500, de)).toBe(false);
    // English ears would not know it.
    expect(isEcho('25', 'notiert zwo fünf', 700, en)).toBe(false);
  });

  test('what the person said after it is left', () => {
    const left = (text: string) =>
      withoutOwn(
        [{ text, p: null, ear: 'browser' }],
        { said: [{ spoken: 'logged two five', sinceMs: -1 }], bySound: true },
        en,
      ).map((one) => one.text);
    expect(left('logged two five')).toEqual([]);
    expect(left('logged two five 27')).toEqual(['27']);
    expect(left('logged 25 disregard')).toEqual(['disregard']);
    expect(left('27')).toEqual(['27']);
    expect(left('twenty seven')).toEqual(['twenty seven']);
  });

  test('in a German run, the read-back that comes back is no reading and the call over it is one', async () => {
    const room = await makeRoom({ ears: own, words: de, preferences: { readBack: 'always' }, echoMs: 60 });
    await say(room, 'start', 'start lauf eins', 6000);
    await say(room, 'a', 'zwölf', 1500);
    expect(room.spoken.at(-1)).toMatchObject({ text: 'notiert eins zwo', toMs: null });
    await say(room, 'b', 'vierzehn', 8000);
    expect(readings(room)).toEqual(['12', '14']);
  });
});
