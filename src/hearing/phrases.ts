import type { Alternative, Heard } from './ear.ts';
import type { RecogniserResultEvent } from './recogniser.ts';

/**
 * Turns the result lists of one recognition session into phrases. Engines differ: most replace interim words at the
 * end of the list; some (Android) mark every guess as final at a new index with confidence 0, and add one more final
 * that repeats all; some forget interim words and start afresh. What comes out is the same for all: a phrase has one
 * identity from its first interim word to its final answer, no phrase twice, none lost. Pure: each function gives the
 * next state beside what was heard.
 */
export interface Phrases {
  readonly generation: number;
  readonly style: 'unknown' | 'replacing' | 'cumulative';
  /** How many finals came. */
  readonly finals: number;
  /** Phrases begun so far. */
  readonly count: number;
  /** Final results already taken, in order; by the rules they never change. */
  readonly taken: readonly string[];
  readonly open: Phrase | null;
  /** `open` came from results marked final with confidence 0. */
  readonly openIsGuess: boolean;
  readonly done: Done | null;
  /** All final words of the session in order, to know a final that repeats them. */
  readonly finalWords: readonly string[];
  readonly lastSoundMs: number;
}

interface Phrase {
  readonly id: string;
  readonly firstWordsMs: number;
  readonly alternatives: readonly Alternative[];
  readonly changedMs: number;
  /** Words of the phrase as they came, with those a cumulative engine repeated before them. */
  readonly whole: string;
}

interface Done {
  readonly phrase: Phrase;
  readonly text: string;
  readonly whole: string;
  readonly atMs: number;
  readonly guess: boolean;
}

/** One entry of a result list, as plain data. */
export interface Result {
  readonly final: boolean;
  /** Best first. */
  readonly alternatives: readonly { readonly transcript: string; readonly confidence: number }[];
}

export interface PhrasesStep {
  readonly phrases: Phrases;
  readonly heard: readonly Heard[];
}

/** A new final with the same words at a new index within this time is the same phrase again, ms. */
const repeatMs = 700;
/** Interim words that start from scratch after this pause are a new phrase, ms. */
const afreshMs = 900;
/** Guesses marked as final follow each other faster than this, ms. */
const guessMs = 1500;

/** No words yet. @param generation counts the sessions of the engine */
export function noPhrases(generation: number): Phrases {
  return {
    generation,
    style: 'unknown',
    finals: 0,
    count: 0,
    taken: [],
    open: null,
    openIsGuess: false,
    done: null,
    finalWords: [],
    lastSoundMs: Number.NEGATIVE_INFINITY,
  };
}

/** The result list of an engine's event as plain data; null where it has none. */
export function plainResults({ results }: RecogniserResultEvent): readonly Result[] | null {
  if (!results) return null;
  return Array.from(results).flatMap((result) =>
    result
      ? [
          {
            final: result.isFinal,
            alternatives: Array.from(result, (one) => ({
              transcript: one?.transcript ?? '',
              confidence: one?.confidence ?? 0,
            })),
          },
        ]
      : [],
  );
}

/** Interim words that nothing has confirmed yet: their last change (page time, ms), or null. */
export const openSince = ({ open, openIsGuess }: Phrases): number | null =>
  openIsGuess ? null : (open?.changedMs ?? null);

/** When a guess marked as final counts as final if nothing follows it (page time, ms), or null. */
export const promoteAt = ({ open, openIsGuess }: Phrases): number | null =>
  open && openIsGuess ? open.changedMs + guessMs : null;

/** The guess that nothing followed counts as final. */
export function promote(phrases: Phrases, nowMs: number): PhrasesStep {
  const { open, openIsGuess } = phrases;
  if (!open || !openIsGuess) return { phrases, heard: [] };
  return step(phrases, (draft) => [closeFinal(draft, open, nowMs)]);
}

/** The session is over: words that never became final are given as tentative. */
export function endPhrases(phrases: Phrases, nowMs: number): PhrasesStep {
  const { open, openIsGuess } = phrases;
  if (!open) return { phrases, heard: [] };
  return step(phrases, (draft) => {
    draft.open = null;
    if (open.alternatives[0]?.text === '') return [];
    // Results marked final count as such in the end, sure or not.
    return [openIsGuess ? finish(draft, open, nowMs) : heardOf(draft, open, nowMs, false, true)];
  });
}

