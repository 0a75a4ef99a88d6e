import { OutOfRange } from '../numerics/errors.ts';
import { STANDARD_ATMOSPHERE_PA, STANDARD_GRAVITY } from './constants.ts';

/*
 * Air pressure and height. The model: ICAO standard atmosphere (ISO 2533, ICAO Doc 7488), 288.15 K and 101325 Pa at
 * sea level, 6.5 K colder per kilometre; R_air = 287.05287 J/(kg K).
 */
const SEA_LEVEL_K = 288.15;
const LAPSE = 0.0065;
const AIR = 287.05287;
const EXPONENT = STANDARD_GRAVITY / (AIR * LAPSE);

/** Heights for which the formulas hold, m. */
const LOWEST = -1000;
const HIGHEST = 11000;

/**
 * Pressure of the standard atmosphere, Pa.
 * @param heightM geopotential height above sea level, m, -1000 … 11000 (differs from the map's height by 0.016 % per km)
 * @throws OutOfRange outside
 * @example
 * standardPressure(500) // => 95460.8
 */
export function standardPressure(heightM: number): number {
  requireHeight(heightM);
  return STANDARD_ATMOSPHERE_PA * (1 - (LAPSE * heightM) / SEA_LEVEL_K) ** EXPONENT;
}

/**
 * Height at which the standard atmosphere has a pressure, m. Inverse of `standardPressure`.
 * @example
 * standardHeight(95461) // => 500.0
 */
export function standardHeight(pressurePa: number): number {
  if (!(pressurePa >= 22632 && pressurePa <= 114000)) {
    throw new OutOfRange('An air pressure lies between 226 and 1140 hPa.', `${pressurePa} Pa`);
  }
  return (SEA_LEVEL_K / LAPSE) * (1 - (pressurePa / STANDARD_ATMOSPHERE_PA) ** (1 / EXPONENT));
}

/**
 * Pressure at the place, Pa, from a pressure that was reduced to sea level with the standard atmosphere (QNH, the
 * "altimeter setting").
 * @param seaLevelPa 87000 … 109000
 * @param altitudeM of the place, m, -1000 … 11000
 * @throws OutOfRange outside
 * Source: the relations of ICAO Doc 7488 solved for the station pressure.
 * @example
 * stationFromAltimeterSetting(101325, 500) // => 95460.8
 */
export function stationFromAltimeterSetting(seaLevelPa: number, altitudeM: number): number {
  requireSeaLevel(seaLevelPa);
  requireHeight(altitudeM);
  const root = (seaLevelPa / STANDARD_ATMOSPHERE_PA) ** (1 / EXPONENT) - (LAPSE * altitudeM) / SEA_LEVEL_K;
  return STANDARD_ATMOSPHERE_PA * root ** EXPONENT;
}

/**
 * Pressure at the place, Pa, from a pressure that was reduced to sea level with the temperature of the place (QFF, the
 * "mean sea level pressure" of weather maps): p0 exp(-g H/(R (T + L H/2))), dry air.
 * @param seaLevelPa 87000 … 109000
 * @param altitudeM of the place, m
 * @param outdoorK temperature of the air outdoors at the place, K, 200 … 330
 * @throws OutOfRange outside
 * @example
 * stationFromSeaLevelPressure(101325, 500, 288.15) // => 95524.7
 */
export function stationFromSeaLevelPressure(seaLevelPa: number, altitudeM: number, outdoorK: number): number {
  requireSeaLevel(seaLevelPa);
  requireHeight(altitudeM);
  if (!(outdoorK >= 200 && outdoorK <= 330)) {
    throw new OutOfRange('The temperature outdoors must lie between -73 and 57 °C.', `${outdoorK} K`);
  }
  return seaLevelPa * Math.exp((-STANDARD_GRAVITY * altitudeM) / (AIR * (outdoorK + (LAPSE * altitudeM) / 2)));
}

function requireHeight(heightM: number): void {
  if (!(heightM >= LOWEST && heightM <= HIGHEST)) {
    throw new OutOfRange('An altitude must lie between -1000 and 11000 m.', `${heightM} m`);
  }
}

function requireSeaLevel(pressurePa: number): void {
  if (!(pressurePa >= 87000 && pressurePa <= 109000)) {
    throw new OutOfRange('A pressure at sea level lies between 870 and 1090 hPa.', `${pressurePa} Pa`);
  }
}
