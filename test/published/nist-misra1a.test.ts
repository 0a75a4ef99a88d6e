import { expect, test } from 'vitest';
import { ratesOfFile } from '../../src/commands/rates.ts';
import { fitFirstOrder } from '../../src/numerics/first-order-fit.ts';
import { fitNonlinear } from '../../src/numerics/nonlinear-least-squares.ts';
import { digitsAgreeing } from '../numerics/digits-agreeing.ts';
import { the } from '../the.ts';
import { misra1a } from './nist-misra1a-data.ts';

// Certified: NIST StRD, nonlinear regression, Misra1a (lower difficulty), y = b1 (1 - exp(-b2 x)).
const { x, y, certified } = misra1a;

test('one-dimensional search without a start value: nine digits or better', () => {
  const fit = fitFirstOrder(x, y);
  expect(digitsAgreeing(the(fit.amplitude), certified.b1)).toBeGreaterThan(9.5);
  expect(digitsAgreeing(fit.rateConstant, certified.b2)).toBeGreaterThan(9.5);
  expect(digitsAgreeing(the(the(fit.standardErrors).amplitude), certified.sdB1)).toBeGreaterThan(9);
  expect(digitsAgreeing(the(fit.standardErrors).rateConstant, certified.sdB2)).toBeGreaterThan(9);
  expect(digitsAgreeing(fit.sumOfSquares, certified.sumOfSquares)).toBeGreaterThan(10);
  expect(digitsAgreeing(the(fit.residualSd), certified.residualSd)).toBeGreaterThan(10);
  expect(fit.degreesOfFreedom).toBe(12);
});

for (const [i, start] of misra1a.starts.entries()) {
  for (const derivatives of ['numeric', 'analytic'] as const) {
    test(`damped Gauss-Newton from start ${i + 1}, ${derivatives} derivatives: nine digits or better`, () => {
      const fit = fitNonlinear({
        start,
        residuals: ([b1, b2]) => x.map((value, k) => the(y[k]) + the(b1) * Math.expm1(-the(b2) * value)),
        ...(derivatives === 'analytic'
          ? {
              jacobian: ([b1, b2]: readonly number[]) =>
                x.map((value) => [Math.expm1(-the(b2) * value), -the(b1) * value * Math.exp(-the(b2) * value)]),
            }
          : {}),
      });
      expect(digitsAgreeing(the(fit.parameters[0]), certified.b1)).toBeGreaterThan(9.5);
      expect(digitsAgreeing(the(fit.parameters[1]), certified.b2)).toBeGreaterThan(9.5);
      expect(digitsAgreeing(the(the(fit.standardErrors)[0]), certified.sdB1)).toBeGreaterThan(9);
      expect(digitsAgreeing(the(the(fit.standardErrors)[1]), certified.sdB2)).toBeGreaterThan(9);
      expect(digitsAgreeing(the(fit.residualSd), certified.residualSd)).toBeGreaterThan(10);
      const [c11, c12, c22] = [
        the(the(fit.cofactor[0])[0]),
        the(the(fit.cofactor[0])[1]),
        the(the(fit.cofactor[1])[1]),
      ];
      // Correlation recomputed independently (SciPy): -0.998776192.
      expect(c12 / Math.sqrt(c11 * c22)).toBeCloseTo(-0.998776192, 8);
    });
  }
}

// The same as a table for `npm run rates`: the certified model has no gas at 0 s, which only the table can say.
const table = (columns: string, cells: string): string =>
  `run,time_s,volume_mL${columns}\n${x.map((value, i) => `misra,${value},${y[i]}${cells}`).join('\n')}\n`;

test.each([
  { columns: ',start_s', cells: ',0' },
  { columns: ',baseline_mL,start_s', cells: ',0,0' },
])('as a table with $columns the first-order estimate is the certified curve', ({ columns, cells }) => {
  const { firstOrder, flags } = firstRunOf(table(columns, cells));
  expect(digitsAgreeing(firstOrder.k_per_s, certified.b2)).toBeGreaterThan(9.5);
  expect(digitsAgreeing(firstOrder.u_k_per_s, certified.sdB2)).toBeGreaterThan(9);
  expect(digitsAgreeing(firstOrder.ceiling_mL, certified.b1)).toBeGreaterThan(9.5);
  expect(digitsAgreeing(firstOrder.u_ceiling_mL, certified.sdB1)).toBeGreaterThan(9);
  expect(digitsAgreeing(firstOrder.rate_mL_per_s, certified.b1 * certified.b2)).toBeGreaterThan(9);
  expect(flags).toEqual([]);
});

test.each(['', ',baseline_mL'])(
  'as a table%s without a stated start the certified curve stands beside the free one',
  (columns) => {
    const { firstOrder } = firstRunOf(table(columns, columns === '' ? '' : ',0'));
    expect(digitsAgreeing(firstOrder.if_no_gas_at_0_s.k_per_s, certified.b2)).toBeGreaterThan(9.5);
    expect(digitsAgreeing(firstOrder.if_no_gas_at_0_s.ceiling_mL, certified.b1)).toBeGreaterThan(9.5);
    // Offset free, three parameters: another curve, and the readings prefer it (recomputed: k 5.2229e-4).
    expect(firstOrder.k_per_s).toBeCloseTo(5.2229e-4, 8);
  },
);

test('with the certified ceiling given as well there is one parameter, and it is the certified one', () => {
  const { firstOrder } = firstRunOf(table(',start_s,ceiling_mL', `,0,${certified.b1}`));
  expect(digitsAgreeing(firstOrder.k_per_s, certified.b2)).toBeGreaterThan(9);
  expect(firstOrder.ceiling).toBe('given');
});

// biome-ignore lint/suspicious/noExplicitAny: the answer is read as whoever reads JSON reads it
function firstRunOf(text: string): any {
  const answer = ratesOfFile(text);
  if (!answer.ok) throw new Error(answer.sentence);
  return JSON.parse(JSON.stringify(answer.json)).runs[0];
}
