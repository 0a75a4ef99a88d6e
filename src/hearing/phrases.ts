import type { Alternative, Heard } from './ear.ts';
import type { RecogniserResult, RecogniserResultEvent } from './recogniser.ts';

/**
 * Turns the result lists of one recognition session into phrases. Engines differ: most replace interim words at the
 * end of the list; some (Android) mark every guess as final at a new index with confidence 0, and add one more final
 * that repeats all; some forget interim words and start afresh. What comes out is the same for all: a phrase has one
 * identity from its first interim word to its final answer, no phrase twice, none lost.
 */
export interface PhraseTracker {
  /** A result event. */
  results(event: RecogniserResultEvent, nowMs: number): Heard[];
  /** The session is over: words that never became final are given as tentative. */
  end(nowMs: number): Heard[];
  /** Interim words that nothing has confirmed yet: their last change (page time, ms), or null. */
  openSince(): number | null;
  /** When a guess marked as final counts as final if nothing follows it (page time, ms), or null. */
  promoteAt(): number | null;
  promote(nowMs: number): Heard[];
  /** A sound began at this page time: words after it are a new phrase, however alike. */
  sound(onsetMs: number): void;
  readonly style: 'unknown' | 'replacing' | 'cumulative';
  /** How many finals came. */
  finals(): number;
}

/** A new final with the same words at a new index within this time is the same phrase again, ms. */
const repeatMs = 700;
/** Interim words that start from scratch after this pause are a new phrase, ms. */
const afreshMs = 900;
/** Guesses marked as final follow each other faster than this, ms. */
const guessMs = 1500;

interface Phrase {
  readonly id: string;
  readonly firstWordsMs: number;
  alternatives: Alternative[];
  changedMs: number;
  /** Words of the phrase as they came, with those a cumulative engine repeated before them. */
  whole: string;
}

