import { withDissolved } from '../../src/analysis/dissolved-gas.ts';
import type { Dissolving, Experiment, RunData } from '../../src/analysis/run-data.ts';
import { randomOf } from '../benchmarks/kinetics-simulator.ts';

/**
 * Carbonate and acid on a bench, integrated step by step, by physics that the analysis does not use: the reaction makes
 * carbon dioxide in the solution (first order in the acid), it passes into the gas above by a transfer coefficient, the gas
 * of the flask is mixed with its air, flows over into the second flask, is mixed there, and its water takes it up
 * through the surface, until it is saturated. What displaces water is all the gas, whatever it is.
 */
export interface Lab {
  /** Acid at the start of each run, mol/L. */
  readonly acids: readonly number[];
  /** Rate constant of the acid's loss, 1/s. */
  readonly perS: number;
  readonly solutionMl: number;
  /** kL a of the solution towards its gas, 1/s; a stirred flask with bubbles has some 0.02 to 0.2. */
  readonly outOfSolutionPerS: number;
  /** Gas above the solution at the start, mL. */
  readonly headspaceMl: number;
  /** Water of the second flask, mL, and kL a of it, 1/s: some 1e-4 at rest, 0.01 with bubbles through it. */
  readonly waterMl: number;
  readonly intoWaterPerS: number;
  /** Share of what it can hold that this water held at the start. */
  readonly waterSaturated: number;
  /** Every run is read up to this moment, s; missing: up to 44 mL. */
  readonly untilS?: number;
}

const [R, pressure, vapour, kelvin] = [8.314462618, 101_325, 2339, 293.15];
/** Solubility at 20 °C, mol/(m3 Pa): 0.03916 mol/(kg atm), Weiss, Mar. Chem. 2 (1974) 203, table III. */
const solubility = (0.039_16 * 998.2) / 101_325;

/** The k of d[CO2]/dt = k [acid] is `perS`/2. */
export function experimentIn(lab: Lab, stated: Dissolving | null, seed: number): Experiment {
  const random = randomOf(seed);
  const runs = lab.acids.map((acid, i) => runIn(lab, acid, String(i + 1), random));
  return { runs: withDissolved(runs, () => stated) };
}

function runIn(lab: Lab, acid: number, label: string, random: ReturnType<typeof randomOf>): RunData {
  const { perS, solutionMl, waterMl, headspaceMl } = lab;
  const [solutionM3, waterM3, headspaceM3] = [solutionMl * 1e-6, waterMl * 1e-6, headspaceMl * 1e-6];
  const dry = pressure - vapour;
  const most = solubility * dry;
  // mol: acid; carbon dioxide dissolved in the solution, in the flask's gas, in the second flask's gas, in its water.
  let left = acid * 1000 * solutionM3;
  let solved = 0;
  let above = 0;
  let beyond = 0;
  let inWater = lab.waterSaturated * most * waterM3;
  let displaced = 0;
  let airBeyond = 0;
  const [step, marks] = [0.05, [] as { timeS: number; ml: number }[]];
  let next = 4;
  for (let time = 0; time < (lab.untilS ?? 3000) && next <= 44; time += step) {
    const made = (left * perS * step) / 2;
    left -= 2 * made;
    const aboveAll = (dry * headspaceM3) / (R * kelvin);
    const out =
      lab.outOfSolutionPerS * (solved / solutionM3 - solubility * dry * (above / aboveAll)) * solutionM3 * step;
    solved += made - out;
    const over = Math.max(out, 0);
    const share = above / aboveAll;
    above += out - over * share;
    const beyondAll = Math.max(beyond + airBeyond, 1e-12);
    const taken = lab.intoWaterPerS * (solubility * dry * (beyond / beyondAll) - inWater / waterM3) * waterM3 * step;
    const uptake = Math.min(taken, beyond);
    inWater += uptake;
    beyond += over * share - uptake;
    airBeyond += over * (1 - share);
    const before = displaced;
    displaced = ((beyond + airBeyond) * R * kelvin) / dry;
    while (displaced * 1e6 >= next && next <= 44) {
      const part = (next * 1e-6 - before) / (displaced - before);
      marks.push({ timeS: time + part * step, ml: next });
      next += 4;
    }
  }
  return {
    label,
    readings: marks.map(({ timeS, ml }) => ({
      timeS: timeS + random.normal(0.1),
      volumeM3: ml * 1e-6 + random.normal(0.1e-6),
      uTimeS: 0.1,
      uVolumeM3: 0.1e-6,
    })),
    baselineM3: { value: 0, u: 0 },
    concentrations: { HCl: { value: acid * 1000, u: 0, uCommonRelative: 0.005 } },
    temperatureK: { value: kelvin, u: 0.1 },
    gas: {
      solutionM3: { value: solutionM3, u: 0.2e-6 },
      gasPerLimiting: 0.5,
      limiting: 'HCl',
      pressurePa: { value: pressure, u: 50 },
    },
  };
}
