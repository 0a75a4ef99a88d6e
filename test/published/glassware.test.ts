import { expect, test } from 'vitest';
import { cylindersIso, cylinderTolerance, gainUncertainty, readingUncertainty } from '../../src/chemistry/glassware.ts';

test('ASTM E1272-02 (2012) table 1: limits of error of graduated cylinders, classes A and B', () => {
  const table: [number, number, number][] = [
    [5, 0.05, 0.1],
    [10, 0.1, 0.2],
    [25, 0.17, 0.34],
    [50, 0.25, 0.5],
    [100, 0.5, 1],
    [250, 1, 2],
    [500, 2, 4],
  ];
  for (const [capacity, a, b] of table) {
    expect(cylinderTolerance(capacity * 1e-6, 'A') * 1e6).toBeCloseTo(a, 9);
    expect(cylinderTolerance(capacity * 1e-6, 'B') * 1e6).toBeCloseTo(b, 9);
    expect(cylinderTolerance(capacity * 1e-6, 'unknown')).toBe(cylinderTolerance(capacity * 1e-6, 'B'));
  }
});

test('ISO 4788:2005 (figures from memory): 100 mL ± 0.5 and ± 1 mL', () => {
  expect(cylinderTolerance(100e-6, 'A', cylindersIso) * 1e6).toBeCloseTo(0.5, 9);
  expect(cylinderTolerance(100e-6, 'B', cylindersIso) * 1e6).toBeCloseTo(1, 9);
});

test('standard uncertainties after the GUM (4.3.7): limit of error and half division, evenly likely within', () => {
  expect(gainUncertainty(100e-6, 'B')).toBeCloseTo(0.01 / Math.sqrt(3), 12);
  expect(readingUncertainty(1e-6, 'between') * 1e6).toBeCloseTo(0.2887, 4);
  expect(readingUncertainty(1e-6, 'at-mark') * 1e6).toBeCloseTo(0.1, 12);
});
