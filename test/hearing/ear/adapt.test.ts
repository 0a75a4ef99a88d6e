import fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import {
  fits,
  type Held,
  type KnownCall,
  learnVoice,
  surelyHelps,
  UnknownWords,
  withVoice,
} from '../../../src/hearing/ear/adapt.ts';
import { decode } from '../../../src/hearing/ear/decode.ts';
import type { Grammar } from '../../../src/hearing/ear/grammar.ts';
import { shippedNet } from '../../../src/hearing/ear/hear-samples.ts';
import { outsideSlope } from '../../../src/hearing/ear/last-layer.ts';
import { recognise } from '../../../src/hearing/ear/recognise.ts';
import { makeSpeech } from '../../browser/speech-sound.ts';
import { the } from '../../the.ts';

const labels = ['<blank>', 'a', 'b'];

/** The one sentence "a b". */
const onlyAB: Grammar = {
  next: [Int16Array.of(-1, 1, -1), Int16Array.of(-1, -1, 2), Int16Array.of(-1, -1, -1)],
  accepts: [false, false, true],
  swallows: [false, false, false],
};

function softmax(inputs: readonly number[], frames: number): Float32Array {
  const out = new Float32Array(inputs.length);
  for (let frame = 0; frame < frames; frame++) {
    const row = inputs.slice(frame * 3, frame * 3 + 3).map(Math.exp);
    const total = row.reduce((sum, value) => sum + value);
    for (const [k, value] of row.entries()) out[frame * 3 + k] = value / total;
  }
  return out;
}

test('the slope of the learning is that of the probability of the words', () => {
  const input = fc.array(fc.double({ min: -2, max: 2, noNaN: true }), { minLength: 12, maxLength: 12 });
  fc.assert(
    fc.property(input, (inputs) => {
      const cost = (x: readonly number[]) =>
        -Math.log(the(decode({ frames: 4, labels: 3, values: softmax(x, 4) }, onlyAB, labels).best[0]).p);
      const slope = the(outsideSlope(softmax(inputs, 4), 4, 3, [1, 2]));
      for (const i of inputs.keys()) {
        const h = 1e-2;
        const moved = (by: number) => cost(inputs.map((value, j) => (j === i ? value + by : value)));
        expect(slope[i]).toBeCloseTo((moved(h) - moved(-h)) / (2 * h), 2);
      }
    }),
    { numRuns: 40 },
  );
});

test('sound too short for the words has no slope', () => {
  expect(outsideSlope(softmax([0, 0, 0], 1), 1, 3, [1, 2])).toBeNull();
});

const said = [
  'six',
  'sixteen',
  'sixty',
  'nine',
  'five',
  'fifty five',
  'forty four',
  'three',
  'one',
  'mark',
  'thirteen',
  'seventy',
];
const calls: KnownCall[] = [];

beforeAll(async () => {
  for (const [i, text] of [...said, ...said].entries()) {
    const options = { noise: 'pink', snrDb: 0, tailS: 0.2, seed: i, sampleRate: 16_000 } as const;
    const sound = await makeSpeech([{ text, atS: 0.25, voice: 'awb' }], options);
    calls.push({ text, samples: sound.samples, rate: sound.sampleRate });
  }
}, 120_000);

test('in heavy noise calls held back gain, but words not said would lose: the voice is not used', () => {
  const voice = learnVoice(shippedNet(), calls);
  expect(voice.before.of).toBe(calls.length);
  expect(voice.after.of).toBe(calls.length);
  expect(voice.after.right).toBeGreaterThanOrEqual(voice.before.right);
  expect(voice.after.p).toBeGreaterThan(voice.before.p);
  expect(voice.helps).toBe(false);
  const used = withVoice(shippedNet(), { ...voice, helps: true });
  expect(used.head.values).not.toEqual(shippedNet().head.values);
}, 120_000);

/** Calls with the probability of their words before and after, all right unless that of the words is under 0.3. */
const heard = (...changes: readonly (readonly [number, number])[]): Held[] =>
  changes.map(([own, learnt], i) => ({
    i,
    own: { right: own >= 0.3, p: own },
    learnt: { right: learnt >= 0.3, p: learnt },
  }));
const steady = [0.7, 0.75, 0.8, 0.65, 0.72, 0.78, 0.82, 0.7].map((p) => [0.6, p] as const);

