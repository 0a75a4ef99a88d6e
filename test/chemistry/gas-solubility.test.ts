import { expect, test } from 'vitest';
import { henrySolubility } from '../../src/chemistry/gas-solubility.ts';
import { waterDensity } from '../../src/chemistry/water-density.ts';

/** Weiss, Mar. Chem. 2 (1974) 203, table III, salinity 0: °C, 100 mol/(kg atm). */
const weiss: readonly (readonly [number, number])[] = [
  [0, 7.758],
  [5, 6.407],
  [10, 5.367],
  [16, 4.416],
  [20, 3.916],
  [26, 3.317],
  [30, 2.995],
  [40, 2.389],
];

test('the solubility of carbon dioxide is that of the published table, to 0.1 %', () => {
  for (const [celsius, hundredfold] of weiss) {
    const kelvin = celsius + 273.15;
    const published = ((hundredfold / 100) * waterDensity(kelvin, 'tap')) / 101_325;
    expect(Math.abs(henrySolubility('CO2', kelvin) / published - 1), `${celsius} °C`).toBeLessThan(0.001);
  }
});

test('Sander’s typical values, 3.3e-4 to 3.4e-4 mol/(m3 Pa) at 25 °C and 2300 to 2400 K, stand near it', () => {
  // Atmos. Chem. Phys. 23 (2023) 10901.
  const at25 = henrySolubility('CO2', 298.15);
  expect(at25).toBeGreaterThan(3.3e-4);
  expect(at25).toBeLessThan(3.4e-4);
  const slope = Math.log(henrySolubility('CO2', 288.15) / henrySolubility('CO2', 308.15)) / (1 / 288.15 - 1 / 308.15);
  expect(slope).toBeGreaterThan(2300);
  expect(slope).toBeLessThan(2450);
});
