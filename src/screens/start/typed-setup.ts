import type { Setup } from '../../log/setup.ts';

export type PressureKind = 'station' | 'sea-level' | 'unknown';

export const altitudeOf = (setup: Setup): number | undefined =>
  setup.pressure?.kind === 'sea-level' ? setup.pressure.altitudeM : undefined;

export const outdoorsOf = (setup: Setup): number | undefined =>
  setup.pressure?.kind === 'sea-level' ? setup.pressure.outdoorC : undefined;

/** What a person calls a field, by its path in the setup. */
export const fieldNames: Readonly<Record<string, string>> = {
  stepMl: 'the distance of the marks',
  firstMarkMl: 'the first mark',
  spanMl: 'the volume of a run',
  'cylinder capacityMl': 'what the cylinder holds',
  'cylinder divisionMl': 'the division',
  temperatureC: 'the temperature',
  uTemperatureC: 'the uncertainty of the temperature',
  'pressure hPa': 'the pressure',
  'pressure altitudeM': 'the height above the sea',
  'pressure outdoorC': 'the temperature outdoors',
  waterHeadMm: 'the height of the water',
  'backPressure headspaceMl': 'the gas above the reaction',
  'backPressure uHeadspaceMl': 'the uncertainty of the gas above the reaction',
  'backPressure cylinderBoreMm': 'the bore of the cylinder',
  'backPressure uCylinderBoreMm': 'the uncertainty of the bore',
  uCallMs: 'what a call is good to',
};

/** The setup as typed, not yet checked; what the form does not ask for stays as it was. */
export function typedSetup(
  old: Setup,
  field: (name: string) => number | undefined,
  chosen: { readonly accuracy: string; readonly pressure: PressureKind; readonly headspaceCounts: boolean },
): unknown {
  const {
    firstMarkMl: _f,
    temperatureC: _t,
    uTemperatureC: _u,
    pressure: _p,
    waterHeadMm: _w,
    backPressure: _b,
    uCallMs: _c,
    ...rest
  } = old;
  const firstMarkMl = field('firstMarkMl');
  const temperatureC = field('temperatureC');
  const uTemperatureC = field('uTemperatureC');
  const waterHeadMm = field('waterHeadMm');
  const headspaceMl = field('headspaceMl');
  const uHeadspaceMl = field('uHeadspaceMl');
  const cylinderBoreMm = field('cylinderBoreMm');
  const uCylinderBoreMm = field('uCylinderBoreMm');
  const uCallMs = field('uCallMs');
  const headspace = [headspaceMl, uHeadspaceMl, cylinderBoreMm, uCylinderBoreMm].some((typed) => typed !== undefined);
  const hPa = field('hPa');
  const outdoorC = field('outdoorC');
  const outdoors = outdoorC === undefined ? {} : { outdoorC };
  return {
    ...rest,
    stepMl: field('stepMl'),
    spanMl: field('spanMl'),
    cylinder: { capacityMl: field('capacityMl'), divisionMl: field('divisionMl'), accuracy: chosen.accuracy },
    ...(firstMarkMl === undefined ? {} : { firstMarkMl }),
    ...(temperatureC === undefined ? {} : { temperatureC }),
    ...(uTemperatureC === undefined ? {} : { uTemperatureC }),
    ...(chosen.pressure === 'station' && hPa !== undefined ? { pressure: { kind: 'station', hPa } } : {}),
    ...(chosen.pressure === 'sea-level' && hPa !== undefined
      ? { pressure: { kind: 'sea-level', hPa, altitudeM: field('altitudeM'), ...outdoors } }
      : {}),
    ...(waterHeadMm === undefined ? {} : { waterHeadMm }),
    ...(headspace
      ? {
          backPressure: {
            on: chosen.headspaceCounts,
            headspaceMl,
            ...(uHeadspaceMl === undefined ? {} : { uHeadspaceMl }),
            cylinderBoreMm,
            ...(uCylinderBoreMm === undefined ? {} : { uCylinderBoreMm }),
          },
        }
      : {}),
    ...(uCallMs === undefined ? {} : { uCallMs }),
  };
}
