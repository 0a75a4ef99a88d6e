import { expect, test } from 'vitest';
import { courseOf, type Mixture } from '../../src/planning/run-prediction.ts';
import { the } from '../the.ts';

/**
 * A published college hand-out's mixture: 4 mL of 3 % peroxide and 5 mL of 0.8 mol/L iodide in 25 mL.
 *
 * By hand, with k = 0.0115 L/mol/s (Liebhafsky & Mohammad, J. Am. Chem. Soc. 55 (1933) 3977, 25 °C):
 *   [H2O2] = 4 x 0.882 / 25 = 0.1411 mol/L;  [I-] = 5 x 0.8 / 25 = 0.160 mol/L
 *   d[O2]/dt = 0.0115 x 0.1411 x 0.160 = 2.597e-4 mol/L/s;  x 0.025 L = 6.49e-6 mol/s
 *   1 mol of moist gas at 25 °C and 1000 hPa: R T / (p - p_w) = 8.31446 x 298.15 / (100000 - 3169.7) = 25.601 L
 *   rate = 6.49e-6 x 25601 mL = 0.1662 mL/s;  first 2 mL: 2 / 0.1662 = 12.0 s at the starting rate
 *   k' = 2 k [I-] = 3.68e-3 1/s;  half-life ln 2 / k' = 188.4 s
 *   ceiling = 0.1411 / 2 x 0.025 x 25601 = 45.2 mL
 */
const handOut: Mixture = {
  k: 0.0115,
  orders: { H2O2: 1, 'I-': 1 },
  concentrations: { H2O2: (4 * 0.882) / 25, 'I-': 0.16 },
  usedPerGas: { H2O2: 2, 'I-': 0 },
  limiting: 'H2O2',
  solutionL: 0.025,
  litresPerMol: 25.601,
  perM3: 0,
};

test('the hand-out’s mixture: rate, ceiling and half-life as worked by hand', () => {
  const course = the(courseOf(handOut));
  expect(course.rateMlPerS).toBeCloseTo(0.1662, 3);
  expect(course.ceiling.volumeMl).toBeCloseTo(45.16, 1);
  expect(course.secondsTo(course.ceiling.volumeMl / 2)).toBeCloseTo(Math.LN2 / 3.68e-3, 6);
  // 2 mL by first order: -ln(1 - 2/45.16) / 3.68e-3 = 12.3 s, a little more than 12.0 s at the starting rate.
  expect(course.secondsTo(2)).toBeCloseTo(12.31, 1);
});

test('second order in the limiting reagent: 1/c grows in a line', () => {
  // d[gas]/dt = k c^2, one gas per reagent: 1/c = 1/c0 + k t. c0 = 0.2, k = 0.05: half of it after 1/(k c0) = 100 s,
  // three quarters after 300 s.
  const course = the(
    courseOf({
      k: 0.05,
      orders: { A: 2 },
      concentrations: { A: 0.2 },
      usedPerGas: { A: 1 },
      limiting: 'A',
      solutionL: 0.1,
      litresPerMol: 25,
      perM3: 0,
    }),
  );
  expect(course.ceiling.volumeMl).toBeCloseTo(500, 9);
  expect(course.secondsTo(250)).toBeCloseTo(100, 5);
  expect(course.secondsTo(375)).toBeCloseTo(300, 4);
});

test('order zero: the gas comes evenly until it stops', () => {
  const course = the(courseOf({ ...handOut, k: 1e-4, orders: { H2O2: 0 } }));
  expect(course.secondsTo(20)).toBeCloseTo(20 / course.rateMlPerS, 6);
});

test('a partner that is used up as well slows the reaction', () => {
  const catalyst = the(courseOf(handOut));
  const used = the(courseOf({ ...handOut, usedPerGas: { H2O2: 2, 'I-': 1 } }));
  expect(used.rateMlPerS).toBe(catalyst.rateMlPerS);
  expect(the(used.secondsTo(20))).toBeGreaterThan(the(catalyst.secondsTo(20)));
});

test('beyond the ceiling it never comes, and without reagent there is no course', () => {
  const course = the(courseOf(handOut));
  expect(course.secondsTo(course.ceiling.volumeMl)).toBeNull();
  expect(course.secondsTo(60)).toBeNull();
  expect(course.secondsTo(0)).toBe(0);
  expect(courseOf({ ...handOut, concentrations: { H2O2: 0.1 } })).toBeNull();
  expect(courseOf({ ...handOut, k: 0 })).toBeNull();
  expect(courseOf({ ...handOut, concentrations: { 'I-': 0.1 } })).toBeNull();
});
