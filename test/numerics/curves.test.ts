import fc from 'fast-check';
import { expect, test } from 'vitest';
import { NonConvergence, NumericsError, OutOfRange } from '../../src/numerics/errors.ts';
import { fitFirstOrder, rise, riseSlope } from '../../src/numerics/first-order-fit.ts';
import { fitNonlinear } from '../../src/numerics/nonlinear-least-squares.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { the } from '../the.ts';

const x = Array.from({ length: 11 }, (_, i) => i * 12);

test('exact first-order curves give their constants back, also bent upwards or straight', () => {
  for (const k of [0.05, 0.01, 0.003, 1e-4, 0, -0.002]) {
    const fit = fitFirstOrder(
      x,
      x.map((t) => 0.2 * t * rise(k * t)),
    );
    expect(fit.initialSlope).toBeCloseTo(0.2, 9);
    expect(fit.rateConstant).toBeCloseTo(k, 9);
    if (k > 0) expect(the(fit.amplitude) / (0.2 / k)).toBeCloseTo(1, 5);
    if (k < 0) expect(fit.amplitude).toBeNull();
  }
});

test('rise and its slope are smooth through zero', () => {
  for (const u of [-0.6, -0.5, -1e-3, 0, 1e-9, 0.4999, 0.5001, 2]) {
    const h = 1e-5;
    expect(riseSlope(u)).toBeCloseTo((rise(u + h) - rise(u - h)) / (2 * h), 8);
  }
  expect(rise(0)).toBe(1);
  expect(riseSlope(0)).toBe(-0.5);
  // Both forms meet where they change over.
  expect(riseSlope(0.5)).toBeCloseTo(riseSlope(0.5 + 1e-12), 11);
});

test('units do not matter to the first-order fit', () => {
  const random = createRandom('units');
  const y = x.map((t) => 54 * -Math.expm1(-0.004 * t) + random.normal(0, 0.1));
  const plain = fitFirstOrder(x, y);
  const scaled = fitFirstOrder(
    x.map((t) => t / 60),
    y.map((v) => v * 1e-6),
  );
  expect(scaled.rateConstant / 60 / plain.rateConstant).toBeCloseTo(1, 9);
  expect((scaled.initialSlope * 1e6) / 60 / plain.initialSlope).toBeCloseTo(1, 9);
  expect((the(scaled.standardErrors).initialSlope * 1e6) / 60 / the(plain.standardErrors).initialSlope).toBeCloseTo(
    1,
    7,
  );
  expect((the(the(scaled.standardErrors).amplitude) * 1e6) / the(the(plain.standardErrors).amplitude)).toBeCloseTo(
    1,
    7,
  );
});

test('weights 1/u² give the a-priori covariance; equal weights change nothing', () => {
  const random = createRandom('weights');
  const y = x.map((t) => 54 * -Math.expm1(-0.004 * t) + random.normal(0, 0.1));
  const plain = fitFirstOrder(x, y);
  const weighted = fitFirstOrder(x, y, { weights: x.map(() => 100) });
  expect(weighted.rateConstant).toBeCloseTo(plain.rateConstant, 12);
  expect(the(the(weighted.cofactor[1])[1]) * 100).toBeCloseTo(the(the(plain.cofactor[1])[1]), 12);
  expect(the(weighted.standardErrors).rateConstant).toBeCloseTo(the(plain.standardErrors).rateConstant, 12);
  const left = fitFirstOrder([...x, 500], [...y, 999], { weights: [...x.map(() => 1), 0] });
  expect(left.rateConstant).toBeCloseTo(plain.rateConstant, 9);
  expect(left.degreesOfFreedom).toBe(plain.degreesOfFreedom);
});

test('stated standard errors of the starting slope hold over 500 simulated runs', () => {
  const random = createRandom('first order');
  let within = 0;
  for (let i = 0; i < 500; i++) {
    const y = x.map((t) => 54 * -Math.expm1(-0.004 * t) + random.normal(0, 0.1));
    const fit = fitFirstOrder(x, y);
    // t(9, 97.5 %) = 2.262
    if (Math.abs(fit.initialSlope - 0.216) <= 2.262 * the(fit.standardErrors).initialSlope) within += 1;
  }
  expect(within / 500).toBeGreaterThan(0.92);
  expect(within / 500).toBeLessThan(0.98);
});

test('a curve that is over before the first reading is refused, so are too few readings and all zeros', () => {
  expect(() => fitFirstOrder([1, 2, 3, 4], [5, 5, 5, 5])).toThrow(/levels off before/);
  expect(() => fitFirstOrder([0, 2], [1, 2])).toThrow(/too few/);
  expect(() => fitFirstOrder([1, 2, 3], [0, 0, 0])).toThrow(/no rise/);
});

