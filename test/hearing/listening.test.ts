import { describe, expect, test } from 'vitest';
import type { AttemptNote } from '../../src/hearing/browser-ear.ts';
import type { EarAnswer, Utterance } from '../../src/hearing/ear.ts';
import { type Listening, makeListening } from '../../src/hearing/listening.ts';
import type { Platform } from '../../src/hearing/listening-devices.ts';
import type { EarChoice, ListeningEvent } from '../../src/hearing/listening-step.ts';
import type { MicrophoneEvents } from '../../src/hearing/microphone.ts';
import type { HeardCall } from '../../src/hearing/pairing.ts';
import type { RecogniserConstructor } from '../../src/hearing/recogniser.ts';
import { sentenceOf } from '../../src/hearing/trouble.ts';
import { the } from '../the.ts';
import { calmSurroundings } from './calm-surroundings.ts';
import { type FakeClock, makeFakeClock } from './fake-clock.ts';
import { utterance, words } from './heard.ts';
import { makeScriptedEar, type ScriptedEar } from './scripted-ear.ts';
import { type ScriptedRecogniser, scriptRecogniser } from './scripted-recogniser.ts';

/** The door of listening with a microphone that the test plays, a scripted recogniser and a clock that stands. */
interface Room {
  readonly clock: FakeClock;
  readonly listening: Listening;
  readonly engine: ScriptedRecogniser;
  readonly ear: ScriptedEar;
  readonly events: readonly ListeningEvent[];
  readonly calls: () => HeardCall[];
  readonly microphone: { readonly opened: number; readonly closed: number; events(): MicrophoneEvents };
  setHidden(hidden: boolean): void;
  readonly asked: string[];
}

interface RoomOptions {
  readonly ears: EarChoice;
  readonly sessions?: readonly string[];
  readonly phone?: boolean;
  readonly microphone?: 'works' | 'refused';
  /** What the ear of our own answers; null: nothing ever. */
  readonly own?: (utterance: Utterance) => EarAnswer | null;
  readonly ownLoads?: () => Promise<void>;
  readonly noRecogniser?: boolean;
  readonly available?: string;
  readonly note?: AttemptNote;
}

function makeRoom(options: RoomOptions): Room {
  const clock = makeFakeClock();
  const engine = scriptRecogniser(clock, options.sessions ?? []);
  const ear = makeScriptedEar(clock, options.own ?? (() => null));
  const asked: string[] = [];
  const Recogniser: RecogniserConstructor = engine.Recogniser;
  if (options.available !== undefined) {
    const answer = options.available;
    Object.assign(Recogniser, {
      available: async () => {
        asked.push('available');
        return answer;
      },
      install: async () => {
        asked.push('install');
        return false;
      },
    });
    Object.assign(Recogniser.prototype, { processLocally: false });
  }
  let hidden = false;
  let tellVisibility: (hidden: boolean) => void = () => undefined;
  let microphoneEvents: MicrophoneEvents | null = null;
  const counts = { opened: 0, closed: 0 };
  const platform: Platform = {
    clock,
    Recogniser: options.noRecogniser ? null : Recogniser,
    oneMicrophoneOwner: options.phone ?? false,
    oneShot: false,
    attemptNote: options.note ?? { pending: () => false, begin: () => undefined, end: () => undefined },
    surroundings: calmSurroundings(() => hidden),
    onVisibility(listener) {
      tellVisibility = listener;
      return () => undefined;
    },
    makeMicrophone(events) {
      microphoneEvents = events;
      let live = false;
      const open = async (): Promise<boolean> => {
        counts.opened++;
        if (options.microphone === 'refused') {
          events.trouble('microphone-refused', true, 'NotAllowedError');
          return false;
        }
        live = true;
        events.live(true);
        return true;
      };
      return {
        open,
        resume: open,
        close() {
          counts.closed++;
          if (live) events.live(false);
          live = false;
        },
        live: () => live,
        label: () => 'a microphone',
      };
    },
  };
  const events: ListeningEvent[] = [];
  const listening = makeListening({
    ears: options.ears,
    platform,
    ...(options.own
      ? { makeOwnEar: async () => (options.ownLoads ? { ...ear, load: options.ownLoads } : { ...ear }) }
      : {}),
  });
  listening.subscribe((event) => events.push(event));
  return {
    clock,
    listening,
    engine,
    ear,
    events,
    asked,
    calls: () => {
      const last = new Map<string, HeardCall>();
      for (const event of events) if (event.kind === 'call') last.set(event.call.id, event.call);
      return [...last.values()];
    },
    microphone: {
      get opened() {
        return counts.opened;
      },
      get closed() {
        return counts.closed;
      },
      events: () => {
        if (!microphoneEvents) throw new Error('no microphone was made');
        return microphoneEvents;
      },
    },
    setHidden(next) {
      hidden = next;
      tellVisibility(next);
    },
  };
}

