import { expect, test } from 'vitest';
import { volumeDissolved } from '../../src/chemistry/gas-solubility.ts';
import { molarVolume } from '../../src/chemistry/molar-volume.ts';
import { waterDensity } from '../../src/chemistry/water-density.ts';
import { waterVapourPressure } from '../../src/chemistry/water-vapour.ts';
import { OutOfRange } from '../../src/numerics/errors.ts';

test('a molar volume needs a temperature and a pressure above zero, both ordinary numbers', () => {
  // R T/p with the CODATA gas constant; the ideal gas at 0 °C and 1 bar has 22.710 954 64 L/mol (NIST).
  expect(molarVolume(273.15, 1e5)).toBeCloseTo(0.02271095464, 10);
  for (const wrong of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => molarVolume(wrong, 101325)).toThrow(OutOfRange);
    expect(() => molarVolume(293.15, wrong)).toThrow(OutOfRange);
  }
});

test('each table holds at the ends of its range and refuses what lies beyond, with the temperature', () => {
  expect(waterDensity(273.15)).toBeGreaterThan(999.8);
  expect(waterDensity(313.15)).toBeLessThan(992.3);
  expect(() => waterDensity(313.2)).toThrow('313.2 K');
  // The vapour pressure at the critical point is the critical pressure, 22.064 MPa (IAPWS).
  expect(waterVapourPressure(647.096) / 1e6).toBeCloseTo(22.064, 3);
  expect(() => waterVapourPressure(647.1)).toThrow('647.1 K');
  expect(volumeDissolved('CO2', 273.15)).toBeGreaterThan(volumeDissolved('CO2', 353.15));
  expect(() => volumeDissolved('CO2', 273.1)).toThrow('273.1 K');
  expect(() => volumeDissolved('CO2', 353.2)).toThrow('353.2 K');
});

test('water takes up carbon dioxide, then oxygen, hydrogen and nitrogen', () => {
  // H times R T with Sander's H at 25 °C (mol/(m3 Pa)), of carbon dioxide Weiss's (0.03397 mol/(L atm)): 3.353e-4, 1.3e-5, 7.8e-6, 6.4e-6.
  const share = (gas: 'CO2' | 'O2' | 'H2' | 'N2'): number => volumeDissolved(gas, 298.15);
  expect(share('CO2')).toBeCloseTo(0.831, 3);
  expect(share('O2')).toBeCloseTo(0.0322, 4);
  expect(share('H2')).toBeCloseTo(0.0193, 4);
  expect(share('N2')).toBeCloseTo(0.0159, 4);
  expect(volumeDissolved('O2', 278.15)).toBeGreaterThan(share('O2'));
});
