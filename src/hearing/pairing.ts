import type { Heard, Utterance } from './ear.ts';

/**
 * The sound says when, the words say what. This joins the two: utterances cut out by the onset finder, and phrases
 * that ears answered some time later. Pure: an event and the moment give the next state and the calls that it changed.
 *
 * A phrase goes to the utterance that its first words best fit: words come after the sound began, by a lag that is
 * learned as phrases and lone utterances meet. Order is kept: a phrase never goes to an utterance before the one its
 * predecessor of the same ear got. An utterance that waited in vain is settled without words; a phrase that waited in
 * vain for an utterance becomes a call of its own, timed from its first words less the lag.
 */
export interface HeardCall {
  readonly id: string;
  /** Set when the tool itself was speaking then, or had been until shortly before. */
  readonly during?: OwnSpeech;
  readonly onsetMs: number;
  /** null when only words were had. */
  readonly endMs: number | null;
  readonly timing: 'sound' | 'words';
  /** Standard uncertainty of `onsetMs`, ms. */
  readonly uOnsetMs: number;
  readonly utterance: Utterance | null;
  /** The newest answer about each phrase, oldest phrase first, all ears. */
  readonly heard: readonly Heard[];
  /** No more words are waited for. A late final may still change a settled call once. */
  readonly settled: boolean;
}

/** What the tool was saying when a call was made, or had said shortly before: some of the call may be its own voice. */
export interface OwnSpeech {
  /** Latest last. `sinceMs`: from the end of its voice to the onset of the call; negative while it still spoke. */
  readonly said: readonly { readonly spoken: string; readonly sinceMs: number }[];
  /** All of the sound lies within the tool's own speech, in a room where that is heard. */
  readonly within: boolean;
}

/** First words after the onset of their sound, ms. */
export interface Lag {
  readonly medianMs: number;
  /** Standard deviation, robust, ms. */
  readonly spreadMs: number;
  /** How many pairs it was learned from; 0: a guess. */
  readonly pairs: number;
}

/** What is open between sound and words. */
export interface Pairing {
  /** By onset, the latest 40. */
  readonly calls: readonly OpenCall[];
  readonly waiting: readonly WaitingPhrase[];
  /** First words after the onset of their sound, ms; the latest 25. */
  readonly lags: readonly number[];
  /** Page time since when a sound goes on, ms; null: none does. */
  readonly soundingSince: number | null;
  readonly idPrefix: string;
  /** Ids given out so far, after `idPrefix`. */
  readonly idsGiven: number;
}

export type PairingEvent =
  /** A sound that is (`speech`) or is not likely to be speech: the latter becomes a call only if words claim it. */
  | { readonly kind: 'utterance'; readonly utterance: Utterance; readonly speech: boolean }
  | { readonly kind: 'heard'; readonly heard: Heard }
  /** The only ear there is made nothing of this utterance: nothing more is waited for. */
  | { readonly kind: 'without-words'; readonly utterance: string }
  /** An ear noticed speech and made nothing of it, and no sound was had: a call without words, from that alone. */
  | { readonly kind: 'unheard'; readonly atMs: number }
  /** A sound has begun and is not over: phrases may belong to it. Null when it came to nothing. */
  | { readonly kind: 'sounding'; readonly onsetMs: number | null }
  /** Time passes. */
  | { readonly kind: 'tick' }
  /** Settles all that is open: listening ends. */
  | { readonly kind: 'flush' };

/** The moment of an event. */
export interface PairingMoment {
  /** Page time, ms. */
  readonly nowMs: number;
  /** How long after the end of an utterance words may still come, ms; 0 when no ear is there (sound marks). */
  readonly waitMs: number;
}

/**
 * A guess until it is learned: interim words of browser recognisers come some 0.3 to 1 s after a word (from memory,
 * no published measurement found).
 */
const guessedLag: Lag = { medianMs: 700, spreadMs: 300, pairs: 0 };
/** Words may arrive so long before the cut-out sound is known (the end of an utterance is known 0.35 s late). */
const soundWaitMs = 900;
const longestLagMs = 6000;
/** From so many pairs on the lag counts as known; then words are at most so much later, ms. */
const learnedPairs = 5;
const latestMs = 1500;
/** Lags kept for learning. */
const lagsKept = 25;
const soundsKept = 40;

