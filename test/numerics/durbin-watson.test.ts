import { expect, test } from 'vitest';
import { durbinWatson } from '../../src/numerics/durbin-watson.ts';
import { randomOf } from '../benchmarks/kinetics-simulator.ts';

const line = (n: number): number[][] => [Array.from({ length: n }, () => 1), Array.from({ length: n }, (_, i) => i)];

/** Residuals of a straight line, by the textbook's formulas. */
function aboutLine(y: readonly number[]): number[] {
  const x = (y.length - 1) / 2;
  const mean = y.reduce((a, b) => a + b, 0) / y.length;
  let xy = 0;
  let xx = 0;
  y.forEach((value, i) => {
    xy += (i - x) * (value - mean);
    xx += (i - x) ** 2;
  });
  return y.map((value, i) => value - mean - (xy / xx) * (i - x));
}

/** Residuals about a line with a given d: a slow wave and a fast one in the right shares. */
function withD(n: number, d: number): number[] {
  const slow = aboutLine(Array.from({ length: n }, (_, i) => Math.cos((2 * Math.PI * (i + 0.5)) / n)));
  const fast = aboutLine(Array.from({ length: n }, (_, i) => Math.cos((Math.PI * (n - 2) * (i + 0.5)) / n)));
  let [low, high] = [0, 1];
  const mixed = (share: number): number[] => slow.map((value, i) => (1 - share) * value + share * (fast[i] ?? 0));
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (durbinWatson([{ residuals: mixed(middle), columns: line(n) }]).d < d) low = middle;
    else high = middle;
  }
  return mixed(low);
}

// Durbin and Watson, Biometrika 38 (1951) 159, Table 4: 5 % bounds for one regressor and a constant (from memory).
test.each([
  [15, 1.08, 1.36],
  [20, 1.2, 1.41],
  [50, 1.5, 1.59],
])('for %d points the 5 % point of d lies between the bounds of the tables', (n, lower, upper) => {
  const pAt = (d: number): number => durbinWatson([{ residuals: withD(n, d), columns: line(n) }]).p;
  expect(pAt(lower - 0.005)).toBeLessThan(0.05);
  expect(pAt(upper + 0.005)).toBeGreaterThan(0.05);
});

test.each([
  [4, 3],
  [11, 3],
  [11, 1],
])('with chance errors p is even: %d readings a run, %d runs of different scatter', (n, runs) => {
  const random = randomOf(n * runs);
  const ps = Array.from(
    { length: 4000 },
    () =>
      durbinWatson(
        Array.from({ length: runs }, (_, r) => ({
          residuals: aboutLine(Array.from({ length: n }, (_, i) => 3 * i + random.normal(10 ** r))),
          columns: line(n),
        })),
      ).p,
  );
  const below = (level: number): number => ps.filter((p) => p < level).length / ps.length;
  expect(Math.abs(below(0.5) - 0.5)).toBeLessThan(0.04);
  expect(Math.abs(below(0.05) - 0.05)).toBeLessThan(0.015);
  expect(below(0.01)).toBeLessThan(0.02);
});

test('a slow swing in all runs shows together, where no run by itself would tell', () => {
  const random = randomOf(5);
  const swing = (): number[] =>
    aboutLine(Array.from({ length: 11 }, (_, i) => Math.sin((2 * Math.PI * i) / 11) + random.normal(0.6)));
  const { p, each } = durbinWatson(Array.from({ length: 5 }, () => ({ residuals: swing(), columns: line(11) })));
  expect(p).toBeLessThan(0.01);
  expect(Math.max(...each.map((one) => one.p))).toBeGreaterThan(0.01);
});

test('too few readings, or none that differ, say nothing', () => {
  expect(durbinWatson([]).p).toBe(1);
  expect(durbinWatson([{ residuals: [0, 0, 0, 0], columns: line(4) }])).toMatchObject({ p: 1, each: [{ p: 1 }] });
  expect(durbinWatson([{ residuals: [1, -1], columns: line(2) }]).p).toBe(1);
});

test('residuals on one degree of freedom tell nothing, and do not break', () => {
  const { p } = durbinWatson([
    {
      residuals: [1, -2, 1],
      columns: [
        [1, 1, 1],
        [0, 1, 2],
      ],
    },
  ]);
  expect(p).toBe(1);
});

test('a hundred thousand alternating residuals are judged, and a slow swing among as many is found', () => {
  const columns = [new Array<number>(100_000).fill(1)];
  const swing = columns[0]?.map((_, i) => Math.sin(i / 500)) ?? [];
  const turns = columns[0]?.map((_, i) => (i % 2 === 0 ? 1 : -1)) ?? [];
  expect(durbinWatson([{ residuals: swing, columns }]).p).toBeLessThan(1e-6);
  expect(durbinWatson([{ residuals: turns, columns }]).p).toBeCloseTo(1, 6);
});
