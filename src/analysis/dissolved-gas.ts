import { CELSIUS_ZERO_K } from '../chemistry/constants.ts';
import { type SolubleGas, volumeDissolved } from '../chemistry/gas-solubility.ts';
import type { Reaction } from '../chemistry/reactions.ts';
import { NumericsError } from '../numerics/errors.ts';
import { displacedAtLast } from './displaced-at-last.ts';
import { ceilingOf } from './gas-frame.ts';
import type { DissolvedGas, Dissolving, Measured, RunData } from './run-data.ts';

/** Water that was saturated beforehand is off by so much of what it holds: 2 K, or a shake too few. A judgement, no source. */
const notQuiteSaturated = 0.05;
/** How much of the range the liquids of one run may differ from those of its sisters, as a standard uncertainty: a judgement. */
const ownPart = 0.1;

/**
 * The runs with what their liquids may keep back of the gas.
 *
 * Fresh liquids hold anything from none to H R T of their own volume, the more the better they are stirred; never more than
 * the reagents can still make (which their amounts say; a ceiling that was read is gas collected). So the gas dissolved is
 * anything between none and a greatest share of the gas collected, with the standard uncertainty of the width over root 12
 * (GUM 4.3.7): one unknown for all runs, so that it enters k and hardly the orders.
 *
 * Runs that collect less have the greater share if their liquids are equally full, and the same share as the others if the
 * liquids take up in proportion to what comes, as they do in runs of equal time. Nobody knows which: each run is taken half way,
 * and the way to either end is a second unknown for all runs, which enters the orders. Each run may also
 * differ from its sisters by a tenth of its range. Water that was saturated takes up none, give or take 5 % of what it holds.
 *
 * The whole pressure of the gas counts, though the air of the flask stands above the liquids at first, and pure water,
 * though salt lowers the solubility (some 10 % in 0.5 mol/L, from memory): the range is wide. Not counted: a solution that
 * holds more gas than it should until it is swirled, which shows as gas held back at first; excess carbonate that
 * dissolves in carbonic acid, which the calcium of the reaction keeps to some 5 % of what the water holds (from memory).
 *
 * @param statedOf what is stated of a run, by its place; null: its gas is not looked at
 * @returns a run unchanged where temperature, conditions of the gas or readings lack
 */
export function withDissolved(
  runs: readonly RunData[],
  statedOf: (run: RunData, i: number) => Dissolving | null,
): readonly RunData[] {
  const holdings = runs.map((run, i) => {
    const stated = statedOf(run, i);
    return stated && holdingOf(run, stated);
  });
  return runs.map((run, i) => {
    const holding = holdings[i];
    if (!run.gas || !holding) return run;
    // Runs over other water say nothing of how much this one takes up.
    const sisters = holdings.flatMap((one) => (one && waterOf(one) === waterOf(holding) ? [one] : []));
    return { ...run, gas: { ...run.gas, dissolved: dissolvedBy(holding, sistersOf(sisters)) } };
  });
}

/** Gas, m3. */
interface Holding {
  readonly stated: Dissolving;
  readonly collectedM3: number;
  readonly solutionM3: number;
  readonly freshWaterM3: number;
  readonly saturatedWaterM3: number;
  /** What the reagents can still make beyond the gas collected; endless where their amounts are not known. */
  readonly still: Measured;
}

function holdingOf(run: RunData, stated: Dissolving): Holding | null {
  const share = run.temperatureK ? shareOf(stated.gas, run.temperatureK.value) : null;
  const collectedM3 = displacedAtLast(run);
  if (!run.gas || share === null || !(collectedM3 > 0)) return null;
  const water = stated.water === 'none' ? 0 : share * (stated.waterM3 ?? collectedM3);
  const freshWaterM3 = stated.water === 'saturated' ? 0 : water;
  // A ceiling that was read is gas collected, not gas made.
  const { ceilingM3: _, ...byAmounts } = run;
  const made = ceilingOf(byAmounts);
  return {
    stated,
    collectedM3,
    solutionM3: share * run.gas.solutionM3.value,
    freshWaterM3,
    saturatedWaterM3: water - freshWaterM3,
    still: made
      ? { value: Math.max(0, made.value - collectedM3), u: made.u }
      : { value: Number.POSITIVE_INFINITY, u: 0 },
  };
}

const waterOf = ({ stated }: Holding): string => stated.water ?? 'fresh';
const holdsM3 = ({ solutionM3, freshWaterM3 }: Holding): number => solutionM3 + freshWaterM3;

/** What the runs over one kind of water say of each other. */
interface Sisters {
  /** How full liquids can get at most, 0..1. */
  readonly fullest: Measured;
  /** The greatest share of the gas collected that can be dissolved, if it is the same in all runs. */
  readonly alike: number;
}

/** A run that can fill its liquids less than so much of the next one says nothing of its sisters: a judgement, no source. */
const farBelow = 0.5;

function sistersOf(runs: readonly Holding[]): Sisters {
  const full = runs
    .map((run): Measured => {
      const holds = holdsM3(run);
      return run.still.value < holds ? { value: run.still.value / holds, u: run.still.u / holds } : { value: 1, u: 0 };
    })
    .sort((a, b) => a.value - b.value);
  const [least = { value: 1, u: 0 }, next = least] = full;
  const fullest = least.value < farBelow * next.value ? next : least;
  let [most, collected, leastShare] = [0, 0, Number.POSITIVE_INFINITY];
  for (const run of runs) {
    most += mostIn(run, fullest.value);
    collected += run.collectedM3;
    leastShare = Math.min(leastShare, run.still.value / run.collectedM3);
  }
  return { fullest, alike: Math.min(most / collected, leastShare) };
}

/** The most that the liquids of a run can hold, m3. */
const mostIn = (run: Holding, fullest: number): number => Math.min(fullest * holdsM3(run), run.still.value);

function dissolvedBy(holding: Holding, { fullest, alike }: Sisters): DissolvedGas {
  const { stated, collectedM3, solutionM3, freshWaterM3, saturatedWaterM3, still } = holding;
  const own = mostIn(holding, fullest.value) / collectedM3;
  const range = (own + alike) / 2;
  const byAmounts = still.value < fullest.value * holdsM3(holding) ? still.u : fullest.u * holdsM3(holding);
  const remainder = (notQuiteSaturated * saturatedWaterM3) / collectedM3;
  return {
    stated,
    solutionHoldsM3: solutionM3,
    waterHoldsM3: freshWaterM3,
    perCollected: range / 2,
    uShared: Math.hypot(range / Math.sqrt(12), byAmounts / collectedM3, remainder / Math.SQRT2),
    uSlant: (own - alike) / (2 * Math.sqrt(3)),
    uOwn: Math.hypot(ownPart * range, remainder / Math.SQRT2),
    // Beyond three times its remainder saturated water neither takes up nor gives off.
    low: -3 * remainder,
    high: Math.max(own, alike) + 3 * remainder,
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
