import { nth } from '../numerics/nth.ts';
import { ceilingOf } from './gas-frame.ts';
import type { RunData } from './run-data.ts';

/**
 * Ceilings of runs that nobody stated. Runs of one reaction differ in how much of the limiting reagent they start with, and
 * their ceilings are in proportion to it: one unknown for all of them, which the bends of all runs together tell far better
 * than each by itself.
 */

/** Fewer readings have no bend. */
const leastReadings = 3;
/** Ceilings are first put at so many times the most gas that came of any run, in proportion to the amounts. */
const headroom = 2;

/** In place of a species: a reagent that nobody stated, of which every run has the same concentration. */
export const unstated = 'a reagent that is not stated';

const rises = ({ readings, baselineM3 }: RunData): boolean => {
  const counted = readings.filter(({ setAside }) => setAside === undefined);
  return counted.length >= leastReadings && counted.some(({ volumeM3 }) => volumeM3 > (baselineM3?.value ?? 0));
};

/**
 * Runs whose ceilings can be tied: several, with baseline and concentrations, and none with a ceiling of its own. Where the
 * moment of mixing is given, the curve is held to it and has a ceiling of its own.
 */
export function canTie(runs: readonly RunData[]): boolean {
  if (runs.some((run) => ceilingOf(run) !== null)) return false;
  return runs.filter(isAble).length > 1 && speciesThatTie(runs).length > 0;
}

const isAble = (run: RunData): boolean =>
  run.concentrations !== undefined && run.baselineM3 !== undefined && run.startS === undefined && rises(run);

/** The most gas of all readings that count, over the baseline. m3 */
export const mostGas = ({ readings, baselineM3 }: RunData): number =>
  readings.reduce(
    (most, { volumeM3, setAside }) =>
      setAside === undefined ? Math.max(most, volumeM3 - (baselineM3?.value ?? 0)) : most,
    0,
  );

/** Reagents that may be the limiting one: that which is known to be, else every one that all runs have. */
export function speciesThatTie(runs: readonly RunData[]): readonly string[] {
  if (runs.some(({ ceilingTiedBy }) => ceilingTiedBy === unstated)) return [unstated];
  const able = runs.filter((run) => run.concentrations);
  const told = able.find(({ gas, limits }) => gas ?? limits?.limiting);
  const limiting = told?.gas?.limiting ?? told?.limits?.limiting;
  const names = limiting === undefined ? Object.keys(able[0]?.concentrations ?? {}) : [limiting];
  return names.filter((name) => able.every(({ concentrations }) => (concentrations?.[name]?.value ?? 0) > 1e-23));
}

/** Starting amounts of a species: concentration times the volume of the solution, where all runs have one. */
function amountsOf(runs: readonly RunData[], species: string): number[] {
  const solutionOf = ({ gas, limits }: RunData): number | undefined => gas?.solutionM3.value ?? limits?.solutionM3;
  const all = runs.every((run) => solutionOf(run) !== undefined);
  return runs.map((run) => {
    const c = species === unstated ? 1 : (run.concentrations?.[species]?.value ?? Number.NaN);
    return c * (all ? (solutionOf(run) ?? 1) : 1);
  });
}

/** A reagent that may be the limiting one, and by run the ceiling that stands in the run over that by this reagent. */
export interface Tie {
  readonly species: string;
  readonly ratios: readonly number[];
}

/** Every reagent that may tie the ceilings. @param runs with tied ceilings, whose geometric mean stays */
export function tiesOf(runs: readonly RunData[]): readonly Tie[] {
  return speciesThatTie(runs).map((species) => {
    const amounts = amountsOf(runs, species);
    const over = runs.map(({ ceilingM3 }, i) => (ceilingM3?.value ?? Number.NaN) / nth(amounts, i));
    const mean = Math.exp(over.reduce((sum, one) => sum + Math.log(one), 0) / over.length);
    return { species, ratios: over.map((one) => one / mean) };
  });
}

/** What the bends must say for one reagent, in AICc, before the others are given less weight. */
const beyondDoubt = 6;

