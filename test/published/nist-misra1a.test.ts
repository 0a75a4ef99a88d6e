import { expect, test } from 'vitest';
import { fitFirstOrder } from '../../src/numerics/first-order-fit.ts';
import { fitNonlinear } from '../../src/numerics/nonlinear-least-squares.ts';
import { digitsAgreeing } from '../numerics/digits-agreeing.ts';
import { misra1a } from './nist-misra1a-data.ts';

// Certified: NIST StRD, nonlinear regression, Misra1a (lower difficulty), y = b1 (1 - exp(-b2 x)).
const { x, y, certified } = misra1a;

test('one-dimensional search without a start value: nine digits or better', () => {
  const fit = fitFirstOrder(x, y);
  expect(digitsAgreeing(fit.amplitude!, certified.b1)).toBeGreaterThan(9.5);
  expect(digitsAgreeing(fit.rateConstant, certified.b2)).toBeGreaterThan(9.5);
  expect(digitsAgreeing(fit.standardErrors!.amplitude!, certified.sdB1)).toBeGreaterThan(9);
  expect(digitsAgreeing(fit.standardErrors!.rateConstant, certified.sdB2)).toBeGreaterThan(9);
  expect(digitsAgreeing(fit.sumOfSquares, certified.sumOfSquares)).toBeGreaterThan(10);
  expect(digitsAgreeing(fit.residualSd!, certified.residualSd)).toBeGreaterThan(10);
  expect(fit.degreesOfFreedom).toBe(12);
});

for (const [i, start] of misra1a.starts.entries()) {
  for (const derivatives of ['numeric', 'analytic'] as const) {
    test(`damped Gauss-Newton from start ${i + 1}, ${derivatives} derivatives: nine digits or better`, () => {
      const fit = fitNonlinear({
        start,
        residuals: ([b1, b2]) => x.map((value, k) => y[k]! + b1! * Math.expm1(-b2! * value)),
        ...(derivatives === 'analytic'
          ? {
              jacobian: ([b1, b2]: readonly number[]) =>
                x.map((value) => [Math.expm1(-b2! * value), -b1! * value * Math.exp(-b2! * value)]),
            }
          : {}),
      });
      expect(digitsAgreeing(fit.parameters[0]!, certified.b1)).toBeGreaterThan(9.5);
      expect(digitsAgreeing(fit.parameters[1]!, certified.b2)).toBeGreaterThan(9.5);
      expect(digitsAgreeing(fit.standardErrors![0]!, certified.sdB1)).toBeGreaterThan(9);
      expect(digitsAgreeing(fit.standardErrors![1]!, certified.sdB2)).toBeGreaterThan(9);
      expect(digitsAgreeing(fit.residualSd!, certified.residualSd)).toBeGreaterThan(10);
      const [c11, c12, c22] = [fit.cofactor[0]![0]!, fit.cofactor[0]![1]!, fit.cofactor[1]![1]!];
      // Correlation recomputed independently (SciPy): -0.998776192.
      expect(c12 / Math.sqrt(c11 * c22)).toBeCloseTo(-0.998776192, 8);
    });
  }
}
