import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { RATE, resample } from '../../src/hearing/ear/features.ts';
import { cardinal, spelled } from './ear-sound.ts';
import { type Known, peopleFolder, recordings, sayTime, singleDigits, soundOf } from './people-recordings.ts';

/**
 * People as callers and as talkers in a room: those who had no part in the ear's training. Their numbers are put
 * together from recordings of single words. Where a call begins is read off the clean recording, by its loudness alone.
 */
export interface PersonCalling {
  readonly name: string;
  /** In the words in which this person has it; null: not all of them were recorded. */
  words(value: number): string | null;
  say(value: number, take: number): PersonSound;
}

export interface PersonSound {
  readonly samples: Float32Array;
  readonly sampleRate: number;
  /** The first sound comes so long after the beginning of the samples, s. */
  readonly leadS: number;
  /** Standard uncertainty of that, s. */
  readonly uLeadS: number;
}

/** Silence between two words of a number, s. */
const gapS = { spelled: 0.12, joined: 0.03 };

/** The first sound stands out at one of these levels under the loudest 10 ms, dB: where, says how uncertain it is. */
const edgesDb = [24, 32, 40] as const;
/** The edge is where the sound first passes a level that it mostly keeps for the next 100 steps of 1 ms. */
const keeps = 60;
/** A recording's own noise is taken to be this part of its quietest moments, and an edge stands so much over it, dB. */
const overNoiseDb = 6;

/**
 * Where the sound of a clean recording begins and ends, s, and how uncertain the beginning is: the levels of `edgesDb`
 * put it at several moments, and it lies anywhere among them.
 */
export function edgesOf(samples: Float32Array, rate: number): { fromS: number; uFromS: number; toS: number } {
  const hop = Math.round(rate * 0.001);
  const power = (from: number, length: number): number =>
    samples.subarray(from, from + length).reduce((sum, v) => sum + v * v, 0) / length;
  const powers: number[] = [];
  let peak = 0;
  for (let at = 0; at + hop * 10 <= samples.length; at += hop) {
    powers.push(power(at, hop * 5));
    peak = Math.max(peak, power(at, hop * 10));
  }
  const quietest = [...powers].sort((a, b) => a - b)[Math.floor(powers.length / 20)] ?? 0;
  const firsts: number[] = [];
  let last = powers.length;
  for (const belowDb of edgesDb) {
    const least = Math.max(peak * 10 ** (-belowDb / 10), quietest * 10 ** (overNoiseDb / 10));
    const first = powers.findIndex(
      (one, at) => one > least && powers.slice(at, at + 100).filter((later) => later > least).length >= keeps,
    );
    if (first >= 0) firsts.push(first);
    last = powers.findLastIndex((one) => one > least);
  }
  const middle = firsts[1] ?? firsts[0] ?? 0;
  const wide = Math.max(...firsts, middle) - Math.min(...firsts, middle);
  return { fromS: middle / 1000, uFromS: Math.hypot(wide / 1000 / Math.sqrt(12), 0.003), toS: (last + 5) / 1000 };
}

function personCalling(name: string, clips: readonly Known[], words: (value: number) => string | null): PersonCalling {
  const byWord = new Map<string, Known[]>();
  for (const clip of clips) byWord.set(clip.word, [...(byWord.get(clip.word) ?? []), clip]);
  const has = (text: string | null): text is string => text?.split(' ').every((word) => byWord.has(word)) ?? false;
  return {
    name,
    words: (value) => {
      const text = words(value);
      return has(text) ? text : null;
    },
    say(value, take) {
      const text = words(value);
      if (!has(text)) throw new Error(`no recording of ${value} by ${name}`);
      const parts = text.split(' ').map((word, at) => {
        const all = byWord.get(word) ?? [];
        const clip = all[(take + 7 * at) % all.length];
        if (!clip) throw new Error(`no recording of ${word} by ${name}`);
        return { clip, edges: edgesOf(clip.samples, clip.rate) };
      });
      const rate = parts[0]?.clip.rate ?? RATE;
      const gap = Math.round(rate * (/ty /.test(text) ? gapS.joined : gapS.spelled));
      const sounds = parts.map(({ clip, edges }, at) =>
        // What comes before the first sound stays, so that a faint beginning is not cut off.
        clip.samples.subarray(at === 0 ? 0 : Math.round(edges.fromS * rate), Math.round(edges.toS * rate)),
      );
      const length = sounds.reduce((sum, one) => sum + one.length, gap * (sounds.length - 1));
      const samples = new Float32Array(length);
      let from = 0;
      for (const sound of sounds) {
        samples.set(sound, from);
        from += sound.length + gap;
      }
      const first = parts[0]?.edges;
      return { samples, sampleRate: rate, leadS: first?.fromS ?? 0, uLeadS: first?.uFromS ?? 0 };
    },
  };
}

/** Those who are at hand: one man's digits, said one by one, and one man's 10 to 20, 30, 40, 50 with ones after them. */
export function peopleCalling(): PersonCalling[] {
  const digits = existsSync(peopleFolder) ? singleDigits() : [];
  const numbers = sayTime();
  return [
    ...(digits.length > 0
      ? [personCalling('digits', digits, (value) => (value > 9 && value < 100 ? spelled(value) : null))]
      : []),
    ...(numbers.length > 0
      ? [personCalling('numbers', numbers, (value) => (value > 9 && value < 100 ? cardinal(value) : null))]
      : []),
  ];
}

/** Sentences read by the four people left out; none where they, or ffmpeg, are missing. */
export function peopleTalking(): Float32Array[] {
  if (!existsSync(peopleFolder)) return [];
  return recordings('read-sentences').flatMap(({ file }) => {
    const sound = soundOf(join(peopleFolder, 'read-sentences', file));
    return sound ? [resample(sound, RATE)] : [];
  });
}