/** A call into the microphone: its onset now, its end after `lengthMs`, known 350 ms later. */
async function say(room: Room, id: string, lengthMs = 800, speech = true): Promise<Utterance> {
  const sound = utterance(id, room.clock.now(), lengthMs);
  room.microphone.events().onset(sound.onsetMs);
  await room.clock.advance(lengthMs + 350);
  room.microphone.events().utterance(sound, speech);
  room.microphone.events().sound(room.ear.soundOf(sound, speech));
  await room.clock.advance(0);
  return sound;
}

const textsOf = (call: HeardCall | undefined): string[] =>
  call?.heard.map(({ alternatives }) => alternatives[0]?.text ?? '') ?? [];

describe('sound marks', () => {
  test('every utterance is a call, settled at once; the state says sound, no words', async () => {
    const room = makeRoom({ ears: { browser: 'off', own: false } });
    await room.listening.open();
    expect(room.listening.state()).toMatchObject({
      phase: 'open',
      hearsSound: true,
      hearsWords: false,
      ears: [],
      microphone: 'page',
    });
    const sound = await say(room, 'a');
    expect(room.calls()).toMatchObject([{ id: 'a', onsetMs: sound.onsetMs, settled: true, heard: [] }]);
    expect(room.engine.starts).toHaveLength(0);
  });

  test('a thud is no call', async () => {
    const room = makeRoom({ ears: { browser: 'off', own: false } });
    await room.listening.open();
    await say(room, 'thud', 200, false);
    await room.clock.advance(10_000);
    expect(room.calls()).toEqual([]);
  });

  test('a refused microphone gets a sentence, and nothing is claimed', async () => {
    const room = makeRoom({ ears: { browser: 'off', own: false }, microphone: 'refused' });
    await room.listening.open();
    const { hearsSound, hearsWords, sinceMs, troubles, microphone } = room.listening.state();
    expect({ hearsSound, hearsWords, sinceMs, microphone }).toEqual({
      hearsSound: false,
      hearsWords: false,
      sinceMs: null,
      microphone: 'none',
    });
    expect(troubles).toMatchObject([{ kind: 'microphone-refused', stopped: true }]);
    expect(sentenceOf(the(troubles[0]), 'en').title).toMatch(/microphone/);
  });

  test('sound that stops coming ends the claim to hear; it is back when sound is', async () => {
    const room = makeRoom({ ears: { browser: 'off', own: false } });
    await room.listening.open();
    expect(room.listening.state().sinceMs).not.toBeNull();
    room.microphone.events().live(false);
    room.microphone.events().trouble('microphone-lost', false);
    expect(room.listening.state()).toMatchObject({ hearsSound: false, sinceMs: null });
    await room.clock.advance(5000);
    room.microphone.events().live(true);
    room.microphone.events().recovered('microphone-lost');
    expect(room.listening.state()).toMatchObject({ hearsSound: true, sinceMs: room.clock.now(), troubles: [] });
  });

  test('what is open is settled and the microphone given back on close', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false }, sessions: ['150 A'] });
    await room.listening.open();
    await say(room, 'a');
    expect(room.calls()[0]?.settled).toBe(false);
    room.listening.close();
    expect(room.calls()[0]?.settled).toBe(true);
    expect(room.microphone.closed).toBe(1);
    expect(room.listening.state()).toMatchObject({
      phase: 'closed',
      hearsSound: false,
      hearsWords: false,
      microphone: 'none',
    });
    await room.clock.advance(60_000);
    expect(room.engine.running()).toBe(false);
  });
});

