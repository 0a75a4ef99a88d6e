import { makeChance, pinkNoise } from '../browser/speech-sound.ts';

/** Sounds that are no speech, made up here, laid over noise. */
export const rate = 16_000;

export type Sound = (seconds: number) => number;

/** `lengthS` of pink noise at a level (dB of full scale), with sounds added. */
export function room(
  lengthS: number,
  noiseDb: number,
  sounds: readonly { readonly atS: number; readonly lengthS: number; readonly sound: Sound }[] = [],
  seed = 1,
): Float32Array {
  const track = new Float32Array(Math.round(lengthS * rate));
  const noise = pinkNoise(track.length, makeChance(seed));
  let power = 0;
  for (const sample of noise) power += sample * sample;
  const gain = 10 ** (noiseDb / 20) / Math.sqrt(power / noise.length);
  for (let index = 0; index < track.length; index++) track[index] = (noise[index] ?? 0) * gain;
  for (const { atS, lengthS: length, sound } of sounds)
    for (let index = 0; index < length * rate; index++) {
      const at = Math.round(atS * rate) + index;
      track[at] = (track[at] ?? 0) + sound(index / rate);
    }
  return track;
}

export const tone =
  (hz: number, level = 0.1): Sound =>
  (s) =>
    level * Math.sin(2 * Math.PI * hz * s);

export const hum: Sound = (s) =>
  [1, 2, 3, 4, 5, 6, 8, 10].reduce((sum, n) => sum + (0.05 / n) * Math.sin(2 * Math.PI * 100 * n * s), 0);

export const click: Sound = (s) => 0.8 * Math.exp(-s / 0.001);

export const drip: Sound = (s) => 0.2 * Math.exp(-s / 0.012) * Math.sin(2 * Math.PI * (900 + 6000 * s) * s);
