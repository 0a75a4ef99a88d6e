import { expect, test } from 'vitest';
import { potassiumIodideDensity } from '../../src/chemistry/solution-density.ts';
import { type StrengthUnit, strengthToMolPerM3 } from '../../src/chemistry/strength.ts';

/** mol/L, or NaN where it is refused (so that the comparison fails). */
function molar(value: number, unit: StrengthUnit, species: string, densityGPerMl?: number): number {
  const result = strengthToMolPerM3({ value, unit, densityGPerMl }, species);
  return result.ok ? result.molPerM3 / 1000 : Number.NaN;
}

test('hydrogen peroxide by weight and volume: 3 % 0.882 M (USP calculators), 6 % 1.764, 9 % 2.646', () => {
  expect(molar(3, '%w/v', 'H2O2')).toBeCloseTo(0.882, 3);
  expect(molar(6, '%w/v', 'H2O2')).toBeCloseTo(1.764, 3);
  expect(molar(9, '%w/v', 'H2O2')).toBeCloseTo(2.646, 3);
  expect(molar(30, 'g/L', 'H2O2')).toBeCloseTo(0.882, 3);
});

test('by weight with density: 3 % 0.8904 M (1.0095 g/mL, Wikipedia), 6 % 1.800, 10 % 3.043, 30 % 9.81', () => {
  expect(molar(3, '%w/w', 'H2O2', 1.0095)).toBeCloseTo(0.8904, 4);
  expect(molar(3, '%w/w', 'H2O2')).toBeCloseTo(0.8904, 3);
  expect(molar(6, '%w/w', 'H2O2')).toBeCloseTo(1.8, 3);
  expect(molar(10, '%w/w', 'H2O2')).toBeCloseTo(3.0432, 3);
  expect(molar(30, '%w/w', 'H2O2')).toBeCloseTo(9.8095, 3);
});

test('volume strength at 22.414 L/mol: 10, 20, 30, 40, 100 volumes', () => {
  // Textbooks: 30 vol is 2.678 M and 9.11 % w/v.
  const table: [number, number][] = [
    [10, 0.8923],
    [20, 1.7846],
    [30, 2.6769],
    [40, 3.5692],
    [100, 8.923],
  ];
  for (const [volumes, c] of table) expect(molar(volumes, 'vol-stp', 'H2O2')).toBeCloseTo(c, 4);
  expect((molar(30, 'vol-stp', 'H2O2') * 34.014) / 10).toBeCloseTo(9.105, 3);
});

test('volume strength at 24 L/mol: 18, 28 and 100 volumes are 1.5, 2.3 and 8.3 M on school safety sheets', () => {
  expect(molar(18, 'vol-room', 'H2O2')).toBeCloseTo(1.5, 1);
  expect(molar(28, 'vol-room', 'H2O2')).toBeCloseTo(2.3, 1);
  expect(molar(100, 'vol-room', 'H2O2')).toBeCloseTo(8.3, 1);
  expect(molar(20, 'vol-stp', 'H2O2') / molar(20, 'vol-room', 'H2O2')).toBeCloseTo(24 / 22.414, 4);
});

test('potassium iodide, CRC Handbook 102nd ed., 20 °C: mass % to mol/L by the tabulated density', () => {
  const table: [number, number][] = [
    [0.5, 0.03],
    [1, 0.061],
    [2, 0.122],
    [3, 0.184],
    [5, 0.312],
    [8, 0.511],
    [10, 0.648],
    [16, 1.088],
    [20, 1.405],
    [30, 2.297],
    [40, 3.364],
  ];
  // The table counts 166.003 g/mol and prints three decimals.
  for (const [percent, c] of table) expect(Math.abs(molar(percent, '%w/w', 'I-') - c)).toBeLessThan(0.0007);
  expect(potassiumIodideDensity(10)).toBe(1.0762);
});

test('Lugol: 5 g iodine and 10 g potassium iodide in 100 mL are 0.19701 and 0.60242 M', () => {
  expect(molar(5, '%w/v', 'I2')).toBeCloseTo(0.19701, 4);
  expect(molar(10, '%w/v', 'I-')).toBeCloseTo(0.60242, 4);
});
