import { expect, test } from 'vitest';
import { type Cue, cueTones } from '../../src/answering/cues.ts';
import { utterancesIn } from '../../src/commands/hear.ts';
import { makeChance, pinkNoise } from '../browser/speech-sound.ts';

const sampleRate = 48_000;

/** A cue as it comes back into the microphone, with the noise of a room 40 dB below it. */
function echoOf(cue: Cue): Float32Array {
  const sound = pinkNoise(3 * sampleRate, makeChance(3)).map((value) => 0.001 * value);
  for (const { atMs, lengthMs, fromHz, toHz } of cueTones[cue]) {
    const from = Math.round((1 + atMs / 1000) * sampleRate);
    const length = Math.round((lengthMs / 1000) * sampleRate);
    let phase = 0;
    for (let i = 0; i < length; i++) {
      phase += (2 * Math.PI * fromHz * (toHz / fromHz) ** (i / length)) / sampleRate;
      const edge = Math.min(1, i / 384, (length - i) / 384);
      sound[from + i] = (sound[from + i] ?? 0) + 0.1 * edge * Math.sin(phase);
    }
  }
  return sound;
}

test.each(Object.keys(cueTones) as Cue[])('the cue "%s" by itself is not taken for a voice', (cue) => {
  expect(utterancesIn(echoOf(cue), sampleRate)).toEqual([]);
});
