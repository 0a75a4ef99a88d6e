import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { BANDS, features, resample } from '../../../src/hearing/ear/features.ts';
import { shippedNet } from '../../../src/hearing/ear/hear-samples.ts';
import { NotAnEar, posteriors, readNet } from '../../../src/hearing/ear/net.ts';
import { the } from '../../the.ts';

/** What `training/export.py` computed with PyTorch for `referenceSound()` and the shipped weights. */
const reference = JSON.parse(readFileSync(new URL('./reference.json', import.meta.url), 'utf8')) as {
  frames: number;
  at: number[];
  features: number[][];
  steps: number;
  posteriors: [step: number, label: number, p: number][];
};

/** The same sound as `reference_sound` in export.py: gliding tones under a swell, and the noise of a small generator. */
function referenceSound(): Float32Array {
  let seed = 12345n;
  return Float32Array.from({ length: 14400 }, (_, i) => {
    const t = i / 16000;
    seed = (seed * 1103515245n + 12345n) % 2147483648n;
    const swell = Math.max(0, Math.sin(2 * Math.PI * 2.2 * t)) ** 2;
    const tones =
      Math.sin(2 * Math.PI * (140 * t + 30 * t * t)) +
      0.5 * Math.sin(2 * Math.PI * (700 * t + 250 * t * t)) +
      0.25 * Math.sin(2 * Math.PI * 2300 * t);
    return 0.2 * swell * tones + 0.004 * (Number(seed) / 1073741824 - 1);
  });
}

test('features are those of the training code', () => {
  const made = features(referenceSound());
  expect(made.frames).toBe(reference.frames);
  for (const [row, frame] of reference.at.entries())
    for (let band = 0; band < BANDS; band++)
      expect(made.values[frame * BANDS + band]).toBeCloseTo(the(the(reference.features[row])[band]), 3);
});

test('the net in typed arrays gives the probabilities that PyTorch gives', () => {
  const made = posteriors(shippedNet(), features(referenceSound()));
  expect(made.frames).toBe(reference.steps);
  for (const [step, label, p] of reference.posteriors)
    expect(made.values[step * made.labels + label]).toBeCloseTo(p, 3);
});

test('each row of probabilities sums to one', () => {
  const made = posteriors(shippedNet(), features(referenceSound()));
  for (let frame = 0; frame < made.frames; frame++) {
    const row = made.values.subarray(frame * made.labels, (frame + 1) * made.labels);
    expect(row.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 5);
  }
});

test('sound too short for one frame still has features and probabilities', () => {
  const made = posteriors(shippedNet(), features(new Float32Array(10)));
  expect(made.frames).toBe(1);
  expect([...made.values].every(Number.isFinite)).toBe(true);
});

test('how loud the speech is recorded does not change its features', () => {
  const sound = referenceSound();
  const loud = features(sound);
  const quiet = features(sound.map((sample) => sample * 0.01));
  for (const [i, value] of loud.values.entries()) expect(quiet.values[i]).toBeCloseTo(value, 3);
});

test('a tone keeps its level and its time through resampling, and nothing appears above the band', () => {
  for (const rate of [8000, 11025, 22050, 44100, 48000]) {
    const tone = Float32Array.from({ length: rate / 2 }, (_, i) => Math.sin((2 * Math.PI * 1000 * i) / rate));
    const made = resample(tone, rate, 16000);
    expect(Math.abs(made.length - 8000)).toBeLessThanOrEqual(1);
    for (let i = 400; i < 7600; i++) expect(made[i]).toBeCloseTo(Math.sin((2 * Math.PI * 1000 * i) / 16000), 2);
  }
  const high = Float32Array.from({ length: 24000 }, (_, i) => Math.sin((2 * Math.PI * 11000 * i) / 48000));
  const rest = resample(high, 48000, 16000).subarray(400, 7600);
  expect(Math.max(...rest)).toBeLessThan(0.01);
});

test('bytes that are not the weights, or cut short, are refused by name', () => {
  expect(() => readNet(new Uint8Array(100))).toThrow(NotAnEar);
  const whole = readFileSync(new URL('../../../src/hearing/ear/ear.bin', import.meta.url));
  expect(() => readNet(whole.subarray(0, whole.length - 1000))).toThrow(NotAnEar);
});

test('the weights stay under a megabyte and the net under half a million parameters', () => {
  const net = shippedNet();
  let parameters = net.stem.values.length + net.widenDepth.values.length + net.widen.values.length;
  parameters += net.head.values.length + net.headBias.length + net.stemBias.length + net.widenBias.length;
  for (const block of net.blocks)
    for (const part of [block.depth, block.point, block.down, block.up]) parameters += part.values.length + part.rows;
  expect(parameters).toBeLessThanOrEqual(500_000);
  expect(readFileSync(new URL('../../../src/hearing/ear/ear.bin', import.meta.url)).length).toBeLessThan(1_000_000);
});