/** Takes a result list, all of it: engines have been seen to give a wrong index of change, or to rewrite the list. */
export function takeResults(phrases: Phrases, results: readonly Result[], nowMs: number): PhrasesStep {
  return step(phrases, (draft) => {
    const out: Heard[] = [];
    // A list that is shorter, or says something else where it had ended: the engine began afresh.
    let finalsSeen = 0;
    const interims: string[] = [];
    for (const result of results) {
      const [first] = result.alternatives;
      if (!result.final) {
        interims.push(first?.transcript ?? '');
        continue;
      }
      const at = finalsSeen++;
      const words = tidy(first?.transcript ?? '');
      if (draft.taken[at] === words) continue;
      draft.taken = [...draft.taken.slice(0, at), words];
      const alternatives = alternativesOf(result);
      // An engine that sends interim words as such means what it marks as final.
      const unsure = (first?.confidence ?? 0) === 0 && alternatives[0]?.text !== '' && draft.style !== 'replacing';
      out.push(...(unsure ? guess(draft, alternatives, nowMs) : final(draft, alternatives, nowMs)));
    }
    const text = tidy(interims.join(' '));
    if (text === '' && draft.openIsGuess) return out;
    if (text !== '' && draft.open && draft.openIsGuess) out.push(closeFinal(draft, draft.open, nowMs));
    if (text !== '' && draft.style === 'unknown') draft.style = 'replacing';
    out.push(...interim(draft, text, nowMs));
    return out;
  });
}

type Draft = { -readonly [key in keyof Phrases]: Phrases[key] };

function step(phrases: Phrases, change: (draft: Draft) => readonly Heard[]): PhrasesStep {
  const draft = { ...phrases };
  const heard = change(draft);
  return { phrases: draft, heard };
}

const begin = (draft: Draft, nowMs: number, whole: string): Phrase => ({
  id: `${draft.generation}:${draft.count++}`,
  firstWordsMs: nowMs,
  alternatives: [],
  changedMs: nowMs,
  whole,
});

const heardOf = (draft: Draft, phrase: Phrase, nowMs: number, final: boolean, tentative = false): Heard => ({
  ear: 'browser',
  generation: draft.generation,
  phrase: phrase.id,
  alternatives: phrase.alternatives,
  final,
  tentative,
  firstWordsMs: phrase.firstWordsMs,
  atMs: nowMs,
});

function finish(draft: Draft, phrase: Phrase, nowMs: number): Heard {
  const text = phrase.alternatives[0]?.text ?? '';
  draft.done = { phrase, text, whole: phrase.whole, atMs: nowMs, guess: draft.openIsGuess };
  draft.finals++;
  draft.finalWords = [...draft.finalWords, ...wordsOf(text)].slice(-200);
  return heardOf(draft, phrase, nowMs, true);
}

/** Finishes the open phrase; no other is open then. */
function closeFinal(draft: Draft, open: Phrase, nowMs: number): Heard {
  const answer = finish(draft, open, nowMs);
  draft.open = null;
  draft.openIsGuess = false;
  return answer;
}

/** Interim words, all of the list's interims joined. */
function interim(draft: Draft, text: string, nowMs: number): Heard[] {
  const out: Heard[] = [];
  let { open } = draft;
  const before = open?.alternatives[0]?.text ?? '';
  if (text === '') {
    if (!open || draft.openIsGuess) return out;
    // The engine took its words back: the phrase is withdrawn, in so many words.
    draft.open = null;
    return [heardOf(draft, { ...open, alternatives: [] }, nowMs, true)];
  }
  if (open && isAfresh(draft, open, before, text, nowMs)) {
    out.push(heardOf(draft, open, nowMs, false, true));
    open = null;
  }
  open ??= begin(draft, nowMs, text);
  draft.open = open;
  draft.openIsGuess = false;
  if (text === before && out.length === 0 && open.alternatives.length > 0) return out;
  const changedMs = text === before ? open.changedMs : nowMs;
  draft.open = { ...open, changedMs, alternatives: [{ text, confidence: null }], whole: text };
  out.push(heardOf(draft, draft.open, nowMs, false));
  return out;
}

function isAfresh(draft: Draft, open: Phrase, before: string, text: string, nowMs: number): boolean {
  if (extendsText(before, text) || extendsText(text, before)) return false;
  return draft.lastSoundMs > open.changedMs + 100 || nowMs - open.changedMs >= afreshMs;
}

/** A result marked final with confidence 0: final on some engines, a guess on others. Time and likeness decide. */
function guess(draft: Draft, alternatives: readonly Alternative[], nowMs: number): Heard[] {
  const text = alternatives[0]?.text ?? '';
  const out: Heard[] = [];
  const { open } = draft;
  if (open && draft.openIsGuess) {
    const sameBreath = nowMs - open.changedMs < guessMs && draft.lastSoundMs <= open.changedMs + 100;
    if (sameBreath) {
      draft.style = 'cumulative';
      draft.open = { ...open, alternatives, whole: text, changedMs: nowMs };
      return [heardOf(draft, draft.open, nowMs, false)];
    }
    if (extendsText(open.whole, text)) return splitOff(draft, open, text, alternatives, nowMs);
    out.push(finish(draft, open, nowMs));
    draft.open = null;
  }
  const revised = draft.open ? null : revise(draft, alternatives, nowMs);
  if (revised) return [...out, revised];
  const known = draft.open ? null : repeats(draft, text, nowMs);
  if (known === '') return out;
  draft.open = {
    ...(draft.open ?? begin(draft, nowMs, text)),
    alternatives: known === null ? alternatives : [{ text: known, confidence: null }],
    whole: text,
    changedMs: nowMs,
  };
  draft.openIsGuess = true;
  out.push(heardOf(draft, draft.open, nowMs, false));
  return out;
}

