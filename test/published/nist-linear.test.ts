import { expect, test } from 'vitest';
import { fitPolynomial } from '../../src/numerics/polynomial.ts';
import { fitStraightLine } from '../../src/numerics/straight-line.ts';
import { digitsAgreeing } from '../numerics/digits-agreeing.ts';
import { the } from '../the.ts';
import { noInt1, noInt2, norris, pontius } from './nist-linear-data.ts';

// Certified values: NIST Statistical Reference Datasets (StRD), linear regression, www.itl.nist.gov/div898/strd.

test('Norris: every certified value to twelve digits (F and residuals to ten)', () => {
  const line = fitStraightLine(norris.x, norris.y);
  expect(digitsAgreeing(line.intercept, norris.certified.b0)).toBeGreaterThan(12);
  expect(digitsAgreeing(line.slope, norris.certified.b1)).toBeGreaterThan(12);
  expect(digitsAgreeing(the(line.interceptError), norris.certified.sdB0)).toBeGreaterThan(12);
  expect(digitsAgreeing(the(line.slopeError), norris.certified.sdB1)).toBeGreaterThan(12);
  expect(digitsAgreeing(the(line.fit.residualSd), norris.certified.residualSd)).toBeGreaterThan(12);
  expect(digitsAgreeing(the(line.fit.rSquared), norris.certified.rSquared)).toBeGreaterThan(14);
  expect(digitsAgreeing(line.fit.sumOfSquares, 26.6173985294224)).toBeGreaterThan(12);
  // Covariance: printed in the test of the GNU Scientific Library for the same data.
  expect(line.covariance).toBeCloseTo(-7.74327536e-5, 12);
});

test('Pontius: quadratic over x up to three million, to eleven digits or better', () => {
  const fit = fitPolynomial(pontius.x, pontius.y, 2);
  const c = pontius.certified;
  for (const [i, expected] of [c.b0, c.b1, c.b2].entries()) {
    expect(digitsAgreeing(the(fit.coefficients[i]), expected)).toBeGreaterThan(11);
  }
  for (const [i, expected] of [c.sdB0, c.sdB1, c.sdB2].entries()) {
    expect(digitsAgreeing(the(the(fit.standardErrors)[i]), expected)).toBeGreaterThan(11);
  }
  expect(digitsAgreeing(the(fit.residualSd), c.residualSd)).toBeGreaterThan(11);
  expect(digitsAgreeing(the(fit.rSquared), c.rSquared)).toBeGreaterThan(14);
});

test('NoInt1 and NoInt2: lines through the origin, share explained about zero', () => {
  for (const set of [noInt1, noInt2]) {
    const fit = fitPolynomial(set.x, set.y, 1, { throughOrigin: true });
    expect(digitsAgreeing(the(fit.coefficients[0]), set.certified.b1)).toBeGreaterThan(13);
    expect(digitsAgreeing(the(the(fit.standardErrors)[0]), set.certified.sdB1)).toBeGreaterThan(13);
    expect(digitsAgreeing(the(fit.residualSd), set.certified.residualSd)).toBeGreaterThan(13);
    expect(digitsAgreeing(the(fit.rSquared), set.certified.rSquared)).toBeGreaterThan(13);
  }
});
