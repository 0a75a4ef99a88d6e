import { type Cue, cueLengthMs } from '../../src/answering/cues.ts';
import { makeSpeaker, type Speaker, type Synthesis } from '../../src/answering/speaker.ts';
import { runSheetDecisions } from '../../src/bench/decisions.ts';
import { defaultPreferences, type Preferences } from '../../src/bench/preferences.ts';
import { makeSession, type Session } from '../../src/bench/session.ts';
import { makeUnderstanding } from '../../src/bench/understanding.ts';
import type { Utterance } from '../../src/hearing/ear.ts';
import { type Listening, makeListening } from '../../src/hearing/listening.ts';
import type { EarChoice, ListeningState } from '../../src/hearing/listening-step.ts';
import type { MicrophoneEvents } from '../../src/hearing/microphone.ts';
import type { Recogniser } from '../../src/hearing/recogniser.ts';
import { sentence } from '../../src/language/spoken.ts';
import { en } from '../../src/language/words/en.ts';
import type { Words } from '../../src/language/words.ts';
import type { NotebookEvent } from '../../src/log/event.ts';
import { createNotebook, type Journal } from '../../src/log/journal.ts';
import type { NotebookState } from '../../src/log/state.ts';
import type { NotebookStore } from '../../src/log/store.ts';
import { calmSurroundings } from '../hearing/calm-surroundings.ts';
import { type FakeClock, makeFakeClock } from '../hearing/fake-clock.ts';
import { makeScriptedEar } from '../hearing/scripted-ear.ts';

/**
 * The whole of hearing and answering in one room: real listening, pairing, supervisor, session, journal and speaker;
 * a microphone, a recogniser, an ear of our own, a voice and a disk that the test plays, on a clock that stands.
 */
export interface Room {
  readonly clock: FakeClock;
  readonly listening: Listening;
  readonly session: Session;
  readonly journal: Journal;
  readonly speaker: Speaker;
  readonly cues: readonly { cue: Cue; atMs: number }[];
  /** What the tool said aloud, and when it fell silent (null while it speaks). */
  readonly spoken: readonly { text: string; fromMs: number; toMs: number | null }[];
  state(): NotebookState;
  /** Every event on the disk. */
  readonly disk: readonly NotebookEvent[];
  /**
   * A person (or anything) makes a sound now: it lasts, and is known 350 ms after its end. Returns its id at once.
   */
  sound(id: string, lengthMs?: number, speech?: boolean): void;
  /** What the ear of our own makes of a sound, and how long it takes over it; unset: no words. */
  readonly ownEar: Map<string, { best: { text: string; p: number }[]; delayMs: number; speech?: number }>;
  /** The browser's recogniser answers now, if it listens. */
  browserSays(texts: readonly string[], more?: { final?: boolean; confidence?: number }): boolean;
  /** The recogniser really has its ears open. */
  engineHears(): boolean;
  /** The recogniser's session ends by itself or with an error. */
  browserEnds(error?: string): void;
  setHidden(hidden: boolean): void;
  /** The microphone stops or gives sound again. */
  setLive(live: boolean): void;
  breakStorage(broken: boolean): void;
  prefer(change: Partial<Preferences>): void;
  /** Lets time pass, step by step, with everything that happens meanwhile dealt with. */
  pass(ms: number): Promise<void>;
}

export interface RoomOptions {
  readonly ears: EarChoice;
  readonly words?: Words;
  readonly preferences?: Partial<Preferences>;
  /** The tool's voice reaches the microphone, so much later; null: headphones. */
  readonly echoMs?: number | null;
}