export function makePhraseTracker(generation: number): PhraseTracker {
  let count = 0;
  let style: 'unknown' | 'replacing' | 'cumulative' = 'unknown';
  /** Final results already taken, in order; by the rules they never change. */
  const taken: string[] = [];
  let open: Phrase | null = null;
  /** `open` came from results marked final with confidence 0. */
  let openIsGuess = false;
  let done: { phrase: Phrase; text: string; whole: string; atMs: number; guess: boolean } | null = null;
  /** All final words of the session in order, to know a final that repeats them. */
  const finalWords: string[] = [];
  let finals = 0;
  let lastSoundMs = Number.NEGATIVE_INFINITY;

  const begin = (nowMs: number, whole: string): Phrase => ({
    id: `${generation}:${count++}`,
    firstWordsMs: nowMs,
    alternatives: [],
    changedMs: nowMs,
    whole,
  });

  const heard = (phrase: Phrase, nowMs: number, final: boolean, tentative = false): Heard => ({
    ear: 'browser',
    generation,
    phrase: phrase.id,
    alternatives: phrase.alternatives,
    final,
    tentative,
    firstWordsMs: phrase.firstWordsMs,
    atMs: nowMs,
  });

  const finish = (phrase: Phrase, nowMs: number): Heard => {
    done = {
      phrase,
      text: phrase.alternatives[0]?.text ?? '',
      whole: phrase.whole,
      atMs: nowMs,
      guess: openIsGuess,
    };
    finals++;
    finalWords.push(...wordsOf(done.text));
    if (finalWords.length > 200) finalWords.splice(0, finalWords.length - 200);
    return heard(phrase, nowMs, true);
  };

  /** Interim words, all of the list's interims joined. */
  const interim = (text: string, nowMs: number): Heard[] => {
    const out: Heard[] = [];
    const before = open?.alternatives[0]?.text ?? '';
    if (text === '') {
      if (!open || openIsGuess) return out;
      // The engine took its words back: the phrase is withdrawn, in so many words.
      const gone = { ...open, alternatives: [] };
      open = null;
      return [heard(gone, nowMs, true)];
    }
    if (open && isAfresh(before, text, nowMs)) {
      out.push(heard(open, nowMs, false, true));
      open = null;
    }
    open ??= begin(nowMs, text);
    openIsGuess = false;
    if (text !== before) open.changedMs = nowMs;
    else if (out.length === 0 && open.alternatives.length > 0) return out;
    open.alternatives = [{ text, confidence: null }];
    open.whole = text;
    out.push(heard(open, nowMs, false));
    return out;
  };

  const isAfresh = (before: string, text: string, nowMs: number): boolean => {
    if (!open || extendsText(before, text) || extendsText(text, before)) return false;
    if (lastSoundMs > open.changedMs + 100) return true;
    return nowMs - open.changedMs >= afreshMs;
  };

  /** A result marked final with confidence 0: final on some engines, a guess on others. Time and likeness decide. */
  const guess = (alternatives: Alternative[], nowMs: number): Heard[] => {
    const text = alternatives[0]?.text ?? '';
    const out: Heard[] = [];
    if (open && openIsGuess) {
      const sameBreath = nowMs - open.changedMs < guessMs && lastSoundMs <= open.changedMs + 100;
      if (sameBreath || extendsText(open.whole, text)) {
        if (!sameBreath) return [...out, ...splitOff(open, text, alternatives, nowMs)];
        style = 'cumulative';
        open.alternatives = alternatives;
        open.whole = text;
        open.changedMs = nowMs;
        return [heard(open, nowMs, false)];
      }
      out.push(finish(open, nowMs));
      open = null;
    }
    const revised = open ? null : revise(alternatives, nowMs);
    if (revised) return [...out, revised];
    const known = open ? null : repeats(text, nowMs);
    if (known !== null) {
      if (known === '') return out;
      alternatives = [{ text: known, confidence: null }];
    }
    open = open ?? begin(nowMs, text);
    openIsGuess = true;
    open.alternatives = alternatives;
    open.whole = text;
    open.changedMs = nowMs;
    out.push(heard(open, nowMs, false));
    return out;
  };

  /** A cumulative engine went on after a pause: what was there is a phrase, the rest is the next. */
  const splitOff = (old: Phrase, text: string, alternatives: Alternative[], nowMs: number): Heard[] => {
    style = 'cumulative';
    const rest = restAfter(old.whole, text);
    const out = [finish(old, nowMs)];
    open = null;
    if (rest === null) {
      open = begin(nowMs, text);
      open.alternatives = alternatives;
    } else if (rest !== '') {
      open = begin(nowMs, text);
      open.alternatives = [{ text: rest, confidence: null }];
    } else if (done) done.whole = text;
    openIsGuess = open !== null;
    if (open) out.push(heard(open, nowMs, false));
    return out;
  };

  /**
   * Whether final words only repeat earlier ones of the session: null when they do not; else what is new in them
   * ('' for nothing).
   */
  const repeats = (text: string, nowMs: number): string | null => {
    if (!done) return null;
    // The list of a cumulative engine repeats itself whenever it likes; others only at once, and not after a new sound.
    const repeating = style === 'cumulative' || done.guess;
    if (!repeating && lastSoundMs > done.atMs + 100) return null;
    const soon = repeating || nowMs - done.atMs < repeatMs;
    if (!soon) return null;
    const words = wordsOf(text);
    if (soon && sameWords(words, wordsOf(done.text))) return '';
    if (soon && sameWords(words, wordsOf(done.whole))) return '';
    // All finals so far, said again as one, perhaps with more.
    if (
      finalWords.length > 0 &&
      words.length >= finalWords.length &&
      sameWords(words.slice(0, finalWords.length), finalWords)
    )
      return originalTail(text, words.length - finalWords.length);
    return restAfter(done.whole, text);
  };

  /** A guess that had to count as final is put right by what follows it ("25", then "25.5"). */
  const revise = (alternatives: Alternative[], nowMs: number): Heard | null => {
    if (!done?.guess) return null;
    const text = alternatives[0]?.text ?? '';
    if (restAfter(done.whole, text) !== null || !extendsText(done.whole, text)) return null;
    const { phrase } = done;
    finalWords.splice(finalWords.length - wordsOf(done.text).length);
    phrase.alternatives = alternatives;
    phrase.whole = text;
    finals--;
    return finish(phrase, nowMs);
  };

  const final = (alternatives: Alternative[], nowMs: number): Heard[] => {
    const text = alternatives[0]?.text ?? '';
    if (open) {
      const phrase = open;
      open = null;
      openIsGuess = false;
      if (text === '') {
        // An empty final: the engine has nothing after all. The interim words are kept, to be confirmed.
        return [heard(phrase, nowMs, false, true)];
      }
      if (phrase.whole !== (phrase.alternatives[0]?.text ?? '')) {
        const rest = restAfter(
          phrase.whole.slice(0, phrase.whole.length - (phrase.alternatives[0]?.text.length ?? 0)).trim(),
          text,
        );
        if (rest) alternatives = [{ text: rest, confidence: alternatives[0]?.confidence ?? null }];
      }
      phrase.alternatives = alternatives;
      phrase.whole = text;
      return [finish(phrase, nowMs)];
    }
    if (text === '') return [];
    const revised = revise(alternatives, nowMs);
    if (revised) return [revised];
    const known = repeats(text, nowMs);
    if (known === '') {
      if (done) done.atMs = nowMs;
      return [];
    }
    const phrase = begin(nowMs, text);
    phrase.alternatives = known === null ? alternatives : [{ text: known, confidence: null }];
    return [finish(phrase, nowMs)];
  };

  return {
    get style() {
      return style;
    },
    finals: () => finals,
    openSince: () => (openIsGuess ? null : (open?.changedMs ?? null)),
    promoteAt: () => (open && openIsGuess ? open.changedMs + guessMs : null),
    promote(nowMs) {
      if (!open || !openIsGuess) return [];
      const answer = finish(open, nowMs);
      open = null;
      openIsGuess = false;
      return [answer];
    },
    sound(onsetMs) {
      lastSoundMs = onsetMs;
    },
    results(event, nowMs) {
      const { results } = event;
      if (!results) return [];
      const out: Heard[] = [];
      const wordsAt = (index: number): string => tidy(results[index]?.[0]?.transcript ?? '');
      // A list that is shorter, or says something else where it had ended: the engine began afresh.
      let finalsSeen = 0;
      const interims: string[] = [];
      // All of the list every time: engines have been seen to give a wrong index of change, or to rewrite the list.
      for (let index = 0; index < results.length; index++) {
        const result = results[index];
        if (!result) continue;
        if (!result.isFinal) {
          interims.push(result[0]?.transcript ?? '');
          continue;
        }
        const at = finalsSeen++;
        if (taken[at] === wordsAt(index)) continue;
        taken.length = at;
        taken.push(wordsAt(index));
        const alternatives = alternativesOf(result);
        // An engine that sends interim words as such means what it marks as final.
        const unsure = (result[0]?.confidence ?? 0) === 0 && alternatives[0]?.text !== '' && style !== 'replacing';
        out.push(...(unsure ? guess(alternatives, nowMs) : final(alternatives, nowMs)));
      }
      const text = tidy(interims.join(' '));
      if (text !== '' || !openIsGuess) {
        if (text !== '' && open && openIsGuess) {
          out.push(finish(open, nowMs));
          open = null;
          openIsGuess = false;
        }
        if (text !== '' && style === 'unknown') style = 'replacing';
        out.push(...interim(text, nowMs));
      }
      return out;
    },
    end(nowMs) {
      if (!open) return [];
      const phrase = open;
      open = null;
      if (phrase.alternatives[0]?.text === '') return [];
      // Results marked final count as such in the end, sure or not.
      return [openIsGuess ? finish(phrase, nowMs) : heard(phrase, nowMs, false, true)];
    },
  };
}

