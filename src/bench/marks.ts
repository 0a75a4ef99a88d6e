import type { Saying } from '../language/spoken.ts';
import { predictFrom } from '../language/trend.ts';
import { countingReadings, decimalsOf, isOwnSound } from '../log/runs.ts';
import type { Setup } from '../log/setup.ts';
import type { Call, Reading, Run } from '../log/state.ts';
import { only } from '../numerics/nth.ts';

/** The mark that is called next, and whether it can be relied upon. */
export interface DueMark {
  /** mL; null when the cylinder is full, or `unknown`. */
  readonly markMl: number | null;
  /** true: no volume was called yet, so no mark is due. */
  readonly unknown?: boolean;
  /**
   * Set where the mark rests on a reading in doubt: the one by the readings that are sure alone, mL; null where these
   * lead to none.
   */
  readonly otherMl?: number | null;
}

/** Where the marks of a run stand: `anchorMl` plus whole steps. */
export interface MarkGrid {
  readonly anchorMl: number;
  readonly stepMl: number;
}

/** Distances at which people call (common practice, no source), mL. */
const commonStepsMl = [0.1, 0.2, 0.5, 1, 2, 2.5, 5, 10];

/**
 * The marks as the caller sets them: the first volume, whatever it is, plus whole steps. One reading in between or a
 * mark left out changes nothing. Two readings in a row off the marks, a whole step apart, move the marks; equal
 * distances other than the step change the step.
 * @param volumes readings that are sure, mL, by time
 * @returns null before the first reading, where no first mark is set up
 * @example
 * markGrid([63, 65, 66.5, 67], { stepMl: 2 }) // => { anchorMl: 63, stepMl: 2 }
 */
export function markGrid(
  volumes: readonly number[],
  { stepMl: plannedMl, firstMarkMl }: Pick<Setup, 'stepMl' | 'firstMarkMl'>,
): MarkGrid | null {
  const [first] = volumes;
  if (first === undefined) return firstMarkMl === undefined ? null : { anchorMl: firstMarkMl, stepMl: plannedMl };
  let grid: MarkGrid = { anchorMl: first, stepMl: plannedMl };
  /** Readings at one distance from another, up to the latest: that distance, how many, how many of them off the marks. */
  let even = { stepMl: 0, count: 0, off: 0, fromFirst: true };
  let before = first;
  let beforeOff = false;
  for (const [k, volumeMl] of volumes.slice(1).entries()) {
    const apart = tidy(volumeMl - before);
    const off = !isWhole((volumeMl - grid.anchorMl) / grid.stepMl);
    const goesOn = even.count > 0 && Math.abs(apart - even.stepMl) < 1e-6;
    even = goesOn
      ? { ...even, count: even.count + 1, off: even.off + (off ? 1 : 0) }
      : { stepMl: apart, count: 1, off: off ? 1 : 0, fromFirst: k === 0 };
    if (changesStep(even, grid.stepMl, plannedMl)) {
      grid = { anchorMl: volumeMl, stepMl: even.stepMl };
      even = { ...even, off: 0 };
    } else if (off && beforeOff && apart > 0 && isWhole(apart / grid.stepMl)) grid = { ...grid, anchorMl: volumeMl };
    beforeOff = off;
    before = volumeMl;
  }
  return grid;
}

/**
 * Two equal distances speak for another step. A shorter one may come from one reading in between ("41, 43, 44, 45"), so
 * it needs two readings off the marks, unless the run was called so from its first reading or the setup names it.
 */
function changesStep(
  { stepMl, count, off, fromFirst }: { stepMl: number; count: number; off: number; fromFirst: boolean },
  nowMl: number,
  plannedMl: number,
): boolean {
  if (count < 2 || !commonStepsMl.some((step) => Math.abs(step - stepMl) < 1e-6)) return false;
  if (stepMl > nowMl + 1e-6 || Math.abs(stepMl - plannedMl) < 1e-6) return true;
  return stepMl < nowMl - 1e-6 && (fromFirst || off >= 2);
}

const isWhole = (ratio: number): boolean => Math.abs(ratio - Math.round(ratio)) < 1e-6;

/** The marks of a run, by its sure readings; by those in doubt as long as none is sure. */
export function gridOf(run: Run, setup: Setup): MarkGrid | null {
  const readings = countingReadings(run);
  const sure = readings.filter(({ outcome, settled }) => outcome === 'taken' || settled);
  return markGrid(
    (sure.length > 0 ? sure : readings.slice(0, 1)).map(({ volumeMl }) => volumeMl),
    setup,
  );
}

/** What is said, once, when the caller went over to other marks; null where they are the same. */
export function gridMoved(
  before: MarkGrid | null,
  after: MarkGrid | null,
): { readonly text: string; readonly saying: Saying } | null {
  if (before === null || after === null) return null;
  const stepMl = String(tidy(after.stepMl));
  const saying: Saying = { kind: 'calling-every', stepMl };
  if (Math.abs(before.stepMl - after.stepMl) > 1e-9) return { text: `Calling every ${stepMl} mL`, saying };
  if (isWhole((after.anchorMl - before.anchorMl) / after.stepMl)) return null;
  return { text: `Calling every ${stepMl} mL from ${tidy(after.anchorMl)}`, saying };
}