describe("the browser's ear", () => {
  test('words are said to be heard only from audiostart on', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false }, sessions: ['700 A\n15000 a E'] });
    await room.listening.open();
    await room.clock.advance(0);
    expect(room.listening.state()).toMatchObject({ hearsSound: true, hearsWords: false, browserEar: 'starting' });
    await room.clock.advance(701);
    expect(room.listening.state()).toMatchObject({ hearsWords: true, browserEar: 'listening', microphone: 'both' });
    await room.clock.advance(14_300);
    expect(room.listening.state().hearsWords).toBe(false);
  });

  test('sound and words meet: one call with the time of the sound', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false }, sessions: ['150 A\n2600 i"twenty"\n3300 f"25"@.9'] });
    await room.listening.open();
    await room.clock.advance(2000);
    const sound = await say(room, 'a');
    await room.clock.advance(3000);
    expect(room.calls()).toHaveLength(1);
    expect(room.calls()[0]).toMatchObject({ id: 'a', onsetMs: sound.onsetMs, timing: 'sound', settled: true });
    expect(textsOf(room.calls()[0])).toEqual(['25']);
  });

  test('a dead recogniser is reported; sound marks go on', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false }, sessions: ['40 X:service-not-allowed'] });
    await room.listening.open();
    await room.clock.advance(3000);
    expect(room.listening.state()).toMatchObject({
      hearsSound: true,
      hearsWords: false,
      ears: [],
      browserEar: 'stopped',
    });
    expect(room.listening.state().troubles).toMatchObject([{ kind: 'recogniser-refused', stopped: true }]);
    await say(room, 'a');
    expect(room.calls()).toMatchObject([{ id: 'a', settled: true, heard: [] }]);
  });

  test('a recogniser that finds no microphone, while the page has it: it is the recogniser that is named', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false }, sessions: ['70 X:audio-capture\n71 E'] });
    await room.listening.open();
    await room.clock.advance(3000);
    expect(room.listening.state().troubles.map(({ kind }) => kind)).toEqual(['recogniser-silent']);
    expect(room.listening.state()).toMatchObject({ hearsSound: true, hearsWords: false });
    await room.clock.advance(40_000);
    expect(room.listening.state()).toMatchObject({ hearsWords: true, troubles: [] });
  });

  test('no recogniser in the browser: told, and sound marks', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false }, noRecogniser: true });
    await room.listening.open();
    expect(room.listening.state()).toMatchObject({ hearsSound: true, ears: [] });
    expect(room.listening.state().troubles.map(({ kind }) => kind)).toEqual(['recogniser-missing']);
    await say(room, 'a');
    expect(room.calls()[0]?.settled).toBe(true);
  });

  test('a tap after it stopped starts it again', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false }, sessions: ['30 X:not-allowed\n31 E', '150 A'] });
    await room.listening.open();
    await room.clock.advance(3000);
    expect(room.listening.state().browserEar).toBe('stopped');
    await room.listening.resume();
    await room.clock.advance(1500);
    expect(room.listening.state()).toMatchObject({ browserEar: 'listening', hearsWords: true, troubles: [] });
  });

  test('a hidden page is said, and over when it is shown', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false }, sessions: ['150 A\n1000 X:aborted\n1001 E'] });
    await room.listening.open();
    await room.clock.advance(900);
    room.setHidden(true);
    expect(room.listening.state().troubles.map(({ kind }) => kind)).toEqual(['page-hidden']);
    await room.clock.advance(5000);
    expect(room.listening.state().hearsWords).toBe(false);
    room.setHidden(false);
    await room.clock.advance(2000);
    expect(room.listening.state()).toMatchObject({ hearsWords: true, troubles: [] });
  });
});

