import { expect, test } from 'vitest';
import { createRandom, fromState } from '../../src/numerics/random.ts';
import { the } from '../the.ts';

test('gives the output of the reference implementation (xoshiro128starstar.c 1.1, state 1 2 3 4)', () => {
  // Also printed in the tests of the Rust crate rand_xoshiro.
  const random = fromState([1, 2, 3, 4], '');
  expect(Array.from({ length: 10 }, () => random.word())).toEqual([
    11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
  ]);
});

test('the same seed gives the same numbers, another seed others', () => {
  const draw = (seed: string | number) => Array.from({ length: 5 }, createRandom(seed).uniform);
  expect(draw('bench')).toEqual(draw('bench'));
  expect(draw('bench')).not.toEqual(draw('bencg'));
  expect(draw(1)).not.toEqual(draw(2));
  expect(draw('')).toHaveLength(5);
});

test('a named stream depends on seed and name alone', () => {
  const first = createRandom(7);
  first.uniform();
  first.normal();
  expect(first.stream('run 2').uniform()).toBe(createRandom(7).stream('run 2').uniform());
  expect(first.stream('run 2').uniform()).not.toBe(first.stream('run 3').uniform());
});

test('moments of each shape are right within four standard errors', () => {
  const n = 200_000;
  const random = createRandom('moments');
  const shapes: [string, () => number, number, number][] = [
    ['uniform', random.uniform, 0.5, 1 / Math.sqrt(12)],
    ['normal', () => random.normal(3, 2), 3, 2],
    ['rectangular', () => random.rectangular(-1, 3), -1, 3 / Math.sqrt(3)],
    ['triangular', () => random.triangular(5, 3), 5, 3 / Math.sqrt(6)],
    ['student', () => random.student(12, 1, 2), 1, 2 * Math.sqrt(12 / 10)],
  ];
  for (const [name, draw, mean, sd] of shapes) {
    let sum = 0;
    let squares = 0;
    for (let i = 0; i < n; i++) {
      const d = draw() - mean;
      sum += d;
      squares += d * d;
    }
    expect(Math.abs(sum / n), name).toBeLessThan((4 * sd) / Math.sqrt(n));
    expect(Math.abs(squares / n / (sd * sd) - 1), name).toBeLessThan(0.02);
  }
});

test('a thousand streams of one seed start evenly spread', () => {
  const bins = new Array<number>(10).fill(0);
  const root = createRandom(2026);
  for (let i = 0; i < 1000; i++) {
    const bin = Math.floor(root.stream(`run ${i}`).uniform() * 10);
    bins[bin] = the(bins[bin]) + 1;
  }
  const chiSquare = bins.reduce((sum, count) => sum + (count - 100) ** 2 / 100, 0);
  expect(chiSquare).toBeLessThan(27.9); // 0.1 % point, 9 degrees of freedom
});
