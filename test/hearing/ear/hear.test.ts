import { expect, test } from 'vitest';
import { hearSamples } from '../../../src/hearing/ear/hear-samples.ts';
import { makeChance, makeSpeech, pinkNoise, type Voice } from '../../browser/speech-sound.ts';
import { the } from '../../the.ts';

/** One utterance of a voice that the ear was not trained on, cut as the onset finder cuts it. */
async function utterance(text: string, voice: Voice, snrDb?: number) {
  const noise = snrDb === undefined ? ({ noise: 'none' } as const) : ({ noise: 'pink', snrDb } as const);
  return makeSpeech([{ text, atS: 0.25, voice }], { ...noise, tailS: 0.2, seed: 3, sampleRate: 48_000 });
}

test.each<[Voice, string]>([
  ['slt', 'twenty five'],
  ['slt', 'twenty five point five'],
  ['rms', 'one hundred and four'],
  ['rms', 'correction thirty'],
  ['kal', 'eight'],
  ['kal', 'fifteen'],
  ['kal', 'fifty'],
  ['rms', 'mark'],
  ['awb', 'start run one'],
  ['slt', 'swirl stopped'],
  ['slt', 'pressure nine eight five'],
  ['awb', 'pressure one oh one three'],
])('%s saying "%s" is understood as just that', async (voice, text) => {
  const { samples, sampleRate } = await utterance(text, voice);
  const answer = hearSamples(samples, sampleRate);
  expect(answer.best[0]?.text).toBe(text);
  expect(the(answer.best[0]).p).toBeGreaterThan(0.5);
  expect(answer.speech).toBeGreaterThan(0.9);
});

test('the same call over a telephone line of 8 kHz is understood', async () => {
  const { samples, sampleRate } = await utterance('twenty five', 'slt');
  const line = samples.filter((_, i) => i % (sampleRate / 8000) === 0);
  expect(hearSamples(line, 8000).best[0]?.text).toBe('twenty five');
});

test('"mils" and "millilitres" are both written millilitres', async () => {
  for (const text of ['thirty milliliters', 'thirty mils']) {
    const { samples, sampleRate } = await utterance(text, 'slt');
    expect(hearSamples(samples, sampleRate).best[0]?.text).toBe('thirty millilitres');
  }
});

test('a sentence in the room that holds a number is not a reading', async () => {
  const { samples, sampleRate } = await utterance('i have twenty five samples to do', 'slt');
  const answer = hearSamples(samples, sampleRate);
  expect(answer.best[0]?.p ?? 0).toBeLessThan(0.5);
  expect(answer.other).toBeGreaterThan(0.5);
  expect(answer.speech).toBeGreaterThan(0.9);
});

test('noise and silence are not speech', () => {
  const noise = pinkNoise(16000, makeChance(5)).map((sample) => sample * 0.05);
  expect(hearSamples(noise, 16000).speech).toBeLessThan(0.1);
  expect(hearSamples(new Float32Array(16000), 16000).speech).toBeLessThan(0.1);
});

test('probabilities of sentences, of other speech and of silence make one', async () => {
  const { samples, sampleRate } = await utterance('forty four', 'awb', 5);
  const { best, other, speech } = hearSamples(samples, sampleRate);
  const sum = best.reduce((total, { p }) => total + p, other + 1 - speech);
  expect(sum).toBeCloseTo(1, 2);
});

test('the last word ends within 100 ms of where the sound ends', async () => {
  const { samples, sampleRate, calls } = await utterance('twenty five point five', 'slt');
  const words = the(hearSamples(samples, sampleRate).best[0]).words;
  expect(words.map(({ word }) => word)).toEqual(['twenty', 'five', 'point', 'five']);
  expect(Math.abs(the(words[3]).endMs - the(calls[0]).endS * 1000)).toBeLessThan(100);
  for (let i = 1; i < words.length; i++) expect(the(words[i]).endMs).toBeGreaterThan(the(words[i - 1]).endMs);
});
