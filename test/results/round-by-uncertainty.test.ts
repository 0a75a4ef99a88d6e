import fc from 'fast-check';
import { expect, test } from 'vitest';
import { figureLatex, figureNumber, figureText, roundByUncertainty } from '../../src/results/round-by-uncertainty.ts';

const text = (value: number, u?: number): string => figureText(roundByUncertainty(value, u));

test.each([
  [0.09954, 0.00118, '0.0995 ± 0.0012'],
  // u that rounds up into the next decade keeps two digits
  [0.0995, 0.0995, '0.10 ± 0.10'],
  [0.5, 0.0995, '0.50 ± 0.10'],
  [0.5, 0.0994, '0.500 ± 0.099'],
  [12.3456, 1.26, '12.3 ± 1.3'],
  [345.6, 12.3, '346 ± 12'],
  [345.6, 9.96, '346 ± 10'],
  [12345, 670, '(1.235 ± 0.067) × 10⁴'],
  [-4.56789, 0.0271, '−4.568 ± 0.027'],
  // a value that vanishes beside its u is a zero without a sign
  [0, 0.012, '0.000 ± 0.012'],
  [-0.00001, 0.012, '0.000 ± 0.012'],
  [0.0088449, 0.0000661, '0.008845 ± 0.000066'],
  [0.00012344, 0.0000012, '(1.234 ± 0.012) × 10⁻⁴'],
  // u larger than the value
  [0.3, 1.24, '0.3 ± 1.2'],
  [0.004, 12.4, '0 ± 12'],
  [-0.6, 12.4, '−1 ± 12'],
  [3e-9, 4.2e-5, '(0.0 ± 4.2) × 10⁻⁵'],
  [3e-12, 4.2e-8, '(0.0 ± 4.2) × 10⁻⁸'],
  // half a unit of the last place goes away from zero, as printed digits show it
  [1.005, 0.1, '1.01 ± 0.10'],
  [-2.5, 10, '−3 ± 10'],
  // huge and small powers
  [6.02214e23, 1.5e18, '(6.022140 ± 0.000015) × 10²³'],
  [1.2345e-7, 4.6e-9, '(1.235 ± 0.046) × 10⁻⁷'],
  [9.9999e-8, 1.2e-10, '(1.0000 ± 0.0012) × 10⁻⁷'],
  [9.9999e-8, 1.2e-9, '(1.000 ± 0.012) × 10⁻⁷'],
  [5e-324, 5e-324, '(5.0 ± 5.0) × 10⁻³²⁴'],
  [1e308, 1e307, '(1.00 ± 0.10) × 10³⁰⁸'],
])('%d with u %d is %s', (value, u, printed) => {
  expect(text(value, u)).toBe(printed);
});

test.each([
  [25, '25'],
  [0.25, '0.25'],
  [1 / 3, '0.333333'],
  [1234567.8, '1234568'],
  [0.000012, '1.2 × 10⁻⁵'],
  [0, '0'],
])('an exact value (u = 0) shows what it is: %d is %s', (value, printed) => {
  expect(text(value, 0)).toBe(printed);
});

test.each([
  [0.0123456, '0.01235'],
  [25, '25.00'],
  [98765.4, '98765'],
  [98765432, '9.877 × 10⁷'],
  [1.23456e-9, '1.235 × 10⁻⁹'],
])('a value of unknown uncertainty claims four digits: %d is %s', (value, printed) => {
  expect(text(value)).toBe(printed);
  expect(text(value, Number.NaN)).toBe(printed);
});

test('what is not a number is a dash, never NaN', () => {
  expect(text(Number.NaN, 1)).toBe('–');
  expect(text(Number.POSITIVE_INFINITY, 1)).toBe('–');
  expect(figureLatex(null)).toBe('--');
  expect(figureNumber(null, 'value')).toBeNull();
});

test('LaTeX and spreadsheet forms carry the same digits', () => {
  const plain = roundByUncertainty(0.09954, 0.00118);
  expect(figureLatex(plain)).toBe('$0.0995 \\pm 0.0012$');
  expect(figureNumber(plain, 'value')).toBe('0.0995');
  const small = roundByUncertainty(1.2345e-7, 4.6e-9);
  expect(figureLatex(small)).toBe('$(1.235 \\pm 0.046) \\times 10^{-7}$');
  expect(figureNumber(small, 'value')).toBe('1.235e-7');
  expect(figureNumber(small, 'u')).toBe('0.046e-7');
});

const magnitude = fc
  .tuple(fc.double({ min: 1, max: 10, noNaN: true, maxExcluded: true }), fc.integer({ min: -290, max: 290 }))
  .map(([mantissa, power]) => mantissa * 10 ** power);

test('the printed value is within half a unit of the last kept place, and u keeps two digits', () => {
  fc.assert(
    fc.property(magnitude, magnitude, fc.boolean(), fc.integer({ min: -9, max: 9 }), (a, b, negative, near) => {
      // Uncertainties near the size of the value, where rounding has its corners, and far from it.
      const value = negative ? -a : a;
      const u = near === 9 ? b : a * 10 ** near;
      const figure = roundByUncertainty(value, u);
      const printed = Number(figureNumber(figure, 'value'));
      const printedU = Number(figureNumber(figure, 'u'));
      const place = 10 ** (Number(u.toExponential(1).split('e')[1]) - 1);
      if (!(u > 0) || !Number.isFinite(u)) return;
      expect(Math.abs(printed - value)).toBeLessThanOrEqual(place * 0.5000001 + Math.abs(value) * 1e-15);
      expect(Math.abs(printedU - u)).toBeLessThanOrEqual(place * 0.5000001);
      const digits = (figure?.u ?? '').replace('.', '').replace(/^0+/, '');
      expect(digits).toHaveLength(2);
    }),
    { numRuns: 2000 },
  );
});
