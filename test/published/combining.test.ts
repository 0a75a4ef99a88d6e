import { expect, test } from 'vitest';
import { combineEstimates } from '../../src/numerics/combine.ts';
import { the } from '../the.ts';

test('BCG trials (Colditz 1994), log risk ratio, as in the tests of the R package metafor', () => {
  // Event counts recalled, confirmed by reproducing every printed value of metafor's test_misc_metan_vs_rma (dat.bcg).
  const treated = [4, 6, 3, 62, 33, 180, 8, 505, 29, 17, 186, 5, 27];
  const treatedFree = [119, 300, 228, 13536, 5036, 1361, 2537, 87886, 7470, 1699, 50448, 2493, 16886];
  const control = [11, 29, 11, 248, 47, 372, 10, 499, 45, 65, 141, 3, 29];
  const controlFree = [128, 274, 209, 12619, 5761, 1079, 619, 87892, 7232, 1600, 27197, 2338, 17825];
  const ratio = treated.map((a, i) =>
    Math.log(a / (a + the(treatedFree[i])) / (the(control[i]) / (the(control[i]) + the(controlFree[i])))),
  );
  const u = treated.map((a, i) =>
    Math.sqrt(
      1 / a - 1 / (a + the(treatedFree[i])) + 1 / the(control[i]) - 1 / (the(control[i]) + the(controlFree[i])),
    ),
  );
  const all = combineEstimates(ratio, u);
  expect(all.weighted.mean).toBeCloseTo(-0.4303, 4);
  expect(all.weighted.mean - 1.959964 * all.weighted.u).toBeCloseTo(-0.5097, 4);
  expect(all.weighted.mean + 1.959964 * all.weighted.u).toBeCloseTo(-0.3509, 4);
  expect(all.weighted.mean / all.weighted.u).toBeCloseTo(-10.6247, 4);
  expect(all.q).toBeCloseTo(152.233, 4);
  expect(all.degreesOfFreedom).toBe(12);
  expect(100 * all.iSquared).toBeCloseTo(92.1173, 4);
  expect(all.derSimonianLaird.mean).toBeCloseTo(-0.7141, 4);
  expect(all.derSimonianLaird.mean - 1.959964 * all.derSimonianLaird.u).toBeCloseTo(-1.0644, 4);
  expect(all.derSimonianLaird.mean + 1.959964 * all.derSimonianLaird.u).toBeCloseTo(-0.3638, 4);
  expect(all.derSimonianLaird.mean / all.derSimonianLaird.u).toBeCloseTo(-3.9952, 4);
  expect(all.derSimonianLaird.tauSquared).toBeCloseTo(0.3088, 4);
  // Recomputed independently to more digits.
  expect(all.birgeRatio).toBeCloseTo(3.561752940177694, 10);
  expect(the(all.probability) / 1.9967645908458624e-26).toBeCloseTo(1, 9);
  expect(all.mandelPaule.tauSquared).toBeCloseTo(0.3180684522050243, 10);
  expect(all.mandelPaule.mean).toBeCloseTo(-0.7149681534934444, 10);
  expect(all.mandelPaule.u).toBeCloseTo(0.1808921915376236, 10);
});

test('heat of vaporisation of cadmium (Paule and Mandel 1982; data in the R package metRology), recomputed', () => {
  const values = [27.044, 26.022, 26.34, 26.787, 26.796];
  const u = [0.003, 0.076, 0.464, 0.003, 0.014].map(Math.sqrt);
  const all = combineEstimates(values, u);
  expect(all.weighted.mean).toBeCloseTo(26.88691975366, 10);
  expect(all.weighted.u).toBeCloseTo(0.03643214974, 10);
  expect(all.q).toBeCloseTo(22.6310745873, 9);
  expect(all.birgeRatio).toBeCloseTo(2.3786064506, 9);
  expect(all.enlarged.u).toBeCloseTo(0.0866577464, 9);
  expect(all.derSimonianLaird.tauSquared).toBeCloseTo(0.0412699115, 9);
  expect(all.derSimonianLaird.mean).toBeCloseTo(26.7674823295, 9);
  expect(all.derSimonianLaird.u).toBeCloseTo(0.1164232595, 9);
  expect(all.mandelPaule.tauSquared).toBeCloseTo(0.1052193882, 9);
  expect(all.mandelPaule.mean).toBeCloseTo(26.7121287483, 9);
  expect(all.mandelPaule.u).toBeCloseTo(0.1711369636, 9);
});

