import { OutOfRange } from '../numerics/errors.ts';

/**
 * Density of air-free water at 1 atm, kg/m3: a5 [1 - (t + a1)^2 (t + a2)/(a3 (t + a4))], t in °C.
 *
 * @param temperatureK 273.15 … 313.15
 * @param kind 'ocean': isotopes as in standard mean ocean water (999.974950 at most); 'tap': 999.972
 * @throws OutOfRange outside
 * Source: Tanaka et al., Metrologia 38 (2001) 301 (recommended by the CIPM); standard uncertainty 0.0005 kg/m3.
 * @example
 * waterDensity(293.15) // => 998.21
 */
export function waterDensity(temperatureK: number, kind: 'ocean' | 'tap' = 'ocean'): number {
  const t = temperatureK - 273.15;
  // A hair of room for the rounding of degrees Celsius to kelvin and back.
  if (!(t >= -1e-9 && t <= 40 + 1e-9)) {
    throw new OutOfRange('The density of water is known here from 0 to 40 °C only.', `${temperatureK} K`);
  }
  const largest = kind === 'ocean' ? 999.97495 : 999.972;
  return largest * (1 - ((t - 3.983035) ** 2 * (t + 301.797)) / (522528.9 * (t + 69.34881)));
}
