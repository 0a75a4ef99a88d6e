import { real, single } from '../../numerics/nth.ts';

/**
 * Log-mel features of an utterance: 40 bands, 100 frames a second, relative to the level of the utterance. The same
 * numbers as `training/net.py`; `test/hearing/ear/net.test.ts` holds the two together.
 */

export const RATE = 16000;
export const BANDS = 40;
/** Samples between frames: 10 ms. */
export const HOP = 160;
const WINDOW = 400;
const FFT = 512;
const LOW_HZ = 80;
const HIGH_HZ = 7600;
/** The level of an utterance is that of its 8th loudest frame, so that a click of 50 ms does not set it. */
const LOUD_RANK = 8;
/** 60 dB under that level. */
const FLOOR = 1e-6;

/** Zero crossings of the sinc on each side; the stop band of the Hann-windowed filter lies under -44 dB. */
const CROSSINGS = 16;
const MOST_PHASES = 640;

/**
 * Sound at another sample rate (Hann-windowed sinc; band limit at the lower of the two Nyquist rates). The first sample
 * keeps its time.
 *
 * Cost: about 33 to 100 multiplications a sample.
 */
export function resample(samples: Float32Array, from: number, to: number = RATE): Float32Array {
  if (!(from > 0)) throw new RangeError(`sample rate ${from}`);
  if (from === to) return samples;
  const cut = Math.min(1, to / from) * 0.97;
  const reach = Math.ceil(CROSSINGS / cut);
  const taps = 2 * reach + 1;
  const phases = Math.min(MOST_PHASES, to / divisor(Math.round(from), Math.round(to)));
  const table = new Float64Array(phases * taps);
  for (let phase = 0; phase < phases; phase++) {
    let sum = 0;
    for (let tap = 0; tap < taps; tap++) {
      const distance = tap - reach - phase / phases;
      const x = distance * cut;
      const sinc = x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
      const inside = Math.abs(distance) <= reach ? 0.5 + 0.5 * Math.cos((Math.PI * distance) / (reach + 1)) : 0;
      const value = sinc * inside;
      table[phase * taps + tap] = value;
      sum += value;
    }
    for (let tap = 0; tap < taps; tap++) table[phase * taps + tap] = real(table, phase * taps + tap) / sum;
  }
  const length = Math.floor((samples.length * to) / from);
  const out = new Float32Array(length);
  for (let index = 0; index < length; index++) {
    const position = (index * from) / to;
    let whole = Math.floor(position);
    let phase = Math.round((position - whole) * phases);
    if (phase === phases) {
      phase = 0;
      whole++;
    }
    let sum = 0;
    const first = Math.max(0, reach - whole);
    const last = Math.min(taps, samples.length - whole + reach);
    for (let tap = first; tap < last; tap++)
      sum += real(table, phase * taps + tap) * single(samples, whole + tap - reach);
    out[index] = sum;
  }
  return out;
}

function divisor(a: number, b: number): number {
  return b === 0 ? a : divisor(b, a % b);
}

/** Triangles of equal width in mel: for each band the first bin that counts, and the weights from there on. */
function filterBank(): { readonly first: number; readonly weights: Float64Array }[] {
  const mel = (hz: number) => 2595 * Math.log10(1 + hz / 700);
  const low = mel(LOW_HZ);
  const step = (mel(HIGH_HZ) - low) / (BANDS + 1);
  const edge = (index: number) => 700 * (10 ** ((low + index * step) / 2595) - 1);
  return Array.from({ length: BANDS }, (_, band) => {
    const [left, middle, right] = [edge(band), edge(band + 1), edge(band + 2)];
    const start = Math.ceil((left * FFT) / RATE);
    const end = Math.floor((right * FFT) / RATE);
    const weights = new Float64Array(Math.max(0, end - start + 1));
    for (let bin = start; bin <= end; bin++) {
      const hz = (bin * RATE) / FFT;
      const height = Math.min((hz - left) / (middle - left), (right - hz) / (right - middle));
      weights[bin - start] = (Math.max(0, height) * 200) / (right - left);
    }
    return { first: start, weights };
  });
}

