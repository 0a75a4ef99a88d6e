import { noPhrases, openSince, promote, promoteAt, type Result, takeResults } from './phrases.ts';
import { afterSession } from './supervisor-after.ts';
import {
  betweenStartsMs,
  change,
  clearTimer,
  count,
  type Draft,
  type EarEffect,
  type EarEvent,
  type EarState,
  type EarWorld,
  type EngineSession,
  emit,
  endWords,
  firstPauseMs,
  giveBack,
  halt,
  noTroubles,
  type Overdue,
  plan,
  recovered,
  type SessionTimer,
  setPhase,
  setTimer,
  type TimerName,
  takePhrases,
  tell,
} from './supervisor-state.ts';

const audiostartMs = 4000;
const endMs = 2000;
/** Some engines report an error and then nothing. */
const endAfterErrorMs = 1000;
const endAfterAudioMs = 5000;
const afterSpeechMs = 400;
/** Interim words that stay as they are for so long are over, whether or not the engine says so, ms. */
const unchangedMs = 2500;
const unchangedLateMs = 1100;

/**
 * The supervisor of the browser's recogniser as steps: what the engine, a timer or the page tells, and what is known
 * of the page, give the next state and the effects to carry out. Pure; `supervisor.ts` carries out the effects.
 */
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
