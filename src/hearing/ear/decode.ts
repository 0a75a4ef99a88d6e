import { nth, real, single } from '../../numerics/nth.ts';
import type { Grammar } from './grammar.ts';
import { FRAME_MS, type Posteriors } from './net.ts';

/** A sentence with its share of the probability, and the words with the time at which each ended. */
export interface Sentence {
  readonly text: string;
  readonly p: number;
  readonly words: readonly { readonly word: string; readonly endMs: number }[];
}

export interface Decoded {
  readonly best: readonly Sentence[];
  /** Probability of nothing at all having been said. */
  readonly silence: number;
}

/** One prefix of a sentence; a node of the tree of all prefixes looked at. */
interface Prefix {
  readonly label: number;
  readonly state: number;
  readonly parent: Prefix | null;
  readonly children: Map<number, Prefix>;
  /** Probability of this prefix with the last frame blank, and with the last frame on its last word. */
  blank: number;
  word: number;
  nextBlank: number;
  nextWord: number;
  /** Number of the frame for which nextBlank and nextWord hold. */
  at: number;
}

const BEAM = 48;
/** Sentences in an answer. */
const MOST = 8;
const LEAST_LABEL = 1e-6;
/**
 * The net, which sees the whole utterance, answers for a word soon after it begins (measured on held-out voices: 30 to
 * 110 ms into the word). So a word ends about this long before the answer for the next one; the last ends with the sound.
 */
const INTO_WORD_MS = 50;

/**
 * The sentences of the grammar with the highest probability given the sound, each summed over all its alignments
 * (prefix beam search of CTC; with peaked posteriors the beam loses next to nothing). The probabilities are those of
 * the net itself: what is missing to 1 is silence and sentences outside the grammar.
 *
 * @param soundEndMs end of the sound, for the end of the last word
 * Cost: under 2 ms for a second of sound.
 */
export function decode(
  posteriors: Posteriors,
  grammar: Grammar,
  labels: readonly string[],
  soundEndMs = posteriors.frames * FRAME_MS,
): Decoded {
  const { frames, labels: count, values } = posteriors;
  let beam = [prefixOf(0, 0, null, 1)];
  // Scores are kept relative to the best one; the log of what was taken out is here.
  let scale = 0;
  let silence = 0;
  for (let frame = 0; frame < frames; frame++) {
    const row = values.subarray(frame * count, (frame + 1) * count);
    silence += Math.log(single(row, 0) + 1e-30);
    const grown = grow(beam, row, frame, grammar);
    for (const prefix of beam) {
      prefix.blank = 0;
      prefix.word = 0;
    }
    let top = 0;
    for (const prefix of grown) top = Math.max(top, prefix.nextBlank + prefix.nextWord);
    if (!(top > 0)) break;
    grown.sort((a, b) => b.nextBlank + b.nextWord - a.nextBlank - a.nextWord);
    beam = grown.slice(0, BEAM);
    for (const prefix of beam) {
      prefix.blank = prefix.nextBlank / top;
      prefix.word = prefix.nextWord / top;
    }
    scale += Math.log(top);
  }
  const complete = beam
    .filter((prefix) => prefix.label && grammar.accepts[prefix.state] && prefix.blank + prefix.word > 0)
    .map((prefix) => ({ prefix, p: (prefix.blank + prefix.word) * Math.exp(scale) }))
    .slice(0, MOST);
  return {
    best: complete.map(({ prefix, p }) => sentenceOf(prefix, p, posteriors, labels, soundEndMs)),
    silence: Math.exp(silence),
  };
}

const prefixOf = (label: number, state: number, parent: Prefix | null, blank = 0): Prefix => ({
  label,
  state,
  parent,
  children: new Map(),
  blank,
  word: 0,
  nextBlank: 0,
  nextWord: 0,
  at: -1,
});

/** The prefixes after one more frame, each once: those of the beam as they are, and with each word that may follow. */
function grow(beam: readonly Prefix[], row: Float32Array, frame: number, grammar: Grammar): Prefix[] {
  const blank = single(row, 0);
  const touched: Prefix[] = [];
  const touch = (prefix: Prefix): Prefix => {
    if (prefix.at !== frame) {
      prefix.at = frame;
      prefix.nextBlank = 0;
      prefix.nextWord = 0;
      touched.push(prefix);
    }
    return prefix;
  };
  for (const prefix of beam) {
    const both = prefix.blank + prefix.word;
    if (grammar.swallows[prefix.state]) {
      touch(prefix).nextBlank += both;
      continue;
    }
    touch(prefix);
    prefix.nextBlank += both * blank;
    if (prefix.label) prefix.nextWord += prefix.word * single(row, prefix.label);
    const next = nth(grammar.next, prefix.state);
    for (let label = 1; label < row.length; label++) {
      const p = single(row, label);
      if (p < LEAST_LABEL) continue;
      const to = nth(next, label);
      if (to < 0) continue;
      let child = prefix.children.get(label);
      if (!child) {
        child = prefixOf(label, to, prefix);
        prefix.children.set(label, child);
      }
      // The same word twice needs a blank in between.
      touch(child).nextWord += p * (label === prefix.label ? prefix.blank : both);
    }
  }
  return touched;
}

function sentenceOf(
  prefix: Prefix,
  p: number,
  posteriors: Posteriors,
  labels: readonly string[],
  soundEndMs: number,
): Sentence {
  const path: number[] = [];
  for (let at: Prefix | null = prefix; at?.label; at = at.parent) path.unshift(at.label);
  const answered = align(posteriors, path);
  const ends = answered.map((own, i) => {
    const next = answered[i + 1];
    return next === undefined ? Math.max(own, soundEndMs) : Math.max(own, next - FRAME_MS - INTO_WORD_MS);
  });
  const words = path.map((label, i) => ({ word: nth(labels, label), endMs: nth(ends, i) }));
  return { text: words.map(({ word }) => word).join(' '), p: Math.min(1, p), words };
}

/** The best alignment of one sentence: for each word the end of the last frame on it, ms from the start. */
function align({ frames, labels, values }: Posteriors, path: readonly number[]): number[] {
  const states = 2 * path.length + 1;
  const labelOf = Float64Array.from({ length: states }, (_, state) => (state % 2 ? nth(path, state >> 1) : 0));
  const label = (state: number) => real(labelOf, state);
  let score = new Float64Array(states).fill(Number.NEGATIVE_INFINITY);
  score[0] = 0;
  const back = new Uint8Array(frames * states);
  for (let frame = 0; frame < frames; frame++) {
    const now = new Float64Array(states).fill(Number.NEGATIVE_INFINITY);
    for (let state = 0; state < states; state++) {
      let from = 0;
      let best = real(score, state);
      if (frame === 0) {
        if (state > 1) continue;
        best = 0;
      } else {
        if (state > 0 && real(score, state - 1) > best) {
          best = real(score, state - 1);
          from = 1;
        }
        if (state > 1 && state % 2 && label(state) !== label(state - 2) && real(score, state - 2) > best) {
          best = real(score, state - 2);
          from = 2;
        }
      }
      now[state] = best + Math.log(single(values, frame * labels + label(state)) + 1e-30);
      back[frame * states + state] = from;
    }
    score = now;
  }
  const ends = new Array<number>(path.length).fill(0);
  let state = states > 1 && real(score, states - 2) > real(score, states - 1) ? states - 2 : states - 1;
  for (let frame = frames - 1; frame >= 0; frame--) {
    if (state % 2 && !ends[state >> 1]) ends[state >> 1] = (frame + 1) * FRAME_MS;
    state -= nth(back, frame * states + state);
  }
  return ends;
}
