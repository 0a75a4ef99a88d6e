import type { PageLanguage } from '../../language/page-language.ts';
import type { Setup } from '../../log/setup.ts';
import { type InputKind, implausible } from '../../planning/plausible-input.ts';

export type PressureKind = 'station' | 'sea-level' | 'unknown';

export const altitudeOf = (setup: Setup): number | undefined =>
  setup.pressure?.kind === 'sea-level' ? setup.pressure.altitudeM : undefined;

export const outdoorsOf = (setup: Setup): number | undefined =>
  setup.pressure?.kind === 'sea-level' ? setup.pressure.outdoorC : undefined;

/** What fields measure, by their name in the form. */
const kinds: Readonly<Record<string, InputKind>> = {
  stepMl: 'stepMl',
  temperatureC: 'temperatureC',
  hPa: 'pressureHPa',
  headspaceMl: 'headspaceMl',
  cylinderBoreMm: 'boreMm',
  waterMl: 'waterMl',
};

/** Why a figure that was typed cannot be true, with the slip of the unit that it looks like; null where all can. */
export function implausibleSetup(field: (name: string) => number | undefined, language: PageLanguage): string | null {
  for (const [name, kind] of Object.entries(kinds)) {
    const value = field(name);
    const sentence = value === undefined || Number.isNaN(value) ? null : implausible(kind, value, language);
    if (sentence !== null) return sentence;
  }
  return null;
}

/**
 * The setup as typed, not yet checked; what the form does not ask for stays as it was.
 *
 * @param chosen `withoutTemperature`: the form has no field for it
 */
export function typedSetup(
  old: Setup,
  field: (name: string) => number | undefined,
  chosen: {
    readonly accuracy: string;
    readonly pressure: PressureKind;
    readonly headspaceCounts: boolean;
    readonly withoutTemperature: boolean;
    /** What the gas stands on; null: the form does not ask. */
    readonly water: string | null;
  },
): unknown {
  const {
    firstMarkMl: _f,
    temperatureC: _t,
    uTemperatureC: _u,
    pressure: _p,
    waterHeadMm: _w,
    backPressure: _b,
    uCallMs: _c,
    dissolving: _d,
    ...rest
  } = old;
  const firstMarkMl = field('firstMarkMl');
  const temperatureC = chosen.withoutTemperature ? old.temperatureC : field('temperatureC');
  const uTemperatureC = chosen.withoutTemperature ? old.uTemperatureC : field('uTemperatureC');
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
    ...typedDissolving(old, chosen.water, field('waterMl')),
  };
}

function typedDissolving(old: Setup, water: string | null, waterMl: number | undefined): { dissolving?: unknown } {
  if (water === null) return old.dissolving ? { dissolving: old.dissolving } : {};
  const stated = water === '' ? {} : { water };
  const amount = waterMl === undefined || water === 'none' ? {} : { waterMl };
  const dissolving = { ...stated, ...amount };
  return Object.keys(dissolving).length === 0 ? {} : { dissolving };
}
