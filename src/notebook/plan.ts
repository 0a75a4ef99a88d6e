import { z } from 'zod';

/**
 * The run sheet as data: reaction, bottles, dilutions, and what each run's flask gets. Volumes in mL, temperatures
 * in degrees Celsius, as a person writes them; `chemistry/` computes in SI.
 */

const positive = z.number().positive().max(1e6);
const name = z.string().min(1).max(80);

/** How the label states the strength. `vol-stp`: volume strength at 22.414 L/mol; `vol-room`: at 24.0 L/mol. */
export const StrengthUnit = z.enum(['mol/L', 'g/L', '%w/v', '%w/w', 'vol-stp', 'vol-room', 'M-unknown']);
export type StrengthUnit = z.infer<typeof StrengthUnit>;

export const Stock = z.object({
  id: name,
  name,
  /** Species key of the reaction ("H2O2", "I-", "HCl", …). */
  species: name,
  strength: z.object({
    value: z.number().nonnegative(),
    unit: StrengthUnit,
    /** Relative standard uncertainty of the label's strength, 0..1. */
    uRelative: z.number().min(0).max(1).optional(),
    /** g/mL, needed for %w/w. */
    densityGPerMl: z.number().positive().optional(),
  }),
  /** How much there is, mL. */
  availableMl: z.number().nonnegative().optional(),
});
export type Stock = z.infer<typeof Stock>;

/** Take `takeMl` of `from`, then add water (`addWaterMl`) or make up to the mark (`makeUpToMl`). */
export const Dilution = z.object({
  id: name,
  name,
  from: name,
  takeMl: positive,
  addWaterMl: positive.optional(),
  makeUpToMl: positive.optional(),
  /** Capacity in mL of the vessel used to measure, for its tolerance. */
  vesselMl: positive.optional(),
});
export type Dilution = z.infer<typeof Dilution>;

export const Pour = z.object({
  /** Id of a stock or a dilution, or "water". */
  solution: name,
  volumeMl: z.number().nonnegative().max(1e6),
  vesselMl: positive.optional(),
});
export type Pour = z.infer<typeof Pour>;

export const PlannedRun = z.object({
  /** As called at the bench: "start run one" is run "1". */
  label: z.string().min(1).max(40),
  pours: z.array(Pour).max(20),
  temperatureC: z.number().min(-10).max(100).optional(),
  note: z.string().max(500).optional(),
});
export type PlannedRun = z.infer<typeof PlannedRun>;

export const Plan = z.object({
  /** Id of a reaction in `chemistry/reactions.ts`, or "own". */
  reaction: name,
  /** The user's own reaction, when `reaction` is "own". */
  own: z
    .object({
      name,
      gas: z.enum(['O2', 'H2', 'CO2', 'N2', 'other']),
      /** mol of gas made per mol of the limiting reagent. */
      gasPerLimiting: z.number().positive().max(100),
      limiting: name,
      orderSpecies: z.array(name).min(1).max(6),
    })
    .optional(),
  stocks: z.array(Stock).max(40),
  dilutions: z.array(Dilution).max(40),
  runs: z.array(PlannedRun).max(200),
});
export type Plan = z.infer<typeof Plan>;
