import type { Grammar } from './grammar.ts';
import { FRAME_MS, type Posteriors } from './net.ts';

/** A word where the net answers for it: a spike, a frame or two, some 60 ms into the word. */
export interface Spike {
  /** The likeliest. */
  readonly label: number;
  /** Number of its strongest frame in the stream. */
  readonly frame: number;
  /** Middle of its frames, by their weight, in frames. */
  readonly middle: number;
  /** That there is a word at all. */
  readonly p: number;
  /** Share of each label in it, the likeliest first. */
  readonly labels: readonly { readonly label: number; readonly share: number }[];
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

/** Frames so near each other are one word, however the ear wavers between labels: no word is so short. */
const oneWordFrames = 2;
/** Frames of one label so near each other are one word said once. */
const sameWordFrames = 3;
/** A word that the ear is sure of is none with this probability, at least: dearer than any cut. */
const leastNone = 5e-4;
/** Labels with a lesser share of a word are not looked at. */
const leastShare = 0.02;

/** The words in a stretch of posteriors, in order. */
export function spikesIn(posteriors: Posteriors, firstFrame: number): Spike[] {
  const { frames, labels, values } = posteriors;
  const spikes: Spike[] = [];
  let group: number[] = [];
  let lastLabel = 0;
  const close = (): void => {
    if (group.length > 0) spikes.push(spikeOf(posteriors, group, firstFrame));
    group = [];
  };
  for (let at = 0; at < frames; at++) {
    const p = 1 - (values[at * labels] ?? 0);
    if (p < leastP) continue;
    let label = 1;
    for (let other = 2; other < labels; other++)
      if ((values[at * labels + other] ?? 0) > (values[at * labels + label] ?? 0)) label = other;
    const away = at - (group.at(-1) ?? Number.NEGATIVE_INFINITY);
    if (away > (label === lastLabel ? sameWordFrames : oneWordFrames)) close();
    group.push(at);
    lastLabel = label;
  }
  close();
  return spikes;
}

function spikeOf({ labels, values }: Posteriors, group: readonly number[], firstFrame: number): Spike {
  const sums = new Float64Array(labels);
  let [weight, middle, frame, p] = [0, 0, group[0] ?? 0, 0];
  for (const at of group) {
    const here = 1 - (values[at * labels] ?? 0);
    weight += here;
    middle += here * (at + 0.5);
    if (here > p) [p, frame] = [here, at];
    for (let label = 1; label < labels; label++) sums[label] = (sums[label] ?? 0) + (values[at * labels + label] ?? 0);
  }
  const shares = [...sums]
    .map((sum, label) => ({ label, share: sum / weight }))
    .filter(({ share }) => share > leastShare)
    .sort((a, b) => b.share - a.share);
  return {
    label: shares[0]?.label ?? 0,
    frame: firstFrame + frame,
    middle: firstFrame + middle / weight,
    p,
    labels: shares,
  };
}

/** How much the ear believes in a word: that there is one, and that it is this. */
export const beliefIn = ({ p, labels }: Spike): number => p * (labels[0]?.share ?? 0);

/** One word, alone, in which it believes less may be an "er" before a call. */
export const weakBelief = 0.6;
/** A first word so weak is an "er" or a cough, if the rest is a sentence without it. */
const weakP = 0.75;

/** A word begins a sentence only if labels that can begin one have so much of it. */
const leastBeginning = 0.3;

/** How many words at the beginning of a sentence are none: the moment of a call is that of what was meant. */
export function weakLead(sentence: readonly Spike[], grammar: Grammar): number {
  const first = sentence[0];
  const rest = sentence.slice(1);
  if (!first || rest.length === 0 || !isWhole(rest, grammar)) return 0;
  // "and forty": no sentence begins so. Other speech may be a part of the number that the ear did not make out.
  const begins = first.labels.filter(({ label }) => label === otherSpeech || (grammar.next[0]?.[label] ?? -1) >= 0);
  if (begins.reduce((sum, { share }) => sum + share, 0) < leastBeginning) return 1;
  if (rest.some(({ p }) => p < first.p)) return 0;
  return first.label === otherSpeech || first.p < weakP ? 1 : 0;
}

function isWhole(words: readonly Spike[], grammar: Grammar): boolean {
  let state = 0;
  for (const { label } of words) state = state < 0 ? state : (grammar.next[state]?.[label] ?? -1);
  return state >= 0 && (grammar.accepts[state] ?? false);
}

/** Two words with their answers so far apart are as likely two calls as one, s. */
const evenS = 0.82;
const perS = 0.07;
/** A cut costs no more than this: where the grammar wants one, there was one. */
const dearestCut = 1.5;
/** No call that another follows at once is shorter, s: a cut after less is dearer by `shortCallCost`. */
const shortestCallS = 0.3;
const shortCallCost = 3.5;
/** "thirty one | thirty three" rather than "thirty | one thirty three". */
const seldomCost = 2.5;
/** Cost of words that make no sentence, each. */
const strayCost = 5;
/** Cost of a sentence that is not complete. */
const openCost = 3;

/**
 * Cuts a row of words into sentences: between words, never within, so that each is one the grammar knows, from labels
 * that the ear gives a share to, and the long gaps fall between them. "thirty one thirty three" is two; so is "one
 * hundred | one hundred and two". What may be "ready" or "twenty" is "twenty" where "six" follows at once.
 *
 * @param seldom whether people seldom say one word right before another within a sentence
 */
export function sentencesOf(
  spikes: readonly Spike[],
  grammar: Grammar,
  seldom: (before: number, label: number) => boolean = () => false,
): Spike[][] {
  const n = spikes.length;
  const least = new Array<number>(n + 1).fill(Number.POSITIVE_INFINITY);
  const from = new Array<number>(n + 1).fill(0);
  least[0] = 0;
  const gapS = (k: number): number => (((spikes[k]?.frame ?? 0) - (spikes[k - 1]?.frame ?? 0)) * FRAME_MS) / 1000;
  const joined = (k: number): number => Math.log1p(Math.exp((gapS(k) - evenS) / perS));
  const parted = (k: number): number => Math.min(dearestCut, Math.log1p(Math.exp((evenS - gapS(k)) / perS)));
  const tooShort = (start: number, end: number): boolean =>
    end < n && ((spikes[end]?.frame ?? 0) - (spikes[start]?.frame ?? 0)) * (FRAME_MS / 1000) < shortestCallS;
  const rare = (k: number): boolean => seldom(spikes[k - 1]?.label ?? 0, spikes[k]?.label ?? 0);
  for (let start = 0; start < n; start++) {
    const before = (least[start] ?? 0) + (start > 0 ? parted(start) : 0);
    /** Cost of each state of the grammar that the words from `start` on may have led to. */
    let states = new Map([[0, 0]]);
    let joins = 0;
    for (let end = start + 1; end <= n; end++) {
      if (end - start > 1) joins += joined(end - 1) + (rare(end - 1) ? seldomCost : 0);
      states = after(states, spikes[end - 1], grammar);
      const [whole, open] = cheapest(states, grammar);
      const short = tooShort(start, end) ? shortCallCost : 0;
      const cost = before + joins + short + Math.min(whole, open + openCost, strayCost * (end - start));
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

function after(states: ReadonlyMap<number, number>, spike: Spike | undefined, grammar: Grammar): Map<number, number> {
  const next = new Map<number, number>();
  const reach = (state: number, cost: number): void => {
    if (state >= 0 && cost < (next.get(state) ?? Number.POSITIVE_INFINITY)) next.set(state, cost);
  };
  // What the ear only half believes in may be none: one word that it answers for twice. A cut comes cheaper than to
  // leave out a word of which it is sure.
  const none = -2 * Math.log(Math.max(leastNone, 1 - (spike?.p ?? 0)));
  for (const [state, cost] of states) {
    reach(state, cost + (grammar.swallows[state] ? 0 : none));
    for (const { label, share } of spike?.labels ?? [])
      reach(grammar.next[state]?.[label] ?? -1, cost - Math.log(share));
  }
  return next;
}

/** Cost of the cheapest whole sentence, and of the cheapest beginning of one. */
function cheapest(states: ReadonlyMap<number, number>, grammar: Grammar): [number, number] {
  let [whole, open] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (const [state, cost] of states) {
    if (grammar.accepts[state] || grammar.swallows[state]) whole = Math.min(whole, cost);
    open = Math.min(open, cost);
  }
  return [whole, open];
}

/** What may still follow a sentence: nothing that is needed, words that would go with it, or words that it lacks. */
export function openness(sentence: readonly Spike[], grammar: Grammar): 'closed' | 'may go on' | 'lacks words' {
  let states = new Map([[0, 0]]);
  for (const spike of sentence) states = after(states, spike, grammar);
  const [whole, open] = cheapest(states, grammar);
  if (open < whole - openCost) return 'lacks words';
  const best = [...states].sort((a, b) => a[1] - b[1])[0]?.[0];
  return best !== undefined && grammar.next[best]?.some((to) => to >= 0) ? 'may go on' : 'closed';
}