describe('on the device only', () => {
  test('the engine is asked only once this ear is chosen', async () => {
    const cloud = makeRoom({ ears: { browser: 'on', own: false }, available: 'available', sessions: ['150 A'] });
    await cloud.listening.open();
    expect(cloud.asked).toEqual([]);
    const local = makeRoom({ ears: { browser: 'local', own: false }, available: 'available', sessions: ['150 A'] });
    await local.listening.open();
    await local.clock.advance(1000);
    expect(local.asked).toEqual(['available']);
    expect(local.engine.settings).toMatchObject([{ processLocally: true }]);
  });

  test('a question that once brought the page down is not asked again', async () => {
    const room = makeRoom({
      ears: { browser: 'local', own: false },
      available: 'available',
      note: { pending: () => true, begin: () => undefined, end: () => undefined },
    });
    await room.listening.open();
    await room.clock.advance(1000);
    expect(room.asked).toEqual([]);
    expect(room.engine.starts).toHaveLength(0);
    expect(room.listening.state().troubles.map(({ kind }) => kind)).toEqual(['recogniser-missing']);
    expect(room.listening.state().hearsSound).toBe(true);
  });

  test('a missing language is reported; sound never goes out instead', async () => {
    const room = makeRoom({ ears: { browser: 'local', own: false }, available: 'downloadable' });
    await room.listening.open();
    await room.clock.advance(5000);
    expect(room.asked).toEqual(['available', 'install']);
    expect(room.engine.starts).toHaveLength(0);
    expect(room.listening.state().troubles.map(({ kind }) => kind)).toEqual(['recogniser-language']);
  });
});

describe('the ear of our own', () => {
  test('answers about each utterance, with its probabilities', async () => {
    const own = () => ({
      best: [
        { text: 'fifty', p: 0.7 },
        { text: 'fifteen', p: 0.2 },
      ],
      speech: 0.99,
    });
    const room = makeRoom({ ears: { browser: 'off', own: true }, own });
    await room.listening.open();
    await room.clock.advance(10);
    expect(room.listening.state()).toMatchObject({ ears: ['own'], ownEar: 'ready', hearsWords: true });
    await say(room, 'a');
    await room.clock.advance(10);
    expect(room.calls()).toHaveLength(1);
    expect(room.calls()[0]).toMatchObject({ id: 'a', settled: true });
    expect(room.calls()[0]?.heard[0]).toMatchObject({
      ear: 'own',
      final: true,
      utterance: 'a',
      alternatives: [
        { text: 'fifty', confidence: 0.7 },
        { text: 'fifteen', confidence: 0.2 },
      ],
    });
  });

  test('no words from it: the call is settled without, when the answer is there', async () => {
    const room = makeRoom({ ears: { browser: 'off', own: true }, own: () => ({ best: [], speech: 0.4 }) });
    await room.listening.open();
    await room.clock.advance(10);
    await say(room, 'a');
    await room.clock.advance(10);
    expect(room.calls()).toMatchObject([{ id: 'a', settled: true, heard: [] }]);
  });

  test('a thud is no call unless the ear is sure of words', async () => {
    let p = 0.4;
    const own = () => ({ best: [{ text: 'eight', p }], speech: 0.95 });
    const room = makeRoom({ ears: { browser: 'off', own: true }, own });
    await room.listening.open();
    await room.clock.advance(10);
    await say(room, 'thud', 200, false);
    await room.clock.advance(6000);
    expect(room.calls()).toEqual([]);
    p = 0.9;
    await say(room, 'hoarse', 300, false);
    await room.clock.advance(10);
    expect(room.calls().flatMap(textsOf)).toEqual(['eight']);
  });

  test('one that stops answering is reported within 2 s and started again; what was said meanwhile is heard', async () => {
    const room = makeRoom({
      ears: { browser: 'off', own: true },
      own: () => (room.ear.loaded() < 2 ? null : { best: [{ text: 'forty', p: 0.9 }], speech: 1 }),
    });
    await room.listening.open();
    await room.clock.advance(10);
    await say(room, 'a');
    await room.clock.advance(2000);
    expect(room.events).toContainEqual(
      expect.objectContaining({ kind: 'trouble', trouble: expect.objectContaining({ kind: 'ear-restarting' }) }),
    );
    expect(room.ear.loaded()).toBe(2);
    await room.clock.advance(10);
    expect(room.calls().flatMap(textsOf)).toEqual(['forty']);
    expect(room.listening.state()).toMatchObject({ ownEar: 'ready', hearsWords: true });
    await room.clock.advance(4000);
    expect(room.listening.state().troubles).toEqual([]);
  });

  test('one that stops again at once is given up, and sound marks go on', async () => {
    const room = makeRoom({ ears: { browser: 'off', own: true }, own: () => null });
    await room.listening.open();
    await room.clock.advance(10);
    await say(room, 'a');
    await room.clock.advance(8000);
    expect(room.listening.state()).toMatchObject({ ownEar: 'failed', hearsWords: false, hearsSound: true });
    expect(room.listening.state().troubles).toMatchObject([{ kind: 'recogniser-missing', stopped: true }]);
  });

  test("the tool's own tone is no call, whatever the ear makes of it; a voice over it is one", async () => {
    const own = () => ({ best: [{ text: 'two', p: 0.9 }], speech: 0.99 });
    const room = makeRoom({ ears: { browser: 'off', own: true }, own });
    await room.listening.open();
    await room.clock.advance(10);
    room.listening.cue(300);
    await say(room, 'tone', 200, false);
    await room.clock.advance(10);
    expect(room.calls()).toEqual([]);
    room.listening.cue(300);
    await say(room, 'voice', 200, true);
    await room.clock.advance(10);
    expect(room.calls().flatMap(textsOf)).toEqual(['two']);
  });

  test('one that cannot be loaded is reported, and sound marks go on', async () => {
    const room = makeRoom({
      ears: { browser: 'off', own: true },
      own: () => null,
      ownLoads: () => Promise.reject(new Error('no weights')),
    });
    await room.listening.open();
    await room.clock.advance(10);
    expect(room.listening.state()).toMatchObject({ ownEar: 'failed', ears: [], hearsWords: false, hearsSound: true });
    expect(room.listening.state().troubles).toMatchObject([{ kind: 'recogniser-missing', stopped: true }]);
    await say(room, 'a');
    expect(room.calls()[0]?.settled).toBe(true);
  });
});