interface OpenCall {
  readonly id: string;
  readonly utterance: Utterance | null;
  readonly speech: boolean;
  readonly onsetMs: number;
  readonly endMs: number | null;
  readonly uOnsetMs: number;
  readonly heard: readonly Heard[];
  readonly settled: boolean;
  /** When waiting for words ends. */
  readonly dueMs: number;
  /** A silent sound without words is no call and is never shown. */
  readonly shown: boolean;
}

interface WaitingPhrase {
  readonly heard: Heard;
  readonly dueMs: number;
}

/** Nothing open, nothing learned. @param idPrefix begins the ids of calls that have no sound */
export function newPairing(idPrefix: string): Pairing {
  return { calls: [], waiting: [], lags: [], soundingSince: null, idPrefix, idsGiven: 0 };
}

/** When a `tick` has something to do next (page time, ms), or null. */
export function nextPairingMs({ waiting, calls }: Pairing): number | null {
  const due = [...waiting, ...calls.filter((call) => !call.settled)].map(({ dueMs }) => dueMs);
  return due.length > 0 ? Math.min(...due) : null;
}

/** The lag of words as far as it is learned. */
export function lagOf({ lags }: Pick<Pairing, 'lags'>): Lag {
  if (lags.length < 3) return { ...guessedLag, pairs: lags.length };
  const median = middle(lags);
  const spread = 1.4826 * middle(lags.map((value) => Math.abs(value - median)));
  return { medianMs: median, spreadMs: Math.max(lags.length < 8 ? 150 : 60, spread), pairs: lags.length };
}

/** What a step has come to so far: made anew for each step, so that the state before it stays as it was. */
interface Draft extends PairingMoment {
  readonly state: { -readonly [key in keyof Pairing]: Pairing[key] };
  /** Ids of the calls that it changed, in order. */
  readonly touched: Set<string>;
}

/** @returns the next state, and the calls that changed */
export function pairingStep(
  state: Pairing,
  event: PairingEvent,
  moment: PairingMoment,
): { readonly state: Pairing; readonly calls: readonly HeardCall[] } {
  const draft: Draft = { ...moment, state: { ...state }, touched: new Set() };
  switch (event.kind) {
    case 'sounding':
      draft.state.soundingSince = event.onsetMs;
      break;
    case 'utterance':
      takeUtterance(draft, event.utterance, event.speech);
      break;
    case 'heard':
      takeHeard(draft, event.heard);
      break;
    case 'without-words': {
      const call = state.calls.find((one) => one.utterance?.id === event.utterance);
      if (!call || call.settled || call.heard.length > 0) break;
      change(draft, call.id, { dueMs: moment.nowMs });
      settle(draft, call.id);
      draft.touched.add(call.id);
      break;
    }
    case 'unheard':
      takeUnheard(draft, event.atMs);
      break;
    case 'tick':
      tick(draft);
      break;
    case 'flush':
      flush(draft);
  }
  return { state: draft.state, calls: [...draft.touched].flatMap((id) => shown(draft, id)) };
}

function shown({ state }: Draft, id: string): HeardCall[] {
  const call = state.calls.find((one) => one.id === id);
  if (!call?.shown) return [];
  const { onsetMs, endMs, uOnsetMs, utterance, heard, settled } = call;
  return [{ id, onsetMs, endMs, timing: utterance ? 'sound' : 'words', uOnsetMs, utterance, heard, settled }];
}

function change({ state }: Draft, id: string, part: Partial<OpenCall>): void {
  state.calls = state.calls.map((call) => (call.id === id ? { ...call, ...part } : call));
}

/** Adds a call, by onset; gives back its id. */
function add({ state }: Draft, call: OpenCall): string {
  state.calls = [...state.calls, call].sort((a, b) => a.onsetMs - b.onsetMs);
  return call.id;
}

function dropOldest({ state }: Draft): void {
  if (state.calls.length > soundsKept) state.calls = state.calls.slice(-soundsKept);
}

const isSame = (a: Heard, b: Heard): boolean => a.ear === b.ear && a.phrase === b.phrase;

// What comes in.

