import type { Heard, Trouble, TroubleKind } from './ear.ts';
import { endPhrases, type Phrases, type PhrasesStep, type Result } from './phrases.ts';

/** What the supervisor of the browser's recogniser knows between its steps (`supervisor-step.ts`), and small changes of it. */
export type EarPhase =
  /** Not wanted. */
  | 'off'
  /** Wanted; a restart is due by itself. */
  | 'waiting'
  /** Started; the engine has not opened its ears yet: what is said now may be lost. */
  | 'starting'
  /** The engine hears. */
  | 'listening'
  /** The last words are being waited for; new ones are not heard. */
  | 'ending'
  /** Nothing happens until the person acts. */
  | 'stopped';

/** What it tells the room above. */
export type SupervisorEvent =
  | { readonly kind: 'heard'; readonly heard: Heard }
  | { readonly kind: 'phase'; readonly phase: EarPhase }
  | { readonly kind: 'trouble'; readonly trouble: Trouble }
  | { readonly kind: 'recovered'; readonly trouble: TroubleKind }
  /** The engine heard speech and made nothing of it. */
  | { readonly kind: 'not-understood'; readonly atMs: number }
  /** It seems that another owner keeps the microphone from the engine: the page itself, perhaps. */
  | { readonly kind: 'contention' };

/** What is known of the page at a step. */
export interface EarWorld {
  /** Page time, ms. */
  readonly nowMs: number;
  readonly hidden: boolean;
  /** What is known of the microphone permission now. */
  readonly permission: 'granted' | 'denied' | 'prompt' | 'unknown';
  readonly online: boolean;
}

export type TimerName = 'restart' | SessionTimer;
/** Timers that end with the session of the engine. */
export type SessionTimer = 'audio' | 'end' | 'one' | 'promote' | 'words';

/** What comes in. Events of the engine carry the session they are of: those of a session that is over go nowhere. */
export type EarEvent =
  | { readonly kind: 'start' | 'stop' | 'pause' | 'resume' | 'devices-changed' | 'sound-ended' | 'dispose' }
  | { readonly kind: 'visibility'; readonly hidden: boolean }
  | { readonly kind: 'sound-began'; readonly onsetMs: number }
  | { readonly kind: 'timer'; readonly name: TimerName }
  /** The answer to `claim`. */
  | { readonly kind: 'claimed'; readonly given: boolean }
  /** The answer to `make`; a cause where the engine could not be made. */
  | { readonly kind: 'made'; readonly failed: string | null }
  | { readonly kind: 'start-failed' | 'audio' | 'audio-over' | 'no-match' | 'ended'; readonly generation: number }
  | { readonly kind: 'results'; readonly generation: number; readonly results: readonly Result[] | null }
  | { readonly kind: 'error'; readonly generation: number; readonly code: string; readonly message: string }
  /** The engine takes no phrases. */
  | { readonly kind: 'phrases-refused' };

export interface EarSettings {
  readonly language: string;
  readonly continuous: boolean;
  readonly withPhrases: boolean;
}

export type EarEffect =
  | { readonly kind: 'emit'; readonly event: SupervisorEvent }
  | { readonly kind: 'set-timer'; readonly name: TimerName; readonly ms: number }
  | { readonly kind: 'clear-timer'; readonly name: TimerName }
  /** Asks for the one place of a listening page; `release` gives it back. */
  | { readonly kind: 'claim' | 'release' }
  /** Makes the engine's object. */
  | { readonly kind: 'make' }
  | { readonly kind: 'start'; readonly generation: number; readonly settings: EarSettings }
  | { readonly kind: 'end-gently' | 'abort' }
  /** An object that did not end when asked is left alone: its events go nowhere. */
  | { readonly kind: 'discard' }
  /** The engine's session is over: who waits for quiet need not wait any longer. */
  | { readonly kind: 'quiet' };

/** One session of the engine, from its start to its end. */
export interface EngineSession {
  readonly generation: number;
  readonly phrases: Phrases;
  readonly startMs: number;
  readonly audioMs: number | null;
  /** The engine's ears are shut again. */
  readonly audioOver: boolean;
  readonly reason: string | null;
  /** Asked to end gently, at once, or not. */
  readonly ending: 'no' | 'gently' | 'at-once';
  /** What is done where its end does not come in time. */
  readonly overdue: Overdue;
  readonly soundsUnanswered: number;
  /** Somebody asked to start while it was ending. */
  readonly startAfter: boolean;
}

/**
 * `abort` it, or `give-up`: leave the object alone and go on as if the session had ended for the reason; after an error,
 * for the reason that the session has then, if any.
 */
export interface Overdue {
  readonly by: 'abort' | 'give-up' | 'give-up-after-error';
  readonly reason: string;
  readonly message: string;
}

