import type { Grammar } from './grammar.ts';
import { FRAME_MS, type Posteriors } from './net.ts';

/** A word where the net answers for it: a spike, a frame or two, some 60 ms into the word. */
export interface Spike {
  readonly label: number;
  /** Number of its strongest frame in the stream. */
  readonly frame: number;
  readonly p: number;
}

/** Label of speech outside the vocabulary. */
export const otherSpeech = 1;
/** A weaker answer is no word. */
const leastP = 0.27;

/**
 * Posteriors of a stream, averaged over all windows that saw a frame: what one window mishears at its edge, or for its
 * loudness, the next puts right.
 */
export interface Averaged {
  add(window: Posteriors, firstFrame: number, fromFrame: number): void;
  /** Frames from `from` up to `to`; those that no window saw are blank. */
  between(from: number, to: number): Posteriors;
  forgetBefore(frame: number): void;
}

/** Frames at the end of a window that lack what follows count little. */
const framesAhead = 6;
const littleWeight = 0.1;

export function makeAveraged(labels: number): Averaged {
  const sums = new Map<number, { weight: number; row: Float32Array }>();
  return {
    add(window, firstFrame, fromFrame) {
      for (let at = 0; at < window.frames; at++) {
        const frame = firstFrame + at;
        if (frame < fromFrame) continue;
        const weight = window.frames - at > framesAhead ? 1 : littleWeight;
        let sum = sums.get(frame);
        if (!sum) {
          sum = { weight: 0, row: new Float32Array(labels) };
          sums.set(frame, sum);
        }
        sum.weight += weight;
        for (let label = 0; label < labels; label++)
          sum.row[label] = (sum.row[label] ?? 0) + weight * (window.values[at * labels + label] ?? 0);
      }
    },
    between(from, to) {
      const frames = Math.max(0, to - from);
      const values = new Float32Array(frames * labels);
      for (let at = 0; at < frames; at++) {
        const sum = sums.get(from + at);
        if (!sum) values[at * labels] = 1;
        else
          for (let label = 0; label < labels; label++) values[at * labels + label] = (sum.row[label] ?? 0) / sum.weight;
      }
      return { frames, labels, values };
    },
    forgetBefore(frame) {
      for (const known of sums.keys()) if (known < frame) sums.delete(known);
    },
  };
}

/** The words in a stretch of posteriors, in order. Frames next to each other with the same word are one. */
export function spikesIn(posteriors: Posteriors, firstFrame: number): Spike[] {
  const { frames, labels, values } = posteriors;
  const spikes: Spike[] = [];
  for (let at = 0; at < frames; at++) {
    let label = 1;
    for (let other = 2; other < labels; other++)
      if ((values[at * labels + other] ?? 0) > (values[at * labels + label] ?? 0)) label = other;
    const p = 1 - (values[at * labels] ?? 0);
    if (p < leastP) continue;
    const last = spikes.at(-1);
    const frame = firstFrame + at;
    if (last && last.label === label && frame - last.frame <= 3) {
      if (p > last.p) spikes[spikes.length - 1] = { label, frame: p > 2 * last.p ? frame : last.frame, p };
    } else spikes.push({ label, frame, p });
  }
  return spikes;
}

/** A first word so weak is an "er" or a cough, if the rest is a sentence without it. */
const weakP = 0.75;

/** How many words at the beginning of a sentence are none: the moment of a call is that of what was meant. */
export function weakLead(sentence: readonly Spike[], grammar: Grammar): number {
  const first = sentence[0];
  const rest = sentence.slice(1);
  if (!first || rest.length === 0 || rest.some(({ p }) => p < first.p)) return 0;
  if (first.label !== otherSpeech && first.p >= weakP) return 0;
  let state = 0;
  for (const { label } of rest) state = state < 0 ? state : (grammar.next[state]?.[label] ?? -1);
  return state >= 0 && grammar.accepts[state] ? 1 : 0;
}

/** Two words with their answers so far apart are as likely two calls as one, s. */
const evenS = 0.82;
const perS = 0.07;
/** Cost of words that make no sentence, each. */
const strayCost = 4;
/** Cost of a sentence that is not complete. */
const openCost = 3;

/**
 * Cuts a row of words into sentences: between words, never within, so that each is one the grammar knows and the long
 * gaps fall between them. "thirty one thirty three" is two; so is "one hundred | one hundred and two".
 */
export function sentencesOf(spikes: readonly Spike[], grammar: Grammar): Spike[][] {
  const n = spikes.length;
  const least = new Array<number>(n + 1).fill(Number.POSITIVE_INFINITY);
  const from = new Array<number>(n + 1).fill(0);
  least[0] = 0;
  const gapS = (k: number): number => (((spikes[k]?.frame ?? 0) - (spikes[k - 1]?.frame ?? 0)) * FRAME_MS) / 1000;
  const joined = (k: number): number => Math.log1p(Math.exp((gapS(k) - evenS) / perS));
  const parted = (k: number): number => Math.log1p(Math.exp((evenS - gapS(k)) / perS));
  for (let start = 0; start < n; start++) {
    const before = (least[start] ?? 0) + (start > 0 ? parted(start) : 0);
    let state = 0;
    let joins = 0;
    for (let end = start + 1; end <= n; end++) {
      if (end - start > 1) joins += joined(end - 1);
      const label = spikes[end - 1]?.label ?? 0;
      state = state < 0 || grammar.swallows[state] ? state : (grammar.next[state]?.[label] ?? -1);
      const whole = state >= 0 && (grammar.accepts[state] || grammar.swallows[state]);
      const cost = before + joins + (whole ? 0 : state >= 0 ? openCost : strayCost * (end - start));
      if (cost < (least[end] ?? 0)) {
        least[end] = cost;
        from[end] = start;
      }
      if (joins > 40) break;
    }
  }
  const out: Spike[][] = [];
  for (let end = n; end > 0; end = from[end] ?? 0) out.unshift(spikes.slice(from[end] ?? 0, end));
  return out;
}
