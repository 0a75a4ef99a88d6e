import { expect, test } from 'vitest';
import { fitRobust } from '../../src/numerics/m-estimation.ts';
import { fitRepeatedMedians } from '../../src/numerics/repeated-medians.ts';
import { fitStraightLine } from '../../src/numerics/straight-line.ts';
import { fitTheilSen } from '../../src/numerics/theil-sen.ts';
import { the } from '../the.ts';

/** Belgian telephone calls 1950-73 (Rousseeuw and Leroy 1987; R package MASS, `phones`), tens of millions. */
const year = Array.from({ length: 24 }, (_, i) => 50 + i);
const calls = [
  4.4, 4.7, 4.7, 5.9, 6.6, 7.3, 8.1, 8.8, 10.6, 12, 13.5, 14.9, 16.1, 21.2, 119, 124, 142, 159, 182, 212, 43, 24, 27,
  29,
];
const line = [year.map(() => 1), year];

test('Sen 1968: slope 4, 93 % interval 26/7 to 35/8, both intercepts', () => {
  // Worked example of Sen, J. Am. Stat. Assoc. 63 (1968) 1379; as in SciPy's tests.
  const x = [1, 2, 3, 4, 10, 12, 18];
  const y = [9, 15, 19, 20, 45, 55, 78];
  const fit = fitTheilSen(x, y, 0.93);
  expect(fit.slope).toBe(4);
  expect(fit.slopeLow).toBeCloseTo(26 / 7, 14);
  expect(fit.slopeHigh).toBeCloseTo(35 / 8, 14);
  expect(fit.interceptOfMedians).toBe(4);
  expect(fit.intercept).toBe(6);
  // Siegel for the same points: SciPy siegelslopes.
  const siegel = fitRepeatedMedians(x, y);
  expect(siegel.slope).toBeCloseTo(3.9981617647058822, 13);
  expect(siegel.intercept).toBeCloseTo(6.033088235294116, 13);
});

test('small Theil-Sen cases of the SciPy tests', () => {
  const fit = fitTheilSen([0, 1, 2], [0, 1, 1]);
  expect(fit.slope).toBe(0.5);
  expect(fit.interceptOfMedians).toBe(0.5);
  expect(fit.intercept).toBe(0);
});

test('repeated medians keep a line when four in ten readings are wild', () => {
  const x = Array.from({ length: 10 }, (_, i) => 2 * i);
  const y = x.map((value, i) => (i < 4 ? 1000 : 5 * value - 3));
  expect(fitRepeatedMedians(x, y)).toEqual({ slope: 5, intercept: -3 });
});

test('phones: least squares, Theil-Sen and Siegel (SciPy 1.17)', () => {
  const ordinary = fitStraightLine(year, calls);
  expect(ordinary.slope).toBeCloseTo(5.04147826087, 11);
  expect(ordinary.intercept).toBeCloseTo(-260.059246376812, 10);
  const theilSen = fitTheilSen(year, calls);
  expect(theilSen.slope).toBeCloseTo(1.3875, 12);
  expect(theilSen.interceptOfMedians).toBeCloseTo(-69.83125, 10);
  expect(theilSen.intercept).toBeCloseTo(-67.98125, 10);
  expect(theilSen.slopeLow).toBeCloseTo(1.125, 12);
  expect(theilSen.slopeHigh).toBeCloseTo(5.1, 12);
  const siegel = fitRepeatedMedians(year, calls);
  expect(siegel.slope).toBeCloseTo(1.4, 12);
  expect(siegel.intercept).toBeCloseTo(-68.65, 10);
});

test('phones: Huber as printed in Venables and Ripley, MASS 4th ed. (-102.6222, 2.0414, scale 9.03), with their stopping rule', () => {
  const fit = fitRobust(line, calls, { tolerance: 1e-4 });
  expect(fit.coefficients[0]).toBeCloseTo(-102.6222, 4);
  expect(fit.coefficients[1]).toBeCloseTo(2.0414, 4);
  expect(fit.scale).toBeCloseTo(9.03, 2);
});

test('phones: Huber iterated to the end (recomputed: -102.529638118, 2.039600466, scale 9.009028; se 26.546, 0.4289)', () => {
  const fit = fitRobust(line, calls);
  expect(fit.coefficients[0]).toBeCloseTo(-102.529638118, 5);
  expect(fit.coefficients[1]).toBeCloseTo(2.039600466, 7);
  expect(fit.scale).toBeCloseTo(9.009028, 5);
  expect(the(fit.standardErrors)[0]).toBeCloseTo(26.546, 3);
  expect(the(fit.standardErrors)[1]).toBeCloseTo(0.4289, 4);
});

// Brownlee (1965), stack loss of an ammonia plant: air flow, water temperature, acid concentration, loss.
const air = [80, 80, 75, 62, 62, 62, 62, 62, 58, 58, 58, 58, 58, 58, 50, 50, 50, 50, 50, 56, 70];
const water = [27, 27, 25, 24, 22, 23, 24, 24, 23, 18, 18, 17, 18, 19, 18, 18, 19, 19, 20, 20, 20];
const acid = [89, 88, 90, 87, 87, 87, 93, 93, 87, 80, 89, 88, 82, 93, 89, 86, 72, 79, 80, 82, 91];
const loss = [42, 37, 37, 28, 18, 18, 19, 20, 15, 14, 14, 13, 11, 12, 8, 7, 8, 8, 9, 15, 15];
const plant = [air.map(() => 1), air, water, acid];

test('stack loss: Huber and its standard errors as printed by R (MASS, rlm)', () => {
  // cran/MASS tests/Examples/MASS-Ex.Rout.save
  const fit = fitRobust(plant, loss, { tolerance: 1e-4 });
  const printed = [-41.0265, 0.8294, 0.9261, -0.1278];
  const errors = [9.8073, 0.1112, 0.3034, 0.1289];
  for (const i of [0, 1, 2, 3]) {
    expect(fit.coefficients[i]).toBeCloseTo(the(printed[i]), 4);
    expect(the(fit.standardErrors)[i]).toBeCloseTo(the(errors[i]), i === 0 ? 3 : 4);
  }
  expect(fit.scale).toBeCloseTo(2.441, 3);
});

test('stack loss: bisquare as printed by R (-42.2852537, 0.9275471, 0.6507322, -0.1123310; scale 2.28)', () => {
  const fit = fitRobust(plant, loss, { influence: 'bisquare', tolerance: 1e-4 });
  const printed = [-42.2852537, 0.9275471, 0.6507322, -0.112331];
  for (const i of [0, 1, 2, 3]) expect(fit.coefficients[i]).toBeCloseTo(the(printed[i]), 7);
  expect(fit.scale).toBeCloseTo(2.28, 2);
});
