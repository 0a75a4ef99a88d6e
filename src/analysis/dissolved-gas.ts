import { CELSIUS_ZERO_K } from '../chemistry/constants.ts';
import { type SolubleGas, volumeDissolved } from '../chemistry/gas-solubility.ts';
import type { Reaction } from '../chemistry/reactions.ts';
import { NumericsError } from '../numerics/errors.ts';
import { displacedAtLast } from './displaced-at-last.ts';
import { ceilingOf } from './gas-frame.ts';
import type { DissolvedGas, Dissolving, RunData } from './run-data.ts';

/** Water that was saturated beforehand is off by so much of what it holds: 2 K, or a shake too few. A judgement, no source. */
const notQuiteSaturated = 0.05;
/** How much of the range the liquids of one run may differ from those of its sisters, as a standard uncertainty: a judgement. */
const ownPart = 0.1;

/**
 * The runs with what their liquids may keep back of the gas.
 *
 * Fresh liquids hold anything from none to H R T of their own volume, the more the better they are stirred; never more than
 * the reagents can still make. The gas made is the gas collected times 1 + f h, h being what the liquids hold when full
 * over what was collected, and f how full they get: one unknown for all runs, even between 0 and its greatest value, with the
 * standard uncertainty of the width over root 12 (GUM 4.3.7), so that it enters k and hardly the orders. Each run
 * may differ from its sisters by a tenth of that range. Water that was saturated takes up none, give or take 5 % of what it
 * holds.
 *
 * The whole pressure of the gas counts, though the air of the flask stands above the liquids at first, and pure water,
 * though salt lowers the solubility (some 10 % in 0.5 mol/L, from memory): the range is wide. Not counted: a solution that
 * holds more gas than it should until it is swirled, which shows as gas held back at first; excess carbonate that
 * dissolves in carbonic acid, which the calcium of the reaction keeps to some 5 % of what the water holds (from memory).
 *
 * @param statedOf what is stated of a run, by its place; null: its gas is not looked at
 * @param spanOf what the run is going to displace at least, m3, while it still goes on
 * @returns a run unchanged where temperature, conditions of the gas or readings lack
 */
export function withDissolved(
  runs: readonly RunData[],
  statedOf: (run: RunData, i: number) => Dissolving | null,
  spanOf: (run: RunData, i: number) => number = () => 0,
): readonly RunData[] {
  const holdings = runs.map((run, i) => {
    const stated = statedOf(run, i);
    return stated && holdingOf(run, stated, Math.max(displacedAtLast(run), spanOf(run, i)));
  });
  const fullest = Math.max(0, Math.min(1, ...holdings.flatMap((one) => (one ? [one.fullest] : []))));
  return runs.map((run, i) => {
    const holding = holdings[i];
    return run.gas && holding ? { ...run, gas: { ...run.gas, dissolved: dissolvedBy(holding, fullest) } } : run;
  });
}

interface Holding {
  readonly stated: Dissolving;
  readonly collectedM3: number;
  readonly solutionM3: number;
  readonly freshWaterM3: number;
  readonly saturatedWaterM3: number;
  /** How full the liquids can get at most, 0..1. */
  readonly fullest: number;
}

/** The gas, m3, that the liquids of a run hold. */
function holdingOf(run: RunData, stated: Dissolving, collectedM3: number): Holding | null {
  const share = run.temperatureK ? shareOf(stated.gas, run.temperatureK.value) : null;
  if (!run.gas || share === null || !(collectedM3 > 0)) return null;
  const solutionM3 = share * run.gas.solutionM3.value;
  const water = stated.water === 'none' ? 0 : share * (stated.waterM3 ?? collectedM3);
  const freshWaterM3 = stated.water === 'saturated' ? 0 : water;
  const made = ceilingOf(run)?.value ?? Number.POSITIVE_INFINITY;
  return {
    stated,
    collectedM3,
    solutionM3,
    freshWaterM3,
    saturatedWaterM3: water - freshWaterM3,
    fullest: Math.min(1, (made - collectedM3) / (solutionM3 + freshWaterM3)),
  };
}

function dissolvedBy(holding: Holding, fullest: number): DissolvedGas {
  const { stated, collectedM3, solutionM3, freshWaterM3, saturatedWaterM3 } = holding;
  const range = (fullest * (solutionM3 + freshWaterM3)) / collectedM3;
  const remainder = (notQuiteSaturated * saturatedWaterM3) / collectedM3;
  return {
    stated,
    solutionHoldsM3: solutionM3,
    waterHoldsM3: freshWaterM3,
    perCollected: range / 2,
    uShared: Math.hypot(range / Math.sqrt(12), remainder / Math.SQRT2),
    uOwn: Math.hypot(ownPart * range, remainder / Math.SQRT2),
    // Beyond three times its remainder saturated water neither takes up nor gives off.
    low: -3 * remainder,
    high: range + 3 * remainder,
  };
}

/** Volume of gas per volume of water; null outside the temperatures for which it is known. */
function shareOf(gas: SolubleGas, kelvin: number): number | null {
  try {
    return volumeDissolved(gas, kelvin);
  } catch (error) {
    if (error instanceof NumericsError) return null;
    throw error;
  }
}

type Sparing = Exclude<SolubleGas, 'CO2'>;

const names: Readonly<Record<Sparing, string>> = {
  O2: 'oxygen',
  H2: 'hydrogen',
  N2: 'nitrogen',
};

/**
 * How much of a gas that hardly dissolves a run may have kept back, mL: as much as the solution and the water that was displaced hold when
 * saturated. A limit to be stated, in words; nothing is corrected for it. Of several runs the one that can hold most.
 *
 * @returns null for carbon dioxide, which is corrected for, for a gas whose solubility is not known here, and where no run has a temperature and a solution
 */
export function dissolvedNote(reaction: Reaction | null, runs: readonly RunData[]): string | null {
  if (!reaction || reaction.gas === 'other' || reaction.gas === 'CO2') return null;
  const { gas } = reaction;
  const held = runs.flatMap((run) => heldBy(run, gas) ?? []).sort((a, b) => b.all - a.all);
  const most = held[0];
  if (!most) return null;
  const ml = (m3: number): string => `${Number((m3 * 1e6).toPrecision(2))} mL`;
  const parts = `the ${Number((most.solutionM3 * 1e6).toPrecision(3))} mL of solution can hold ${ml(most.inSolution)} of it, the ${Number((most.displacedM3 * 1e6).toPrecision(3))} mL of water displaced ${ml(most.inWater)}`;
  return `Water takes up ${names[gas]}: ${parts}, when saturated with it at ${most.celsius.toFixed(1)} °C (Sander, Atmos. Chem. Phys. 23 (2023) 10901). How much they do hold is not known; the rates are not corrected for it.`;
}

function heldBy(run: RunData, gas: Sparing) {
  const { temperatureK, readings } = run;
  const solutionM3 = run.gas?.solutionM3.value;
  if (!temperatureK || solutionM3 === undefined || readings.length === 0) return null;
  const displacedM3 = displacedAtLast(run);
  const share = shareOf(gas, temperatureK.value);
  if (share === null) return null;
  return {
    solutionM3,
    displacedM3,
    inSolution: share * solutionM3,
    inWater: share * displacedM3,
    all: share * (solutionM3 + displacedM3),
    celsius: temperatureK.value - CELSIUS_ZERO_K,
  };
}
