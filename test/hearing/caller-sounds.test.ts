import { expect, test, vi } from 'vitest';
import { makeCallerSounds } from '../../src/hearing/caller-sounds.ts';
import { likelySpeech } from '../../src/hearing/onset.ts';
import { callsEvery, makeSpeech, type SpokenCall } from '../browser/speech-sound.ts';

vi.setConfig({ testTimeout: 60_000 });

const sampleRate = 16_000;
const talk = [
  'he said that we should wait for another ten minutes',
  'our group has poured twenty five of the water already',
  'i think you have to turn it the other way round',
];

/** Calls of one voice; two others talk all the time from the third call on, so much quieter. */
async function roomWith(belowDb: number, texts: readonly string[]) {
  const calls: SpokenCall[] = texts.map((text, k) => ({ text, atS: 1.5 + 2.6 * k, voice: 'rms' }));
  const sound = await makeSpeech(calls, { sampleRate, levelDb: -26, tailS: 2 });
  const endS = sound.samples.length / sampleRate - 4;
  const said: SpokenCall[] = [];
  for (let k = 0, atS = 6; atS < endS; k++, atS += 2.9)
    said.push({ text: talk[k % talk.length] ?? '', voice: k % 2 ? 'slt' : 'awb', atS });
  const others = await makeSpeech(said, { sampleRate, levelDb: -26 - belowDb, tailS: 8 });
  return { samples: sound.samples.map((sample, i) => sample + (others.samples[i] ?? 0)), calls: sound.calls };
}

function marksIn(samples: Float32Array): { onsetS: number; uOnsetS: number }[] {
  const finder = makeCallerSounds(sampleRate);
  const events = [];
  for (let at = 0; at < samples.length; at += 128) events.push(...finder.push(samples.subarray(at, at + 128)));
  events.push(...finder.finish());
  return events.flatMap((event) =>
    event.kind === 'utterance' && event.utterance.speech >= likelySpeech
      ? [{ onsetS: event.utterance.onsetFrame / sampleRate, uOnsetS: event.utterance.uOnsetS }]
      : [],
  );
}

const texts = ['thirty one', 'thirty three', 'thirty five', 'thirty seven', 'thirty nine', 'forty one', 'forty three'];

test.for([25, 15, 12])(
  'by sound alone, others who talk %i dB below the caller are neither marks nor in the way',
  async (belowDb) => {
    const { samples, calls } = await roomWith(belowDb, texts);
    const marks = marksIn(samples);
    expect(marks).toHaveLength(calls.length);
    for (const [k, { onsetS, uOnsetS }] of marks.entries())
      expect(Math.abs(onsetS - (calls[k]?.onsetS ?? 0))).toBeLessThan(Math.max(0.06, 3 * uOnsetS));
  },
);

test('in a quiet room the beginnings are those of the onset finder', async () => {
  const { samples, calls } = await roomWith(80, texts);
  const marks = marksIn(samples);
  expect(marks).toHaveLength(calls.length);
  for (const [k, { onsetS }] of marks.entries()) expect(Math.abs(onsetS - (calls[k]?.onsetS ?? 0))).toBeLessThan(0.04);
});

// Seen in Chromium: the worklet gets some blocks of nothing before the sound of a microphone that opens.
test.for([
  [0.015, 0.2],
  [0.036, 1.1],
  [0.044, 1.1],
  [0.05, 0],
])(
  'a microphone that is dead for its first %f s, %f s into the noise, shifts no mark',
  async ([deadS = 0, fromS = 0]) => {
    const sound = await makeSpeech(callsEvery(2.2, texts.slice(0, 5)), {
      sampleRate,
      noise: 'pink',
      snrDb: 10,
      tailS: 2,
    });
    const dead = Math.round(deadS * sampleRate);
    const from = Math.round(fromS * sampleRate);
    const samples = new Float32Array(dead + sound.samples.length - from);
    samples.set(sound.samples.subarray(from), dead);
    const marks = marksIn(samples);
    expect(marks).toHaveLength(5);
    for (const [k, { onsetS, uOnsetS }] of marks.entries()) {
      const trueS = (sound.calls[k]?.onsetS ?? 0) + (dead - from) / sampleRate;
      expect(Math.abs(onsetS - trueS)).toBeLessThan(0.08);
      expect(uOnsetS).toBeLessThan(0.06);
    }
  },
);
