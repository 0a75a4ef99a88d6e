import type { Heard, Utterance } from './ear.ts';

/**
 * The sound says when, the words say what. This joins the two: utterances cut out by the onset finder, and phrases
 * that ears answered some time later. Pure; time comes in as arguments (page time, ms).
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

export interface Pairing {
  /** A sound that is (`speech`) or is not likely to be speech: the latter becomes a call only if words claim it. */
  utterance(utterance: Utterance, speech: boolean, nowMs: number): readonly HeardCall[];
  heard(heard: Heard, nowMs: number): readonly HeardCall[];
  /** The only ear there is made nothing of this utterance: nothing more is waited for. */
  withoutWords(utterance: string, nowMs: number): readonly HeardCall[];
  /** An ear noticed speech and made nothing of it, and no sound was had: a call without words, from that alone. */
  unheard(atMs: number, nowMs: number): readonly HeardCall[];
  /** A sound has begun and is not over: phrases may belong to it. Null when it came to nothing. */
  sounding(onsetMs: number | null): void;
  /** Lets time pass; gives the calls that changed by it. */
  tick(nowMs: number): readonly HeardCall[];
  /** When `tick` has something to do next, or null. */
  nextMs(): number | null;
  /** Settles all that is open: listening ends. */
  flush(nowMs: number): readonly HeardCall[];
  lag(): Lag;
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
  id: string;
  utterance: Utterance | null;
  speech: boolean;
  onsetMs: number;
  endMs: number | null;
  uOnsetMs: number;
  heard: Heard[];
  settled: boolean;
  /** When waiting for words ends. */
  dueMs: number;
  /** A silent sound without words is no call and is never shown. */
  shown: boolean;
}

interface WaitingPhrase {
  heard: Heard;
  dueMs: number;
}

/**
 * @param waitMs how long after the end of an utterance words may still come, ms; 0 when no ear is there (sound marks)
 */