describe('a phone, with one owner of the microphone', () => {
  test("the browser's ear alone: it has the microphone, calls are timed by their words", async () => {
    const room = makeRoom({
      ears: { browser: 'on', own: false },
      phone: true,
      sessions: ['150 A\n3000 i"25"\n3400 f"25"@.9'],
    });
    await room.listening.open();
    await room.clock.advance(200);
    expect(room.microphone.opened).toBe(0);
    expect(room.listening.state()).toMatchObject({ hearsSound: false, hearsWords: true, microphone: 'recogniser' });
    expect(room.listening.state().sinceMs).not.toBeNull();
    await room.clock.advance(6000);
    expect(room.calls()).toMatchObject([{ timing: 'words', settled: true, utterance: null }]);
    expect(textsOf(room.calls()[0])).toEqual(['25']);
  });

  test('with the ear of our own the page has it, and the other is not started', async () => {
    const room = makeRoom({
      ears: { browser: 'on', own: true },
      phone: true,
      own: () => ({ best: [{ text: '25', p: 0.9 }], speech: 1 }),
    });
    await room.listening.open();
    await room.clock.advance(10);
    expect(room.engine.starts).toHaveLength(0);
    expect(room.listening.state()).toMatchObject({ hearsSound: true, microphone: 'page', ears: ['own'] });
  });

  test('speech that was noticed and not understood is a call without words', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false }, phone: true, sessions: ['150 A\n2500 N\n2510 E'] });
    await room.listening.open();
    await room.clock.advance(4000);
    expect(room.calls()).toMatchObject([{ timing: 'words', heard: [], settled: true }]);
  });

  test('giving up the browser ear hands the microphone over', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false }, phone: true, sessions: ['150 A'] });
    await room.listening.open();
    await room.clock.advance(500);
    room.listening.choose({ browser: 'off', own: false });
    await room.clock.advance(500);
    expect(room.engine.running()).toBe(false);
    expect(room.listening.state()).toMatchObject({ hearsSound: true, hearsWords: false, ears: [], microphone: 'page' });
  });
});

