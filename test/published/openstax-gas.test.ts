import { expect, test } from 'vitest';
import { GAS_CONSTANT, PASCAL_PER_TORR } from '../../src/chemistry/constants.ts';
import { dryGasPressure, molesOverWater } from '../../src/chemistry/gas.ts';
import { molarVolume } from '../../src/chemistry/molar-volume.ts';

// OpenStax, Chemistry 2e, section 9.3 (module m68752): gases collected over water.
const torr = PASCAL_PER_TORR;

test('argon at 26 °C, 750 torr: 725 torr of it is argon', () => {
  expect(dryGasPressure(750 * torr, 299.15) / torr).toBeCloseTo(725, 0);
});

test('carbon monoxide at 18 °C, 756 torr: 740 torr (740.5)', () => {
  expect(dryGasPressure(756 * torr, 291.15) / torr).toBeCloseTo(740.5, 1);
});

test('oxygen, 0.560 L at 29.0 °C and 764 torr, is 0.538 L dry (the book prints 0.537, which needs its 30 °C entry)', () => {
  const dryL = (0.56 * dryGasPressure(764 * torr, 302.15)) / (764 * torr);
  expect(dryL).toBeCloseTo(0.538, 3);
});

test('0.472 g of a gas in 265 mL at 27 °C and 753 torr over water: 45.9 g/mol', () => {
  expect(0.472 / molesOverWater(265e-6, 753 * torr, 300.15)).toBeCloseTo(45.9, 1);
});

test('5.36 g of mercury oxide give 0.308 L of dry oxygen at 23 °C and 0.975 atm', () => {
  const moles = 5.36 / 216.59 / 2;
  expect(1000 * moles * molarVolume(296.15, 0.975 * 101325)).toBeCloseTo(0.308, 3);
});

test('2.00 mL over water: 8.1223e-5 mol at 20 °C and 1 atm, 7.8122e-5 mol at 25 °C and 1 bar (worked by hand)', () => {
  expect(molesOverWater(2e-6, 101325, 293.15)).toBeCloseTo(8.1223e-5, 9);
  expect(molesOverWater(2e-6, 1e5, 298.15)).toBeCloseTo(7.8122e-5, 9);
  expect((2e-6 * 1e5) / (GAS_CONSTANT * 298.15)).toBeCloseTo(8.0679e-5, 9);
});

test('molar volumes (CODATA 2018): 22.71095464 and 22.41396954 L/mol', () => {
  expect(1000 * molarVolume(273.15, 1e5)).toBeCloseTo(22.71095464, 8);
  expect(1000 * molarVolume(273.15, 101325)).toBeCloseTo(22.41396954, 7);
  expect(1000 * molarVolume(293.15, 101325)).toBeCloseTo(24.055117, 6);
  expect(1000 * molarVolume(298.15, 101325)).toBeCloseTo(24.465404, 6);
});