test('a curve that has levelled off by its second half is a curve as long as its first reading is still rising', () => {
  // Forty time constants long; the first reading at four fifths of one.
  const times = [0, 0.02, 0.05, 0.1, 0.2, 0.6, 1];
  const fit = fitFirstOrder(
    times,
    times.map((t) => 50 * -Math.expm1(-40 * t)),
  );
  expect(fit.rateConstant).toBeCloseTo(40, 6);
  expect(fit.amplitude).toBeCloseTo(50, 6);
  // A reading at 0, and one that weighs nothing, do not say that it was still rising.
  const late = times.map((t) => (t === 0 || t === 0.02 ? t : t + 0.7));
  const flat = late.map((t) => 50 * -Math.expm1(-40 * t));
  expect(() => fitFirstOrder(late, flat, { weights: late.map((t) => Number(t !== 0.02)) })).toThrow(
    /levels off before/,
  );
});

test('as many readings as unknowns are a curve without standard errors', () => {
  const fit = fitFirstOrder(
    [10, 30],
    [10, 30].map((t) => 40 * -Math.expm1(-0.05 * t)),
  );
  expect(fit.rateConstant).toBeCloseTo(0.05, 9);
  expect([fit.degreesOfFreedom, fit.standardErrors, fit.covariance, fit.residualSd]).toEqual([0, null, null, null]);
});

test('hostile readings give a curve of ordinary numbers or a sentence', () => {
  const list = fc.array(fc.oneof(fc.constantFrom(0, 1, -1, 1e200, Number.NaN), fc.double({ min: -1e6, max: 1e6 })), {
    maxLength: 7,
  });
  fc.assert(
    fc.property(list, list, (a, b) => {
      try {
        const fit = fitFirstOrder(a, b);
        for (const value of [fit.rateConstant, fit.initialSlope, fit.sumOfSquares])
          expect(value === null || Number.isFinite(value)).toBe(true);
        for (const value of Object.values(fit.standardErrors ?? {}))
          expect(value === null || Number.isFinite(value)).toBe(true);
      } catch (error) {
        if (!(error instanceof NumericsError)) throw error;
        expect(error.sentence).toMatch(/^[A-Z].*\.$/);
      }
    }),
    { numRuns: 2000 },
  );
});

test('an exact nonlinear problem and one with as many readings as unknowns settle', () => {
  const t = [0, 1, 2, 3, 4, 5];
  const y = t.map((value) => 3 * Math.exp(-0.7 * value) + 0.25);
  const model = ([a, k, c]: readonly number[]) =>
    t.map((value, i) => the(y[i]) - the(a) * Math.exp(-the(k) * value) - the(c));
  const fit = fitNonlinear({ residuals: model, start: [1, 0.2, 0] });
  expect(fit.parameters[0]).toBeCloseTo(3, 9);
  expect(fit.parameters[1]).toBeCloseTo(0.7, 9);
  expect(fit.parameters[2]).toBeCloseTo(0.25, 9);
  const exact = fitNonlinear({ residuals: ([a]) => [the(a) * the(a) - 2], start: [1] });
  expect(exact.parameters[0]).toBeCloseTo(Math.SQRT2, 12);
  expect(exact.covariance).toBeNull();
});

test('twenty parameters on two hundred residuals of very different sizes', () => {
  // Ten curves a exp(-k t), amplitudes over ten powers of ten, each with its own k.
  const random = createRandom('twenty');
  const t = Array.from({ length: 20 }, (_, i) => i / 4);
  const truth = Array.from({ length: 10 }, (_, j) => [10 ** (j - 5), 0.2 + 0.1 * j] as const);
  const data = truth.map(([a, k]) => t.map((value) => a * Math.exp(-k * value) * (1 + random.normal(0, 1e-3))));
  const fit = fitNonlinear({
    start: truth.flatMap(([a]) => [a * 3, 0.5]),
    residuals: (p) =>
      truth.flatMap(([a], j) =>
        t.map((value, i) => (the(the(data[j])[i]) - the(p[2 * j]) * Math.exp(-the(p[2 * j + 1]) * value)) / a),
      ),
  });
  for (const [j, [a, k]] of truth.entries()) {
    expect(Math.abs(the(fit.parameters[2 * j]) / a - 1)).toBeLessThan(5e-3);
    expect(Math.abs(the(fit.parameters[2 * j + 1]) / k - 1)).toBeLessThan(1e-2);
  }
  expect(fit.iterations).toBeLessThan(60);
});

test('what does not settle says so, and a hopeless start is refused', () => {
  expect(() => fitNonlinear({ residuals: ([a]) => [Math.exp(-the(a)), 0], start: [0], maxIterations: 3 })).toThrow(
    NonConvergence,
  );
  expect(() => fitNonlinear({ residuals: () => [Number.NaN, 1], start: [1] })).toThrow(OutOfRange);
  expect(() => fitNonlinear({ residuals: ([a]) => [the(a), the(a) - 1, 2], start: [0, 0] })).toThrow(/do not depend/);
});
