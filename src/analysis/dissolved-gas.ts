import { CELSIUS_ZERO_K } from '../chemistry/constants.ts';
import { type SolubleGas, volumeDissolved } from '../chemistry/gas-solubility.ts';
import type { Reaction } from '../chemistry/reactions.ts';
import { NumericsError } from '../numerics/errors.ts';
import { displacedAtLast } from './displaced-at-last.ts';
import type { RunData } from './run-data.ts';

const names: Readonly<Record<SolubleGas, string>> = {
  O2: 'oxygen',
  H2: 'hydrogen',
  CO2: 'carbon dioxide',
  N2: 'nitrogen',
};

/**
 * How much of its gas a run may have kept back, mL: as much as the solution and the water that was displaced hold when
 * saturated. A limit to be stated, in words; nothing is corrected for it. Of several runs the one that can hold most.
 *
 * @returns null for a gas whose solubility is not known here, and where no run has a temperature and a solution
 */
export function dissolvedNote(reaction: Reaction | null, runs: readonly RunData[]): string | null {
  if (!reaction || reaction.gas === 'other') return null;
  const { gas } = reaction;
  const held = runs.flatMap((run) => heldBy(run, gas) ?? []).sort((a, b) => b.all - a.all);
  const most = held[0];
  if (!most) return null;
  const ml = (m3: number): string => `${Number((m3 * 1e6).toPrecision(2))} mL`;
  const parts = `the ${Number((most.solutionM3 * 1e6).toPrecision(3))} mL of solution can hold ${ml(most.inSolution)} of it, the ${Number((most.displacedM3 * 1e6).toPrecision(3))} mL of water displaced ${ml(most.inWater)}`;
  return `Water takes up ${names[gas]}: ${parts}, when saturated with it at ${most.celsius.toFixed(1)} °C (Sander, Atmos. Chem. Phys. 23 (2023) 10901). How much they do hold is not known; the rates are not corrected for it.`;
}

function heldBy(run: RunData, gas: SolubleGas) {
  const { temperatureK, readings } = run;
  const solutionM3 = run.gas?.solutionM3.value;
  if (!temperatureK || solutionM3 === undefined || readings.length === 0) return null;
  const displacedM3 = displacedAtLast(run);
  try {
    const share = volumeDissolved(gas, temperatureK.value);
    return {
      solutionM3,
      displacedM3,
      inSolution: share * solutionM3,
      inWater: share * displacedM3,
      all: share * (solutionM3 + displacedM3),
      celsius: temperatureK.value - CELSIUS_ZERO_K,
    };
  } catch (error) {
    if (error instanceof NumericsError) return null;
    throw error;
  }
}
