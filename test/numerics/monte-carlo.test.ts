import { expect, test } from 'vitest';
import { DegenerateData, OutOfRange } from '../../src/numerics/errors.ts';
import { simulateWithPauses, summarise } from '../../src/numerics/monte-carlo.ts';
import { the } from '../the.ts';
import { simulateAll } from './simulate-all.ts';

test('the same seed gives the same digits whatever the chunk size', async () => {
  const draw = (random: { normal(): number }) => [random.normal(), random.normal() ** 2];
  const task = { draw, seed: 'notebook', draws: 5000 };
  const shares: number[] = [];
  const paused = await simulateWithPauses({ ...task, chunk: 700 }, (share) => shares.push(share));
  expect(paused).toEqual(simulateAll(task));
  expect(shares[0]).toBeCloseTo(0.14);
  expect(shares.at(-1)).toBe(1);
  expect([...shares].sort((a, b) => a - b)).toEqual(shares);
});

test('it can be stopped between chunks', async () => {
  const stop = new AbortController();
  const running = simulateWithPauses(
    { draw: (random) => [random.uniform()], seed: 1, draws: 1_000_000, chunk: 1000 },
    () => stop.abort(new Error('stopped by hand')),
    stop.signal,
  );
  await expect(running).rejects.toThrow('stopped by hand');
});

test('draws without a result are counted and left out', () => {
  const { results, draws, failed } = simulateAll({
    draw: (random) => {
      const x = random.uniform();
      return x < 0.25 ? null : x < 0.5 ? [Number.NaN] : [x];
    },
    seed: 3,
    draws: 4000,
  });
  expect(draws + failed).toBe(4000);
  expect(failed / 4000).toBeCloseTo(0.5, 1);
  expect(the(results[0]).mean).toBeCloseTo(0.75, 1);
  expect(() => simulateAll({ draw: () => null, seed: 3, draws: 500 })).toThrow(DegenerateData);
  expect(() => simulateAll({ draw: () => [1], seed: 3, draws: 5 })).toThrow(OutOfRange);
});

test('intervals hold the stated share of the draws, and the shortest of a skew distribution is shorter', () => {
  // Quantiles of the exponential distribution: -ln(0.975) … -ln(0.025), and 0 … -ln(0.05).
  const values = Float64Array.from({ length: 100_000 }, (_, i) => -Math.log1p(-(i + 0.5) / 100_000));
  const { symmetric, shortest, mean, u, median } = summarise(values);
  expect(symmetric[0]).toBeCloseTo(-Math.log(0.975), 3);
  expect(symmetric[1]).toBeCloseTo(-Math.log(0.025), 3);
  expect(shortest[0]).toBeCloseTo(0, 3);
  expect(shortest[1]).toBeCloseTo(-Math.log(0.05), 3);
  expect(mean).toBeCloseTo(1, 3);
  expect(u).toBeCloseTo(1, 3);
  expect(median).toBeCloseTo(Math.log(2), 4);
});

test('equal draws give an interval of no width', () => {
  const { results } = simulateAll({ draw: () => [7], seed: 0, draws: 100 });
  expect(results[0]).toEqual({
    mean: expect.closeTo(7, 12),
    u: expect.closeTo(0, 12),
    symmetric: [7, 7],
    shortest: [7, 7],
    median: 7,
  });
});
