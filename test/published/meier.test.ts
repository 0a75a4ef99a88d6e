import { expect, test } from 'vitest';
import { rateLaw } from '../../src/analysis/rate-law.ts';
import { fewDegreesFactor } from '../../src/numerics/kenward-roger.ts';

/*
 * Meier, "Variance of a weighted mean", Biometrics 9 (1953) 59: percentage of albumin in the plasma protein of normal
 * human subjects, four experiments. The data are from memory, as later papers on the common mean quote them (Jordan and
 * Krishnamoorthy, Biometrics 52 (1996) 77); the figures below follow from them by Meier's formulas, worked by hand.
 */
const albumin = [
  { n: 12, mean: 62.3, variance: 12.986 },
  { n: 15, mean: 60.3, variance: 7.84 },
  { n: 7, mean: 59.5, variance: 33.433 },
  { n: 16, mean: 61.5, variance: 18.513 },
];
const weights = albumin.map(({ n, variance }) => n / variance);
const sum = weights.reduce((a, b) => a + b, 0);

test("Meier's variance of a weighted mean: the albumin of four experiments", () => {
  const factor = fewDegreesFactor(
    [1],
    [albumin.map(() => 1)],
    weights,
    [[1 / sum]],
    albumin.map(({ n }) => n - 1),
  );
  expect(1 / sum).toBeCloseTo(0.2557, 4);
  expect(factor).toBeCloseTo(1.2167, 4);
  expect(Math.sqrt(factor / sum)).toBeCloseTo(0.5578, 4);
});

test('a rate law without orders to find is that weighted mean', () => {
  const rows = albumin.map(({ n, mean, variance }, i) => ({
    label: String(i),
    rate: mean,
    uRate: Math.sqrt(variance / n),
    // So many that no run borrows from another: Meier's mean has none of that.
    dfRate: 30,
    concentrations: { A: { value: 1, u: 0, uCommonRelative: 0 } },
  }));
  const law = rateLaw(rows, { orders: { A: 1 } });
  if (!law.ok || !law.accepted) throw new Error('refused');
  expect(law.accepted.k).toBeCloseTo(60.995, 3);
});

type Matrix = readonly (readonly number[])[];
const times = (a: Matrix, b: Matrix): number[][] =>
  a.map((row) => (b[0] ?? []).map((_, j) => row.reduce((total, x, k) => total + x * (b[k]?.[j] ?? 0), 0)));
const plus = (a: Matrix, b: Matrix, factor = 1): number[][] =>
  a.map((row, i) => row.map((x, j) => x + factor * (b[i]?.[j] ?? 0)));
const transposed = (a: Matrix): number[][] => (a[0] ?? []).map((_, j) => a.map((row) => row[j] ?? 0));
const diagonal = (values: readonly number[]): number[][] =>
  values.map((x, i) => values.map((_, j) => (i === j ? x : 0)));
/** By Gauss and Jordan, for small well-behaved matrices. */
function inverted(a: Matrix): number[][] {
  const n = a.length;
  const work = a.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  for (let i = 0; i < n; i++) {
    const pivot = work[i]?.[i] ?? Number.NaN;
    work[i] = (work[i] ?? []).map((x) => x / pivot);
    for (let r = 0; r < n; r++) {
      if (r === i) continue;
      const by = work[r]?.[i] ?? 0;
      work[r] = (work[r] ?? []).map((x, c) => x - by * (work[i]?.[c] ?? 0));
    }
  }
  return work.map((row) => row.slice(n));
}

test('the factor is that of Kenward and Roger in their general form, with matrices and numerical derivatives', () => {
  // Formulas (3) to (5) of Biometrics 53 (1997) 983: PHI_A = PHI + 2 PHI {sum W_ij (Q_ij - P_i PHI P_j - R_ij/4)} PHI.
  const x = [-1.2, -0.4, 0.1, 0.9, 0.6];
  const variances = [0.3, 1.1, 0.5, 2, 0.8];
  const dfs = [3, 9, 4, 7, 5];
  const design = x.map((one) => [1, one]);
  const inverseV = (v: readonly number[]): number[][] => diagonal(v.map((one) => 1 / one));
  const phi = inverted(times(transposed(design), times(inverseV(variances), design)));
  const slopes = variances.map((v, i) => {
    const h = 1e-5 * v;
    const moved = (by: number): number[] => variances.map((one, j) => (i === j ? one + by : one));
    return plus(inverseV(moved(h)), inverseV(moved(-h)), -1).map((row) => row.map((one) => one / (2 * h)));
  });
  let middle = diagonal([0, 0]);
  slopes.forEach((slope, i) => {
    const p = times(transposed(design), times(slope, design));
    const q = times(transposed(design), times(slope, times(diagonal(variances), times(slope, design))));
    const w = (2 * (variances[i] ?? 0) ** 2) / (dfs[i] ?? 1);
    middle = plus(middle, plus(q, times(p, times(phi, p)), -1), w);
  });
  const adjusted = plus(phi, times(phi, times(middle, phi)), 2);
  const columns = [x.map(() => 1), x];
  for (const gradient of [
    [1, 0],
    [0, 1],
    [1, -2.5],
  ]) {
    const quadratic = (m: Matrix): number => times([gradient], times(m, transposed([gradient])))[0]?.[0] ?? Number.NaN;
    const factor = fewDegreesFactor(
      gradient,
      columns,
      variances.map((v) => 1 / v),
      phi,
      dfs,
    );
    expect(factor).toBeCloseTo(quadratic(adjusted) / quadratic(phi), 7);
    expect(factor).toBeGreaterThan(1.05);
  }
});
