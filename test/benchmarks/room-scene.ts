import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { resample } from '../../src/hearing/ear/features.ts';
import { loudestChannel, readWav } from '../../src/hearing/wav.ts';
import { makeChance, makeSpeech, type Noise, pinkNoise, type Voice } from '../browser/speech-sound.ts';
import { strangers, voices } from './ear-sound.ts';
import type { PersonSound } from './room-people.ts';

/** Rooms with a caller and other people in them, as sound with known moments. Deterministic for a seed. */
export interface Scene {
  readonly samples: Float32Array;
  readonly sampleRate: number;
  readonly calls: readonly SceneCall[];
}

export interface SceneCall {
  readonly text: string;
  readonly onsetS: number;
  readonly endS: number;
}

/** What sounds shortly before a call. */
export type Before = 'tone' | 'clink' | 'cough' | 'er';

/** What somebody calls: in a synthetic voice, or a recording. */
export interface ScenePhrase {
  readonly text: string;
  readonly sound?: PersonSound;
}

export interface SceneOptions {
  readonly voice: Voice;
  readonly seed: number;
  /** From beginning to beginning, s; 0: one call on the heels of the other. */
  readonly everyS: number;
  readonly noise?: Noise;
  readonly snrDb?: number;
  /** How far the talkers are below the caller, dB; none where it is missing. */
  readonly talkersDb?: number;
  readonly before?: Before;
}

export const sceneRate = 16_000;
const levelDb = -26;

/** More of what people say beside an experiment: longer than `strangers`, with numbers in it. */
const gossip = `
he said that we should wait for another ten minutes
our group has poured twenty five of the water already
can somebody tell me what we have to write down here
and then she went home and did not come back until nine
we need two more flasks and one of the long tubes
the other table is at forty two or something like that
did you see the game last night it was three to one
this one has not moved for a whole minute now
i think you have to turn it the other way round
put that down before you break it please
`
  .trim()
  .split('\n');

export const talk: readonly string[] = [...strangers, ...gossip];

/** Who talks in place of the synthetic voices; recordings at `sceneRate`. */
let recordings: readonly Float32Array[] | null = null;
export function useTalkers(sounds: readonly Float32Array[]): void {
  recordings = sounds;
}

/** Recordings in a folder, as talkers. */
export function soundsIn(folder: string): Float32Array[] {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.wav'));
  return files.sort().flatMap((name) => {
    try {
      const sound = readWav(readFileSync(join(folder, name)));
      return [resample(loudestChannel(sound), sound.sampleRate, sceneRate)];
    } catch {
      return [];
    }
  });
}

/** The calls one after the other in their room. */
export async function makeScene(texts: readonly (string | ScenePhrase)[], options: SceneOptions): Promise<Scene> {
  const { voice, seed, everyS } = options;
  const phrases = texts.map((one): ScenePhrase => (typeof one === 'string' ? { text: one } : one));
  const chance = makeChance(seed * 7919 + 17);
  const fromS = 2.2;
  const said = [];
  let atS = fromS;
  for (const phrase of phrases) {
    said.push({ ...phrase, atS, voice });
    // Not on a beat, so that talk and swelling noise meet the calls anywhere.
    if (everyS > 0) atS += everyS >= 2 ? everyS + 0.6 * chance() : everyS;
    else atS += (await lengthOf(phrase, voice)) + 0.02;
  }
  const sound = await makeSpeech(said, {
    voice,
    levelDb,
    noise: options.noise ?? 'pink',
    snrDb: options.snrDb ?? 40,
    seed: seed + 1,
    sampleRate: sceneRate,
    tailS: 1.6,
  });
  const { samples } = sound;
  const caller = phrases.some((phrase) => phrase.sound) ? null : voice;
  if (options.talkersDb !== undefined) mix(samples, await talkOf(samples.length, caller, chance), options.talkersDb);
  if (options.before)
    for (const call of sound.calls) await putBefore(samples, call.onsetS, options.before, voice, chance);
  return { samples, sampleRate: sceneRate, calls: sound.calls };
}

async function lengthOf(phrase: ScenePhrase, voice: Voice): Promise<number> {
  const { calls } = await makeSpeech([{ ...phrase, atS: 0, voice }], { sampleRate: sceneRate, tailS: 0 });
  return calls[0]?.endS ?? 0;
}

