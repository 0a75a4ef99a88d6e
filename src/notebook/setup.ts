import { z } from 'zod';

/**
 * How the apparatus stands and under what conditions it is read. Units as a person writes them (mL, hPa, degrees
 * Celsius, mm); `notebook/analysis.ts` turns them into SI. A missing value means "not stated", never a default.
 */
export const Setup = z.object({
  /** Distance between marks, mL. */
  stepMl: z.number().positive().max(1000),
  /** Displaced volume at which a run is complete, mL. */
  spanMl: z.number().positive().max(10_000),
  cylinder: z.object({
    capacityMl: z.number().positive().max(10_000),
    divisionMl: z.number().positive().max(100),
    /** Accuracy class as printed on the glass; it sets the tolerance of the scale. */
    accuracy: z.enum(['A', 'B', 'unknown']),
  }),
  temperatureC: z.number().min(-5).max(100).optional(),
  /** Standard uncertainty of the temperature, K. */
  uTemperatureC: z.number().positive().max(20).optional(),
  pressure: z
    .discriminatedUnion('kind', [
      z.object({ kind: z.literal('station'), hPa: z.number().min(500).max(1100) }),
      z.object({
        kind: z.literal('sea-level'),
        hPa: z.number().min(900).max(1100),
        altitudeM: z.number().min(-500).max(5000),
      }),
    ])
    .optional(),
  /** Height of the gas side's water level above (+) the free water level that the tube drips into, mm. */
  waterHeadMm: z.number().min(-2000).max(2000).optional(),
  /** Correction for the compression of the gas above the reaction while the level rises. */
  backPressure: z
    .object({
      on: z.boolean(),
      headspaceMl: z.number().positive().max(10_000),
      cylinderBoreMm: z.number().positive().max(500),
    })
    .optional(),
  /** Standard uncertainty of a called moment, ms; from the rehearsal when the caller has one of their own. */
  uCallMs: z.number().positive().max(5000).optional(),
  /** What of the caller's delay is known, ms (it cancels in differences; shown for honesty). */
  callDelayMs: z.number().min(-5000).max(5000).optional(),
});
export type Setup = z.infer<typeof Setup>;

export const defaultSetup: Setup = {
  stepMl: 2,
  spanMl: 20,
  cylinder: { capacityMl: 100, divisionMl: 1, accuracy: 'unknown' },
};
