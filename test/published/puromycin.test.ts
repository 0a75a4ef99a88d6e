/**
 * The Michaelis form on a published set: velocity of an enzyme with and without puromycin (Treloar 1974), from Bates and
 * Watts, Nonlinear Regression Analysis and Its Applications (1988), appendix A1.3. Data and estimates from memory, as the
 * example of SSmicmen and of Puromycin in the documentation of R's packages stats and datasets prints them.
 */
import { expect, test } from 'vitest';
import { fitBlocks } from '../../src/numerics/blocked-least-squares.ts';

const conc = [0.02, 0.02, 0.06, 0.06, 0.11, 0.11, 0.22, 0.22, 0.56, 0.56, 1.1, 1.1];
const treated = [76, 47, 97, 107, 123, 139, 159, 152, 191, 201, 207, 200];
/** One fewer: the last concentration once. */
const untreated = [67, 51, 84, 86, 98, 115, 131, 124, 144, 158, 160];

/** Blocks with a largest velocity each and one Michaelis constant, ln K being shared. */
function michaelis(blocks: readonly (readonly number[])[]) {
  const found = fitBlocks({
    blocks: blocks.length,
    evaluate: (block, [lnK = 0, largest = 0]) => ({
      residuals: (blocks[block] ?? []).map((v, i) => {
        const c = conc[i] ?? Number.NaN;
        return v - (largest * c) / (Math.exp(lnK) + c);
      }),
      weights: (blocks[block] ?? []).map(() => 1),
    }),
    sharedStart: [Math.log(0.1)],
    ownStart: blocks.map((rates) => [Math.max(...rates)]),
    scales: [1, 100],
  });
  if (!found) throw new Error('no fit');
  const count = blocks.reduce((sum, rates) => sum + rates.length, 0);
  const residual = Math.sqrt(found.sumOfSquares / (count - 1 - blocks.length));
  const constant = Math.exp(found.shared[0] ?? Number.NaN);
  return {
    constant,
    uConstant: constant * residual * Math.sqrt(found.covariance[0]?.[0] ?? Number.NaN),
    largest: found.own.map(([value]) => value),
    uLargest: found.ownCovariance.map((own) => residual * Math.sqrt(own[0]?.[0] ?? Number.NaN)),
    residual,
  };
}

test('the treated enzyme: Vm 212.7 ± 6.947, K 0.06412 ± 0.00828, residual 10.93', () => {
  const found = michaelis([treated]);
  expect(found.largest[0]).toBeCloseTo(212.7, 1);
  expect(found.uLargest[0]).toBeCloseTo(6.947, 2);
  expect(found.constant).toBeCloseTo(0.06412, 4);
  expect(found.uConstant).toBeCloseTo(0.00828, 4);
  expect(found.residual).toBeCloseTo(10.93, 2);
});

test('both together with one K: 0.05797 ± 0.00591, Vm 166.6 ± 5.81 without puromycin and 42.03 more with it', () => {
  const found = michaelis([untreated, treated]);
  expect(found.constant).toBeCloseTo(0.05797, 4);
  expect(found.uConstant).toBeCloseTo(0.00591, 4);
  expect(found.largest[0]).toBeCloseTo(166.6, 1);
  expect(found.uLargest[0]).toBeCloseTo(5.81, 1);
  expect((found.largest[1] ?? 0) - (found.largest[0] ?? 0)).toBeCloseTo(42.03, 1);
});
