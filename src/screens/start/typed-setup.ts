import type { Setup } from '../../notebook/setup.ts';

export type PressureKind = 'station' | 'sea-level' | 'unknown';

export const altitudeOf = (setup: Setup): number | undefined =>
  setup.pressure?.kind === 'sea-level' ? setup.pressure.altitudeM : undefined;

export const outdoorsOf = (setup: Setup): number | undefined =>
  setup.pressure?.kind === 'sea-level' ? setup.pressure.outdoorC : undefined;

/** What a person calls a field, by its path in the setup. */
export const fieldNames: Readonly<Record<string, string>> = {
  stepMl: 'the distance of the marks',
  spanMl: 'the volume of a run',
  'cylinder capacityMl': 'what the cylinder holds',
  'cylinder divisionMl': 'the division',
  temperatureC: 'the temperature',
  uTemperatureC: 'the uncertainty of the temperature',
  'pressure hPa': 'the pressure',
  'pressure altitudeM': 'the height above the sea',
  'pressure outdoorC': 'the temperature outdoors',
};

/** The setup as typed, not yet checked; what the form does not ask for stays as it was. */
export function typedSetup(
  old: Setup,
  field: (name: string) => number | undefined,
  accuracy: string,
  pressureKind: PressureKind,
): unknown {
  const { temperatureC: _t, uTemperatureC: _u, pressure: _p, ...rest } = old;
  const temperatureC = field('temperatureC');
  const uTemperatureC = field('uTemperatureC');
  const hPa = field('hPa');
  const outdoorC = field('outdoorC');
  const outdoors = outdoorC === undefined ? {} : { outdoorC };
  return {
    ...rest,
    stepMl: field('stepMl'),
    spanMl: field('spanMl'),
    cylinder: { capacityMl: field('capacityMl'), divisionMl: field('divisionMl'), accuracy },
    ...(temperatureC === undefined ? {} : { temperatureC }),
    ...(uTemperatureC === undefined ? {} : { uTemperatureC }),
    ...(pressureKind === 'station' ? { pressure: { kind: 'station', hPa } } : {}),
    ...(pressureKind === 'sea-level'
      ? { pressure: { kind: 'sea-level', hPa, altitudeM: field('altitudeM'), ...outdoors } }
      : {}),
  };
}
