import { OutOfRange } from '../numerics/errors.ts';
import { GAS_CONSTANT, STANDARD_ATMOSPHERE_PA } from './constants.ts';

export type SolubleGas = 'O2' | 'H2' | 'CO2' | 'N2';

/**
 * Henry's law solubility at 298.15 K, mol/(m3 Pa), and d ln H/d(1/T), K.
 * Source: Sander, Compilation of Henry's law constants, version 5 (Atmos. Chem. Phys. 23 (2023) 10901), typical values.
 */
const henry: Readonly<Record<Exclude<SolubleGas, 'CO2'>, readonly [number, number]>> = {
  O2: [1.3e-5, 1500],
  H2: [7.8e-6, 500],
  N2: [6.4e-6, 1300],
};

/**
 * Solubility of carbon dioxide in pure water, mol/(m3 Pa): Weiss, Mar. Chem. 2 (1974) 203, good to 0.2 % from -1 to 40 °C;
 * above, the formula is drawn on. Sander's typical values, 3.4e-4 and 2400 K, are within 8 % of it.
 */
function carbonDioxide(temperatureK: number): number {
  const hundreds = temperatureK / 100;
  const molPerLitreAndAtmosphere = Math.exp(-58.0931 + 90.5069 / hundreds + 22.294 * Math.log(hundreds));
  return (molPerLitreAndAtmosphere * 1000) / STANDARD_ATMOSPHERE_PA;
}

/**
 * Henry's law solubility of a gas in pure water, mol/(m3 Pa).
 * @param temperatureK 273.15 … 353.15
 * @throws OutOfRange outside
 * @example
 * henrySolubility('CO2', 298.15) // => 0.000335
 */
export function henrySolubility(gas: SolubleGas, temperatureK: number): number {
  if (!(temperatureK >= 273.15 && temperatureK <= 353.15)) {
    throw new OutOfRange('The solubility of gases is known here from 0 to 80 °C only.', `${temperatureK} K`);
  }
  if (gas === 'CO2') return carbonDioxide(temperatureK);
  const [at25, slope] = henry[gas];
  return at25 * Math.exp(slope * (1 / temperatureK - 1 / 298.15));
}

/**
 * Volume of moist gas, at the same pressure and temperature, that one volume of water takes up when left to itself, H R T:
 * 0.83 for carbon dioxide, 0.03 for oxygen at 25 °C. A limit: how far the water is saturated is not known.
 * @param temperatureK 273.15 … 353.15
 * @throws OutOfRange outside
 * @example
 * volumeDissolved('CO2', 293.15) // => 0.94
 */
export const volumeDissolved = (gas: SolubleGas, temperatureK: number): number =>
  henrySolubility(gas, temperatureK) * GAS_CONSTANT * temperatureK;