const hann = Float64Array.from({ length: WINDOW }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / WINDOW));
const bank = filterBank();
const cosines = Float64Array.from({ length: FFT / 2 }, (_, i) => Math.cos((2 * Math.PI * i) / FFT));
const sines = Float64Array.from({ length: FFT / 2 }, (_, i) => -Math.sin((2 * Math.PI * i) / FFT));
const reversed = Float64Array.from({ length: FFT }, (_, i) => {
  let out = 0;
  for (let bit = 1; bit < FFT; bit <<= 1) out = (out << 1) | (i & bit ? 1 : 0);
  return out;
});

/** In place, radix 2, length FFT, input in bit-reversed order. */
function transform(re: Float64Array, im: Float64Array): void {
  for (let half = 1; half < FFT; half <<= 1) {
    const stride = FFT / (2 * half);
    for (let start = 0; start < FFT; start += 2 * half) {
      for (let k = 0; k < half; k++) {
        const c = real(cosines, k * stride);
        const s = real(sines, k * stride);
        const a = start + k;
        const b = a + half;
        const x = real(re, b) * c - real(im, b) * s;
        const y = real(re, b) * s + real(im, b) * c;
        re[b] = real(re, a) - x;
        im[b] = real(im, a) - y;
        re[a] = real(re, a) + x;
        im[a] = real(im, a) + y;
      }
    }
  }
}

export interface Features {
  readonly frames: number;
  /** Row after row of BANDS numbers. */
  readonly values: Float32Array;
  /** End of the last sound well over the floor, ms from the start. */
  readonly soundEndMs: number;
  /** Power of the 8th loudest frame, to which the values relate; in units of its own. */
  readonly level: number;
}

/** Power per band of frames of sound, row after row, and the sum of each row. */
export interface FramePowers {
  readonly power: Float64Array;
  readonly energies: Float64Array;
}

/**
 * Frames start at multiples of HOP, as many as fit; sound shorter than a window is padded with silence.
 *
 * Cost: 0.02 ms a frame.
 */
export function framePowers(sound: Float32Array): FramePowers {
  const frames = Math.max(1, framesIn(sound.length));
  const power = new Float64Array(frames * BANDS);
  const energies = new Float64Array(frames);
  const re = new Float64Array(FFT);
  const im = new Float64Array(FFT);
  for (let frame = 0; frame < frames; frame++) {
    const at = frame * HOP;
    re.fill(0);
    im.fill(0);
    const inside = Math.min(WINDOW, sound.length - at);
    for (let i = 0; i < inside; i++) re[real(reversed, i)] = single(sound, at + i) * real(hann, i);
    transform(re, im);
    let energy = 0;
    let band = 0;
    for (const { first, weights } of bank) {
      let sum = 0;
      for (let i = 0; i < weights.length; i++)
        sum += real(weights, i) * (real(re, first + i) ** 2 + real(im, first + i) ** 2);
      power[frame * BANDS + band++] = sum;
      energy += sum;
    }
    energies[frame] = energy;
  }
  return { power, energies };
}

/** Whole frames in so many samples. */
export const framesIn = (samples: number): number => Math.floor((samples - WINDOW) / HOP) + 1;

/** Samples from the first of one frame to the last of another. */
export const samplesOf = (frames: number): number => (frames - 1) * HOP + WINDOW;

/**
 * Features of sound at RATE.
 *
 * @param leastLevel where the whole is quieter, the values relate to this level (`Features.level` of other sound): in a
 *   stretch without the caller other people then stay as far below as they are
 */
export function features(sound: Float32Array, leastLevel = 0): Features {
  return featuresOf(framePowers(sound), leastLevel);
}

/** The same from the powers of the frames. */
export function featuresOf({ power, energies }: FramePowers, leastLevel = 0): Features {
  const frames = energies.length;
  const sorted = energies.slice().sort();
  const level = Math.max(leastLevel, real(sorted, Math.max(0, frames - LOUD_RANK)) / BANDS + 1e-12);
  const values = new Float32Array(frames * BANDS);
  for (let i = 0; i < values.length; i++) values[i] = (Math.log(real(power, i) / level + FLOOR) + 5) / 4;
  // Sound: within 30 dB of the level, and 6 dB over the quietest tenth.
  const least = Math.max(
    real(sorted, Math.max(0, frames - LOUD_RANK)) / 1000,
    4 * real(sorted, Math.floor(frames / 10)),
  );
  const last = energies.findLastIndex((energy) => energy > least);
  return { frames, values, soundEndMs: ((last * HOP + WINDOW / 2) * 1000) / RATE, level };
}
