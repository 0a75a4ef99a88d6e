import { describe, expect, test } from 'vitest';
import { DegenerateData, OutOfRange } from '../../src/numerics/errors.ts';
import { nth } from '../../src/numerics/nth.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { fitYorkLine, type YorkLine } from '../../src/numerics/york-line.ts';

/**
 * Lines with correlated errors, of which York et al. (Am. J. Phys. 72 (2004) 367) print no example: checked against the
 * definition itself, the sum of squares that the line has to minimise, without any formula of the fit.
 */
interface Case {
  readonly x: number[];
  readonly y: number[];
  readonly ux: number[];
  readonly uy: number[];
  readonly r: number[];
}

/** Twelve scattered points of y = 3 + 0.7 x far from the origin, each with errors of its own. */
function points(seed: string): Case {
  const random = createRandom(seed);
  const of = (make: (i: number) => number): number[] => Array.from({ length: 12 }, (_, i) => make(i));
  const ux = of(() => 0.2 + 0.6 * random.uniform());
  const uy = of(() => 0.2 + 0.9 * random.uniform());
  const r = of(() => 1.6 * random.uniform() - 0.8);
  const x = of((i) => 40 + 2 * i + random.normal(0, 0.5));
  return { x, y: x.map((at) => 3 + 0.7 * at + random.normal(0, 0.6)), ux, uy, r };
}

const lineOf = ({ x, y, ux, uy, r }: Case): YorkLine => fitYorkLine(x, y, ux, uy, r);

/** S of a line: squared residuals over their variances. */
function sumOfSquares({ x, y, ux, uy, r }: Case, intercept: number, slope: number): number {
  return x.reduce((sum, at, i) => {
    const [sx, sy] = [nth(ux, i), nth(uy, i)];
    const variance = sy ** 2 + (slope * sx) ** 2 - 2 * slope * nth(r, i) * sx * sy;
    return sum + (nth(y, i) - intercept - slope * at) ** 2 / variance;
  }, 0);
}

const seeds = ['one', 'two', 'three', 'four'];

describe.each(seeds)('correlated errors, set %s', (seed) => {
  const given = points(seed);
  test('the sum of squares rises in every direction from the line that was found', () => {
    const line = lineOf(given);
    const least = sumOfSquares(given, line.intercept, line.slope);
    expect(least).toBeCloseTo(line.chiSquare, 9);
    for (const [da, db] of [
      [1e-3, 0],
      [-1e-3, 0],
      [0, 1e-5],
      [0, -1e-5],
      [0.05, -1e-3],
      [-0.05, 1e-3],
    ] as const)
      expect(sumOfSquares(given, line.intercept + da, line.slope + db)).toBeGreaterThan(least);
  });

  test('the uncertainties at the observed points are those of the readings, moved one by one', () => {
    const line = lineOf(given);
    const h = 1e-5;
    const slopeBy = (change: (moved: Case) => void): readonly [number, number] => {
      const both = [h, -h].map((sign) => {
        const moved = { ...given, x: [...given.x], y: [...given.y] };
        moving = sign;
        change(moved);
        return lineOf(moved);
      });
      const [up, down] = [nth(both, 0), nth(both, 1)];
      return [(up.slope - down.slope) / (2 * h), (up.intercept - down.intercept) / (2 * h)];
    };
    let moving = 0;
    let [varSlope, varIntercept, covariance] = [0, 0, 0];
    for (const [i] of given.x.entries()) {
      const [bx, ax] = slopeBy((moved) => {
        moved.x[i] = nth(given.x, i) + moving;
      });
      const [by, ay] = slopeBy((moved) => {
        moved.y[i] = nth(given.y, i) + moving;
      });
      const [sx, sy] = [nth(given.ux, i), nth(given.uy, i)];
      const shared = nth(given.r, i) * sx * sy;
      varSlope += (bx * sx) ** 2 + (by * sy) ** 2 + 2 * bx * by * shared;
      varIntercept += (ax * sx) ** 2 + (ay * sy) ** 2 + 2 * ax * ay * shared;
      covariance += ax * bx * sx ** 2 + ay * by * sy ** 2 + (ax * by + ay * bx) * shared;
    }
    expect(line.observed.slope / Math.sqrt(varSlope)).toBeCloseTo(1, 5);
    expect(line.observed.intercept / Math.sqrt(varIntercept)).toBeCloseTo(1, 5);
    expect(line.observed.covariance / covariance).toBeCloseTo(1, 5);
  });

  test('each adjusted point lies on the line, as far from its reading as the residual says', () => {
    const line = lineOf(given);
    for (const [i, { x, y }] of line.adjusted.entries()) {
      expect(y).toBeCloseTo(line.intercept + line.slope * x, 8);
      const [dx, dy] = [(nth(given.x, i) - x) / nth(given.ux, i), (nth(given.y, i) - y) / nth(given.uy, i)];
      const r = nth(given.r, i);
      // Mahalanobis distance for the stated errors and their correlation.
      const distance = (dx * dx - 2 * r * dx * dy + dy * dy) / (1 - r * r);
      expect(distance).toBeCloseTo(nth(line.normalisedResiduals, i) ** 2, 8);
    }
    expect(line.normalisedResiduals.reduce((sum, one) => sum + one * one, 0)).toBeCloseTo(line.chiSquare, 9);
  });

  test('every reading pulls, two in all: the line has two parameters', () => {
    const line = lineOf(given);
    for (const pull of line.leverages) {
      expect(pull).toBeGreaterThan(0);
      expect(pull).toBeLessThanOrEqual(1);
    }
    expect(line.leverages.reduce((sum, one) => sum + one, 0)).toBeCloseTo(2, 9);
  });

  test('swapped axes and other units give the same line', () => {
    const line = lineOf(given);
    const swapped = fitYorkLine(given.y, given.x, given.uy, given.ux, given.r);
    expect(swapped.slope).toBeCloseTo(1 / line.slope, 9);
    expect(swapped.chiSquare).toBeCloseTo(line.chiSquare, 8);
    const times = (list: readonly number[], by: number): number[] => list.map((one) => one * by);
    const hours = fitYorkLine(times(given.x, 1 / 3600), given.y, times(given.ux, 1 / 3600), given.uy, given.r);
    expect(hours.slope / 3600).toBeCloseTo(line.slope, 9);
    expect(hours.stated.slope / 3600).toBeCloseTo(line.stated.slope, 9);
    expect(hours.observed.intercept).toBeCloseTo(line.observed.intercept, 6);
  });
});