function takeUtterance(draft: Draft, utterance: Utterance, speech: boolean): void {
  draft.state.soundingSince = null;
  const { id, onsetMs, endMs, uOnsetMs } = utterance;
  const dueMs = endMs + draft.waitMs;
  add(draft, { id, utterance, speech, onsetMs, endMs, uOnsetMs, heard: [], settled: false, dueMs, shown: speech });
  dropOldest(draft);
  const touched = [id];
  for (const { heard } of draft.state.waiting) {
    const home = homeFor(draft, heard);
    if (!home) continue;
    draft.state.waiting = draft.state.waiting.filter((other) => other.heard !== heard);
    attach(draft, heard, home.id);
    touched.push(home.id);
  }
  for (const one of touched) {
    settle(draft, one);
    draft.touched.add(one);
  }
}

function takeHeard(draft: Draft, heard: Heard): void {
  const { state, nowMs } = draft;
  if (heard.alternatives.length === 0) {
    withdraw(draft, heard);
    return;
  }
  const known = state.calls.find((call) => call.heard.some((other) => isSame(other, heard)));
  if (known) {
    answer(draft, heard, known.id);
    return;
  }
  if (state.waiting.some((one) => isSame(one.heard, heard))) {
    state.waiting = state.waiting.map((one) => (isSame(one.heard, heard) ? { ...one, heard } : one));
    return;
  }
  const home = homeFor(draft, heard);
  // A sound that is still going on may fit better than one that is past.
  const since = state.soundingSince;
  const sounding = since === null ? null : misfitOf(state, heard.firstWordsMs - since, nowMs - since);
  const past = home ? (misfit(state, heard, home) ?? 0) : Number.POSITIVE_INFINITY;
  if (home && (heard.utterance || sounding === null || past < sounding)) answer(draft, heard, home.id);
  else state.waiting = [...state.waiting, { heard, dueMs: nowMs + soundWaitMs }];
}

/** An ear took its words back: the call stays, without them. */
function withdraw(draft: Draft, phrase: Heard): void {
  const { state } = draft;
  state.waiting = state.waiting.filter(({ heard }) => !isSame(heard, phrase));
  const call = state.calls.find(({ heard }) => heard.some((other) => isSame(other, phrase)));
  if (!call) return;
  change(draft, call.id, { heard: call.heard.filter((other) => !isSame(other, phrase)) });
  settle(draft, call.id);
  draft.touched.add(call.id);
}

function takeUnheard(draft: Draft, atMs: number): void {
  const { medianMs, spreadMs } = lagOf(draft.state);
  const id = add(draft, {
    id: newId(draft),
    utterance: null,
    speech: true,
    onsetMs: atMs - medianMs - 1000,
    endMs: null,
    // The engine answers when it gives up, which may be a second or two after the words.
    uOnsetMs: Math.max(1000, spreadMs),
    heard: [],
    settled: true,
    dueMs: atMs,
    shown: true,
  });
  dropOldest(draft);
  draft.touched.add(id);
}

function tick(draft: Draft): void {
  const { state, nowMs } = draft;
  for (const phrase of state.waiting) {
    if (state.soundingSince !== null && nowMs - state.soundingSince < 10_000) continue;
    if (nowMs >= phrase.dueMs) houseLate(draft, phrase.heard);
  }
  for (const { id, settled } of state.calls) if (!settled && settle(draft, id)) draft.touched.add(id);
}

function flush(draft: Draft): void {
  const { state } = draft;
  state.soundingSince = null;
  for (const { heard } of state.waiting) houseLate(draft, heard);
  for (const { id, settled } of state.calls) {
    if (settled) continue;
    change(draft, id, { settled: true });
    draft.touched.add(id);
  }
}

/** A phrase that waited in vain for a sound: it goes to a sound that is past, or becomes a call of its own. */
function houseLate(draft: Draft, heard: Heard): void {
  draft.state.waiting = draft.state.waiting.filter((one) => one.heard !== heard);
  const home = homeFor(draft, heard);
  if (home) attach(draft, heard, home.id);
  draft.touched.add(home?.id ?? callOfWords(draft, heard));
}

// Where a phrase belongs.

/** How badly first words fit a sound of that length, in spreads of the lag; null when they cannot belong to it. */
function misfitOf(state: Pairing, afterMs: number, lengthMs: number): number | null {
  const { medianMs, spreadMs, pairs } = lagOf(state);
  if (afterMs < 60 || afterMs > longestLagMs + lengthMs) return null;
  // Words of a long utterance may first come at any time while it lasts, though rather soon.
  const late = Math.max(0, afterMs - medianMs - lengthMs);
  const early = Math.max(0, medianMs - afterMs);
  // Once the lag is known, words that are much later belong to something that was not heard as sound.
  if (pairs >= learnedPairs && late > Math.max(latestMs, 5 * spreadMs)) return null;
  const within = Math.max(0, Math.min(lengthMs, afterMs - medianMs));
  return (late + early + 0.3 * within) / spreadMs;
}

