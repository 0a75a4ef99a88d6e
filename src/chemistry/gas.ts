import { OutOfRange } from '../numerics/errors.ts';
import { GAS_CONSTANT, STANDARD_GRAVITY } from './constants.ts';
import { waterDensity } from './water-density.ts';
import { waterVapourPressure } from './water-vapour.ts';

/**
 * Pressure of a column of water, Pa, positive for a positive height.
 * @param heightM difference of the two levels, m
 * @param temperatureK of the water; above 40 °C the density at 40 °C is taken (the head is about 1 % of the pressure,
 *   so up to 60 °C this is within 0.01 % of the amount of gas)
 * @example
 * waterHeadPressure(0.1, 293.15) // => 978.9
 */
export function waterHeadPressure(heightM: number, temperatureK: number): number {
  return waterDensity(Math.min(temperatureK, 313.15), 'tap') * STANDARD_GRAVITY * heightM;
}

/**
 * Pressure of the collected moist gas, Pa: station pressure plus the water head.
 * @param stationPa pressure of the air at the place (not reduced to sea level), Pa
 * @param headM height of the free water level (or of the open tube end, if that is higher) above the water level that
 *   the gas stands on, m: positive when the gas has to push water uphill
 * @example
 * collectedPressure(101325, 0.1, 293.15) // => 102303.9
 */
export function collectedPressure(stationPa: number, headM: number, temperatureK: number): number {
  return stationPa + waterHeadPressure(headM, temperatureK);
}

/**
 * Partial pressure of the dry gas over water, Pa.
 * @throws OutOfRange when the vapour pressure reaches the total pressure: nothing but steam
 * @example
 * dryGasPressure(101325, 293.15) // => 98985.8
 */
export function dryGasPressure(totalPa: number, temperatureK: number): number {
  const dry = totalPa - waterVapourPressure(temperatureK);
  if (!(dry > 0)) {
    throw new OutOfRange(
      'At this pressure and temperature the collected gas would be all water vapour.',
      `${totalPa} Pa`,
    );
  }
  return dry;
}

/**
 * Amount of gas in a volume collected over water, mol: (p - p_water) V/(R T).
 * @param volumeM3 moist gas, m3 (negative for a reading below the baseline)
 * @param pressurePa of the moist gas, see `collectedPressure`
 * @param temperatureK of gas and water, K
 * @throws OutOfRange when the gas would be all vapour, or the temperature lies outside 0 °C … critical point
 * @example
 * molesOverWater(20e-6, 101325, 293.15) // => 0.0008122
 */
export function molesOverWater(volumeM3: number, pressurePa: number, temperatureK: number): number {
  return (dryGasPressure(pressurePa, temperatureK) * volumeM3) / (GAS_CONSTANT * temperatureK);
}

/**
 * Volume of moist gas that an amount of gas fills over water, m3: the inverse of `molesOverWater`.
 * @example
 * volumeOverWater(0.00081, 101325, 293.15) // => 0.00001995
 */
export function volumeOverWater(moles: number, pressurePa: number, temperatureK: number): number {
  return (moles * GAS_CONSTANT * temperatureK) / dryGasPressure(pressurePa, temperatureK);
}

/** What the gas above the reaction works against as water is displaced. */
export interface BackPressure {
  /** Gas space of flask, tube and water vessel at the baseline, m3. */
  readonly headspaceM3: number;
  /**
   * Rise of the difference of levels per volume displaced, m/m3: 1/area of the receiving cylinder when the tube ends
   * under its water, plus 1/area of the vessel whose water is pushed out. See `levelRise`.
   */
  readonly risePerM3: number;
}

/**
 * Rise of the difference of levels per volume displaced, m/m3.
 * @param cylinderBoreM inner diameter of the receiving cylinder, m, when the tube ends under its water; else undefined:
 *   drops that fall free do not feel the level below
 * @param vesselAreaM2 water surface of the vessel that is emptied, m2, when known
 * @example
 * levelRise(0.03) // => 1414.7
 */