test('two readings give a line and its stated errors, and no scatter to judge by', () => {
  const line = fitYorkLine([1, 3], [2, 8], [0.1, 0.1], [0.1, 0.1]);
  expect(line).toMatchObject({ degreesOfFreedom: 0, mswd: null, scaled: null });
  expect(line.chiSquare).toBeCloseTo(0, 20);
  // u(slope) = u_y' sqrt(2)/(x2 - x1), where the error of x counts 3 times in y: 0.1 sqrt(10) sqrt(2)/2.
  expect(line.stated.slope).toBeCloseTo((0.1 * Math.sqrt(10) * Math.SQRT2) / 2, 9);
  expect(line.adjusted.map(({ x }) => x)).toEqual([expect.closeTo(1, 9), expect.closeTo(3, 9)]);
});

test('three readings have one degree of freedom, and errors scaled by their scatter', () => {
  const line = fitYorkLine([0, 1, 2], [0, 1.3, 2], [0, 0, 0], [0.1, 0.1, 0.1]);
  expect(line.degreesOfFreedom).toBe(1);
  // Least squares: slope 1, intercept 0.1, residuals -0.1, 0.2, -0.1: S = 0.06/0.01.
  expect(line.mswd).toBeCloseTo(6, 9);
  expect(line.scaled?.slope).toBeCloseTo(Math.sqrt(6) * (0.1 / Math.SQRT2), 9);
});

describe('what is no line is refused', () => {
  const two = [0, 1];
  const u = [0.1, 0.1];
  test.each([
    ['one reading', () => fitYorkLine([1], [1], [0.1], [0.1]), DegenerateData],
    ['equal abscissae', () => fitYorkLine([1, 1], two, u, u), DegenerateData],
    ['a negative uncertainty of x', () => fitYorkLine(two, two, [-0.1, 0.1], u), OutOfRange],
    ['a negative uncertainty of y', () => fitYorkLine(two, two, u, [0.1, -0.1]), OutOfRange],
    ['a reading exact in both', () => fitYorkLine(two, two, [0, 0.1], [0, 0.1]), OutOfRange],
    ['a correlation beyond one', () => fitYorkLine(two, two, u, u, [1.01, 0]), OutOfRange],
    ['a correlation below minus one', () => fitYorkLine(two, two, u, u, [0, -1.01]), OutOfRange],
    ['level readings said to be exact', () => fitYorkLine(two, [5, 5], u, [0, 0]), DegenerateData],
    ['lists of different length', () => fitYorkLine(two, [0, 1, 2], u, u), Error],
    ['too few uncertainties', () => fitYorkLine(two, two, [0.1], u), Error],
    ['a time that is no number', () => fitYorkLine([0, Number.NaN], two, u, u), Error],
    ['an endless uncertainty', () => fitYorkLine(two, two, u, [0.1, Number.POSITIVE_INFINITY]), Error],
  ])('%s', (_, make, error) => {
    expect(make).toThrow(error);
  });

  test('fully correlated errors are allowed', () => {
    expect(fitYorkLine(two, [0, 3], u, u, [1, 1]).slope).toBeCloseTo(3, 9);
  });
});
