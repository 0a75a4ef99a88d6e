import { expect, test, vi } from 'vitest';
import { callsIn } from '../../src/hearing/ear/hear-samples.ts';
import { makeScene, sceneRate, talkOf } from '../benchmarks/room-scene.ts';
import { makeChance, speak } from '../browser/speech-sound.ts';

vi.setConfig({ testTimeout: 60_000 });

// Each of these was too early by more than it stated, or hardly heard for the "er" before it.
test.for([
  [1, 'forty', 'eighty'],
  [2, 'eighty', 'forty two'],
  [3, 'eighty five', 'forty'],
] as const)('an "er" before a call is no part of it, or what is stated reaches over it (seed %i)', async (given) => {
  const [seed, ...texts] = given;
  const scene = await makeScene(texts, { before: 'er', snrDb: 30, voice: 'slt', seed, everyS: 2.9 });
  const found = callsIn(scene.samples, sceneRate);
  expect(found).toHaveLength(texts.length);
  for (const [k, { onsetS, uOnsetS }] of found.entries())
    expect(Math.abs(onsetS - (scene.calls[k]?.onsetS ?? 0))).toBeLessThan(Math.max(0.04, 2 * uOnsetS));
  for (const [k, { answer }] of found.entries())
    if (texts[k]?.startsWith('forty')) expect(answer.best[0]?.p).toBeGreaterThan(0.8);
});

// Two numbers without a pause were one sentence in which one of them counted as no word.
test.for([
  [101, 'twelve', 'fourteen'],
  [104, 'thirty one', 'thirty three'],
] as const)('numbers without a pause between them are calls of their own (seed %i)', async (given) => {
  const [seed, ...texts] = given;
  const scene = await makeScene(texts, { snrDb: 25, voice: 'slt', seed, everyS: 0 });
  const found = callsIn(scene.samples, sceneRate);
  expect(found.map(({ answer }) => answer.best[0]?.text)).toEqual(texts);
  for (const [k, { onsetS }] of found.entries())
    expect(Math.abs(onsetS - (scene.calls[k]?.onsetS ?? 0))).toBeLessThan(0.15);
});

// The ear was sure of a number and not of which, the loudness heard no voice in the water: two of these were dropped.
test('numbers in swirling water 3 dB below the voice are all calls', async () => {
  const texts = ['twelve', 'fourteen', 'sixteen', 'eighteen', 'twenty'];
  const scene = await makeScene(texts, { noise: 'swirl', snrDb: 3, voice: 'slt', seed: 101, everyS: 3.2 });
  const found = callsIn(scene.samples, sceneRate);
  for (const { onsetS, endS } of scene.calls)
    expect(found.filter((one) => one.onsetS < endS && one.endS > onsetS)).toHaveLength(1);
});

// The first of these was taken for an "er", and the second for the whole number, plainly.
test.for([
  ['rms', 'eight', 'three'],
  ['slt', 'two', 'four'],
] as const)('the last of two digits said apart is not plainly the number (%s: %s %s)', async ([voice, ...digits]) => {
  const parts = await Promise.all(digits.map((digit) => speak(digit, voice)));
  const [first, second] = parts.map(({ samples }) => samples);
  const sampleRate = parts[0]?.sampleRate ?? sceneRate;
  const gap = new Float32Array(Math.round(0.15 * sampleRate));
  const samples = Float32Array.from([...(first ?? []), ...gap, ...(second ?? [])]);
  const text = digits.join(' ');
  const said = { text, sound: { samples, sampleRate, leadS: 0, uLeadS: 0.003 } };
  const scene = await makeScene([said], { snrDb: 30, voice, seed: 5, everyS: 3.2 });
  const [call] = callsIn(scene.samples, sceneRate);
  const [best] = call?.answer.best ?? [];
  expect(best?.text === text || (best?.p ?? 1) < 0.5).toBe(true);
  expect(call?.answer.best.map((one) => one.text)).toContain(text);
});

test('people who talk 8 dB below the caller count for less, and the caller does not', async () => {
  const texts = ['thirty one', 'thirty three', 'thirty five'];
  const scene = await makeScene(texts, { snrDb: 30, voice: 'rms', seed: 7, everyS: 2.4 });
  const samples = new Float32Array(scene.samples.length + 20 * sceneRate);
  samples.set(scene.samples);
  const others = await talkOf(20 * sceneRate, null, makeChance(7));
  for (const [i, other] of others.entries()) samples[scene.samples.length + i] = 0.4 * other;
  const endS = scene.samples.length / sceneRate;
  const found = callsIn(samples, sceneRate);
  const talked = found.filter(({ onsetS }) => onsetS > endS);
  expect(found.filter(({ onsetS }) => onsetS < endS).map(({ nearness }) => nearness)).toEqual([null, null, null]);
  expect(talked.length).toBeGreaterThan(0);
  expect(talked.filter(({ nearness }) => nearness === null)).toEqual([]);
});
