import type { BackPressure } from '../chemistry/gas.ts';
import type { Cause } from '../log/event.ts';
import type { HappeningKind } from '../log/meaning.ts';

/**
 * What one run, and one experiment of several runs, bring to the computation. SI throughout: s, m3, mol/m3, K, Pa.
 * Plain values: made by `analysis/notebook-analysis.ts` from a notebook, by `files/rates-csv.ts` from a table, by
 * `simulate.ts` from a random generator.
 */

/** A value with its standard uncertainty (same unit). u = 0 means "taken as exact". */
export interface Measured {
  readonly value: number;
  readonly u: number;
}

/** Why the analysis finds a reading off. */
export type FlagCause = Exclude<Cause, 'own-judgement'>;

export interface RunReading {
  /** The caller's handle on it (a notebook's reading id); results refer to readings by their index in `readings`. */
  readonly id?: string;
  /** Where it stands in the table it came from: which of its run's rows (from 0, rows that do not count included), and the line of the file (from 1). */
  readonly row?: { readonly index: number; readonly line: number };
  /** Moment of the call, s. Any origin: only differences count. */
  readonly timeS: number;
  /** Reading of the cylinder, m3 (what was displaced since the baseline is this minus the baseline). */
  readonly volumeM3: number;
  /** Standard uncertainty of the moment, s, independent from reading to reading. */
  readonly uTimeS: number;
  /** Standard uncertainty of the reading, m3, independent from reading to reading (the scale's own error is the gain). */
  readonly uVolumeM3: number;
  /** Left out of every fit when given; the string says why. */
  readonly setAside?: string;
}

/** How well something is known that may not have been said. */
export interface KnownTo {
  /** Relative standard uncertainty. */
  readonly relative: number;
  /** true: nobody stated it; it is a judgement, and is called so wherever it is shown. */
  readonly supposed: boolean;
}

/** A concentration at the moment of mixing, mol/m3 (1 mol/L is 1000 mol/m3). */
export interface Concentration {
  readonly value: number;
  /** Standard uncertainty that belongs to this run alone (measuring out the volumes), mol/m3. */
  readonly u: number;
  /** Relative standard uncertainty shared by all runs made from the same stock (its label), 0..1. */
  readonly uCommonRelative: number;
}

/** A solid reagent in the flask at the moment of mixing: an amount, for a solid has no concentration. */
export interface SolidReagent {
  readonly mol: number;
  /** Standard uncertainty that belongs to this run alone (weighing), mol. */
  readonly u: number;
  /** Relative standard uncertainty shared by all runs (mass per length of a ribbon), 0..1. */
  readonly uCommonRelative: number;
  /** Molar mass, g/mol: what was weighed is this times the amount, over the purity. */
  readonly gPerMol: number;
  /** Share of what was weighed that is the species, 0..1; `mol` is of that share alone. Absent: not stated, all of it. */
  readonly purity?: number;
  /** Relative standard uncertainty of the purity, shared by all runs, 0..1; absent: taken as exact. */
  readonly uPurityRelative?: number;
  /** What the pieces are like, in words. */
  readonly pieces?: string;
}

export interface RunEvent {
  readonly timeS: number;
  readonly what: HappeningKind;
}

/** What the gas stands on, as stated. */
export interface Dissolving {
  readonly gas: 'CO2';
  /** Missing: not stated, so taken as fresh. 'none': oil on the water, or a gas syringe. */
  readonly water?: 'fresh' | 'saturated' | 'none';
  /** Water under the gas at the start, m3; missing: at least what was displaced of it. */
  readonly waterM3?: number;
}

/** Gas that stays dissolved, as a share of the gas collected: somewhere between two ends, nobody knows where. */
export interface DissolvedGas {
  readonly stated: Dissolving;
  /** Moist gas that the solution, and the water if it is fresh, hold when saturated, m3. */
  readonly solutionHoldsM3: number;
  readonly waterHoldsM3: number;
  /**
   * Per gas collected: the middle, what all runs err by alike, what runs that collected little err by in one way as the
   * others do in the other (with its sign), what each errs by alone, and the ends.
   */
  readonly perCollected: number;
  readonly uShared: number;
  readonly uSlant: number;
  readonly uOwn: number;
  readonly low: number;
  readonly high: number;
}

