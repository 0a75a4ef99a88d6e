import { OutOfRange } from '../numerics/errors.ts';

/** A solution of one substance. */
export interface Solution {
  readonly species: string;
  /** mol/m3 */
  readonly molPerM3: number;
  /** Relative standard uncertainty, shared by everything that is poured from it. */
  readonly uRelative: number;
}

/** A measured volume, m3. */
export interface MeasuredVolume {
  readonly m3: number;
  /** Standard uncertainty, m3. */
  readonly u: number;
}

/**
 * Solution made by taking some of another and adding water: c take/(take + water). Volumes are taken as additive
 * (within 0.1 % for solutions below 2 mol/L; common practice).
 * @throws OutOfRange unless take > 0 and water >= 0
 * @example
 * const stock = { species: 'H2O2', molPerM3: 900, uRelative: 0.01 };
 * diluteWithWater(stock, { m3: 10e-6, u: 0 }, { m3: 20e-6, u: 0 }).molPerM3 // => 300
 */
export function diluteWithWater(solution: Solution, take: MeasuredVolume, water: MeasuredVolume): Solution {
  requireVolume(take, water);
  const total = take.m3 + water.m3;
  // ln c = ln take - ln(take + water): a wrong take moves the total with it.
  const fromTake = (take.u / take.m3) * (water.m3 / total);
  return {
    ...solution,
    molPerM3: (solution.molPerM3 * take.m3) / total,
    uRelative: Math.hypot(solution.uRelative, fromTake, water.u / total),
  };
}

/**
 * Solution made by taking some of another and making up to a mark: c take/total.
 * @throws OutOfRange unless 0 < take <= total
 * @example
 * const stock = { species: 'H2O2', molPerM3: 900, uRelative: 0.01 };
 * diluteToMark(stock, { m3: 10e-6, u: 0 }, { m3: 100e-6, u: 0 }).molPerM3 // => 90
 */
export function diluteToMark(solution: Solution, take: MeasuredVolume, total: MeasuredVolume): Solution {
  requireVolume(take, total);
  if (take.m3 > total.m3 * (1 + 1e-9)) {
    throw new OutOfRange('A dilution cannot hold more of the solution than it is made up to.');
  }
  return {
    ...solution,
    molPerM3: (solution.molPerM3 * take.m3) / total.m3,
    uRelative: Math.hypot(solution.uRelative, take.u / take.m3, total.u / total.m3),
  };
}

export interface PouredSolution {
  readonly solution: Solution | 'water';
  readonly volume: MeasuredVolume;
}

/** Starting concentration of one substance in a mixed flask. */
export interface FlaskConcentration {
  /** mol/m3 */
  readonly value: number;
  /** Standard uncertainty from measuring out this flask, mol/m3: independent from run to run. */
  readonly u: number;
  /** Relative standard uncertainty from the solutions, shared by all flasks filled from them. */
  readonly uCommonRelative: number;
}

export interface Flask {
  /** Sum of the volumes, m3. */
  readonly volume: MeasuredVolume;
  readonly concentrations: Readonly<Record<string, FlaskConcentration>>;
}

/**
 * What is in a flask right after mixing, before anything has reacted. Volumes are taken as additive.
 *
 * With c = sum(C_j v_j)/V, dc/dv_j = (C_j - c)/V: pouring too much of one solution adds its substance and dilutes all.
 *
 * @param pours solutions and volumes; a solution may come several times
 * @throws OutOfRange for negative volumes or an empty flask
 * @example
 * const iodide = { species: 'I-', molPerM3: 300, uRelative: 0.01 };
 * mixFlask([{ solution: iodide, volume: { m3: 1e-5, u: 0 } }, { solution: 'water', volume: { m3: 2e-5, u: 0 } }]).concentrations['I-'].value // => 100
 */
export function mixFlask(pours: readonly PouredSolution[]): Flask {
  let total = 0;
  let variance = 0;
  for (const { volume } of pours) {
    if (!(volume.m3 >= 0) || !(volume.u >= 0)) throw new OutOfRange('A volume cannot be negative.', `${volume.m3} m3`);
    total += volume.m3;
    variance += volume.u * volume.u;
  }
  if (!(total > 0) || !Number.isFinite(total)) throw new OutOfRange('There is nothing in the flask.');
  const species = new Set(pours.flatMap(({ solution }) => (solution === 'water' ? [] : [solution.species])));
  const concentrations: Record<string, FlaskConcentration> = {};
  for (const key of species) {
    const strength = ({ solution }: PouredSolution): number =>
      solution !== 'water' && solution.species === key ? solution.molPerM3 : 0;
    const value = pours.reduce((sum, pour) => sum + strength(pour) * pour.volume.m3, 0) / total;
    const own = pours.reduce((sum, pour) => sum + (((strength(pour) - value) / total) * pour.volume.u) ** 2, 0);
    concentrations[key] = { value, u: Math.sqrt(own), uCommonRelative: commonRelative(pours, key, value * total) };
  }
  return { volume: { m3: total, u: Math.sqrt(variance) }, concentrations };
}

/** Errors of one solution go together however often it was poured; those of different solutions are independent. */
function commonRelative(pours: readonly PouredSolution[], species: string, moles: number): number {
  if (moles === 0) return 0;
  const bySolution = new Map<Solution, number>();
  for (const { solution, volume } of pours) {
    if (solution === 'water' || solution.species !== species) continue;
    bySolution.set(solution, (bySolution.get(solution) ?? 0) + solution.molPerM3 * volume.m3);
  }
  return Math.hypot(...[...bySolution].map(([solution, amount]) => (amount / moles) * solution.uRelative));
}

function requireVolume(take: MeasuredVolume, other: MeasuredVolume): void {
  if (!(take.m3 > 0 && other.m3 >= 0 && take.m3 + other.m3 < Number.POSITIVE_INFINITY)) {
    throw new OutOfRange('A dilution needs a volume of the solution above zero.', `${take.m3} and ${other.m3} m3`);
  }
}