export interface EarState {
  readonly wanted: boolean;
  readonly pauses: number;
  readonly phase: EarPhase;
  /** The engine's object is there. */
  readonly made: boolean;
  readonly session: EngineSession | null;
  readonly generation: number;
  readonly starts: number;
  readonly lastStartMs: number;
  readonly lastEndMs: number;
  /** The place of the listening page: not had, asked for, had. */
  readonly place: 'none' | 'asked' | 'ours';
  /** What has been learned of this engine. */
  readonly local: boolean;
  readonly oneShot: boolean;
  readonly usePhrases: boolean;
  readonly language: string;
  readonly finalsComeLate: boolean;
  readonly everHeard: boolean;
  readonly counts: Counts;
  readonly captureLost: boolean;
  readonly told: readonly TroubleKind[];
}

/** Troubles in a row. */
export interface Counts {
  readonly failures: number;
  readonly strikes: number;
  readonly silentSessions: number;
  readonly abortedSoon: number;
  readonly busyRetries: number;
  readonly networkFailures: number;
  readonly unanswered: number;
  readonly barren: number;
}

/** The first pause before a start that follows another, ms. */
export const firstPauseMs = 300;

export const noTroubles: Counts = {
  failures: 0,
  strikes: 0,
  silentSessions: 0,
  abortedSoon: 0,
  busyRetries: 0,
  networkFailures: 0,
  unanswered: 0,
  barren: 0,
};

/** A supervisor that is off and has learned nothing yet. */
export function newEar(known: Pick<EarState, 'language' | 'local' | 'oneShot' | 'usePhrases'>): EarState {
  return {
    wanted: false,
    pauses: 0,
    phase: 'off',
    made: false,
    session: null,
    generation: 0,
    starts: 0,
    lastStartMs: Number.NEGATIVE_INFINITY,
    lastEndMs: Number.NEGATIVE_INFINITY,
    place: 'none',
    ...known,
    finalsComeLate: false,
    everHeard: false,
    counts: noTroubles,
    captureLost: false,
    told: [],
  };
}

/** What a step has come to so far: made anew for each step, so that the state before it stays as it was. */
export interface Draft {
  readonly world: EarWorld;
  readonly state: { -readonly [key in keyof EarState]: EarState[key] };
  readonly effects: EarEffect[];
}

/** Between two starts, at least, ms. */
export const betweenStartsMs = 1000;

export const emit = (draft: Draft, event: SupervisorEvent): void => {
  draft.effects.push({ kind: 'emit', event });
};

export const setTimer = (draft: Draft, name: TimerName, ms: number): void => {
  draft.effects.push({ kind: 'set-timer', name, ms });
};

export const clearTimer = (draft: Draft, name: TimerName): void => {
  draft.effects.push({ kind: 'clear-timer', name });
};

/** Changes the session of the engine, where there is one. */
export function change(draft: Draft, part: Partial<EngineSession>): void {
  const { session } = draft.state;
  if (session) draft.state.session = { ...session, ...part };
}

export function count(draft: Draft, part: Partial<Counts>): void {
  draft.state.counts = { ...draft.state.counts, ...part };
}

export function setPhase(draft: Draft, next: EarPhase): void {
  if (draft.state.phase === next) return;
  draft.state.phase = next;
  emit(draft, { kind: 'phase', phase: next });
}

export function tell(draft: Draft, kind: TroubleKind, stopped: boolean, cause?: string): void {
  if (!draft.state.told.includes(kind)) draft.state.told = [...draft.state.told, kind];
  emit(draft, { kind: 'trouble', trouble: { kind, stopped, ...(cause ? { cause } : {}) } });
}

/** Takes back what the person was told; all of it where no kinds are named. */
export function recovered(draft: Draft, ...kinds: TroubleKind[]): void {
  const { told } = draft.state;
  const over = kinds.length > 0 ? kinds.filter((kind) => told.includes(kind)) : told;
  draft.state.told = told.filter((kind) => !over.includes(kind));
  for (const kind of over) emit(draft, { kind: 'recovered', trouble: kind });
}

export function halt(draft: Draft, kind: TroubleKind, cause?: string): void {
  draft.state.wanted = false;
  clearTimer(draft, 'restart');
  giveBack(draft);
  tell(draft, kind, true, cause);
  setPhase(draft, 'stopped');
}

export function giveBack(draft: Draft): void {
  if (draft.state.place !== 'ours') return;
  draft.state.place = 'none';
  draft.effects.push({ kind: 'release' });
}

/** Keeps what came of the phrases of the session, and passes on what was heard. */
export function takePhrases(draft: Draft, { phrases, heard }: PhrasesStep): void {
  change(draft, { phrases });
  for (const one of heard) emit(draft, { kind: 'heard', heard: one });
}

export function endWords(draft: Draft): void {
  const { session } = draft.state;
  if (session) takePhrases(draft, endPhrases(session.phrases, draft.world.nowMs));
}

/** Plans the next start, no sooner than allowed. */
export function plan(draft: Draft, pauseMs: number): void {
  const { state, world } = draft;
  clearTimer(draft, 'restart');
  if (!state.wanted || state.pauses > 0 || state.session) return;
  setPhase(draft, 'waiting');
  if (world.hidden) return;
  setTimer(draft, 'restart', Math.max(pauseMs, state.lastStartMs + betweenStartsMs - world.nowMs, 0));
}
