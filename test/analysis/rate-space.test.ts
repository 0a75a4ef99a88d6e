import { levenbergMarquardt } from 'ml-levenberg-marquardt';
import { expect, test } from 'vitest';
import type { LawRow } from '../../src/analysis/law-row.ts';
import { rateLaw } from '../../src/analysis/rate-law.ts';
import { digamma, trigamma } from '../../src/numerics/special-functions.ts';

const concentration = (value: number, u = 0) => ({ value, u, uCommonRelative: 0 });
const row = (label: string, a: number, rate: number, uRate: number, dfRate = 40): LawRow => ({
  label,
  rate,
  uRate,
  dfRate,
  concentrations: { A: concentration(a) },
});

/** Scatter as of one error of 0.02 in every rate: large for the slow runs. */
const scattered = [
  row('1', 0.1, 0.118, 0.02),
  row('2', 0.1, 0.081, 0.02),
  row('3', 0.2, 0.21, 0.02),
  row('4', 0.4, 0.38, 0.02),
  row('5', 0.8, 0.83, 0.02),
];

test('the law is the weighted fit of the rates themselves, as a general-purpose fit has it', () => {
  const law = rateLaw(scattered);
  if (!law.ok) throw new Error(law.sentence);
  const rival = levenbergMarquardt(
    { x: scattered.map(({ concentrations }) => concentrations.A?.value ?? 0), y: scattered.map(({ rate }) => rate) },
    ([k = 1, x = 1]) =>
      (a) =>
        k * a ** x,
    {
      initialValues: [0.9, 0.9],
      maxIterations: 1000,
      errorTolerance: 1e-30,
      gradientDifference: 1e-7,
    },
  );
  const [k = 0, x = 0] = rival.parameterValues;
  expect(law.orders.A?.value).toBeCloseTo(x, 5);
  expect(law.k).toBeCloseTo(k, 5);
});

test('a run that came out slow by chance counts no more than one that came out fast', () => {
  // The mean of the logarithms would be the geometric one, 0.0978.
  const law = rateLaw([row('1', 0.1, 0.118, 0.02), row('2', 0.1, 0.081, 0.02), row('3', 0.2, 0.199, 0.02)], {
    orders: { A: 1 },
  });
  if (!law.ok || !law.accepted) throw new Error('refused');
  // Sum of A r over sum of A^2: least squares of a proportionality.
  expect(law.accepted.k).toBeCloseTo((0.1 * (0.118 + 0.081) + 0.2 * 0.199) / (0.01 + 0.01 + 0.04), 9);
});

test('the units of rates and concentrations change k alone', () => {
  const law = rateLaw(scattered);
  const other = rateLaw(
    scattered.map(({ rate, uRate, concentrations, ...rest }) => ({
      ...rest,
      rate: rate * 1e-7,
      uRate: (uRate ?? 0) * 1e-7,
      concentrations: { A: concentration((concentrations.A?.value ?? 0) * 1000) },
    })),
  );
  if (!law.ok || !other.ok) throw new Error('refused');
  expect(other.orders.A?.value).toBeCloseTo(law.orders.A?.value ?? 0, 10);
  expect(other.orders.A?.u).toBeCloseTo(law.orders.A?.u ?? 0, 10);
});

test('an order beyond four gives no rate constant', () => {
  const law = rateLaw([row('1', 0.1, 1e-4, 1e-6), row('2', 0.2, 1e-2, 1e-4), row('3', 0.4, 1, 1e-2)]);
  if (!law.ok) throw new Error(law.sentence);
  expect(law.orders.A?.value).toBeGreaterThan(4);
  expect(law.k).toBeNull();
  expect(law.u).toBeNull();
  expect(law.kReason).toMatch(/not believable/);
});

test('digamma and trigamma have the values of the handbook', () => {
  // Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 6.3.2, 6.3.3, 6.4.2, 6.4.4.
  const euler = 0.5772156649015329;
  expect(digamma(1)).toBeCloseTo(-euler, 12);
  expect(digamma(0.5)).toBeCloseTo(-euler - 2 * Math.LN2, 12);
  expect(trigamma(1)).toBeCloseTo(Math.PI ** 2 / 6, 12);
  expect(trigamma(0.5)).toBeCloseTo(Math.PI ** 2 / 2, 12);
  expect(trigamma(5)).toBeCloseTo(Math.PI ** 2 / 6 - (1 + 1 / 4 + 1 / 9 + 1 / 16), 12);
});
