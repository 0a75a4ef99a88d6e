/**
 * Guggenheim's method and the time-lag method need no final reading. Hydrogen peroxide at 40 degrees: OpenStax Chemistry 2e,
 * 12.4 (module m68791), k = 0.116 per hour. Misra1a: NIST StRD (public domain), b2 = 5.5015643181e-4, sd 7.27e-6.
 */
import { expect, test } from 'vitest';
import { guggenheim, timeLag } from '../../src/numerics/without-ceiling.ts';
import { misra1a } from './nist-misra1a-data.ts';

const methods = [
  ['Guggenheim', guggenheim],
  ['time lag', timeLag],
] as const;

test.each(methods)('%s: hydrogen peroxide that halves every six hours has k = 0.116 per hour', (_, method) => {
  const hours = [0, 6, 12, 18, 24];
  const gas = [1, 0.5, 0.25, 0.125, 0.0625].map((left) => 60 * (1 - left));
  // Whatever was in the cylinder before the first reading.
  for (const before of [0, -17]) {
    const found = method(
      hours,
      gas.map((v) => v + before),
      12,
    );
    expect(found.rateConstant).toBeCloseTo(Math.LN2 / 6, 8);
    expect(found.rateConstant).toBeCloseTo(0.116, 3);
    if (found.final !== null) expect(found.final).toBeCloseTo(60 + before, 6);
  }
});

test.each(methods)('%s: Misra1a, though it stops at a third of its rise', (_, method) => {
  const { rateConstant, standardError, final } = method(misra1a.x, misra1a.y);
  const { b1, b2, sdB2 } = misra1a.certified;
  if (standardError === null) throw new Error('no standard error');
  expect(Math.abs(rateConstant - b2)).toBeLessThan(2 * standardError);
  // The fit uses every reading at once: no method of pairs is as certain, and a useful one not much less so.
  expect(standardError).toBeGreaterThan(sdB2);
  expect(standardError).toBeLessThan(0.15 * b2);
  if (final !== null) expect(Math.abs(final / b1 - 1)).toBeLessThan(0.15);
});

test.each(methods)('%s: when the clock was started does not matter, nor does its unit', (_, method) => {
  const times = [0, 20, 45, 60, 90, 110, 140, 170, 200];
  const readings = times.map((t, i) => 50 - 42 * Math.exp(-0.012 * t) + 0.3 * Math.sin(5 * i));
  const plain = method(times, readings);
  for (const [shift, unit] of [
    [1000, 1],
    [-300, 1],
    [35, 1 / 60],
  ] as const) {
    const other = method(
      times.map((t) => (t + shift) * unit),
      readings,
    );
    expect(other.lag).toBeCloseTo(100 * unit, 9);
    expect(other.pairs).toBe(plain.pairs);
    expect((other.rateConstant * unit) / plain.rateConstant).toBeCloseTo(1, 7);
    expect(((other.standardError ?? 0) * unit) / (plain.standardError ?? 1)).toBeCloseTo(1, 6);
    if (plain.final !== null) expect((other.final ?? 0) / plain.final).toBeCloseTo(1, 7);
  }
});
