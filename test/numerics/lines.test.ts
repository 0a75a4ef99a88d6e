import fc from 'fast-check';
import { expect, test } from 'vitest';
import { DegenerateData, NumericsError, OutOfRange } from '../../src/numerics/errors.ts';
import { fitLinear } from '../../src/numerics/least-squares.ts';
import { fitRobust } from '../../src/numerics/m-estimation.ts';
import { fitPolynomial } from '../../src/numerics/polynomial.ts';
import { fitRepeatedMedians } from '../../src/numerics/repeated-medians.ts';
import { fitStraightLine } from '../../src/numerics/straight-line.ts';
import { fitTheilSen } from '../../src/numerics/theil-sen.ts';
import { fitYorkLine } from '../../src/numerics/york-line.ts';
import { the } from '../the.ts';

/** Points about a line, with x apart and errors of believable size. */
const cloud = fc
  .record({
    slope: fc.double({ min: -50, max: 50, noNaN: true }),
    intercept: fc.double({ min: -100, max: 100, noNaN: true }),
    noise: fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 4, maxLength: 15 }),
    ux: fc.double({ min: 0.001, max: 0.3, noNaN: true }),
    uy: fc.double({ min: 0.01, max: 2, noNaN: true }),
  })
  .map(({ slope, intercept, noise, ux, uy }) => {
    const x = noise.map((_, i) => i * 1.3 + (i % 3) * 0.1);
    return {
      x,
      y: x.map((value, i) => intercept + slope * value + the(noise[i]) * uy),
      ux: x.map((_, i) => ux * (1 + (i % 2))),
      uy: x.map((_, i) => uy * (1 + (i % 3) / 4)),
    };
  });

const close = (a: number, b: number, size: number, digits = 1e-9): void => {
  expect(Math.abs(a - b)).toBeLessThanOrEqual(digits * Math.max(Math.abs(size), Math.abs(a), 1e-12));
};

test('units, zero of time and order of the readings do not matter to the line with errors in both coordinates', () => {
  fc.assert(
    fc.property(
      cloud,
      fc.double({ min: 1e-4, max: 1e4, noNaN: true }),
      fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
      (c, a, b) => {
        const plain = fitYorkLine(c.x, c.y, c.ux, c.uy);
        const shift = 17;
        const scaled = fitYorkLine(
          c.x.map((v) => a * (v + shift)),
          c.y.map((v) => b * v),
          c.ux.map((v) => a * v),
          c.uy.map((v) => b * v),
        );
        const size = Math.abs(plain.slope) + plain.stated.slope;
        close((scaled.slope * a) / b, plain.slope, size);
        close((scaled.stated.slope * a) / b, plain.stated.slope, size);
        close((scaled.observed.slope * a) / b, plain.observed.slope, size);
        close(scaled.chiSquare, plain.chiSquare, plain.chiSquare + 1e-3, 1e-7);
        const back = [...c.x.keys()].reverse();
        const reversed = fitYorkLine(
          back.map((i) => the(c.x[i])),
          back.map((i) => the(c.y[i])),
          back.map((i) => the(c.ux[i])),
          back.map((i) => the(c.uy[i])),
        );
        close(reversed.slope, plain.slope, size);
      },
    ),
    { numRuns: 200 },
  );
});

test('swapping the axes gives the same line, whatever the slope', () => {
  fc.assert(
    fc.property(cloud, (c) => {
      const line = fitYorkLine(c.x, c.y, c.ux, c.uy);
      fc.pre(Math.abs(line.slope) > 3 * line.stated.slope);
      const swapped = fitYorkLine(c.y, c.x, c.uy, c.ux);
      close(1 / swapped.slope, line.slope, line.slope, 1e-8);
      close(swapped.chiSquare, line.chiSquare, line.chiSquare + 1e-3, 1e-7);
    }),
    { numRuns: 200 },
  );
});

test('errors that go together are allowed for: fully correlated errors along the line cost nothing', () => {
  const x = [0, 1, 2, 3];
  const y = [1, 3, 5, 7.2];
  const line = fitYorkLine(x, y, [0.1, 0.1, 0.1, 0.1], [0.3, 0.3, 0.3, 0.3], [0.5, 0.5, 0.5, 0.5]);
  const free = fitYorkLine(x, y, [0.1, 0.1, 0.1, 0.1], [0.3, 0.3, 0.3, 0.3]);
  expect(line.stated.slope).toBeLessThan(free.stated.slope);
  expect(line.slope).toBeCloseTo(free.slope, 2);
});