test('two laboratories (second example of the same paper): with two groups both between-group estimates coincide', () => {
  const u = [0.154 / Math.sqrt(6), 0.25 / Math.sqrt(2)];
  const all = combineEstimates([201.533, 216.55], u);
  expect(all.weighted.mean).toBeCloseTo(203.21915622, 7);
  expect(all.q).toBeCloseTo(6406.057, 2);
  expect(all.birgeRatio).toBeCloseTo(80.0378473, 6);
  expect(all.derSimonianLaird.tauSquared).toBeCloseTo(112.73754317, 7);
  expect(all.mandelPaule.tauSquared).toBeCloseTo(112.73754317, 7);
  expect(all.mandelPaule.mean).toBeCloseTo(209.04059112, 7);
  expect(all.mandelPaule.u).toBeCloseTo(7.508499945, 7);
});

test('sixteen values of G (CODATA 2018 inputs, from memory; weighted mean equals the published 6.67430)', () => {
  const values = [
    6.67248, 6.6729, 6.67398, 6.674255, 6.67559, 6.67422, 6.67387, 6.67222, 6.67425, 6.67349, 6.6726, 6.67554, 6.67191,
    6.67435, 6.674184, 6.674484,
  ];
  const u = [43, 50, 70, 9.2, 27, 98, 27, 87, 12, 18, 25, 16, 99, 13, 7.8, 7.8].map((digits) => digits * 1e-5);
  const all = combineEstimates(values, u);
  expect(all.weighted.mean).toBeCloseTo(6.6743, 4);
  expect(all.weighted.mean).toBeCloseTo(6.674288652592637, 12);
  expect(all.weighted.u).toBeCloseTo(3.769727268286086e-5, 14);
  expect(all.q).toBeCloseTo(197.67687104, 6);
  expect(all.birgeRatio).toBeCloseTo(3.6302146, 6);
  expect(all.derSimonianLaird.tauSquared).toBeCloseTo(3.0923296e-7, 13);
  expect(all.mandelPaule.tauSquared).toBeCloseTo(9.246042e-7, 13);
  expect(all.mandelPaule.mean).toBeCloseTo(6.67389037, 7);
});

test('three groups worked by hand: 10.0, 10.2, 10.5 with u 0.1, 0.1, 0.2', () => {
  const all = combineEstimates([10, 10.2, 10.5], [0.1, 0.1, 0.2]);
  expect(all.weighted.mean).toBeCloseTo(10 + 0.325 / 2.25, 12); // (0 + 20 + 12.5)/225
  expect(all.weighted.u).toBeCloseTo(1 / 15, 12);
  expect(all.q).toBeCloseTo(50 / 9, 11);
  expect(all.birgeRatio).toBeCloseTo(5 / 3, 12);
  expect(all.derSimonianLaird.tauSquared).toBeCloseTo(0.0266666667, 9);
  expect(all.derSimonianLaird.mean).toBeCloseTo(10.1862745098, 9);
});

test('one group is its own mean, and groups that agree too well are not enlarged', () => {
  const one = combineEstimates([5], [0.2]);
  expect(one.weighted).toEqual({ mean: 5, u: 0.2 });
  expect(one.birgeRatio).toBeNull();
  const same = combineEstimates([5, 5, 5], [0.2, 0.1, 0.3]);
  expect(same.enlarged.u).toBe(same.weighted.u);
  expect(same.mandelPaule.tauSquared).toBe(0);
  expect(same.iSquared).toBe(0);
});
