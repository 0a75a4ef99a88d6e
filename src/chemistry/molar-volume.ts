import { OutOfRange } from '../numerics/errors.ts';
import { CELSIUS_ZERO_K, GAS_CONSTANT, STANDARD_ATMOSPHERE_PA } from './constants.ts';

/**
 * Volume of one mole of an ideal gas, m3/mol: R T/p.
 * @param temperatureK above 0 @param pressurePa above 0
 * @throws OutOfRange otherwise
 * @example
 * molarVolume(273.15, 101325) // => 0.022414
 */
export function molarVolume(temperatureK: number, pressurePa: number): number {
  if (!(temperatureK > 0 && pressurePa > 0 && Number.isFinite(temperatureK) && Number.isFinite(pressurePa))) {
    throw new OutOfRange('A gas needs a temperature and a pressure above zero.', `${temperatureK} K, ${pressurePa} Pa`);
  }
  return (GAS_CONSTANT * temperatureK) / pressurePa;
}

/** 0 °C and 1 atm, the older standard state on which "volume strength" is defined: 22.414 L/mol. */
export const MOLAR_VOLUME_STP_ATM = molarVolume(CELSIUS_ZERO_K, STANDARD_ATMOSPHERE_PA);

/** "Room" volume of school books, 24.0 L/mol by convention (20 °C and 1 atm give 24.055). */
export const MOLAR_VOLUME_ROOM = 0.024;
