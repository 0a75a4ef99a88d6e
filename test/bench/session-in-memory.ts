import { defaultPreferences, type Preferences } from '../../src/bench/preferences.ts';
import { makeSession, type Session } from '../../src/bench/session.ts';
import { makeUnderstanding } from '../../src/bench/understanding.ts';
import type { EarName } from '../../src/hearing/ear.ts';
import { en } from '../../src/language/words/en.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import { makeFold } from '../../src/log/reduce.ts';
import { defaultSetup, type Setup } from '../../src/log/setup.ts';
import type { NotebookState, Run } from '../../src/log/state.ts';

/** What an ear offers for a sound, best first. */
export type Offer = readonly { readonly text: string; readonly p: number | null }[];

/** A session with its log in memory: fast enough for thousands of runs. Run 1 is open from 0 ms on. */
export interface SessionInMemory {
  readonly session: Session;
  state(): NotebookState;
  run(): Run;
  events(): readonly NotebookEvent[];
  /** Somebody says something at `timeS`; nothing offered is a sound without words. */
  say(offer: Offer, timeS: number, ear?: EarName): Promise<void>;
}

export async function sessionInMemory(
  setup: Partial<Setup> = {},
  preferences: Partial<Preferences> = {},
): Promise<SessionInMemory> {
  const fold = makeFold();
  const events: NotebookEvent[] = [];
  let now = 0;
  const record = async (...bodies: EventBody[]): Promise<readonly NotebookEvent[]> => {
    const fresh = bodies.map((body): NotebookEvent => {
      const seq = events.length;
      const event: NotebookEvent = { id: `e${seq}`, seq, atMs: now, wallMs: 1.7e12 + now, page: 0, body };
      events.push(event);
      return event;
    });
    fold.append(fresh);
    return fresh;
  };
  const understanding = makeUnderstanding(() => en);
  const session = makeSession({
    state: fold.state,
    record,
    timeOf: (ms) => ms,
    now: () => now,
    keepClip: async () => {},
    understanding: () => understanding,
    play: () => {},
    say: () => {},
    preferences: () => ({ ...defaultPreferences, ...preferences }),
    hearsWords: () => true,
    idPrefix: 'id',
  });
  await record(
    { kind: 'set-up', setup: { ...defaultSetup, ...setup } },
    { kind: 'run-started', run: 'r', label: '1', timeMs: 0 },
  );
  let calls = 0;
  return {
    session,
    state: fold.state,
    run: () => fold.state().runs[0] as Run,
    events: () => events,
    async say(offer, timeS, ear = 'browser') {
      const id = `u${++calls}`;
      const onsetMs = 1000 * timeS;
      now = Math.max(now, onsetMs + 1200);
      const call = { id, onsetMs, endMs: onsetMs + 500, timing: 'sound', uOnsetMs: 15, utterance: null } as const;
      const heard =
        offer.length === 0
          ? []
          : [
              {
                ear,
                generation: 1,
                phrase: `${id}-p`,
                alternatives: offer.map(({ text, p }) => ({ text, confidence: p })),
                final: true,
                tentative: false,
                firstWordsMs: onsetMs + 600,
                atMs: onsetMs + 1100,
                utterance: id,
              },
            ];
      session.hear({ kind: 'call', call: { ...call, heard, settled: true } });
      await session.idle();
    },
  };
}
