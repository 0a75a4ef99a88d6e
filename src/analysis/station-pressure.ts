import { stationFromAltimeterSetting, stationFromSeaLevelPressure } from '../chemistry/atmosphere.ts';
import { CELSIUS_ZERO_K } from '../chemistry/constants.ts';
import type { Setup } from '../log/setup.ts';
import { nth } from '../numerics/nth.ts';
import { propagate } from '../numerics/propagate.ts';
import type { Measured } from './run-data.ts';

/** A barometer, or a weather report, good to a hectopascal or two (common practice, no source). */
const uStationPa = 100;
const uReportPa = 100;
/** Where it is not said how the report was reduced to sea level. */
const uSeaLevelPa = 200;
/** Altitude from a map, and the temperature outdoors from a report (common practice, no source). */
const uAltitudeM = 10;
const uOutdoorK = 3;

/**
 * Pressure of the air at the bench, Pa, with its standard uncertainty. A pressure at sea level with the temperature
 * outdoors is taken as reduced with that temperature (QFF, weather maps); without, as reduced with the standard
 * atmosphere (QNH, airfields and most apps).
 * @throws OutOfRange outside what the formulas hold for
 */
export function stationPressure(pressure: NonNullable<Setup['pressure']>): Measured {
  if (pressure.kind === 'station') return { value: pressure.hPa * 100, u: uStationPa };
  const seaLevelPa = pressure.hPa * 100;
  if (pressure.outdoorC === undefined)
    return { value: stationFromAltimeterSetting(seaLevelPa, pressure.altitudeM), u: uSeaLevelPa };
  const { value, u } = propagate(
    [
      { name: 'pressure at sea level', value: seaLevelPa, u: uReportPa },
      { name: 'altitude', value: pressure.altitudeM, u: uAltitudeM },
      { name: 'temperature outdoors', value: pressure.outdoorC + CELSIUS_ZERO_K, u: uOutdoorK },
    ],
    (values) => stationFromSeaLevelPressure(nth(values, 0), nth(values, 1), nth(values, 2)),
  );
  return { value, u };
}