export function makePairing(waitMs: () => number, newId: () => string): Pairing {
  const calls: OpenCall[] = [];
  const waiting: WaitingPhrase[] = [];
  /** Which call each phrase went to. */
  const homes = new Map<string, OpenCall>();
  const lags: number[] = [];
  let soundingSince: number | null = null;

  const lag = (): Lag => {
    if (lags.length < 3) return { ...guessedLag, pairs: lags.length };
    const sorted = [...lags].sort((a, b) => a - b);
    const median = middle(sorted);
    const spread = 1.4826 * middle(lags.map((value) => Math.abs(value - median)).sort((a, b) => a - b));
    return { medianMs: median, spreadMs: Math.max(lags.length < 8 ? 150 : 60, spread), pairs: lags.length };
  };

  const view = (call: OpenCall): HeardCall => ({
    id: call.id,
    onsetMs: call.onsetMs,
    endMs: call.endMs,
    timing: call.utterance ? 'sound' : 'words',
    uOnsetMs: call.uOnsetMs,
    utterance: call.utterance,
    heard: [...call.heard],
    settled: call.settled,
  });

  /** How badly first words fit a sound of that length, in spreads of the lag; null when they cannot belong to it. */
  const misfitOf = (afterMs: number, lengthMs: number): number | null => {
    const { medianMs, spreadMs, pairs } = lag();
    if (afterMs < 60 || afterMs > longestLagMs + lengthMs) return null;
    // Words of a long utterance may first come at any time while it lasts, though rather soon.
    const late = Math.max(0, afterMs - medianMs - lengthMs);
    const early = Math.max(0, medianMs - afterMs);
    // Once the lag is known, words that are much later belong to something that was not heard as sound.
    if (pairs >= learnedPairs && late > Math.max(latestMs, 5 * spreadMs)) return null;
    const within = Math.max(0, Math.min(lengthMs, afterMs - medianMs));
    return (late + early + 0.3 * within) / spreadMs;
  };

  const misfit = (phrase: Heard, call: OpenCall): number | null => {
    if (!call.utterance || call.endMs === null) return null;
    const plain = misfitOf(phrase.firstWordsMs - call.onsetMs, call.endMs - call.onsetMs);
    if (plain === null) return null;
    const taken = call.heard.some((other) => other.ear === phrase.ear && other.phrase !== phrase.phrase);
    return plain + (taken ? 4 : 0) + (call.speech ? 0 : 3);
  };

  /** Order is kept per ear: the onset of the last call that took a phrase of this ear. */
  const floorOf = (phrase: Heard): number =>
    calls.reduce(
      (latest, call) =>
        call.heard.some(
          (other) =>
            other.ear === phrase.ear && other.firstWordsMs <= phrase.firstWordsMs && other.phrase !== phrase.phrase,
        )
          ? Math.max(latest, call.onsetMs)
          : latest,
      Number.NEGATIVE_INFINITY,
    );

  const homeFor = (phrase: Heard): OpenCall | null => {
    if (phrase.utterance) return calls.find((call) => call.utterance?.id === phrase.utterance) ?? null;
    const floor = floorOf(phrase);
    let best: OpenCall | null = null;
    let least = Number.POSITIVE_INFINITY;
    for (const call of calls) {
      if (call.onsetMs < floor) continue;
      const bad = misfit(phrase, call);
      if (bad !== null && bad < least) {
        least = bad;
        best = call;
      }
    }
    return best;
  };

  /** An ear took its words back: the call stays, without them. */
  const withdraw = (phrase: Heard, nowMs: number): readonly HeardCall[] => {
    const held = waiting.findIndex(({ heard }) => heard.ear === phrase.ear && heard.phrase === phrase.phrase);
    if (held >= 0) waiting.splice(held, 1);
    const key = `${phrase.ear}/${phrase.phrase}`;
    const call = homes.get(key);
    if (!call) return [];
    homes.delete(key);
    call.heard = call.heard.filter((other) => other.ear !== phrase.ear || other.phrase !== phrase.phrase);
    settle(call, nowMs);
    return changed(call);
  };

  const attach = (phrase: Heard, call: OpenCall, nowMs: number): void => {
    const at = call.heard.findIndex((other) => other.phrase === phrase.phrase && other.ear === phrase.ear);
    if (at >= 0) call.heard[at] = phrase;
    else {
      call.heard.push(phrase);
      call.heard.sort((a, b) => a.firstWordsMs - b.firstWordsMs);
      // Learn from clear cases only: the first phrase of an utterance, from an ear that was not given the sound.
      if (call.utterance && !phrase.utterance && call.heard.length === 1) {
        lags.push(phrase.firstWordsMs - call.onsetMs);
        if (lags.length > lagsKept) lags.shift();
      }
    }
    homes.set(`${phrase.ear}/${phrase.phrase}`, call);
    call.shown = true;
    if (call.heard.some((other) => !other.final && !other.tentative))
      call.dueMs = Math.max(call.dueMs, nowMs + waitMs());
  };

  const settle = (call: OpenCall, nowMs: number): void => {
    if (call.settled) return;
    const spoken = call.heard.length > 0;
    const open = call.heard.some((heard) => !heard.final && !heard.tentative);
    if ((spoken && !open && call.endMs !== null) || (spoken && !open && !call.utterance) || nowMs >= call.dueMs)
      call.settled = true;
  };

  const changed = (call: OpenCall): HeardCall[] => (call.shown ? [view(call)] : []);

  const tidy = (): void => {
    while (calls.length > soundsKept) {
      const gone = calls.shift();
      if (gone) for (const heard of gone.heard) homes.delete(`${heard.ear}/${heard.phrase}`);
    }
  };

  const callOfWords = (phrase: Heard, nowMs: number): OpenCall => {
    const { medianMs, spreadMs, pairs } = lag();
    const call: OpenCall = {
      id: newId(),
      utterance: null,
      speech: true,
      onsetMs: phrase.firstWordsMs - medianMs,
      endMs: null,
      uOnsetMs: pairs < 3 ? Math.max(300, spreadMs) : Math.max(80, spreadMs),
      heard: [],
      settled: false,
      dueMs: nowMs + waitMs(),
      shown: true,
    };
    calls.push(call);
    calls.sort((a, b) => a.onsetMs - b.onsetMs);
    attach(phrase, call, nowMs);
    settle(call, nowMs);
    return call;
  };

  return {
    lag,
    sounding(onsetMs) {
      soundingSince = onsetMs;
    },
    utterance(utterance, speech, nowMs) {
      soundingSince = null;
      const call: OpenCall = {
        id: utterance.id,
        utterance,
        speech,
        onsetMs: utterance.onsetMs,
        endMs: utterance.endMs,
        uOnsetMs: utterance.uOnsetMs,
        heard: [],
        settled: false,
        dueMs: utterance.endMs + waitMs(),
        shown: speech,
      };
      calls.push(call);
      calls.sort((a, b) => a.onsetMs - b.onsetMs);
      tidy();
      const touched = new Set<OpenCall>([call]);
      for (const phrase of [...waiting]) {
        const home = homeFor(phrase.heard);
        if (!home) continue;
        waiting.splice(waiting.indexOf(phrase), 1);
        attach(phrase.heard, home, nowMs);
        touched.add(home);
      }
      for (const one of touched) settle(one, nowMs);
      return [...touched].flatMap(changed);
    },
    heard(heard, nowMs) {
      if (heard.alternatives.length === 0) return withdraw(heard, nowMs);
      const key = `${heard.ear}/${heard.phrase}`;
      const known = homes.get(key);
      if (known) {
        attach(heard, known, nowMs);
        settle(known, nowMs);
        return changed(known);
      }
      const held = waiting.find(({ heard: other }) => other.ear === heard.ear && other.phrase === heard.phrase);
      if (held) {
        held.heard = heard;
        return [];
      }
      const home = homeFor(heard);
      // A sound that is still going on may fit better than one that is past.
      const sounding =
        soundingSince === null ? null : misfitOf(heard.firstWordsMs - soundingSince, nowMs - soundingSince);
      const past = home ? (misfit(heard, home) ?? 0) : Number.POSITIVE_INFINITY;
      if (home && (heard.utterance || sounding === null || past < sounding)) {
        attach(heard, home, nowMs);
        settle(home, nowMs);
        return changed(home);
      }
      waiting.push({ heard, dueMs: nowMs + soundWaitMs });
      return [];
    },
    withoutWords(utterance, nowMs) {
      const call = calls.find((one) => one.utterance?.id === utterance);
      if (!call || call.settled || call.heard.length > 0) return [];
      call.dueMs = nowMs;
      settle(call, nowMs);
      return changed(call);
    },
    unheard(atMs) {
      const { medianMs, spreadMs } = lag();
      const call: OpenCall = {
        id: newId(),
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
      };
      calls.push(call);
      tidy();
      return changed(call);
    },
    tick(nowMs) {
      const touched = new Set<OpenCall>();
      for (const phrase of [...waiting]) {
        if (soundingSince !== null && nowMs - soundingSince < 10_000) continue;
        if (nowMs < phrase.dueMs) continue;
        waiting.splice(waiting.indexOf(phrase), 1);
        const home = homeFor(phrase.heard);
        if (home) {
          attach(phrase.heard, home, nowMs);
          touched.add(home);
        } else touched.add(callOfWords(phrase.heard, nowMs));
      }
      for (const call of calls) {
        const before = call.settled;
        settle(call, nowMs);
        if (call.settled !== before) touched.add(call);
      }
      return [...touched].flatMap(changed);
    },
    nextMs() {
      const due = [
        ...waiting.map((phrase) => phrase.dueMs),
        ...calls.filter((call) => !call.settled).map((call) => call.dueMs),
      ];
      return due.length > 0 ? Math.min(...due) : null;
    },
    flush(nowMs) {
      const touched = new Set<OpenCall>();
      soundingSince = null;
      for (const { heard } of waiting.splice(0)) {
        const home = homeFor(heard);
        if (home) {
          attach(heard, home, nowMs);
          touched.add(home);
        } else touched.add(callOfWords(heard, nowMs));
      }
      for (const call of calls)
        if (!call.settled) {
          call.settled = true;
          touched.add(call);
        }
      return [...touched].flatMap(changed);
    },
  };
}

function middle(sorted: readonly number[]): number {
  const half = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}
