import 'fake-indexeddb/auto';
import type { Cue } from '../../src/answering/cues.ts';
import { defaultPreferences, type Preferences } from '../../src/bench/preferences.ts';
import { makeSession, type Session } from '../../src/bench/session.ts';
import type { Decisions } from '../../src/bench/session-step.ts';
import { makeUnderstanding, type Understanding } from '../../src/bench/understanding.ts';
import type { Alternative, EarName, Heard } from '../../src/hearing/ear.ts';
import type { HeardCall } from '../../src/hearing/pairing.ts';
import type { PageLanguage } from '../../src/language/page-language.ts';
import { sentence } from '../../src/language/spoken.ts';
import { en } from '../../src/language/words/en.ts';
import type { Words } from '../../src/language/words.ts';
import type { EventBody } from '../../src/log/event.ts';
import { createNotebook, type Journal } from '../../src/log/journal.ts';
import type { NotebookState, Run } from '../../src/log/state.ts';
import { makeNotebookStore, type NotebookStore } from '../../src/log/store.ts';

/** A session at a bench with a scripted listening, a clock that the test moves, and ears that note what sounds. */
export interface TestBench {
  readonly session: Session;
  readonly journal: Journal;
  readonly store: NotebookStore;
  /** What was played and when it was durable: cue and number of events then on disk. */
  readonly cues: { cue: Cue; events: number }[];
  readonly said: string[];
  state(): NotebookState;
  run(label: string): Run;
  /** Somebody says something at `atS` seconds; '' is a sound without words. */
  say(
    text: string,
    atS: number,
    more?: Partial<HeardCall> & {
      alternatives?: readonly (string | Alternative)[];
      ear?: EarName;
      tentative?: boolean;
      /** Set: it is softer than the caller's calls. */
      nearness?: number;
      /** What another ear answers at the same time; its words come first or last. */
      other?: { ear: EarName; alternatives: readonly Alternative[]; first: boolean };
    },
  ): Promise<void>;
  prefer(change: Partial<Preferences>): void;
  /** Makes storage fail until it is called with false. */
  breakStorage(broken: boolean): void;
}

export interface TestBenchOptions {
  readonly hearsWords?: boolean;
  readonly decisions?: Decisions;
  /** Language of the page, where it is not that of the calls. */
  readonly shownIn?: PageLanguage;
  readonly understanding?: Understanding;
  /** Of the calls' language; English. */
  readonly words?: Words;
}

export async function testBench(options: TestBenchOptions = {}): Promise<TestBench> {
  let now = 0;
  let broken = false;
  const real = makeNotebookStore(`test-${crypto.randomUUID()}`);
  const store: NotebookStore = {
    ...real,
    append: (id, events) =>
      broken ? Promise.reject(new DOMException('no room', 'QuotaExceededError')) : real.append(id, events),
  };
  const journal = await createNotebook('test', {
    store,
    clocks: { pageNow: () => now, wallNow: () => 1.7e12 + now },
  });
  let preferences = defaultPreferences;
  const cues: { cue: Cue; events: number }[] = [];
  const said: string[] = [];
  const state = (): NotebookState => journal.state();
  let calls = 0;
  const { decisions, shownIn, words = en } = options;
  const understanding = options.understanding ?? makeUnderstanding(() => words);
  const session = makeSession({
    state,
    record: (...bodies: EventBody[]) => journal.record(...bodies).catch(() => null),
    timeOf: journal.timeOf,
    now: journal.now,
    keepClip: async () => {},
    understanding: () => understanding,
    play: (cue) => cues.push({ cue, events: journal.events().length - journal.unsaved() }),
    say: (reply) => said.push(reply.saying ? sentence(reply.saying, words) : (reply.say ?? reply.text)),
    preferences: () => preferences,
    hearsWords: () => options.hearsWords ?? true,
    ...(decisions ? { decisions: async () => decisions } : {}),
    ...(shownIn ? { shownIn: () => shownIn } : {}),
    idPrefix: 'id-',
  });
  return {
    session,
    journal,
    store: real,
    cues,
    said,
    state,
    run(label) {
      const run = state().runs.find((known) => known.label === label);
      if (!run) throw new Error(`no run ${label}`);
      return run;
    },
    async say(text, atS, more = {}) {
      const { alternatives, ear = 'browser', tentative = false, nearness, other, ...rest } = more;
      const id = rest.id ?? `u${++calls}`;
      const onsetMs = atS * 1000;
      now = Math.max(now, onsetMs + 1200);
      const texts = alternatives ?? (text === '' ? [] : [text]);
      const heard: Heard[] =
        texts.length === 0
          ? []
          : [
              {
                ear,
                generation: 1,
                phrase: `${id}-p`,
                alternatives: texts.map((one) => (typeof one === 'string' ? { text: one, confidence: null } : one)),
                final: !tentative,
                tentative,
                firstWordsMs: onsetMs + 600,
                atMs: onsetMs + 1100,
                utterance: id,
                ...(nearness === undefined ? {} : { nearness }),
              },
            ];
      const call: HeardCall = {
        id,
        onsetMs,
        endMs: onsetMs + 500,
        timing: 'sound',
        uOnsetMs: 15,
        utterance: null,
        heard: [],
        settled: false,
        ...rest,
      };
      session.hear({ kind: 'call', call });
      const [own] = heard;
      const theirs = own && other ? [{ ...own, ear: other.ear, alternatives: other.alternatives }] : [];
      if (other?.first) session.hear({ kind: 'call', call: { ...call, heard: theirs, settled: true } });
      session.hear({ kind: 'call', call: { ...call, heard: [...theirs, ...heard], settled: true } });
      await session.idle();
    },
    prefer(change) {
      preferences = { ...preferences, ...change };
    },
    breakStorage(next) {
      broken = next;
    },
  };
}
