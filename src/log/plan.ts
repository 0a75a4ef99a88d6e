import { z } from 'zod/mini';
import { aboveZero } from './above-zero.ts';

/**
 * The run sheet as data: reaction, bottles, dilutions, and what each run's flask gets. Volumes in mL, temperatures
 * in degrees Celsius, as a person writes them; `chemistry/` computes in SI.
 */

const positive = aboveZero(1e6);
const name = z.string().check(z.minLength(1), z.maxLength(80));
/** Becomes a key of objects: a word that every object has by itself ("constructor") would find what nobody stated. */
const key = z.string().check(
  z.minLength(1),
  z.maxLength(80),
  z.refine((text) => !(text in Object.prototype)),
);

/** How the label states the strength. `vol-stp`: volume strength at 22.414 L/mol; `vol-room`: at 24.0 L/mol. */
export const StrengthUnit = z.enum(['mol/L', 'g/L', '%w/v', '%w/w', 'vol-stp', 'vol-room', 'M-unknown']);
export type StrengthUnit = z.infer<typeof StrengthUnit>;

export const Stock = z.object({
  id: key,
  name,
  /** Species key of the reaction ("H2O2", "I-", "HCl", …). */
  species: key,
  strength: z.object({
    value: z.number().check(z.nonnegative(), z.lte(1e6)),
    unit: StrengthUnit,
    /** Relative standard uncertainty of the label's strength, 0..1. */
    uRelative: z.optional(z.number().check(z.gte(0), z.lte(1))),
    /** g/mL, needed for %w/w. */
    densityGPerMl: z.optional(aboveZero(100)),
  }),
  /** How much there is, mL. */
  availableMl: z.optional(z.number().check(z.nonnegative(), z.lte(1e9))),
});
export type Stock = z.infer<typeof Stock>;

/** Take `takeMl` of `from`, then add water (`addWaterMl`) or make up to the mark (`makeUpToMl`). */
export const Dilution = z.object({
  id: key,
  name,
  from: key,
  takeMl: positive,
  addWaterMl: z.optional(positive),
  makeUpToMl: z.optional(positive),
  /** Capacity in mL of the vessel used to measure, for its tolerance. */
  vesselMl: z.optional(positive),
});
export type Dilution = z.infer<typeof Dilution>;

export const Pour = z.object({
  /** Id of a stock or a dilution, or "water". */
  solution: key,
  volumeMl: z.number().check(z.nonnegative(), z.lte(1e6)),
  vesselMl: z.optional(positive),
});
export type Pour = z.infer<typeof Pour>;

/** A solid that goes into a flask, by its mass or as a ribbon by its length. Uncertainties are standard ones. */
export const WeighedSolid = z.object({
  /** Species key of the reaction ("Mg", "CaCO3"). */
  species: key,
  massG: z.optional(aboveZero(1000)),
  uMassG: z.optional(aboveZero(1000)),
  lengthCm: z.optional(aboveZero(1000)),
  uLengthCm: z.optional(aboveZero(1000)),
  /** Mass of a metre of the ribbon. */
  gPerM: z.optional(aboveZero(1000)),
  uGPerM: z.optional(aboveZero(1000)),
  /** % by mass of what is weighed that is the species; missing: not stated, taken as 100. */
  purityPercent: z.optional(aboveZero(100)),
  uPurityPercent: z.optional(aboveZero(100)),
  /** What the pieces are like, in words: "chips of 5 mm", "powder". */
  pieces: z.optional(z.string().check(z.minLength(1), z.maxLength(80))),
});
export type WeighedSolid = z.infer<typeof WeighedSolid>;

export const PlannedRun = z.object({
  /** As called at the bench: "start run one" is run "1". */
  label: z.string().check(z.minLength(1), z.maxLength(40)),
  pours: z.array(Pour).check(z.maxLength(20)),
  solids: z.optional(z.array(WeighedSolid).check(z.maxLength(5))),
  temperatureC: z.optional(z.number().check(z.gte(-10), z.lte(100))),
  note: z.optional(z.string().check(z.maxLength(500))),
});
export type PlannedRun = z.infer<typeof PlannedRun>;

export const Plan = z.object({
  /** Id of a reaction in `chemistry/reactions.ts`, or "own". */
  reaction: key,
  /** The user's own reaction, when `reaction` is "own". */
  own: z.optional(
    z.object({
      name,
      gas: z.enum(['O2', 'H2', 'CO2', 'N2', 'other']),
      /** mol of gas made per mol of the limiting reagent. */
      gasPerLimiting: aboveZero(100),
      limiting: key,
      orderSpecies: z.array(key).check(z.minLength(1), z.maxLength(6)),
    }),
  ),
  stocks: z.array(Stock).check(z.maxLength(40)),
  dilutions: z.array(Dilution).check(z.maxLength(40)),
  runs: z.array(PlannedRun).check(z.maxLength(200)),
});
export type Plan = z.infer<typeof Plan>;
