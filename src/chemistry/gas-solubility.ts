import { OutOfRange } from '../numerics/errors.ts';
import { GAS_CONSTANT } from './constants.ts';

export type SolubleGas = 'O2' | 'H2' | 'CO2' | 'N2';

/**
 * Henry's law solubility at 298.15 K, mol/(m3 Pa), and d ln H/d(1/T), K.
 * Source: Sander, Compilation of Henry's law constants, version 5 (Atmos. Chem. Phys. 23 (2023) 10901), typical values.
 */
const henry: Readonly<Record<SolubleGas, readonly [number, number]>> = {
  O2: [1.3e-5, 1500],
  H2: [7.8e-6, 500],
  CO2: [3.4e-4, 2400],
  N2: [6.4e-6, 1300],
};

/**
 * Volume of gas, at the same pressure and temperature, that one volume of water takes up when left to itself: 0.83 for
 * carbon dioxide, 0.03 for oxygen at 25 °C. A stated limit of collecting over water, not corrected for: how far the
 * water is saturated is not known.
 * @param temperatureK 273.15 … 353.15
 * @throws OutOfRange outside
 * @example
 * volumeDissolved('CO2', 293.15) // => 0.95
 */
export function volumeDissolved(gas: SolubleGas, temperatureK: number): number {
  if (!(temperatureK >= 273.15 && temperatureK <= 353.15)) {
    throw new OutOfRange('The solubility of gases is known here from 0 to 80 °C only.', `${temperatureK} K`);
  }
  const [at25, slope] = henry[gas];
  return at25 * Math.exp(slope * (1 / temperatureK - 1 / 298.15)) * GAS_CONSTANT * temperatureK;
}