export async function makeRoom(options: RoomOptions): Promise<Room> {
  const clock = makeFakeClock();
  const words = options.words ?? en;
  let preferences: Preferences = { ...defaultPreferences, ...options.preferences };
  let hidden = false;
  let tellVisibility: (hidden: boolean) => void = () => undefined;
  let microphone: MicrophoneEvents | null = null;
  let live = true;
  const ownEar: Room['ownEar'] extends Map<infer K, infer V> ? Map<K, V> : never = new Map();

  /** A recogniser with one session at a time, as browsers have it. */
  let engine: LiveRecogniser | null = null;
  class LiveRecogniser implements Recogniser {
    lang = '';
    continuous = false;
    interimResults = false;
    maxAlternatives = 1;
    onstart: Recogniser['onstart'] = null;
    onaudiostart: Recogniser['onaudiostart'] = null;
    onaudioend: Recogniser['onaudioend'] = null;
    onresult: Recogniser['onresult'] = null;
    onnomatch: Recogniser['onnomatch'] = null;
    onerror: Recogniser['onerror'] = null;
    onend: Recogniser['onend'] = null;
    running = false;
    hearing = false;
    results: { isFinal: boolean; length: number; [index: number]: { transcript: string; confidence: number } }[] = [];
    start(): void {
      if (this.running) throw new DOMException('recognition has already started.', 'InvalidStateError');
      this.running = true;
      this.results = [];
      engine = this;
      clock.after(120, () => {
        if (!this.running) return;
        this.hearing = true;
        this.onstart?.({});
        this.onaudiostart?.({});
      });
    }
    stop(): void {
      if (this.running) clock.after(60, () => this.end());
    }
    abort(): void {
      if (!this.running) return;
      clock.after(20, () => this.end('aborted'));
    }
    end(error?: string): void {
      if (!this.running) return;
      this.running = false;
      this.hearing = false;
      if (error) this.onerror?.({ error });
      this.onend?.({});
    }
  }

  const own = makeScriptedEar(clock, ({ id }) => {
    const { best, delayMs, speech } = ownEar.get(id) ?? { best: [], delayMs: 200 };
    return { best, speech: speech ?? 0.99, delayMs };
  });

  const listening = makeListening({
    ears: options.ears,
    makeOwnEar: async () => ({ ...own }),
    platform: {
      clock,
      Recogniser: LiveRecogniser,
      oneMicrophoneOwner: false,
      oneShot: false,
      attemptNote: { pending: () => false, begin: () => undefined, end: () => undefined },
      surroundings: calmSurroundings(() => hidden),
      onVisibility(listener) {
        tellVisibility = listener;
        return () => undefined;
      },
      makeMicrophone(events) {
        microphone = events;
        const open = async (): Promise<boolean> => {
          events.live(live);
          return live;
        };
        return { open, resume: open, close: () => events.live(false), live: () => live, label: () => 'a microphone' };
      },
    },
  });

  const spoken: { text: string; fromMs: number; toMs: number | null }[] = [];
  let voice: { utterance: SpeechSynthesisUtterance; said: (typeof spoken)[number] } | null = null;
  let echoes = 0;
  const hush = (): void => {
    if (!voice) return;
    const { said } = voice;
    voice = null;
    said.toMs = clock.now();
    const { echoMs = null } = options;
    if (echoMs === null) return;
    // The part that was spoken, if it was cut short.
    const text = said.text.slice(0, Math.round((said.toMs - said.fromMs) / 60));
    const id = `echo-${++echoes}`;
    if (!ownEar.has(id)) ownEar.set(id, { best: [{ text: numbersOf(text), p: 0.9 }], delayMs: 150 });
    const { fromMs, toMs } = said;
    clock.after(echoMs + 350, () => heard(id, fromMs + echoMs, toMs + echoMs, true));
  };
  const synthesis: Synthesis = {
    speak(utterance) {
      const said = { text: utterance.text, fromMs: clock.now(), toMs: null };
      spoken.push(said);
      const mine = { utterance, said };
      voice = mine;
      const { echoMs = null } = options;
      if (echoMs !== null) clock.after(echoMs, () => live && microphone?.onset(clock.now()));
      clock.after(60 * utterance.text.length, () => {
        if (voice !== mine) return;
        hush();
        utterance.onend?.call(utterance, {} as SpeechSynthesisEvent);
      });
    },
    cancel: hush,
    getVoices: () => [],
  };
  const speaker = makeSpeaker({
    listening,
    synthesis,
    clock,
    makeUtterance: (text) =>
      ({ text, volume: 1, lang: '', voice: null, onend: null, onerror: null }) as unknown as SpeechSynthesisUtterance,
  });

  const disk: NotebookEvent[] = [];
  let broken = false;
  const store: NotebookStore = {
    list: async () => [],
    load: async (id) => ({ id, events: [...disk], damaged: [] }),
    append: async (_id, events) => {
      if (broken) throw new DOMException('no room', 'QuotaExceededError');
      disk.push(...events);
    },
    raw: async () => ({ schema: 1, events: [...disk] }),
    adopt: async () => false,
    deleted: async () => new Set(),
    graft: async () => undefined,
    remove: async () => undefined,
    putClip: async () => undefined,
    getClip: async () => undefined,
    clipCalls: async () => [],
    deleteClips: async () => undefined,
  };
  const journal = await createNotebook('room', {
    store,
    clocks: { pageNow: clock.now, wallNow: () => 1.7e12 + clock.now() },
  });
  const cues: { cue: Cue; atMs: number }[] = [];
  let listeningState: ListeningState = listening.state();
  const understanding = makeUnderstanding(() => words);
  const session = makeSession({
    state: journal.state,
    record: (...bodies) => journal.record(...bodies).catch(() => null),
    timeOf: journal.timeOf,
    now: journal.now,
    keepClip: async () => undefined,
    understanding: () => understanding,
    play(cue) {
      cues.push({ cue, atMs: clock.now() });
      listening.cue(cueLengthMs(cue));
    },
    say: (reply) => void speaker.say(reply.saying ? sentence(reply.saying, words) : (reply.say ?? reply.text)),
    preferences: () => preferences,
    hearsWords: () => listeningState.ears.length > 0,
    decisions: async () => runSheetDecisions,
    idPrefix: 'id-',
  });
  listening.subscribe((event) => {
    if (event.kind === 'state') listeningState = event.state;
    session.hear(event);
  });
  await listening.open();
  await clock.advance(500);

  function sound(id: string, lengthMs = 700, speech = true): void {
    if (!live) return;
    const onsetMs = clock.now();
    microphone?.onset(onsetMs);
    clock.after(lengthMs + 350, () => heard(id, onsetMs, onsetMs + lengthMs, speech));
  }

  function heard(id: string, onsetMs: number, endMs: number, speech: boolean): void {
    if (!live) return;
    const utterance: Utterance = {
      id,
      onsetMs,
      endMs,
      uOnsetMs: 10,
      samples: new Float32Array(16),
      sampleRate: 16_000,
      onsetIndex: 4,
      clipped: false,
    };
    microphone?.utterance(utterance, speech);
    microphone?.sound(own.soundOf(utterance, speech));
  }

  return {
    clock,
    listening,
    session,
    journal,
    speaker,
    cues,
    spoken,
    state: journal.state,
    disk,
    sound,
    ownEar,
    browserSays(texts, { final = true, confidence = 0.9 } = {}) {
      if (!engine?.hearing) return false;
      const last = engine.results.at(-1);
      if (last && !last.isFinal) engine.results.pop();
      const result: (typeof engine.results)[number] = { isFinal: final, length: texts.length };
      texts.forEach((transcript, k) => {
        result[k] = { transcript, confidence: k === 0 ? confidence : 0 };
      });
      engine.results.push(result);
      engine.onresult?.({ resultIndex: engine.results.length - 1, results: engine.results });
      return true;
    },
    engineHears: () => engine?.hearing ?? false,
    browserEnds: (error) => engine?.end(error),
    setHidden(next) {
      hidden = next;
      tellVisibility(next);
    },
    setLive(next) {
      live = next;
      microphone?.live(next);
    },
    breakStorage(next) {
      broken = next;
    },
    prefer(change) {
      preferences = { ...preferences, ...change };
    },
    async pass(ms) {
      const endMs = clock.now() + ms;
      while (clock.now() < endMs) {
        await clock.advance(Math.min(100, endMs - clock.now()));
        await session.idle();
      }
    },
  };
}

/** What a recogniser that knows only numbers makes of a sentence of the tool: its numbers. */
function numbersOf(text: string): string {
  const words = new Set(
    'zero one two three four five six seven eight nine point null eins zwo drei vier fünf sechs sieben acht neun komma'.split(
      ' ',
    ),
  );
  return text
    .toLowerCase()
    .split(/[^\p{L}]+/u)
    .filter((word) => words.has(word))
    .join(' ');
}
