import fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import {
  fits,
  type KnownCall,
  learnVoice,
  outsideSlope,
  UnknownWords,
  withVoice,
} from '../../../src/hearing/ear/adapt.ts';
import { decode } from '../../../src/hearing/ear/decode.ts';
import type { Grammar } from '../../../src/hearing/ear/grammar.ts';
import { shippedNet } from '../../../src/hearing/ear/hear-samples.ts';
import { makeSpeech } from '../../browser/speech-sound.ts';

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
        -Math.log(decode({ frames: 4, labels: 3, values: softmax(x, 4) }, onlyAB, labels).best[0]!.p);
      const slope = outsideSlope(softmax(inputs, 4), 4, 3, [1, 2])!;
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
}, 60_000);

test('a voice in heavy noise is understood better after learning, on calls held back from it', () => {
  const voice = learnVoice(shippedNet(), calls);
  expect(voice.before.of).toBe(calls.length);
  expect(voice.after.of).toBe(calls.length);
  expect(voice.helps).toBe(true);
  expect(voice.after.p).toBeGreaterThan(voice.before.p);
  expect(withVoice(shippedNet(), voice).head.values).not.toEqual(shippedNet().head.values);
}, 60_000);

test('calls under wrong words do not help, and the net then stays as it is', () => {
  const wrong = calls.map((call, i) => ({ ...call, text: calls[(i * 7 + 5) % calls.length]!.text }));
  const voice = learnVoice(shippedNet(), wrong);
  const known = learnVoice(shippedNet(), calls);
  expect(voice.after.p).toBeLessThan(known.after.p);
  expect(withVoice(shippedNet(), { ...voice, helps: false })).toBe(shippedNet());
}, 60_000);

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
