import { OutOfRange } from '../numerics/errors.ts';
import { GAS_CONSTANT } from './constants.ts';

/**
 * Equilibrium constant of I2 + I- = I3-, L/mol: 698 at 25 °C, less when warm.
 *
 * ln K(T) = ln K0 - (dH/R)(1/T - 1/T0) + (dCp/R)(T0/T - 1 + ln(T/T0)), with dH = -17.0 kJ/mol and dCp = -21 J/(K mol)
 * at T0 = 298.15 K.
 *
 * @param temperatureK 277 … 482 (3.8 … 209 °C)
 * @throws OutOfRange outside
 * Source: Palmer, Ramette and Mesmer, J. Solution Chem. 13 (1984) 673: K 698 ± 10 (molal; taken as molar, within 1 %).
 * @example
 * triiodideConstant(298.15) // => 698.000
 */
export function triiodideConstant(temperatureK: number): number {
  if (!(temperatureK >= 273.15 && temperatureK <= 482.15)) {
    throw new OutOfRange('The triiodide equilibrium is known from 0 to 209 °C only.', `${temperatureK} K`);
  }
  const t0 = 298.15;
  const enthalpy = -17000;
  const heatCapacity = -21;
  const logarithm =
    Math.log(698) -
    (enthalpy / GAS_CONSTANT) * (1 / temperatureK - 1 / t0) +
    (heatCapacity / GAS_CONSTANT) * (t0 / temperatureK - 1 + Math.log(temperatureK / t0));
  return Math.exp(logarithm);
}

export interface IodineSpecies {
  readonly triiodide: number;
  readonly iodine: number;
  /** What is left of the iodide to catalyse. */
  readonly iodide: number;
}

/**
 * How iodine and iodide share themselves out, mol/m3: x = [I3-] from K = x/((a - x)(b - x)).
 * @param totalIodine I2 in all forms, mol/m3, >= 0
 * @param totalIodide I- in all forms, mol/m3, >= 0
 * @throws OutOfRange for negative amounts
 * @example
 * shareOfTriiodide(1, 100, 298.15).triiodide // => 0.986
 */
export function shareOfTriiodide(totalIodine: number, totalIodide: number, temperatureK: number): IodineSpecies {
  if (!(totalIodine >= 0 && totalIodide >= 0)) throw new OutOfRange('A concentration cannot be negative.');
  const k = triiodideConstant(temperatureK) / 1000;
  const s = 1 + k * (totalIodine + totalIodide);
  // The smaller root of the quadratic in the form that does not cancel.
  const triiodide =
    (2 * k * totalIodine * totalIodide) / (s + Math.sqrt(s * s - 4 * k * k * totalIodine * totalIodide));
  return { triiodide, iodine: totalIodine - triiodide, iodide: totalIodide - triiodide };
}
