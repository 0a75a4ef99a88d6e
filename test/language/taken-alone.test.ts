import { expect, test } from 'vitest';
import { createRandom } from '../../src/numerics/random.ts';
import { type Given, isotonic, leastFor } from '../benchmarks/people-calibrate.ts';

/** Answers of an ear whose log odds are `over` times too large. */
function given(count: number, over: number): Given[] {
  const random = createRandom(`calibration ${over}`);
  return Array.from({ length: count }, () => {
    const z = random.normal(1.5, 1.5);
    return { p: 1 / (1 + Math.exp(-over * z)), right: random.uniform() < 1 / (1 + Math.exp(-z)) };
  });
}

test('the fit pools what falls where it should rise', () => {
  const ps = [0.1, 0.2, 0.3, 0.4, 0.5];
  const rights = [false, true, false, true, true];
  const chances = isotonic(ps.map((p, i) => ({ p, right: rights[i] === true }))).map(({ chance }) => chance);
  expect(chances).toEqual([1, 1, 0.5, 0.5, 0]);
});

test('of what is taken, the wanted share is wrong', () => {
  for (const over of [0.7, 1, 1.5]) {
    const all = given(20_000, over);
    const { from, taken, wrong } = leastFor(0.02, all);
    expect(taken).toBe(all.filter(({ p }) => p >= from).length);
    // Some 10,000 are taken: the share is known to 0.0014, one standard deviation.
    expect(wrong / taken).toBeGreaterThan(0.014);
    expect(wrong / taken).toBeLessThan(0.026);
  }
});

test('where hardly anything is sure enough, nothing is taken', () => {
  const wrong = Array.from({ length: 200 }, (_, i) => ({ p: 0.9, right: i % 2 === 0 }));
  expect(leastFor(0.01, wrong).taken).toBe(0);
});
