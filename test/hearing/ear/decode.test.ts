import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decode } from '../../../src/hearing/ear/decode.ts';
import type { Grammar } from '../../../src/hearing/ear/grammar.ts';
import { FRAME_MS, type Posteriors } from '../../../src/hearing/ear/net.ts';
import { the } from '../../the.ts';

const labels = ['<blank>', 'a', 'b', 'c'];

/** "a", "a b", "b a", "a a" and "c" with anything after it. */
const small: Grammar = {
  next: [
    Int16Array.of(-1, 1, 2, 5),
    Int16Array.of(-1, 4, 4, -1),
    Int16Array.of(-1, 4, -1, -1),
    Int16Array.of(-1, -1, -1, -1),
    Int16Array.of(-1, -1, -1, -1),
    Int16Array.of(-1, -1, -1, -1),
  ],
  accepts: [false, true, false, false, true, true],
  swallows: [false, false, false, false, false, true],
};

function rows(values: readonly (readonly number[])[]): Posteriors {
  return { frames: values.length, labels: labels.length, values: Float32Array.from(values.flat()) };
}

/** Every path through the frames, spelled by CTC's rule: repeats merged, then blanks dropped. */
function enumerated(values: readonly (readonly number[])[]): Map<string, number> {
  const sums = new Map<string, number>();
  const walk = (frame: number, path: number[], p: number) => {
    if (frame === values.length) {
      const text = path
        .filter((label, i) => label !== 0 && label !== path[i - 1])
        .map((label) => the(labels[label]))
        .join(' ');
      const key = text === 'c' || text.startsWith('c ') ? 'c' : text;
      sums.set(key, (sums.get(key) ?? 0) + p);
      return;
    }
    for (let label = 0; label < labels.length; label++)
      walk(frame + 1, [...path, label], p * the(the(values[frame])[label]));
  };
  walk(0, [], 1);
  return sums;
}

const frame = fc
  .array(fc.integer({ min: 1, max: 50 }), { minLength: 4, maxLength: 4 })
  .map((weights) => weights.map((weight) => weight / weights.reduce((sum, w) => sum + w)));

test('each sentence has the summed probability of all its alignments', () => {
  fc.assert(
    fc.property(fc.array(frame, { minLength: 1, maxLength: 5 }), (values) => {
      const truth = enumerated(values);
      const { best, silence } = decode(rows(values), small, labels);
      expect(silence).toBeCloseTo(the(truth.get('')), 5);
      const possible = ['a', 'a b', 'b a', 'a a', 'c'].filter((text) => (truth.get(text) ?? 0) > 1e-9);
      expect(best.map(({ text }) => text).sort()).toEqual(possible.sort());
      for (const { text, p } of best) expect(p).toBeCloseTo(the(truth.get(text)), 5);
    }),
  );
});

test('answers come best first and their probabilities sum to at most one', () => {
  fc.assert(
    fc.property(fc.array(frame, { minLength: 1, maxLength: 12 }), (values) => {
      const { best, silence } = decode(rows(values), small, labels);
      for (let i = 1; i < best.length; i++) expect(the(best[i]).p).toBeLessThanOrEqual(the(best[i - 1]).p);
      expect(best.reduce((sum, { p }) => sum + p, silence)).toBeLessThanOrEqual(1 + 1e-5);
    }),
  );
});

test('a sentence outside the grammar is not answered, and its probability is missing from the sum', () => {
  const { best, silence } = decode(
    rows([
      [0.01, 0.01, 0.97, 0.01],
      [0.97, 0.01, 0.01, 0.01],
    ]),
    small,
    labels,
  );
  expect(best.reduce((sum, { p }) => sum + p, silence)).toBeLessThan(0.1);
});

test('a word ends a little before the answer for the next one, the last with the sound', () => {
  const a = [0.01, 0.97, 0.01, 0.01];
  const b = [0.01, 0.01, 0.97, 0.01];
  const blank = [0.97, 0.01, 0.01, 0.01];
  const { best } = decode(rows([blank, a, blank, blank, blank, blank, b, blank, blank, blank]), small, labels, 380);
  expect(best[0]?.text).toBe('a b');
  const [first, last] = the(best[0]).words.map(({ endMs }) => endMs);
  expect(first).toBeGreaterThan(2 * FRAME_MS);
  expect(first).toBeLessThan(6 * FRAME_MS);
  expect(last).toBe(380);
});

test('thousands of frames do not run out of numbers', () => {
  const blank = [0.9, 0.05, 0.03, 0.02];
  const { best, silence } = decode(rows(Array.from({ length: 3000 }, () => blank)), small, labels);
  expect(silence).toBeGreaterThanOrEqual(0);
  expect(best.every(({ p }) => p >= 0 && p <= 1)).toBe(true);
});
