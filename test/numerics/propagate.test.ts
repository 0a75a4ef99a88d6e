import fc from 'fast-check';
import { expect, test } from 'vitest';
import { OutOfRange } from '../../src/numerics/errors.ts';
import { propagate } from '../../src/numerics/propagate.ts';
import { the } from '../the.ts';
import { simulateAll } from './simulate-all.ts';

const gas = ([p, v, t]: readonly number[]) => (the(p) * the(v)) / (8.314462618 * the(t));
const inputs = [
  { name: 'pressure', value: 98000, u: 150 },
  { name: 'volume', value: 20e-6, u: 0.2e-6 },
  { name: 'temperature', value: 294, u: 0.6 },
];

test('a product adds relative uncertainties in quadrature, and its budget says which input matters', () => {
  const amount = propagate(inputs, gas);
  const relative = Math.hypot(150 / 98000, 0.01, 0.6 / 294);
  expect(amount.u / amount.value).toBeCloseTo(relative, 6);
  expect(amount.budget.map(({ share }) => share).indexOf(Math.max(...amount.budget.map(({ share }) => share)))).toBe(1);
  expect(amount.effectiveDegreesOfFreedom).toBe(Number.POSITIVE_INFINITY);
});

test('first order and simulation agree where the model is nearly straight', () => {
  const first = propagate(inputs, gas);
  const { results } = simulateAll({
    draw: (random) => [gas(inputs.map(({ value, u }) => random.normal(value, u)))],
    seed: 'gas',
    draws: 50_000,
  });
  expect(the(results[0]).u / first.u).toBeCloseTo(1, 1);
  expect(the(results[0]).mean / first.value).toBeCloseTo(1, 3);
});

test('units of an input do not matter', () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-6, max: 1e6, noNaN: true }), (factor) => {
      const scaled = propagate(
        inputs.map((input, i) => (i === 1 ? { ...input, value: input.value * factor, u: input.u * factor } : input)),
        ([p, v, t]) => gas([the(p), the(v) / factor, the(t)]),
      );
      expect(scaled.u / propagate(inputs, gas).u).toBeCloseTo(1, 8);
    }),
  );
});

test('given derivatives are used as they are', () => {
  const line = propagate(
    [
      { name: 'a', value: 1, u: 0.3 },
      { name: 'b', value: 2, u: 0.4 },
    ],
    ([a, b]) => the(a) + the(b),
    { derivatives: [1, 1], correlations: [{ between: ['a', 'b'], coefficient: -1 }] },
  );
  expect(line.u).toBeCloseTo(0.1, 12);
});

test('a model that breaks within the uncertainty, a negative u and an unknown name are refused', () => {
  expect(() => propagate([{ name: 'x', value: 1, u: 2 }], ([x]) => Math.log(the(x)))).toThrow(OutOfRange);
  expect(() => propagate([{ name: 'x', value: 1, u: -2 }], ([x]) => the(x))).toThrow(OutOfRange);
  expect(() =>
    propagate([{ name: 'x', value: 1, u: 1 }], ([x]) => the(x), {
      correlations: [{ between: ['x', 'y'], coefficient: 1 }],
    }),
  ).toThrow(/unknown input/);
});