/**
 * AICc of fits that tie the ceilings by one reagent or another. Which of them is the limiting one is no question of the few
 * readings that a table has: a difference of less than six counts as none.
 */
export function tempered(fits: readonly { readonly by: string | undefined; readonly aicc: number }[]): number[] {
  const best = Math.min(...fits.map(({ aicc }) => aicc));
  const least = new Map<string | undefined, number>();
  for (const { by, aicc } of fits) least.set(by, Math.min(least.get(by) ?? aicc, aicc));
  return fits.map(({ by, aicc }) => {
    const own = least.get(by) ?? aicc;
    return own === best ? aicc : aicc - Math.min(beyondDoubt, own - best);
  });
}

/** The runs with their ceilings tied by each reagent that may be the limiting one, the one that was found first. */
export function tiedEachWay(runs: readonly RunData[]): readonly (readonly RunData[])[] {
  const tied = runs.filter(({ ceilingTiedBy }) => ceilingTiedBy !== undefined);
  if (tied.length === 0) return [runs];
  const others = tiesOf(tied).filter(({ species }) => species !== tied[0]?.ceilingTiedBy);
  const otherwise = others.map(({ species, ratios }) => {
    const ratioOf = new Map(tied.map((run, i) => [run, nth(ratios, i)]));
    return runs.map((run): RunData => {
      const ratio = ratioOf.get(run);
      const { ceilingM3 } = run;
      return ratio === undefined || !ceilingM3
        ? run
        : { ...run, ceilingTiedBy: species, ceilingM3: { ...ceilingM3, value: ceilingM3.value / ratio } };
    });
  });
  return [runs, ...otherwise];
}

/**
 * The runs with ceilings in proportion to their amounts of a species, safely above every reading: where the fit of their
 * common factor starts. Runs that cannot be tied stay as they are.
 */
export function withTriedCeilings(runs: readonly RunData[], species: string): RunData[] {
  const able = runs.map(isAble);
  const amounts = amountsOf(runs, species);
  let most = 0;
  runs.forEach((run, i) => {
    if (able[i]) most = Math.max(most, mostGas(run) / (amounts[i] ?? Number.NaN));
  });
  return runs.map((run, i) =>
    able[i] && most > 0
      ? { ...run, ceilingM3: { value: headroom * most * (amounts[i] ?? Number.NaN), u: 0 }, ceilingTiedBy: species }
      : run,
  );
}

/** Below this bend over the tried ceilings, that is at more than ten times the gas that a tried one is of, nothing bends. */
const leastBend = 0.1;
/** No ceiling lies lower than 1/0.99 of the gas that came. */
const mostShare = 0.99;

/**
 * The runs with the ceilings of the first-order curves that fall at the start as the fitted ones do: where the rate falls
 * with the power `order` of what is left, the logarithm of the rate falls `order` times as fast.
 * @param placed runs with the tried ceilings of the reagent that was found
 * @param bend tried ceiling over the fitted one, and its standard uncertainty
 */
export function withFittedCeilings(
  placed: readonly RunData[],
  { value, u }: { readonly value: number; readonly u: number },
  order: number,
): RunData[] {
  const most = placed.reduce(
    (least, run) => Math.min(least, (mostShare * (run.ceilingM3?.value ?? 0)) / mostGas(run)),
    1e9,
  );
  const bend = Math.min(Math.max(value * order, leastBend), most);
  // A bend too small to follow tells no ceiling, however well it is known.
  const relative = value * order < leastBend ? Math.max(1, (u * order) / bend) : (u * order) / bend;
  return placed.map((run) => {
    const ceiling = (run.ceilingM3?.value ?? Number.NaN) / bend;
    return { ...run, ceilingM3: { value: ceiling, u: ceiling * relative } };
  });
}

/** Whether a tied ceiling may be called one: the bend that it comes from is at least twice its standard uncertainty. */
export const isTold = ({ value, u }: { readonly value: number; readonly u: number }): boolean => value >= 2 * u;
