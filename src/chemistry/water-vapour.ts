import { OutOfRange } from '../numerics/errors.ts';

/** Coefficients n1 … n10 of IAPWS-IF97, region 4. */
const n = [
  0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.1202082470247e5, -0.32325550322333e7,
  0.1491510861353e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
] as const;

/**
 * Pressure of water vapour in equilibrium with liquid water, Pa. Pure vapour: in air at 1 atm it is about 0.4 %
 * higher (enhancement, 0.01 % of the amount of gas), which is left out as usual.
 *
 * @param temperatureK 273.15 … 647.096
 * @throws OutOfRange outside
 * Source: IAPWS-IF97 (Wagner et al., J. Eng. Gas Turb. Power 122 (2000) 150), region 4, equation 30. Check: its table
 * 35, and the Wagner-Pruss equation within 0.01 % over 0 … 40 °C; test/published/water-vapour.test.ts.
 * @example
 * waterVapourPressure(293.15) // => 2339.2
 */
export function waterVapourPressure(temperatureK: number): number {
  if (!(temperatureK >= 273.15 && temperatureK <= 647.096)) {
    throw new OutOfRange(
      'The vapour pressure of water is known from 0 °C to its critical point only.',
      `${temperatureK} K`,
    );
  }
  const theta = temperatureK + n[8] / (temperatureK - n[9]);
  const a = theta * theta + n[0] * theta + n[1];
  const b = n[2] * theta * theta + n[3] * theta + n[4];
  const c = n[5] * theta * theta + n[6] * theta + n[7];
  return 1e6 * ((2 * c) / (-b + Math.sqrt(b * b - 4 * a * c))) ** 4;
}
