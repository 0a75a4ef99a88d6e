import type { Heard, Trouble, TroubleKind } from './ear.ts';
import {
  endPhrases,
  noPhrases,
  openSince,
  type Phrases,
  type PhrasesStep,
  promote,
  promoteAt,
  type Result,
  takeResults,
} from './phrases.ts';

/**
 * The supervisor of the browser's recogniser as steps: what the engine, a timer or the page tells, and what is known
 * of the page, give the next state and the effects to carry out. Pure; `supervisor.ts` carries out the effects.
 */
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

type TimerName = 'restart' | SessionTimer;
/** Timers that end with the session of the engine. */
type SessionTimer = 'audio' | 'end' | 'one' | 'promote' | 'words';

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
interface EngineSession {
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
interface Overdue {
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
interface Counts {
  readonly failures: number;
  readonly strikes: number;
  readonly silentSessions: number;
  readonly abortedSoon: number;
  readonly busyRetries: number;
  readonly networkFailures: number;
  readonly unanswered: number;
  readonly barren: number;
}

const audiostartMs = 4000;
const endMs = 2000;
/** Some engines report an error and then nothing. */
const endAfterErrorMs = 1000;
const endAfterAudioMs = 5000;
/** Between two starts, at least; and after a session that did its work, ms. */
const betweenStartsMs = 1000;
const quickRestartMs = 150;
const firstPauseMs = 300;
const longestPauseMs = 10_000;
const networkPauseMs = 30_000;
const capturePauseMs = 30_000;
const afterSpeechMs = 400;
/** Interim words that stay as they are for so long are over, whether or not the engine says so, ms. */
const unchangedMs = 2500;
const unchangedLateMs = 1100;
const healthyAudioMs = 5000;

const noTroubles: Counts = {
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
interface Draft {
  readonly world: EarWorld;
  readonly state: { -readonly [key in keyof EarState]: EarState[key] };
  readonly effects: EarEffect[];
}

export function earStep(
  state: EarState,
  event: EarEvent,
  world: EarWorld,
): { readonly state: EarState; readonly effects: readonly EarEffect[] } {
  const draft: Draft = { world, state: { ...state }, effects: [] };
  if ('generation' in event) {
    if (state.session?.generation === event.generation) ofEngine(draft, state.session, event);
  } else ofPage(draft, event);
  return { state: draft.state, effects: draft.effects };
}

type EngineEvent = Extract<EarEvent, { generation: number }>;

function ofPage(draft: Draft, event: Exclude<EarEvent, EngineEvent>): void {
  const { state } = draft;
  const { session } = state;
  switch (event.kind) {
    case 'start':
      start(draft);
      return;
    case 'stop':
      stop(draft);
      return;
    case 'pause':
      pause(draft);
      return;
    case 'resume':
      state.pauses = Math.max(0, state.pauses - 1);
      if (state.pauses === 0 && state.wanted && !session) plan(draft, afterSpeechMs);
      return;
    case 'visibility':
      visibility(draft, event.hidden);
      return;
    case 'devices-changed':
      if (!state.wanted || !state.captureLost || session) return;
      state.captureLost = false;
      plan(draft, firstPauseMs);
      return;
    case 'sound-began':
      if (session) change(draft, { phrases: { ...session.phrases, lastSoundMs: event.onsetMs } });
      return;
    case 'sound-ended':
      soundEnded(draft);
      return;
    case 'timer':
      due(draft, event.name);
      return;
    case 'claimed':
      claimed(draft, event.given);
      return;
    case 'made':
      state.made = event.failed === null;
      if (event.failed === null) begin(draft);
      else halt(draft, 'recogniser-missing', event.failed);
      return;
    case 'phrases-refused':
      state.usePhrases = false;
      return;
    case 'dispose':
      dispose(draft);
  }
}

function ofEngine(draft: Draft, session: EngineSession, event: EngineEvent): void {
  const { nowMs } = draft.world;
  switch (event.kind) {
    case 'start-failed':
      // Still busy with a session of before, whatever it said: give it up after a moment, and try with a new object.
      clearTimer(draft, 'audio');
      change(draft, { reason: 'InvalidStateError' });
      waitForEnd(draft, endMs, { by: 'give-up', reason: 'hang', message: '' });
      return;
    case 'audio':
      audioBegan(draft);
      return;
    case 'audio-over':
      change(draft, { audioOver: true });
      if (draft.state.phase === 'listening') setPhase(draft, 'ending');
      waitForEnd(draft, endAfterAudioMs, { by: 'abort', reason: 'hang', message: '' });
      return;
    case 'results':
      takeWords(draft, session, event.results);
      return;
    case 'no-match':
      emit(draft, { kind: 'not-understood', atMs: nowMs });
      return;
    case 'error':
      failed(draft, session, event.code, event.message);
      return;
    case 'ended':
      finish(draft, session.reason ?? 'end', '');
  }
}

const emit = (draft: Draft, event: SupervisorEvent): void => {
  draft.effects.push({ kind: 'emit', event });
};

const setTimer = (draft: Draft, name: TimerName, ms: number): void => {
  draft.effects.push({ kind: 'set-timer', name, ms });
};

const clearTimer = (draft: Draft, name: TimerName): void => {
  draft.effects.push({ kind: 'clear-timer', name });
};

/** Changes the session of the engine, where there is one. */
function change(draft: Draft, part: Partial<EngineSession>): void {
  const { session } = draft.state;
  if (session) draft.state.session = { ...session, ...part };
}

function count(draft: Draft, part: Partial<Counts>): void {
  draft.state.counts = { ...draft.state.counts, ...part };
}

function setPhase(draft: Draft, next: EarPhase): void {
  if (draft.state.phase === next) return;
  draft.state.phase = next;
  emit(draft, { kind: 'phase', phase: next });
}

function tell(draft: Draft, kind: TroubleKind, stopped: boolean, cause?: string): void {
  if (!draft.state.told.includes(kind)) draft.state.told = [...draft.state.told, kind];
  emit(draft, { kind: 'trouble', trouble: { kind, stopped, ...(cause ? { cause } : {}) } });
}

/** Takes back what the person was told; all of it where no kinds are named. */
function recovered(draft: Draft, ...kinds: TroubleKind[]): void {
  const { told } = draft.state;
  const over = kinds.length > 0 ? kinds.filter((kind) => told.includes(kind)) : told;
  draft.state.told = told.filter((kind) => !over.includes(kind));
  for (const kind of over) emit(draft, { kind: 'recovered', trouble: kind });
}

function halt(draft: Draft, kind: TroubleKind, cause?: string): void {
  draft.state.wanted = false;
  clearTimer(draft, 'restart');
  giveBack(draft);
  tell(draft, kind, true, cause);
  setPhase(draft, 'stopped');
}

function giveBack(draft: Draft): void {
  if (draft.state.place !== 'ours') return;
  draft.state.place = 'none';
  draft.effects.push({ kind: 'release' });
}

/** Keeps what came of the phrases of the session, and passes on what was heard. */
function takePhrases(draft: Draft, { phrases, heard }: PhrasesStep): void {
  change(draft, { phrases });
  for (const one of heard) emit(draft, { kind: 'heard', heard: one });
}

function endWords(draft: Draft): void {
  const { session } = draft.state;
  if (session) takePhrases(draft, endPhrases(session.phrases, draft.world.nowMs));
}

// What the person and the page ask for.

function start(draft: Draft): void {
  const { state, world } = draft;
  state.wanted = true;
  const { unanswered, barren } = state.counts;
  state.counts = { ...noTroubles, unanswered, barren };
  recovered(draft);
  if (state.session) {
    if (state.session.ending === 'gently') change(draft, { startAfter: true });
    return;
  }
  clearTimer(draft, 'restart');
  if (state.phase === 'off' || state.phase === 'stopped') setPhase(draft, 'waiting');
  // In the tap itself: some browsers want it so.
  if (world.nowMs - state.lastStartMs >= betweenStartsMs) begin(draft);
  else plan(draft, 0);
}

function stop(draft: Draft): void {
  const { state } = draft;
  state.wanted = false;
  clearTimer(draft, 'restart');
  if (state.session) endGently(draft);
  else {
    giveBack(draft);
    setPhase(draft, 'off');
  }
}

function pause(draft: Draft): void {
  const { state } = draft;
  state.pauses++;
  clearTimer(draft, 'restart');
  if (state.session) abort(draft, 'paused');
  else if (state.phase !== 'off' && state.phase !== 'stopped') setPhase(draft, 'waiting');
}

function visibility(draft: Draft, hidden: boolean): void {
  const { state } = draft;
  if (!hidden) {
    recovered(draft, 'page-hidden');
    if (state.wanted && !state.session && !state.captureLost) plan(draft, firstPauseMs);
    return;
  }
  if (!state.wanted) return;
  clearTimer(draft, 'restart');
  endWords(draft);
  tell(draft, 'page-hidden', false);
}

function soundEnded(draft: Draft): void {
  const { session, phase, counts } = draft.state;
  if (!session || phase !== 'listening') return;
  change(draft, { soundsUnanswered: session.soundsUnanswered + 1 });
  count(draft, { unanswered: counts.unanswered + 1 });
  if (counts.unanswered + 1 !== 4) return;
  // Four calls and not a word: begin afresh, and say so.
  tell(draft, 'cannot-hear-you', false, 'sounds without words');
  endGently(draft);
}

function dispose(draft: Draft): void {
  const { state } = draft;
  state.wanted = false;
  clearTimer(draft, 'restart');
  clearSessionTimers(draft);
  state.session = null;
  discard(draft);
  giveBack(draft);
  state.phase = 'off';
}

function due(draft: Draft, name: TimerName): void {
  const { session } = draft.state;
  if (name === 'restart') {
    begin(draft);
    return;
  }
  if (!session) return;
  switch (name) {
    case 'audio':
      // While the browser asks the person, silence is no failure.
      if (draft.world.permission === 'prompt') setTimer(draft, 'audio', audiostartMs);
      else abort(draft, 'hang');
      return;
    case 'end': {
      const { by, reason, message } = session.overdue;
      if (by === 'abort') abort(draft, reason);
      else {
        discard(draft);
        finish(draft, by === 'give-up-after-error' ? (session.reason ?? reason) : reason, message);
      }
      return;
    }
    case 'one':
      endGently(draft);
      return;
    case 'promote':
      takePhrases(draft, promote(session.phrases, draft.world.nowMs));
      watchWords(draft);
      return;
    case 'words':
      draft.state.finalsComeLate = true;
      endGently(draft);
  }
}

// Starting.

/** Plans the next start, no sooner than allowed. */
function plan(draft: Draft, pauseMs: number): void {
  const { state, world } = draft;
  clearTimer(draft, 'restart');
  if (!state.wanted || state.pauses > 0 || state.session) return;
  setPhase(draft, 'waiting');
  if (world.hidden) return;
  setTimer(draft, 'restart', Math.max(pauseMs, state.lastStartMs + betweenStartsMs - world.nowMs, 0));
}

/** Starts the engine, once the place is ours and its object is there. */
function begin(draft: Draft): void {
  const { state, world } = draft;
  if (!state.wanted || state.pauses > 0 || state.session || world.hidden) return;
  if (state.place !== 'ours') {
    if (state.place === 'asked') return;
    state.place = 'asked';
    draft.effects.push({ kind: 'claim' });
    return;
  }
  if (!state.made) {
    draft.effects.push({ kind: 'make' });
    return;
  }
  const generation = ++state.generation;
  state.session = {
    generation,
    phrases: noPhrases(generation),
    startMs: world.nowMs,
    audioMs: null,
    audioOver: false,
    reason: null,
    ending: 'no',
    overdue: { by: 'give-up', reason: 'hang', message: '' },
    soundsUnanswered: 0,
    startAfter: false,
  };
  state.starts++;
  state.lastStartMs = world.nowMs;
  setPhase(draft, 'starting');
  const settings = { language: state.language, continuous: !state.oneShot, withPhrases: state.usePhrases };
  draft.effects.push({ kind: 'start', generation, settings });
  setTimer(draft, 'audio', audiostartMs);
}

function claimed(draft: Draft, given: boolean): void {
  const { state } = draft;
  state.place = given ? 'ours' : 'none';
  if (!state.wanted) giveBack(draft);
  else if (given) begin(draft);
  else halt(draft, 'recogniser-busy', 'another page listens');
}

// While a session goes on.

function audioBegan(draft: Draft): void {
  const { state, world } = draft;
  const { session } = state;
  if (!session) return;
  clearTimer(draft, 'audio');
  const refused = session.reason === 'phrases-not-supported';
  change(draft, { audioMs: session.audioMs ?? world.nowMs, reason: refused ? null : session.reason });
  count(draft, { strikes: 0 });
  state.captureLost = false;
  if (session.ending === 'no' && !session.audioOver) setPhase(draft, 'listening');
  recovered(draft, 'microphone-lost', 'needs-tap', 'page-hidden');
}

function takeWords(draft: Draft, session: EngineSession, results: readonly Result[] | null): void {
  const { state, world } = draft;
  if (session.ending === 'at-once') return;
  if (session.audioMs === null) audioBegan(draft);
  const { phrases } = session;
  const step = results ? takeResults(phrases, results, world.nowMs) : { phrases, heard: [] };
  if (step.heard.length > 0) {
    state.everHeard = true;
    change(draft, { soundsUnanswered: 0 });
    state.counts = { ...noTroubles, strikes: state.counts.strikes };
    recovered(draft);
  }
  takePhrases(draft, step);
  if (step.phrases.style === 'cumulative') state.oneShot = true;
  watchWords(draft);
}

/** Words that nobody makes final. */
function watchWords(draft: Draft): void {
  const { state, world } = draft;
  const { session } = state;
  if (!session) return;
  const { phrases } = session;
  // One phrase a session, and it is had: an engine that does not end by itself is made to.
  if (state.oneShot && phrases.finals > 0 && session.ending === 'no') setTimer(draft, 'one', 1000);
  const promoteMs = promoteAt(phrases);
  if (promoteMs === null) clearTimer(draft, 'promote');
  else setTimer(draft, 'promote', Math.max(0, promoteMs - world.nowMs));
  const sinceMs = openSince(phrases);
  const patience = state.finalsComeLate ? unchangedLateMs : unchangedMs;
  if (sinceMs === null) clearTimer(draft, 'words');
  else setTimer(draft, 'words', Math.max(0, sinceMs + patience - world.nowMs));
}

function failed(draft: Draft, session: EngineSession, code: string, message: string): void {
  const { state } = draft;
  // Phrases are refused at the moment they are set, on engines that do not take them. Nothing else is wrong: most go
  // on without; where the session ends of it, the next one has no phrases.
  if (code === 'phrases-not-supported') {
    state.usePhrases = false;
    if (session.audioMs === null) change(draft, { reason: session.reason ?? code });
    return;
  }
  change(draft, { reason: session.reason ?? code, audioOver: true });
  // Its own abort is no news.
  if (session.ending === 'at-once' && code === 'aborted') return;
  if (code === 'audio-capture' || code === 'not-allowed' || code === 'service-not-allowed') {
    endWords(draft);
    setPhase(draft, 'ending');
  } else if (state.phase === 'listening') setPhase(draft, 'ending');
  waitForEnd(draft, endAfterErrorMs, { by: 'give-up-after-error', reason: code, message });
  if (message) change(draft, { reason: code });
}

function waitForEnd(draft: Draft, ms: number, overdue: Overdue): void {
  change(draft, { overdue });
  setTimer(draft, 'end', ms);
}

function abort(draft: Draft, reason: string): void {
  const { session } = draft.state;
  if (!session) return;
  change(draft, { reason: session.reason ?? reason, ending: 'at-once' });
  endWords(draft);
  setPhase(draft, 'ending');
  waitForEnd(draft, endMs, { by: 'give-up', reason, message: '' });
  draft.effects.push({ kind: 'abort' });
}

function endGently(draft: Draft): void {
  if (draft.state.session?.ending !== 'no') return;
  change(draft, { ending: 'gently' });
  setPhase(draft, 'ending');
  waitForEnd(draft, endMs, { by: 'abort', reason: 'hang-after-stop', message: '' });
  draft.effects.push({ kind: 'end-gently' });
}

function discard(draft: Draft): void {
  if (!draft.state.made) return;
  draft.state.made = false;
  draft.effects.push({ kind: 'discard' });
}

function clearSessionTimers(draft: Draft): void {
  const names: readonly SessionTimer[] = ['audio', 'end', 'one', 'promote', 'words'];
  for (const name of names) clearTimer(draft, name);
}

// The end of a session, and what to do then.

function finish(draft: Draft, reason: string, message: string): void {
  const { state, world } = draft;
  clearSessionTimers(draft);
  if (state.session?.ending !== 'at-once') endWords(draft);
  const { session } = state;
  if (!session) return;
  state.session = null;
  const sinceLastEndMs = session.startMs - state.lastEndMs;
  state.lastEndMs = world.nowMs;
  draft.effects.push({ kind: 'quiet' });
  if (session.startAfter) plan(draft, 0);
  if (!state.wanted) {
    giveBack(draft);
    if (state.phase !== 'stopped') setPhase(draft, 'off');
    return;
  }
  if (state.pauses > 0) {
    setPhase(draft, 'waiting');
    return;
  }
  const heardForMs = session.audioMs === null ? 0 : world.nowMs - session.audioMs;
  afterSession(draft, { session, reason, message, heardForMs, sinceLastEndMs });
}

interface SessionEnd {
  readonly session: EngineSession;
  readonly reason: string;
  readonly message: string;
  /** How long the engine's ears were open, ms. */
  readonly heardForMs: number;
  /** From the end of the session before to its start, ms. */
  readonly sinceLastEndMs: number;
}

/** What to do after a session ended while listening is wanted. */
function afterSession(draft: Draft, end: SessionEnd): void {
  const { state } = draft;
  switch (end.reason) {
    case 'not-allowed':
      afterRefusal(draft, end);
      return;
    case 'service-not-allowed':
      halt(draft, 'recogniser-refused', causeOf(end));
      return;
    case 'language-not-supported':
      if (state.language !== 'en-US' && state.language.toLowerCase().startsWith('en')) {
        state.language = 'en-US';
        plan(draft, firstPauseMs);
      } else halt(draft, 'recogniser-language', end.reason);
      return;
    case 'audio-capture':
      state.captureLost = true;
      tell(draft, 'microphone-lost', false, causeOf(end));
      // A new device tells of itself; another program that lets go of this one does not.
      plan(draft, capturePauseMs);
      return;
    case 'network':
      afterNetwork(draft, end.reason);
      return;
    case 'aborted':
      afterAbort(draft, end);
      return;
    case 'no-speech':
      afterSilence(draft, end.reason);
      return;
    case 'hang':
    case 'hang-after-stop':
    case 'InvalidStateError':
      afterHang(draft, end.reason);
      return;
    case 'phrases-not-supported':
      plan(draft, firstPauseMs);
      return;
    case 'end':
      afterPlainEnd(draft, end);
      return;
    default:
      countFailure(draft);
      if (state.counts.failures >= 6) halt(draft, 'recogniser-silent', end.reason);
      else plan(draft, backOffMs(draft));
  }
}

const causeOf = ({ reason, message }: SessionEnd): string => `${reason} ${message}`.trim();

const countFailure = (draft: Draft): void => count(draft, { failures: draft.state.counts.failures + 1 });

const backOffMs = ({ state }: Draft): number =>
  Math.min(longestPauseMs, firstPauseMs * 2 ** Math.min(6, Math.max(0, state.counts.failures - 1)));

function afterRefusal(draft: Draft, { reason, sinceLastEndMs }: SessionEnd): void {
  const { state, world } = draft;
  const { busyRetries } = state.counts;
  // Android says so too when its recogniser is still busy with the session before.
  if (world.permission !== 'denied' && sinceLastEndMs < 3000 && busyRetries < 1 && state.starts > 1) {
    count(draft, { busyRetries: busyRetries + 1 });
    plan(draft, 1000);
    return;
  }
  halt(draft, state.everHeard && world.permission !== 'denied' ? 'needs-tap' : 'microphone-refused', reason);
}

function afterNetwork(draft: Draft, reason: string): void {
  const networkFailures = draft.state.counts.networkFailures + 1;
  count(draft, { networkFailures });
  countFailure(draft);
  if (networkFailures > 5) {
    halt(draft, 'recogniser-network', reason);
    return;
  }
  if (networkFailures >= 3 || !draft.world.online) tell(draft, 'recogniser-network', false, reason);
  plan(draft, networkFailures > 3 ? networkPauseMs : backOffMs(draft));
}

function afterAbort(draft: Draft, { reason, heardForMs }: SessionEnd): void {
  if (draft.world.hidden) {
    plan(draft, 0);
    return;
  }
  const abortedSoon = heardForMs < 2000 ? draft.state.counts.abortedSoon + 1 : 1;
  count(draft, { abortedSoon });
  countFailure(draft);
  if (abortedSoon >= 3) halt(draft, 'recogniser-busy', reason);
  else plan(draft, 1000);
}

function afterSilence(draft: Draft, reason: string): void {
  const silentSessions = draft.state.counts.silentSessions + 1;
  count(draft, { silentSessions });
  if (silentSessions === 5) tell(draft, 'cannot-hear-you', false, reason);
  const longer = Math.min(longestPauseMs, firstPauseMs * 2 ** Math.min(5, silentSessions - 1));
  plan(draft, draft.state.oneShot ? longer : firstPauseMs);
}

function afterHang(draft: Draft, reason: string): void {
  const { state } = draft;
  countFailure(draft);
  if (reason === 'hang') count(draft, { strikes: state.counts.strikes + 1 });
  const { strikes } = state.counts;
  // It worked before, and now a start from a timer brings nothing: some browsers want a tap for each start.
  if (state.everHeard && strikes >= 2) halt(draft, 'needs-tap', 'no audiostart without a tap');
  else if (strikes >= 3) halt(draft, 'recogniser-silent', 'no audiostart');
  else plan(draft, backOffMs(draft));
}

function afterPlainEnd(draft: Draft, { session, heardForMs }: SessionEnd): void {
  const { finals } = session.phrases;
  if (finals === 0 && session.soundsUnanswered > 0) {
    const barren = draft.state.counts.barren + 1;
    count(draft, { barren });
    if (barren === 3) {
      tell(draft, 'recogniser-silent', false, 'sound but no words in three sessions');
      emit(draft, { kind: 'contention' });
    }
  }
  if (finals > 0 || heardForMs >= healthyAudioMs) {
    count(draft, { failures: 0 });
    plan(draft, quickRestartMs);
    return;
  }
  countFailure(draft);
  plan(draft, backOffMs(draft));
}