/** How the gas volume follows from the reagent that runs out first; needed for k in concentration units. */
export interface GasFrame {
  /** Volume of the reacting solution, m3. */
  readonly solutionM3: Measured;
  /** mol of gas per mol of the limiting reagent. */
  readonly gasPerLimiting: number;
  /** Species key of the limiting reagent in `concentrations`, or in `solids`. */
  readonly limiting: string;
  /** Pressure of the collected moist gas at the start of the run, Pa: station pressure plus water head. */
  readonly pressurePa: Measured;
  /** What the gas works against as the level rises; absent: not stated, or switched off. */
  readonly back?: BackPressure;
  /** How well headspace and bore of `back` are known, the same error in all runs; absent: taken as exact. */
  readonly uBack?: { readonly headspace: KnownTo; readonly bore: KnownTo };
  /** What the liquids may keep back of the gas; absent: not looked at. See `dissolved-gas.ts`. */
  readonly dissolved?: DissolvedGas;
  /** In place of `back`, for tables that state the effect on the starting rate alone: relative correction of the moles. */
  readonly headspaceRelative?: number;
}

export interface RunData {
  readonly label: string;
  readonly readings: readonly RunReading[];
  /** Cylinder reading before mixing, m3. Absent: gas made before the first reading is unknown. */
  readonly baselineM3?: Measured;
  /**
   * Moment at which no gas had come yet, on the clock of the readings, s: the first-order curve is then held to the
   * baseline there. Absent: the curve has an offset of its own, as a run needs whose clock starts at the first call.
   */
  readonly startS?: number;
  /** A moment and cylinder reading (m3) that may be such a start, though nobody said so: 0 s of a table. */
  readonly possibleStart?: { readonly timeS: number; readonly volumeM3: number };
  /** Gas that full conversion would displace, m3, counted from the baseline. Absent and no `gas`: unknown. */
  readonly ceilingM3?: Measured;
  /**
   * The ceiling was not given but fitted, one unknown for all runs: it is in proportion to the starting amount of this
   * species. `ceilingM3` then says where it lies, and every fit of all runs together fits it anew.
   */
  readonly ceilingTiedBy?: string;
  /** What is known of the amount of the limiting reagent where the gas's conditions are not, so that there is no `gas`. */
  readonly limits?: { readonly limiting?: string; readonly solutionM3?: number };
  readonly concentrations?: Readonly<Record<string, Concentration>>;
  /** Solid reagents by species key. */
  readonly solids?: Readonly<Record<string, SolidReagent>>;
  /** Relative standard uncertainty of the cylinder's scale, common to all readings of the run. */
  readonly gainURelative?: number;
  /** Same name = same cylinder = same scale error. Absent: one cylinder for all runs. */
  readonly cylinder?: string;
  /** Mean temperature of the run, K. */
  readonly temperatureK?: Measured;
  /** Drift of the temperature during the run, K/s, where two or more were called. */
  readonly driftKPerS?: number;
  readonly gas?: GasFrame;
  readonly events?: readonly RunEvent[];
  /** Distance between called marks, m3, when readings are called at marks. */
  readonly stepM3?: number;
  /** The person's own choice of estimator. */
  readonly chosen?: EstimatorName;
  /**
   * false: the uncertainties of the readings were not stated but made up to fill the fields; the fits are then
   * unweighted, time is taken as exact, and the uncertainty comes from the scatter alone. Default true.
   */
  readonly uStated?: boolean;
  /**
   * Last decimal place to which times (s) and volumes (m3) are written, where known: what scatters less than that is
   * rounding. For `uStated` false only.
   */
  readonly resolution?: { readonly timeS: number; readonly volumeM3: number };
}

export type EstimatorName = 'line' | 'quadratic' | 'firstOrder';

/** Several runs of one reaction. */
export interface Experiment {
  readonly runs: readonly RunData[];
  /** Activation energy for the share of temperature in u(k), J/mol. */
  readonly activationJPerMol?: Measured;
  /** "d[O2]/dt" and the like: whose rate the rate constant states. */
  readonly convention?: string;
}

/** A refusal of the computation: what cannot be computed, in a sentence a user understands. Never thrown. */
export interface Refused {
  readonly ok: false;
  readonly reason:
    | 'too-few-readings'
    | 'equal-times'
    | 'no-spread'
    | 'equal-temperatures'
    | 'falling'
    | 'not-finite'
    | 'no-ceiling'
    | 'above-ceiling'
    | 'not-identifiable'
    /** The readings are as good as a straight line, so no ceiling shows. */
    | 'no-bend'
    | 'no-orders'
    | 'not-yet'
    | 'no-convergence'
    | 'no-concentrations'
    /** What runs out first is a solid, which has no concentration. */
    | 'solid'
    | 'not-positive'
    /** The computation itself broke. */
    | 'failed';
  readonly sentence: string;
}

export const refuse = (reason: Refused['reason'], sentence: string): Refused => ({ ok: false, reason, sentence });