/**
 * The mark that is called next: the first above the last reading. Before any reading none is due, but for a first mark
 * from the setup.
 * A reading in doubt was said at some mark; how many there were is sure, which one it was is not. So the marks are
 * counted on twice: from what the readings in doubt were taken for, the best guess, and one for each of them from the
 * last that is sure. Where the best guess falls below the reading before it ("2" for "20") the water cannot be there,
 * and the second count holds. Where it jumps ahead both are possible: a mark is then as much in doubt as the jump, and
 * a jump to the last mark of the cylinder leaves the second.
 * @param calls all calls of the notebook: one that was not understood has used up its mark, where the curve says so
 */
export function dueMark(run: Run, setup: Setup, calls: readonly Call[] = []): DueMark {
  const grid = gridOf(run, setup);
  if (grid === null) return { markMl: null, unknown: true };
  let best: number | null = null;
  let sure: number | null = null;
  for (const { struck, outcome, settled, volumeMl, rivals } of run.readings) {
    if (struck) continue;
    if (outcome === 'taken' || settled) {
      best = volumeMl;
      sure = volumeMl;
      continue;
    }
    // With nothing sure before it, what it may have been instead.
    sure = sure === null ? rivalMl(rivals) : markAbove(sure, grid);
    best = best !== null && volumeMl < best && volumeMl !== sure ? markAbove(best, grid) : volumeMl;
  }
  const passed = best === null ? 0 : marksPassed(best, run, grid, calls);
  const markOn = (ml: number | null): number | null => {
    const mark = tidy((ml === null ? grid.anchorMl : markAbove(ml, grid)) + passed * grid.stepMl);
    return mark > setup.cylinder.capacityMl + 1e-9 ? null : mark;
  };
  const markMl = markOn(best);
  if (best === sure) return { markMl };
  const otherMl = sure === null ? null : markOn(sure);
  if (markMl === otherMl) return { markMl };
  return markMl === null ? { markMl: otherMl, otherMl: null } : { markMl, otherMl };
}

export const nextMarkMl = (run: Run, setup: Setup, calls: readonly Call[] = []): number | null =>
  dueMark(run, setup, calls).markMl;

/** A call that was not understood was made at a mark when the curve stands so near to one, in steps (reasoned). */
const atMarkSteps = 0.35;

/** How many marks the calls since the last reading have used up that were not understood. */
function marksPassed(lastMl: number, run: Run, grid: MarkGrid, calls: readonly Call[]): number {
  const last = run.readings.findLast(({ struck }) => !struck);
  const sure = countingReadings(run).filter(({ outcome, settled }) => outcome === 'taken' || settled);
  let passed = 0;
  for (const call of calls) {
    if (call.run !== run.id || call.outcome !== 'unresolved' || isOwnSound(call)) continue;
    if (last === undefined || call.onsetMs <= last.timeMs) continue;
    const points = sure.map(({ timeMs, volumeMl }) => ({ timeS: timeMs / 1000, volumeMl }));
    const now = predictFrom(points, call.onsetMs / 1000);
    const next = tidy(markAbove(lastMl, grid) + passed * grid.stepMl);
    if (now && Math.abs(now.volumeMl - next) <= atMarkSteps * grid.stepMl) passed++;
  }
  return passed;
}

function rivalMl(rivals: Reading['rivals']): number | null {
  for (const { meaning } of rivals) {
    const volume = meaning.kind === 'reading' ? only(meaning.values) : undefined;
    if (volume) return Number(volume.value);
  }
  return null;
}

/** Counted in whole steps so that 0.1 mL steps do not creep. */
const markAbove = (ml: number, { anchorMl, stepMl }: MarkGrid): number =>
  tidy(anchorMl + (Math.floor((ml - anchorMl) / stepMl + 1e-6) + 1) * stepMl);

/** A mark as it would be said: as many decimals as the step or the mark has. */
export function markText(markMl: number, setup: Setup): string {
  return markMl.toFixed(Math.max(decimalsOf(String(setup.stepMl)), decimalsOf(String(tidy(markMl)))));
}

const tidy = (value: number): number => Number(value.toPrecision(12));

/** true once the run has displaced its span; a reading in doubt does not tell. */
export function spanReached(run: Run, setup: Setup): boolean {
  // The clock starts at the first reading, and so does the span; the baseline is where the gas counts from.
  const from = countingReadings(run)[0]?.volumeMl;
  const last = countingReadings(run).findLast((reading) => reading.outcome === 'taken');
  return from !== undefined && last !== undefined && last.volumeMl - from >= setup.spanMl - 1e-9;
}
