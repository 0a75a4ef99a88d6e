import { expect, test } from 'vitest';
import { withoutDeadSilence } from '../../../src/hearing/ear/dead-silence.ts';
import { makeChance } from '../../browser/speech-sound.ts';

const rms = (samples: Float32Array): number => Math.sqrt(samples.reduce((sum, v) => sum + v * v, 0) / samples.length);

/** 0.2 s of nothing, 0.3 s of noise that falls from 0.1 to `quiet`, 0.2 s of nothing, at 16 kHz. */
function gated(quiet: number): Float32Array {
  const chance = makeChance(3);
  const out = new Float32Array(11_200);
  for (let i = 3200; i < 8000; i++) out[i] = (2 * chance() - 1) * (i < 6400 ? 0.1 : quiet);
  return out;
}

test('sound without dead silence is left alone', () => {
  const sound = gated(0.01).subarray(3200, 8000);
  expect(withoutDeadSilence(sound, 16_000)).toBe(sound);
});

test('dead silence goes on as loud as the quietest moment; the sound between is not touched', () => {
  const sound = gated(0.0005);
  const filled = withoutDeadSilence(sound, 16_000);
  expect(filled.subarray(3200, 8000)).toEqual(sound.subarray(3200, 8000));
  const quiet = 0.0005 / Math.sqrt(3);
  for (const part of [filled.subarray(0, 3200), filled.subarray(8000)]) {
    expect(rms(part)).toBeGreaterThan(0.8 * quiet);
    expect(rms(part)).toBeLessThan(1.2 * quiet);
  }
});

test('the noise stays 40 to 60 dB under the loudest sound', () => {
  const loud = 0.1 / Math.sqrt(3);
  expect(rms(withoutDeadSilence(gated(0.09), 16_000).subarray(0, 3200))).toBeCloseTo(loud * 0.01, 4);
  expect(rms(withoutDeadSilence(gated(0.00002), 16_000).subarray(0, 3200))).toBeCloseTo(loud * 0.001, 5);
});

test('silence alone stays silence', () => {
  expect(Math.max(...withoutDeadSilence(new Float32Array(1600), 16_000))).toBeLessThan(1e-9);
  expect(withoutDeadSilence(new Float32Array(0), 16_000)).toHaveLength(0);
});