/** Best first, without doubles and empty ones. Confidence is kept only where it can mean something. */
function alternativesOf(result: RecogniserResult): Alternative[] {
  const out: Alternative[] = [];
  for (let index = 0; index < result.length; index++) {
    const one = result[index];
    const text = tidy(one?.transcript ?? '');
    if (text === '' && index > 0) continue;
    if (out.some((other) => other.text === text)) continue;
    const confidence = one?.confidence ?? 0;
    out.push({ text, confidence: confidence > 0 && confidence < 1 ? confidence : null });
  }
  return out;
}

function tidy(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}

/** Words for comparison only: lower case, no punctuation at the ends. */
function wordsOf(text: string): string[] {
  return text
    .toLowerCase()
    .split(/\s+/)
    .map((word) => word.replace(/^[^\p{L}\p{N}$#+-]+|[^\p{L}\p{N}%°]+$/gu, ''))
    .filter((word) => word !== '');
}

function sameWords(a: readonly string[], b: readonly string[]): boolean {
  return a.length === b.length && a.every((word, index) => word === b[index]);
}

function extendsText(before: string, text: string): boolean {
  const old = wordsOf(before).join(' ');
  return wordsOf(text).join(' ').startsWith(old);
}

/** What follows `before` in `text`, by whole words; null when `text` does not begin with it. */
function restAfter(before: string, text: string): string | null {
  const old = wordsOf(before);
  const words = wordsOf(text);
  if (old.length === 0 || words.length < old.length || !sameWords(words.slice(0, old.length), old)) return null;
  return originalTail(text, words.length - old.length);
}

/** The last `count` words of a text, as they were written. */
function originalTail(text: string, count: number): string {
  if (count <= 0) return '';
  const parts = text.split(/\s+/).filter((part) => wordsOf(part).length > 0);
  return parts.slice(parts.length - count).join(' ');
}