export function levelRise(cylinderBoreM: number | undefined, vesselAreaM2?: number): number {
  if (cylinderBoreM !== undefined && !(cylinderBoreM > 0)) throw new OutOfRange('A bore must be above zero.');
  if (vesselAreaM2 !== undefined && !(vesselAreaM2 > 0)) throw new OutOfRange('An area must be above zero.');
  const cylinder = cylinderBoreM === undefined ? 0 : 4 / (Math.PI * cylinderBoreM ** 2);
  return cylinder + (vesselAreaM2 === undefined ? 0 : 1 / vesselAreaM2);
}

/**
 * Inner diameter of the cylinder, m, whose level alone makes that rise: the inverse of `levelRise`.
 * @example
 * boreOf({ headspaceM3: 1e-4, risePerM3: levelRise(0.03) }) // => 0.03
 */
export const boreOf = ({ risePerM3 }: BackPressure): number => Math.sqrt(4 / (Math.PI * risePerM3));

/**
 * By how much more gas is made than the displaced volume at constant pressure says, as a fraction of dn/dV: the gas
 * already there is compressed as the level rises.
 *
 * With p = p0 + rho g s V (s the rise per volume) and the gas space V_h + V, n - n0 = [V (p - p_w) + V_h rho g s V]/(R T),
 * so dn/dV = [(p0 - p_w) + rho g s (V_h + 2 V)]/(R T). The fraction is rho g s (V_h + 2 V)/(p0 - p_w): at V = 0 the
 * correction of the starting rate, about 4 % for 250 mL of headspace and a 100 mL cylinder.
 *
 * @param back headspace and rise
 * @param pressurePa of the moist gas at the baseline
 * @param displacedM3 volume at which dn/dV is wanted, default 0; for a rate between two readings the middle of them
 * @example
 * headspaceCorrection({ headspaceM3: 1e-4, risePerM3: levelRise(0.03) }, 101325, 293.15) // => 0.0140
 */
export function headspaceCorrection(
  back: BackPressure,
  pressurePa: number,
  temperatureK: number,
  displacedM3 = 0,
): number {
  if (!(back.headspaceM3 >= 0) || !(back.risePerM3 >= 0)) {
    throw new OutOfRange('A headspace and a rise of level cannot be negative.');
  }
  const perVolume = waterHeadPressure(1, temperatureK) * back.risePerM3;
  return (perVolume * (back.headspaceM3 + 2 * displacedM3)) / dryGasPressure(pressurePa, temperatureK);
}

/**
 * Amount of gas made while `volumeM3` was displaced against a rising level, mol: `dn/dV` above, integrated.
 * @example
 * molesAgainstBackPressure(20e-6, 101325, 293.15, { headspaceM3: 1e-4, risePerM3: levelRise(0.03) }) // => 0.0008259
 */
export function molesAgainstBackPressure(
  volumeM3: number,
  pressurePa: number,
  temperatureK: number,
  back: BackPressure,
): number {
  // The mean of a linear function over 0 … V is its value at V/2.
  const mean = headspaceCorrection(back, pressurePa, temperatureK, volumeM3 / 2);
  return molesOverWater(volumeM3, pressurePa, temperatureK) * (1 + mean);
}

/**
 * g of the amount n = (moles per volume at the start) (V + g V^2), 1/m3: how a displaced volume stands for more gas the
 * more was displaced before.
 * @param molesPerM3 dn/dV at the start, with what is pressed into the headspace
 * @example
 * const back = { headspaceM3: 0, risePerM3: levelRise(0.03) };
 * levelGrowth(molesOverWater(1, 101325, 293.15), 101325, 293.15, back) // => 139.9
 */
export function levelGrowth(molesPerM3: number, pressurePa: number, temperatureK: number, back: BackPressure): number {
  // The amount is a parabola in the volume: any one point of it tells its bend.
  return molesAgainstBackPressure(1, pressurePa, temperatureK, back) / molesPerM3 - 1;
}
