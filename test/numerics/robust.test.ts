import { expect, test } from 'vitest';
import { algorithmA } from '../../src/numerics/algorithm-a.ts';
import { grubbsTest } from '../../src/numerics/grubbs.ts';
import { correctedAkaike } from '../../src/numerics/information-criterion.ts';
import { fitRobust } from '../../src/numerics/m-estimation.ts';
import { fitStraightLine } from '../../src/numerics/straight-line.ts';
import { the } from '../the.ts';

const x = Array.from({ length: 11 }, (_, i) => i);
const ones = x.map(() => 1);

test('one wild reading on an exact line: the line stays, that reading loses its weight', () => {
  const y = x.map((value, i) => 2 * value + 1 + (i === 5 ? 20 : 0));
  for (const influence of ['huber', 'bisquare'] as const) {
    const fit = fitRobust([ones, x], y, { influence });
    expect(fit.coefficients[0]).toBeCloseTo(1, 9);
    expect(fit.coefficients[1]).toBeCloseTo(2, 9);
    expect(fit.weights[5]).toBeLessThan(1e-6);
    expect(fit.weights[0]).toBe(1);
  }
});

test('normal readings keep their weight: the robust line is near the ordinary one', () => {
  const y = x.map((value, i) => 2 * value + Math.sin(7 * i) * 0.1);
  const robust = fitRobust([ones, x], y);
  const ordinary = fitStraightLine(x, y);
  expect(robust.coefficients[1]).toBeCloseTo(ordinary.slope, 2);
});

test('prior weights: a reading of weight 0 counts for nothing', () => {
  const y = x.map((value, i) => 2 * value + (i === 10 ? 1e6 : Math.cos(i)));
  const weights = x.map((_, i) => (i === 10 ? 0 : 1));
  const with10 = fitRobust([ones, x], y, { weights });
  const without = fitRobust([ones.slice(0, 10), x.slice(0, 10)], y.slice(0, 10));
  expect(with10.coefficients[1]).toBeCloseTo(the(without.coefficients[1]), 9);
  expect(with10.scale).toBeCloseTo(without.scale, 9);
});

test('equal values have no outlier and no spread', () => {
  expect(() => grubbsTest([5, 5, 5, 5])).toThrow(/All values are equal/);
  expect(algorithmA([5, 5, 5])).toMatchObject({ mean: 5, standardDeviation: 0 });
  expect(grubbsTest([0, 0, 0, 1]).probability).toBe(0);
});

test('the information criterion is that of Hurvich and Tsai, and refuses what has too few readings', () => {
  // n = 10, 2 coefficients and the error size: 10 ln(S/n) + 6 + 24/6.
  expect(correctedAkaike(10, 2, 5)).toBeCloseTo(10 * Math.log(0.5) + 6 + 4, 12);
  expect(correctedAkaike(4, 2, 5)).toBe(Number.POSITIVE_INFINITY);
  expect(correctedAkaike(10, 2, 0)).toBeLessThan(-1000);
});