function misfit(state: Pairing, phrase: Heard, call: OpenCall): number | null {
  if (!call.utterance || call.endMs === null) return null;
  const plain = misfitOf(state, phrase.firstWordsMs - call.onsetMs, call.endMs - call.onsetMs);
  if (plain === null) return null;
  const taken = call.heard.some((other) => other.ear === phrase.ear && other.phrase !== phrase.phrase);
  return plain + (taken ? 4 : 0) + (call.speech ? 0 : 3);
}

/** Order is kept per ear: the onset of the last call that took a phrase of this ear before. */
function floorOf({ calls }: Pairing, { ear, phrase, firstWordsMs }: Heard): number {
  const before = calls.findLast(({ heard }) =>
    heard.some((other) => other.ear === ear && other.firstWordsMs <= firstWordsMs && other.phrase !== phrase),
  );
  return before?.onsetMs ?? Number.NEGATIVE_INFINITY;
}

function homeFor({ state }: Draft, phrase: Heard): OpenCall | null {
  const { calls } = state;
  if (phrase.utterance) return calls.find((call) => call.utterance?.id === phrase.utterance) ?? null;
  const floor = floorOf(state, phrase);
  let best: OpenCall | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const call of calls) {
    if (call.onsetMs < floor) continue;
    const bad = misfit(state, phrase, call);
    if (bad !== null && bad < least) {
      least = bad;
      best = call;
    }
  }
  return best;
}

// What a call takes in.

function answer(draft: Draft, heard: Heard, id: string): void {
  attach(draft, heard, id);
  settle(draft, id);
  draft.touched.add(id);
}

function attach(draft: Draft, phrase: Heard, id: string): void {
  const { state, nowMs, waitMs } = draft;
  const call = state.calls.find((one) => one.id === id);
  if (!call) return;
  const known = call.heard.some((other) => isSame(other, phrase));
  const heard = known
    ? call.heard.map((other) => (isSame(other, phrase) ? phrase : other))
    : [...call.heard, phrase].sort((a, b) => a.firstWordsMs - b.firstWordsMs);
  // Learn from clear cases only: the first phrase of an utterance, from an ear that was not given the sound.
  if (!known && call.utterance && !phrase.utterance && heard.length === 1)
    state.lags = [...state.lags, phrase.firstWordsMs - call.onsetMs].slice(-lagsKept);
  const open = heard.some((other) => !other.final && !other.tentative);
  change(draft, id, { heard, shown: true, dueMs: open ? Math.max(call.dueMs, nowMs + waitMs) : call.dueMs });
}

/** Settles a call that waits for nothing more; true when it is settled. */
function settle(draft: Draft, id: string): boolean {
  const call = draft.state.calls.find((one) => one.id === id);
  if (!call || call.settled) return call?.settled ?? false;
  const open = call.heard.some((heard) => !heard.final && !heard.tentative);
  const said = call.heard.length > 0 && !open && (call.endMs !== null || !call.utterance);
  if (!said && draft.nowMs < call.dueMs) return false;
  change(draft, id, { settled: true });
  return true;
}

function callOfWords(draft: Draft, phrase: Heard): string {
  const { medianMs, spreadMs, pairs } = lagOf(draft.state);
  const id = add(draft, {
    id: newId(draft),
    utterance: null,
    speech: true,
    onsetMs: phrase.firstWordsMs - medianMs,
    endMs: null,
    uOnsetMs: pairs < 3 ? Math.max(300, spreadMs) : Math.max(80, spreadMs),
    heard: [],
    settled: false,
    dueMs: draft.nowMs + draft.waitMs,
    shown: true,
  });
  attach(draft, phrase, id);
  settle(draft, id);
  return id;
}

const newId = ({ state }: Draft): string => `${state.idPrefix}${++state.idsGiven}`;

/** The median. */
function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  const upper = sorted[half] ?? Number.NaN;
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? upper) + upper) / 2;
}