/** One person after the other, with the short pauses of talk, at -26 dB while they speak. */
export async function talkOf(length: number, caller: Voice | null, chance: () => number): Promise<Float32Array> {
  const out = new Float32Array(length);
  const others = voices.filter((voice) => voice !== caller);
  const below = (n: number): number => Math.floor(chance() * n);
  let at = Math.floor(0.3 * sceneRate * chance());
  while (at < length) {
    const one = recordings?.length
      ? level(recordings[below(recordings.length)] ?? new Float32Array(1))
      : (
          await makeSpeech(
            [{ text: talk[below(talk.length)] ?? '', atS: 0, voice: others[below(others.length)] ?? 'slt' }],
            {
              sampleRate: sceneRate,
              levelDb,
              tailS: 0,
            },
          )
        ).samples;
    for (let i = 0; i < one.length && at + i < length; i++) out[at + i] = (out[at + i] ?? 0) + (one[i] ?? 0);
    at += one.length + Math.floor((0.08 + 0.35 * chance()) * sceneRate);
  }
  return out;
}

/** A recording at the level of the calls: mean power of what is within 30 dB of its loudest 20 ms. */
function level(samples: Float32Array): Float32Array {
  const hop = sceneRate / 50;
  const powers: number[] = [];
  for (let at = 0; at + hop <= samples.length; at += hop)
    powers.push(samples.subarray(at, at + hop).reduce((sum, v) => sum + v * v, 0) / hop);
  const active = powers.filter((power) => power > Math.max(...powers) / 1000);
  const mean = active.reduce((sum, power) => sum + power, 0) / Math.max(1, active.length);
  const gain = 10 ** (levelDb / 20) / Math.sqrt(mean + 1e-12);
  return samples.map((sample) => sample * gain);
}

function mix(into: Float32Array, other: Float32Array, belowDb: number): void {
  const gain = 10 ** (-belowDb / 20);
  for (let i = 0; i < into.length; i++) into[i] = (into[i] ?? 0) + gain * (other[i] ?? 0);
}

/** A sound that ends 0.03 to 0.4 s before the call begins, about as loud as the voice. */
async function putBefore(
  samples: Float32Array,
  onsetS: number,
  kind: Before,
  voice: Voice,
  chance: () => number,
): Promise<void> {
  const gapS = 0.03 + 0.37 * chance();
  const sound = await beforeSound(kind, voice, chance);
  const gain = 10 ** ((-6 * chance()) / 20);
  const from = Math.round((onsetS - gapS) * sceneRate) - sound.length;
  for (let i = 0; i < sound.length; i++) samples[from + i] = (samples[from + i] ?? 0) + gain * (sound[i] ?? 0);
}

async function beforeSound(kind: Before, voice: Voice, chance: () => number): Promise<Float32Array> {
  const rms = 10 ** (levelDb / 20);
  const t = (i: number): number => i / sceneRate;
  const sine = (hz: number, i: number): number => Math.sin(2 * Math.PI * hz * t(i));
  switch (kind) {
    case 'tone': {
      const hz = 500 + 1500 * chance();
      const length = Math.round((0.08 + 0.12 * chance()) * sceneRate);
      return Float32Array.from({ length }, (_, i) => 1.4 * rms * sine(hz, i) * Math.min(1, i / 80, (length - i) / 80));
    }
    case 'clink': {
      const scale = 0.8 + 0.4 * chance();
      return Float32Array.from(
        { length: Math.round(0.15 * sceneRate) },
        (_, i) =>
          4 *
          rms *
          Math.exp(-t(i) / 0.025) *
          (sine(2100 * scale, i) + 0.7 * sine(4700 * scale, i) + 0.5 * sine(6300, i)),
      );
    }
    case 'cough': {
      // A burst of breath with a rough voice in it, then a weaker one: as coughs are described, no source.
      const hiss = pinkNoise(Math.round(0.3 * sceneRate), chance);
      const power = hiss.reduce((sum, v) => sum + v * v, 0) / hiss.length;
      const pitch = 110 + 80 * chance();
      return hiss.map((v, i) => {
        const shape = Math.exp(-t(i) / 0.06) + (t(i) > 0.16 ? 0.6 * Math.exp(-(t(i) - 0.16) / 0.05) : 0);
        const rough = 1 + 0.8 * Math.sign(sine(pitch, i));
        return Math.min(1, i / 60) * 1.6 * rms * shape * rough * (v / Math.sqrt(power));
      });
    }
    case 'er':
      return (
        await makeSpeech([{ text: 'er', atS: 0, voice }], { sampleRate: sceneRate, levelDb: levelDb - 3, tailS: 0 })
      ).samples;
  }
}