test('leverages sum to the number of parameters', () => {
  fc.assert(
    fc.property(cloud, (c) => {
      const line = fitYorkLine(
        c.x,
        c.y,
        c.x.map(() => 0),
        c.uy,
      );
      close(
        line.leverages.reduce((sum, h) => sum + h, 0),
        2,
        2,
      );
      const cubic = fitPolynomial(c.x, c.y, 3);
      close(
        cubic.leverages.reduce((sum, h) => sum + h, 0),
        4,
        4,
      );
    }),
    { numRuns: 50 },
  );
});

test('York with exact x is weighted least squares, with both kinds of standard error', () => {
  fc.assert(
    fc.property(cloud, (c) => {
      const york = fitYorkLine(
        c.x,
        c.y,
        c.x.map(() => 0),
        c.uy,
      );
      const weighted = fitStraightLine(
        c.x,
        c.y,
        c.uy.map((u) => 1 / (u * u)),
      );
      close(york.slope, weighted.slope, Math.abs(weighted.slope) + york.stated.slope);
      close(york.stated.slope ** 2, the(the(weighted.fit.cofactor[1])[1]), york.stated.slope ** 2);
      close(york.stated.covariance, the(the(weighted.fit.cofactor[0])[1]), york.stated.covariance);
      close(york.observed.intercept, york.stated.intercept, york.stated.intercept);
    }),
    { numRuns: 50 },
  );
});

test('a thousand simulated sets: mean slope unbiased, standard error right within 10 %', async () => {
  const { createRandom } = await import('../../src/numerics/random.ts');
  const random = createRandom('york coverage');
  const slopes: number[] = [];
  const errors: number[] = [];
  for (let k = 0; k < 1000; k++) {
    const truth = Array.from({ length: 11 }, (_, i) => i);
    const line = fitYorkLine(
      truth.map((t) => random.normal(t, 0.15)),
      truth.map((t) => random.normal(2 * t + 1, 0.2)),
      truth.map(() => 0.15),
      truth.map(() => 0.2),
    );
    slopes.push(line.slope);
    errors.push(line.stated.slope);
  }
  const mean = slopes.reduce((sum, s) => sum + s, 0) / 1000;
  const sd = Math.sqrt(slopes.reduce((sum, s) => sum + (s - mean) ** 2, 0) / 999);
  const stated = errors.reduce((sum, s) => sum + s, 0) / 1000;
  expect(Math.abs(mean - 2)).toBeLessThan(4 * (sd / Math.sqrt(1000)));
  expect(Math.abs(stated / sd - 1)).toBeLessThan(0.1);
});

test('two readings give the line through them, and no scatter to judge by', () => {
  const york = fitYorkLine([1, 3], [2, 8], [0.1, 0.1], [0.1, 0.1]);
  expect(york.slope).toBeCloseTo(3, 12);
  expect(york.intercept).toBeCloseTo(-1, 12);
  expect(york.mswd).toBeNull();
  expect(york.scaled).toBeNull();
  const line = fitStraightLine([1, 3], [2, 8]);
  expect(line.slope).toBeCloseTo(3, 13);
  expect(line.slopeError).toBeNull();
});

test('level readings have slope 0, not nothing', () => {
  const york = fitYorkLine([0, 1, 2], [5, 5, 5], [0.1, 0.1, 0.1], [0.2, 0.2, 0.2]);
  expect(york.slope).toBeCloseTo(0, 12);
  expect(york.intercept).toBeCloseTo(5, 12);
  expect(york.chiSquare).toBeCloseTo(0, 12);
  expect(fitStraightLine([0, 1, 2], [5, 5, 5]).slope).toBeCloseTo(0, 12);
  expect(fitStraightLine([0, 1, 2], [5, 5, 5]).fit.rSquared).toBeNull();
});

/** Whatever comes in, a result of ordinary numbers or an error with a sentence comes out. */
const hostile = fc.integer({ min: 0, max: 8 }).chain((n) =>
  fc.record({
    x: fc.array(fc.oneof(fc.constantFrom(0, 1, 1e300, -1e300, 5e-324, Number.NaN), fc.double()), {
      minLength: n,
      maxLength: n,
    }),
    y: fc.array(fc.oneof(fc.constantFrom(0, 1, 1e300, Number.POSITIVE_INFINITY), fc.double()), {
      minLength: n,
      maxLength: n,
    }),
    u: fc.array(fc.constantFrom(0, 1, 1e-300, 1e-9, -1), { minLength: n, maxLength: n }),
  }),
);

