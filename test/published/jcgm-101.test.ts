import { expect, test } from 'vitest';
import type { Random } from '../../src/numerics/random.ts';
import { simulateAll } from '../numerics/simulate-all.ts';
import { the } from '../the.ts';

/*
 * JCGM 101:2008, clause 9.2: sum of four independent inputs. The exact ends of the intervals follow from the
 * distributions (normal sum 1.959964 * 2; four rectangular: 2 sqrt 3 (2 - (3/5)^(1/4)) = 3.879407); 9.2.4 from a
 * simulation with 8 million draws, 17.018 (printed 17.0).
 */
const sum = (shapes: ((random: Random) => number)[]) => (random: Random) => [
  shapes.reduce((total, shape) => total + shape(random), 0),
];
const four = (shape: (random: Random) => number) => sum([shape, shape, shape, shape]);
const draws = 400_000;

test('9.2.2, four normal inputs: u 2.00, interval ±3.92', () => {
  const { results } = simulateAll({ draw: four((random) => random.normal()), seed: 'jcgm 9.2.2', draws });
  expect(the(results[0]).u).toBeCloseTo(2, 1);
  expect(Math.abs(the(results[0]).mean)).toBeLessThan(0.015);
  for (const [low, high] of [the(results[0]).symmetric, the(results[0]).shortest]) {
    expect(Math.abs(low + 3.92)).toBeLessThan(0.05);
    expect(Math.abs(high - 3.92)).toBeLessThan(0.05);
  }
});

test('9.2.3, four rectangular inputs of standard deviation 1: interval ±3.88, shorter than the normal one', () => {
  const { results } = simulateAll({
    draw: four((random) => random.rectangular(0, Math.sqrt(3))),
    seed: 'jcgm 9.2.3',
    draws,
  });
  expect(the(results[0]).u).toBeCloseTo(2, 1);
  expect(Math.abs(the(results[0]).symmetric[0] + 3.879406741)).toBeLessThan(0.02);
  expect(Math.abs(the(results[0]).symmetric[1] - 3.879406741)).toBeLessThan(0.02);
});

test('9.2.4, one rectangular input ten times wider: u 10.1, interval ±17.0 where the GUM says ±19.8', () => {
  const narrow = (random: Random) => random.rectangular(0, Math.sqrt(3));
  const wide = (random: Random) => random.rectangular(0, 10 * Math.sqrt(3));
  const { results } = simulateAll({ draw: sum([narrow, narrow, narrow, wide]), seed: 'jcgm 9.2.4', draws });
  expect(the(results[0]).u).toBeCloseTo(Math.sqrt(103), 1);
  expect(Math.abs(the(results[0]).symmetric[0] + 17.018)).toBeLessThan(0.05);
  expect(Math.abs(the(results[0]).symmetric[1] - 17.018)).toBeLessThan(0.05);
});
