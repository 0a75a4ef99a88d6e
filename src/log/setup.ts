import { z } from 'zod/mini';
import { aboveZero } from './above-zero.ts';

/**
 * How the apparatus stands and under what conditions it is read. Units as a person writes them (mL, hPa, degrees
 * Celsius, mm); `analysis/notebook-analysis.ts` turns them into SI. A missing value means "not stated", never a default.
 */
export const Setup = z.object({
  /** Distance between marks, mL. */
  stepMl: aboveZero(1000),
  /** Displaced volume at which a run is complete, mL. */
  spanMl: aboveZero(10_000),
  /** Volume at which runs are meant to start, mL; missing: wherever the first call is. */
  firstMarkMl: z.optional(z.number().check(z.gte(0), z.lte(10_000))),
  cylinder: z.object({
    capacityMl: aboveZero(10_000),
    divisionMl: aboveZero(100),
    /** Accuracy class as printed on the glass; it sets the tolerance of the scale. */
    accuracy: z.enum(['A', 'B', 'unknown']),
  }),
  temperatureC: z.optional(z.number().check(z.gte(-5), z.lte(100))),
  /** Standard uncertainty of the temperature, K. */
  uTemperatureC: z.optional(aboveZero(20)),
  pressure: z.optional(
    z.discriminatedUnion('kind', [
      z.object({ kind: z.literal('station'), hPa: z.number().check(z.gte(500), z.lte(1100)) }),
      z.object({
        kind: z.literal('sea-level'),
        hPa: z.number().check(z.gte(900), z.lte(1100)),
        altitudeM: z.number().check(z.gte(-500), z.lte(5000)),
        /**
         * Temperature outdoors, for a report that was reduced to sea level with it (QFF, weather maps). Missing: reduced
         * with the standard atmosphere (QNH, airfields).
         */
        outdoorC: z.optional(z.number().check(z.gte(-60), z.lte(50))),
      }),
    ]),
  ),
  /** Height of the gas side's water level above (+) the free water level that the tube drips into, at the start, mm. */
  waterHeadMm: z.optional(z.number().check(z.gte(-2000), z.lte(2000))),
  /** Correction for the compression of the gas above the reaction while the level rises. */
  backPressure: z.optional(
    z.object({
      on: z.boolean(),
      headspaceMl: aboveZero(10_000),
      /** Standard uncertainty of the headspace, mL. */
      uHeadspaceMl: z.optional(aboveZero(10_000)),
      cylinderBoreMm: aboveZero(500),
      /** Standard uncertainty of the bore, mm. */
      uCylinderBoreMm: z.optional(aboveZero(500)),
    }),
  ),
  /** What of a gas that dissolves well (carbon dioxide) liquids can keep back. */
  dissolving: z.optional(
    z.object({
      /** The water that the gas stands on: fresh, saturated with the gas beforehand, or none (oil on it, a gas syringe). */
      water: z.optional(z.enum(['fresh', 'saturated', 'none'])),
      /** How much of that water there is at the start of a run, mL. */
      waterMl: z.optional(aboveZero(100_000)),
    }),
  ),
  /** Standard uncertainty of a called moment, ms; from the rehearsal when the caller has one of their own. */
  uCallMs: z.optional(aboveZero(5000)),
  /** What of the caller's delay is known, ms (it cancels in differences; shown for honesty). */
  callDelayMs: z.optional(z.number().check(z.gte(-5000), z.lte(5000))),
});
export type Setup = z.infer<typeof Setup>;

export const defaultSetup: Setup = {
  stepMl: 2,
  spanMl: 20,
  cylinder: { capacityMl: 100, divisionMl: 1, accuracy: 'unknown' },
};