/** A cumulative engine went on after a pause: what was there is a phrase, the rest is the next. */
function splitOff(
  draft: Draft,
  old: Phrase,
  text: string,
  alternatives: readonly Alternative[],
  nowMs: number,
): Heard[] {
  draft.style = 'cumulative';
  const rest = restAfter(old.whole, text);
  const out = [finish(draft, old, nowMs)];
  if (rest === '') {
    if (draft.done) draft.done = { ...draft.done, whole: text };
    draft.open = null;
  } else {
    const words = rest === null ? alternatives : [{ text: rest, confidence: null }];
    draft.open = { ...begin(draft, nowMs, text), alternatives: words };
  }
  draft.openIsGuess = draft.open !== null;
  if (draft.open) out.push(heardOf(draft, draft.open, nowMs, false));
  return out;
}

/**
 * Whether final words only repeat earlier ones of the session: null when they do not; else what is new in them
 * ('' for nothing).
 */
function repeats({ done, style, lastSoundMs, finalWords }: Draft, text: string, nowMs: number): string | null {
  if (!done) return null;
  // The list of a cumulative engine repeats itself whenever it likes; others only at once, and not after a new sound.
  const repeating = style === 'cumulative' || done.guess;
  if (!repeating && lastSoundMs > done.atMs + 100) return null;
  const soon = repeating || nowMs - done.atMs < repeatMs;
  if (!soon) return null;
  const words = wordsOf(text);
  if (sameWords(words, wordsOf(done.text)) || sameWords(words, wordsOf(done.whole))) return '';
  // All finals so far, said again as one, perhaps with more.
  if (
    finalWords.length > 0 &&
    words.length >= finalWords.length &&
    sameWords(words.slice(0, finalWords.length), finalWords)
  )
    return originalTail(text, words.length - finalWords.length);
  return restAfter(done.whole, text);
}

/** A guess that had to count as final is put right by what follows it ("25", then "25.5"). */
function revise(draft: Draft, alternatives: readonly Alternative[], nowMs: number): Heard | null {
  const { done } = draft;
  if (!done?.guess) return null;
  const text = alternatives[0]?.text ?? '';
  if (restAfter(done.whole, text) !== null || !extendsText(done.whole, text)) return null;
  const kept = draft.finalWords.length - wordsOf(done.text).length;
  draft.finalWords = draft.finalWords.slice(0, kept);
  draft.finals--;
  return finish(draft, { ...done.phrase, alternatives, whole: text }, nowMs);
}

function final(draft: Draft, alternatives: readonly Alternative[], nowMs: number): Heard[] {
  const text = alternatives[0]?.text ?? '';
  const { open } = draft;
  if (open) {
    draft.open = null;
    draft.openIsGuess = false;
    // An empty final: the engine has nothing after all. The interim words are kept, to be confirmed.
    if (text === '') return [heardOf(draft, open, nowMs, false, true)];
    return [finish(draft, { ...open, alternatives: withoutRepeated(open, alternatives), whole: text }, nowMs)];
  }
  if (text === '') return [];
  const revised = revise(draft, alternatives, nowMs);
  if (revised) return [revised];
  const known = repeats(draft, text, nowMs);
  if (known === '') {
    if (draft.done) draft.done = { ...draft.done, atMs: nowMs };
    return [];
  }
  const words = known === null ? alternatives : [{ text: known, confidence: null }];
  return [finish(draft, { ...begin(draft, nowMs, text), alternatives: words }, nowMs)];
}

/** Final words of a phrase, without what a cumulative engine repeats before it. */
function withoutRepeated(open: Phrase, alternatives: readonly Alternative[]): readonly Alternative[] {
  const own = open.alternatives[0]?.text ?? '';
  if (open.whole === own) return alternatives;
  const [first] = alternatives;
  const before = open.whole.slice(0, open.whole.length - own.length).trim();
  const rest = restAfter(before, first?.text ?? '');
  return rest ? [{ text: rest, confidence: first?.confidence ?? null }] : alternatives;
}

/** Best first, without doubles and empty ones. Confidence is kept only where it can mean something. */
function alternativesOf({ alternatives }: Result): Alternative[] {
  const out: Alternative[] = [];
  for (const [index, { transcript, confidence }] of alternatives.entries()) {
    const text = tidy(transcript);
    if (text === '' && index > 0) continue;
    if (out.some((other) => other.text === text)) continue;
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
