import { expect, test } from 'vitest';
import { agreementOf } from '../../src/numerics/agreement.ts';
import { combineEstimates } from '../../src/numerics/combine.ts';
import { seeded } from '../files/mutations.ts';

/** Classes of `n` simulated results about 1, u from 2 to 5 %, scattering `over` times as much as they say. */
function* classes(count: number, n: number, over: number) {
  const random = seeded(20_261_129);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  for (let i = 0; i < count; i++) {
    const u = Array.from({ length: n }, () => 0.02 + 0.03 * random());
    yield { u, x: u.map((one) => 1 + over * one * normal()) };
  }
}

const share = (count: number, of: number): number => count / of;

test('results that agree are seldom set apart, and their mean covers the truth', () => {
  for (const n of [3, 4, 6, 12]) {
    let apart = 0;
    let covered = 0;
    for (const { x, u } of classes(1000, n, 1)) {
      const found = agreementOf(x, u);
      if (found.apart.length > 0) apart++;
      if (Math.abs(found.value.mean - 1) <= 2 * found.value.u) covered++;
    }
    expect(share(apart, 1000)).toBeLessThan(0.05);
    expect(share(covered, 1000)).toBeGreaterThan(0.94);
  }
});

test('one group at half the value is found, and does not pull the mean', () => {
  for (const [n, least] of [
    [3, 0.8],
    [4, 0.95],
    [6, 0.98],
    [12, 0.99],
  ] as const) {
    let found = 0;
    let covered = 0;
    for (const { x, u } of classes(1000, n, 1)) {
      const { apart, value } = agreementOf([0.5, ...x.slice(1)], u);
      if (apart.includes(0)) found++;
      if (Math.abs(value.mean - 1) <= 2 * value.u) covered++;
    }
    expect(share(found, 1000)).toBeGreaterThan(least);
    expect(share(covered, 1000)).toBeGreaterThan(0.94);
  }
});

test('groups that scatter twice as much as they say are seldom blamed singly, and the mean says how much', () => {
  for (const n of [6, 12]) {
    let covered = 0;
    let blamed = 0;
    for (const { x, u } of classes(1000, n, 2)) {
      const found = agreementOf(x, u);
      if (found.apart.length > 0) blamed++;
      if (Math.abs(found.value.mean - 1) <= 2 * found.value.u) covered++;
    }
    expect(share(blamed, 1000)).toBeLessThan(0.2);
    expect(share(covered, 1000)).toBeGreaterThan(0.86);
  }
});

test('two wild groups on the same side do not hide behind each other', () => {
  const { apart, value } = agreementOf([1.0, 1.02, 0.98, 1.01, 0.99, 0.5, 0.52], Array(7).fill(0.02));
  expect([...apart].sort()).toEqual([5, 6]);
  expect(value.mean).toBeCloseTo(1, 3);
});

test('two results that differ are not told apart: there is no telling which is wrong', () => {
  const { apart, agree, birge } = agreementOf([1, 2], [0.1, 0.1]);
  expect(apart).toEqual([]);
  expect(agree).toBe(false);
  // Q = (1/0.1)^2/2 = 50 on one degree of freedom.
  expect(birge).toBeCloseTo(Math.sqrt(50), 10);
});

test('one result is its own value', () => {
  expect(agreementOf([5], [0.2])).toMatchObject({ apart: [], agree: true, value: { mean: 5, u: 0.2 }, distances: [0] });
});

// Mandel-Paule with a spread that hardly exceeds the uncertainties: tau^2 is nearly nothing beside the variances.
test('groups that just about agree are combined in every way', () => {
  for (let i = 0; i <= 200; i++) {
    const d = 0.02 * (1 + (i - 100) * 1e-9);
    const { mandelPaule } = combineEstimates([1 - d, 1, 1 + d], [0.02, 0.02, 0.02]);
    expect(mandelPaule.tauSquared).toBeLessThan(1e-10);
  }
  for (const { x, u } of classes(500, 5, 1)) expect(combineEstimates(x, u).mandelPaule.u).toBeGreaterThan(0);
});
