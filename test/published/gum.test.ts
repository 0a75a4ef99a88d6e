import { expect, test } from 'vitest';
import { studentUpperQuantile } from '../../src/numerics/distributions.ts';
import { type Input, propagate } from '../../src/numerics/propagate.ts';
import { fitStraightLine } from '../../src/numerics/straight-line.ts';
import { the } from '../the.ts';

// JCGM 100:2008 (GUM), annex H. More digits recomputed from the printed inputs.

test('H.1, end gauge: combined uncertainty, contributions, effective degrees of freedom, 99 % and 95 % intervals', () => {
  const inputs: Input[] = [
    { name: 'standard', value: 50.000623, u: 25e-6, degreesOfFreedom: 18 },
    { name: 'difference', value: 215e-6, u: 9.7e-6, degreesOfFreedom: 25.6 },
    { name: 'expansion of the standard', value: 11.5e-6, u: 1.2e-6 },
    { name: 'temperature of the bed', value: -0.1, u: 0.41 },
    { name: 'difference of expansion', value: 0, u: 0.58e-6, degreesOfFreedom: 50 },
    { name: 'difference of temperature', value: 0, u: 0.029, degreesOfFreedom: 2 },
  ];
  const length = propagate(
    inputs,
    ([ls, d, alpha, theta, dAlpha, dTheta]) =>
      the(ls) + the(d) - the(ls) * (the(dAlpha) * the(theta) + the(alpha) * the(dTheta)),
  );
  expect(length.value).toBeCloseTo(50.000838, 9);
  expect(length.u * 1e6).toBeCloseTo(32, 0);
  expect(length.u * 1e6).toBeCloseTo(31.7, 1);
  const contributions = [25, 9.7, 0, 0, 2.9, 16.6];
  for (const [i, expected] of contributions.entries()) {
    expect(Math.abs(the(length.budget[i]).contribution * 1e6 - expected)).toBeLessThan(0.1);
  }
  expect(length.budget.reduce((sum, line) => sum + line.share, 0)).toBeCloseTo(1, 12);
  // Printed 16.7 (16.66 unrounded); cut to 16, t(16, 99 %) = 2.92.
  expect(length.effectiveDegreesOfFreedom).toBeCloseTo(16.66, 2);
  const cut = Math.floor(length.effectiveDegreesOfFreedom);
  expect(studentUpperQuantile(0.005, cut)).toBeCloseTo(2.92, 2);
  expect(studentUpperQuantile(0.005, cut) * length.u * 1e6).toBeCloseTo(93, 0);
  expect(studentUpperQuantile(0.025, cut)).toBeCloseTo(2.12, 2);
});

const temperature = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
const correction = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
const line = fitStraightLine(
  temperature.map((t) => t - 20),
  correction,
);

test('H.3, thermometer: line, standard errors, correlation, residual standard deviation', () => {
  expect(line.intercept).toBeCloseTo(-0.1712, 4);
  expect(line.interceptError).toBeCloseTo(0.0029, 4);
  expect(line.slope).toBeCloseTo(0.00218, 5);
  expect(line.slopeError).toBeCloseTo(0.00067, 5);
  expect(the(line.covariance) / (the(line.interceptError) * the(line.slopeError))).toBeCloseTo(-0.93, 3);
  expect(line.fit.residualSd).toBeCloseTo(0.0035, 4);
  expect(line.intercept).toBeCloseTo(-0.17120379013135, 12);
  expect(line.interceptError).toBeCloseTo(0.002877597835159954, 13);
  expect(line.slope).toBeCloseTo(0.002182697739887278, 14);
  expect(line.slopeError).toBeCloseTo(0.0006679387732278317, 14);
  expect(line.fit.sumOfSquares).toBeCloseTo(0.0001100965831092971, 14);
});

test('H.3: predicted correction at 30 °C needs the correlation (0.0041, not 0.0073)', () => {
  const inputs: Input[] = [
    { name: 'intercept', value: line.intercept, u: the(line.interceptError) },
    { name: 'slope', value: line.slope, u: the(line.slopeError) },
  ];
  const at30 = ([intercept, slope]: readonly number[]) => the(intercept) + 10 * the(slope);
  const coefficient = the(line.covariance) / (the(line.interceptError) * the(line.slopeError));
  const with30 = propagate(inputs, at30, { correlations: [{ between: ['intercept', 'slope'], coefficient }] });
  expect(with30.value).toBeCloseTo(-0.1494, 4);
  expect(with30.u).toBeCloseTo(0.0041, 4);
  expect(with30.u).toBeCloseTo(0.004138595753, 10);
  expect(with30.budget.reduce((sum, part) => sum + part.share, 0)).toBeCloseTo(1, 12);
  expect(propagate(inputs, at30).u).toBeCloseTo(0.0073, 4);
});
