import { count, type Draft, type EngineSession, emit, firstPauseMs, halt, plan, tell } from './supervisor-state.ts';

/** After a session that did its work, ms. */
const quickRestartMs = 150;
const longestPauseMs = 10_000;
const networkPauseMs = 30_000;
const capturePauseMs = 30_000;
const healthyAudioMs = 5000;

/** A session that ended while listening is wanted. */
export interface SessionEnd {
  readonly session: EngineSession;
  readonly reason: string;
  readonly message: string;
  /** How long the engine's ears were open, ms. */
  readonly heardForMs: number;
  /** From the end of the session before to its start, ms. */
  readonly sinceLastEndMs: number;
}

/** What to do after a session ended while listening is wanted. */
export function afterSession(draft: Draft, end: SessionEnd): void {
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
