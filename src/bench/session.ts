import type { Cue } from '../answering/cues.ts';
import type { ListeningEvent } from '../hearing/listening-step.ts';
import { dayLanguage, type PageLanguage } from '../language/page-language.ts';
import type { EventBody } from '../log/event.ts';
import type { Meaning } from '../log/meaning.ts';
import { newId } from '../log/new-id.ts';
import type { NotebookState } from '../log/state.ts';
import type { Reply } from './act.ts';
import type { Preferences } from './preferences.ts';
import {
  type Decisions,
  newSession,
  type SessionEffect,
  type SessionEvent,
  type SessionView,
  sessionStep,
} from './session-step.ts';
import type { Understanding } from './understanding.ts';

/**
 * The data's way: a sound becomes a durable call; its words are recorded and judged; what they mean is recorded with
 * it; only then does a cue sound. Everything goes through one queue, so that each step sees what the one before it
 * left behind. What happens is in `session-step.ts`; this carries it out. No DOM: tests drive it with a scripted
 * listening and a clock of their own.
 */
export interface Session {
  /** What the person hears besides the notebook itself. */
  view(): SessionView;
  subscribe(listener: () => void): () => void;
  /** The door of listening. */
  hear(event: ListeningEvent): void;
  /** A key or a tap. `pageMs` is the moment it means (page time); for a typed number that of its first digit. */
  press(meaning: Meaning, pageMs: number): Promise<void>;
  /** Takes back the latest act that can be taken back; asks first where readings or the run sheet hang on it. */
  undo(): Promise<void>;
  /** Says something that the session did not find itself (warnings). Recorded nowhere. */
  tell(reply: Reply, cue?: Cue): void;
  /** Resolves when everything that came in so far is dealt with. */
  idle(): Promise<void>;
}

export interface SessionParts {
  state(): NotebookState;
  /** Adds events; resolves with null when they could not be made durable (the person was told why). */
  record(...bodies: EventBody[]): Promise<readonly { readonly id: string }[] | null>;
  /** Notebook time of a page time, ms. */
  timeOf(pageMs: number): number;
  now(): number;
  /** Keeps the sound of a call. */
  keepClip(call: string, sound: { samples: Float32Array; sampleRate: number }): Promise<void>;
  /** Null until it is loaded: words come only after it. */
  understanding(): Understanding | null;
  play(cue: Cue): void;
  /** Says a reply aloud. */
  say(reply: Reply): void;
  preferences(): Preferences;
  /** Language in which the page is read; default: that of the calls. */
  shownIn?(): PageLanguage;
  /** true while some ear that knows words is at work. Without one, a sound stands for the next mark. */
  hearsWords(): boolean;
  /** Fetched when first needed. */
  decisions?(): Promise<Decisions>;
  /** Begins every id that the session gives; random unless a test wants to know it. */
  readonly idPrefix?: string;
}

export function makeSession(parts: SessionParts): Session {
  // Counted after one random beginning, which a link need not repeat for every call.
  let state = newSession(parts.idPrefix ?? `${newId().slice(0, 6)}-`);
  const listeners = new Set<() => void>();
  const calledIn = (): PageLanguage => dayLanguage(parts.preferences().language);
  const shownIn = (): PageLanguage => parts.shownIn?.() ?? calledIn();
  let tail: Promise<void> = Promise.resolve();

  /** Takes one step and gives the effects that it leads to. */
  const step = (event: SessionEvent): readonly SessionEffect[] => {
    const before = state.view;
    const next = sessionStep(state, event, {
      notebook: parts.state(),
      nowMs: parts.now(),
      understanding: parts.understanding(),
      preferences: parts.preferences(),
      hearsWords: parts.hearsWords(),
      shownIn: shownIn(),
    });
    state = next.state;
    if (state.view !== before) for (const listener of listeners) listener();
    return next.effects;
  };

  /** Carries an effect out; gives what will answer it, where it has an answer. */
  const carryOut = (effect: SessionEffect): Promise<SessionEvent> | null => {
    switch (effect.kind) {
      case 'record':
        return parts
          .record(...effect.bodies)
          .then((stored) => ({ kind: 'stored', ids: stored?.map(({ id }) => id) ?? null }));
      case 'fetch-decisions':
        return Promise.resolve(parts.decisions?.() ?? null).then((decisions) => ({ kind: 'decisions', decisions }));
      case 'keep-clip':
        parts.keepClip(effect.call, effect.sound).catch((error) => console.error('clip not kept', error));
        return null;
      case 'play':
        parts.play(effect.cue);
        return null;
      case 'say':
        parts.say(effect.reply);
        return null;
    }
  };

  /** Takes a step, and those that the answers to its effects call for, to the end. */
  const work = async (event: SessionEvent): Promise<void> => {
    for (const effect of step(event)) {
      const answer = carryOut(effect);
      if (answer) await work(await answer);
    }
  };

  const queue = (next: () => SessionEvent | Promise<SessionEvent>): Promise<void> => {
    const done = tail.then(async () => work(await next()));
    // A failure here is a fault of ours; the next call must be dealt with all the same.
    tail = done.catch((error) => {
      console.error(error);
      return work({ kind: 'failed' });
    });
    return done;
  };

  return {
    view: () => state.view,
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    hear(event) {
      if (event.kind === 'call') {
        const { call } = event;
        void queue(() => ({
          kind: 'called',
          call,
          onsetMs: parts.timeOf(call.onsetMs),
          endMs: call.endMs === null ? null : parts.timeOf(call.endMs),
        }));
      } else if (event.kind === 'heard' && (!event.heard.final || event.heard.alternatives.length === 0)) {
        // A final answer without words takes back what was coming.
        const text = event.heard.final ? '' : (event.heard.alternatives[0]?.text.trim() ?? '');
        void work({ kind: 'words-coming', text });
      }
    },
    press(meaning, pageMs) {
      const timeMs = parts.timeOf(pageMs);
      return queue(() => ({ kind: 'pressed', meaning, timeMs }));
    },
    undo: () =>
      queue(async () => {
        const { latestUndo } = await import('./undo.ts');
        const shown = latestUndo(parts.state(), shownIn())?.sentence;
        const undo = latestUndo(parts.state(), calledIn());
        return { kind: 'undo-asked', undo, ...(shown === undefined ? {} : { shown }) };
      }),
    tell: (reply, cue) => void work({ kind: 'told', reply, cue }),
    idle: () => tail,
  };
}