test('a voice is used for a gain that is more than luck and costs other words nothing', () => {
  const same = heard([0.6, 0.6], [0.7, 0.71], [0.9, 0.89]);
  expect(surelyHelps(heard(...steady), same)).toBe(true);
  // One call that gained much, the others nothing: luck (t = 1 on 7 degrees of freedom, one-sided p = 0.175).
  expect(surelyHelps(heard([0.3, 0.99], ...steady.slice(1).map(() => [0.6, 0.6] as const)), same)).toBe(false);
  // One call fewer is right.
  expect(surelyHelps(heard([0.3, 0.29], ...steady), same)).toBe(false);
  // Words that were not learnt lose: a tenth of their probability, or one right answer.
  expect(surelyHelps(heard(...steady), heard([0.6, 0.54], [0.7, 0.63]))).toBe(false);
  expect(surelyHelps(heard(...steady), heard([0.31, 0.29], [0.5, 0.9]))).toBe(false);
  expect(surelyHelps(heard([0.6, 0.8], [0.6, 0.8]), same)).toBe(false);
});

test('calls under wrong words do not help, and the net then stays as it is', () => {
  const wrong = calls.map((call, i) => ({ ...call, text: the(calls[(i * 7 + 5) % calls.length]).text }));
  const voice = learnVoice(shippedNet(), wrong);
  expect(voice.after.p).toBeLessThan(voice.before.p);
  expect(voice.helps).toBe(false);
  expect(withVoice(shippedNet(), voice)).toBe(shippedNet());
}, 120_000);

test('words that were not said in a run do not pay for those that were', async () => {
  // A run of thirteen numbers by a voice of the held-out engine; then other sentences of the same voice, in more noise.
  const utter = (text: string, snrDb: number, seed: number) =>
    makeSpeech([{ text, atS: 0.25, voice: 'rms' }], { noise: 'pink', snrDb, tailS: 0.2, seed, sampleRate: 16_000 });
  const run = 'ten|twelve|fourteen|sixteen|eighteen|twenty|twenty two|twenty four|twenty six|twenty eight|thirty';
  const others = 'five|forty five|mark|ninety|disregard|seven|fifty|eight|forty|nine|one hundred|spill';
  const lessons: KnownCall[] = [];
  for (const [i, text] of run.split('|').entries()) {
    const { samples, sampleRate: rate } = await utter(text, 12, 40 + i);
    lessons.push({ text, samples, rate });
  }
  const net = shippedNet();
  const learnt = { ...net, ...withVoice(net, { ...learnVoice(net, lessons), helps: true }) };
  let [before, after] = [0, 0];
  for (const [i, text] of others.split('|').entries()) {
    const { samples, sampleRate } = await utter(text, 5, 80 + i);
    const pOf = (ear: typeof net) => recognise(ear, samples, sampleRate).best.find((one) => one.text === text)?.p ?? 0;
    before += pOf(net) / 12;
    after += pOf(learnt) / 12;
  }
  expect(after).toBeGreaterThan(before - 0.02);
}, 120_000);

test('no calls, no gain', () => {
  expect(learnVoice(shippedNet(), []).helps).toBe(false);
});

test('words that the ear does not know are refused by name', () => {
  expect(() => learnVoice(shippedNet(), [{ text: 'bananas', samples: new Float32Array(8000), rate: 16000 }])).toThrow(
    UnknownWords,
  );
});

test('a voice learnt with other weights is known for it and refused, even where the layer is as long', () => {
  const voice = { ...learnVoice(shippedNet(), []), helps: true };
  expect(fits(shippedNet(), voice)).toBe(true);
  const net = shippedNet();
  const other = {
    ...net,
    head: { ...net.head, values: net.head.values.map((value, i) => (i === 7 ? value + 1 : value)) },
  };
  expect(fits(other, voice)).toBe(false);
  expect(() => withVoice(other, voice)).toThrow(RangeError);
  expect(() => withVoice(net, { ...voice, head: new Float32Array(3) })).toThrow(RangeError);
});

test('learning tells how far it is, up to the whole', () => {
  const parts: number[] = [];
  learnVoice(shippedNet(), [], 'everything', (part) => parts.push(part));
  expect(parts).toEqual([...parts].sort((a, b) => a - b));
  expect(parts.at(-1)).toBe(1);
});