test('hostile readings: a result of ordinary numbers, or an error with a sentence', () => {
  const finite = (...values: (number | null | undefined)[]): void => {
    for (const value of values) if (value !== null && value !== undefined) expect(Number.isFinite(value)).toBe(true);
  };
  const attempt = (work: () => void): void => {
    try {
      work();
    } catch (error) {
      if (!(error instanceof NumericsError)) throw error;
      expect(error.sentence).toMatch(/^[A-Z].*\.$/);
    }
  };
  fc.assert(
    fc.property(hostile, ({ x, y, u }) => {
      attempt(() => {
        const line = fitYorkLine(x, y, u, u);
        finite(
          line.slope,
          line.intercept,
          line.chiSquare,
          line.stated.slope,
          line.stated.intercept,
          line.observed.slope,
        );
      });
      attempt(() => {
        const line = fitStraightLine(x, y);
        finite(line.slope, line.intercept, line.slopeError, line.interceptError);
      });
      attempt(() => finite(...fitPolynomial(x, y, 2).coefficients));
      attempt(() => finite(fitTheilSen(x, y).slope, fitTheilSen(x, y).intercept, fitTheilSen(x, y).slopeLow));
      attempt(() => finite(fitRepeatedMedians(x, y).slope));
      attempt(() => finite(...fitRobust([x.map(() => 1), x], y).coefficients));
    }),
    { numRuns: 3000 },
  );
});

test('a hundred thousand readings are no trouble', () => {
  const n = 100_000;
  const x = Array.from({ length: n }, (_, i) => i);
  const y = x.map((value) => 3 * value + Math.sin(value));
  expect(fitStraightLine(x, y).slope).toBeCloseTo(3, 8);
  expect(
    fitYorkLine(
      x,
      y,
      x.map(() => 0.1),
      x.map(() => 1),
    ).slope,
  ).toBeCloseTo(3, 6);
  expect(fitTheilSen(x, y).slope).toBeCloseTo(3, 3);
  expect(fitRepeatedMedians(x, y).slope).toBeCloseTo(3, 3);
}, 60_000);

test('refusals say what is wrong', () => {
  expect(() => fitStraightLine([2, 2, 2], [1, 2, 3])).toThrow(/All abscissae are equal/);
  expect(() => fitYorkLine([2, 2], [1, 2], [1, 1], [1, 1])).toThrow(DegenerateData);
  expect(() => fitYorkLine([1, 2], [1, 2], [0, 1], [0, 1])).toThrow(/exact in both/);
  expect(() => fitYorkLine([1, 2], [1, 2], [1], [1, 1])).toThrow(/same length/);
  expect(() =>
    fitLinear(
      [
        [1, 1, 1],
        [2, 2, 2],
      ],
      [1, 2, 3],
    ),
  ).toThrow(/cannot tell/);
  expect(() => fitLinear([[1, 2, 3]], [1, 2, 3], { weights: [1, -1, 1] })).toThrow(OutOfRange);
  for (const confidence of [0, 1, Number.NaN])
    expect(() => fitTheilSen([1, 2], [1, 2], confidence)).toThrow(OutOfRange);
  expect(() => fitTheilSen([1, 1], [1, 2])).toThrow(DegenerateData);
  expect(() => fitPolynomial([1, 2], [1, 2], 2)).toThrow(/fewer readings/);
});

test('as many readings as unknowns leave no scatter to judge by, and one more leaves the one that is there', () => {
  const [none, one] = [
    [1, 3],
    [1, 3, 5.6],
  ].map((y) => fitLinear([y.map(() => 1), y.map((_, i) => i)], y));
  expect([none?.degreesOfFreedom, none?.residualSd, none?.covariance, none?.standardErrors]).toEqual([
    0,
    null,
    null,
    null,
  ]);
  // Residuals 0.1, -0.2, 0.1: their squares sum to 0.06.
  expect(one?.residualSd).toBeCloseTo(Math.sqrt(0.06), 12);
  const york = fitYorkLine([0, 1, 2, 3, 4], [0, 1.2, 1.8, 3.3, 3.9], [0, 0, 0, 0, 0], [0.1, 0.1, 0.1, 0.1, 0.1]);
  // Errors judged by the scatter are the stated ones times the root of chi-square over its three degrees of freedom.
  expect(york.mswd).toBeCloseTo(york.chiSquare / 3, 12);
});