describe('half duplex', () => {
  test('while the tool speaks the ear is shut; what comes in is kept, marked as over its speech; then it hears again', async () => {
    const room = makeRoom({
      ears: { browser: 'on', own: false },
      sessions: ['150 A', '150 A\n300 f"logged two five"@.9\n3500 f"27"@.9'],
    });
    await room.listening.open();
    await room.clock.advance(3000);
    const hushed = room.listening.hush('logged two five');
    await room.clock.advance(100);
    const release = await hushed;
    expect(room.engine.running()).toBe(false);
    expect(room.listening.state()).toMatchObject({ hushed: true, hearsWords: false });
    await say(room, 'tool', 1200);
    release();
    await room.clock.advance(1000);
    expect(room.listening.state().hushed).toBe(false);
    expect(room.listening.state().hearsWords).toBe(true);
    await room.clock.advance(1200);
    await say(room, 'next', 600);
    await room.clock.advance(6000);
    const [over, next] = room.calls();
    expect(over).toMatchObject({ id: 'tool', during: { said: [{ spoken: 'logged two five' }], within: true } });
    expect(textsOf(over)).toEqual(['logged two five']);
    expect(textsOf(next)).toEqual(['27']);
    expect(next?.during?.within ?? false).toBe(false);
  });

  test('a tone of the tool is no call; a voice over it is', async () => {
    const room = makeRoom({ ears: { browser: 'off', own: false } });
    await room.listening.open();
    room.listening.cue(300);
    await say(room, 'tone', 250, false);
    room.listening.cue(300);
    await say(room, 'voice', 280, true);
    expect(room.calls().map(({ id }) => id)).toEqual(['voice']);
  });
});

describe('the simulated caller', () => {
  test('comes in by the same door; the real ears rest meanwhile', async () => {
    const room = makeRoom({ ears: { browser: 'off', own: false } });
    await room.listening.open();
    room.listening.inject.open();
    expect(room.listening.state()).toMatchObject({ phase: 'open', ears: ['rehearsal'], hearsWords: true });
    await say(room, 'room noise');
    room.listening.inject.utterance(utterance('sim', room.clock.now() - 800));
    expect(room.calls()).toMatchObject([{ id: 'sim', settled: false }]);
    room.listening.inject.heard(words('r:1', '25', room.clock.now(), { ear: 'rehearsal', utterance: 'sim' }));
    expect(room.calls()).toMatchObject([{ id: 'sim', settled: true }]);
    expect(textsOf(room.calls()[0])).toEqual(['25']);
    room.listening.inject.close();
    expect(room.listening.state()).toMatchObject({ ears: [], hearsSound: true, hearsWords: false });
    await say(room, 'b');
    expect(room.calls().map(({ id }) => id)).toEqual(['sim', 'b']);
  });

  test('needs no microphone', async () => {
    const room = makeRoom({ ears: { browser: 'on', own: false } });
    room.listening.inject.open();
    expect(room.listening.state()).toMatchObject({ phase: 'open', hearsWords: true });
    expect(room.microphone.opened).toBe(0);
    room.listening.inject.close();
    expect(room.listening.state()).toMatchObject({ phase: 'closed', hearsWords: false });
  });
});

test('the same choice of ears again changes nothing', async () => {
  const room = makeRoom({ ears: { browser: 'on', own: false }, sessions: ['150 A'] });
  await room.listening.open();
  await room.clock.advance(1000);
  room.listening.choose({ browser: 'on', own: false });
  await room.clock.advance(1000);
  expect(room.engine.starts).toHaveLength(1);
  expect(room.microphone.opened).toBe(1);
});
