import { countingReadings, decimalsOf, originMl } from '../log/runs.ts';
import type { Setup } from '../log/setup.ts';
import type { Reading, Run } from '../log/state.ts';

/** The mark that is called next, and whether it can be relied upon. */
export interface DueMark {
  /** mL; null when the cylinder is full. */
  readonly markMl: number | null;
  /**
   * Set where the mark rests on a reading in doubt: the one by the readings that are sure alone, mL; null where these
   * lead to none.
   */
  readonly otherMl?: number | null;
}

/**
 * The mark that is called next: the first multiple of the step above the last reading. Before any reading it is the
 * first multiple above the baseline, or zero where no baseline was called.
 * A reading in doubt was said at some mark; how many there were is sure, which one it was is not. So the marks are
 * counted on twice: from what the readings in doubt were taken for, the best guess, and one for each of them from the
 * last that is sure. Where the best guess falls below the reading before it ("2" for "20") the water cannot be there,
 * and the second count holds. Where it jumps ahead both are possible: a mark is then as much in doubt as the jump, and
 * a jump to the last mark of the cylinder leaves the second.
 */
export function dueMark(run: Run, setup: Setup): DueMark {
  const { stepMl, cylinder } = setup;
  let best = run.baseline === null ? null : Number(run.baseline);
  let sure = best;
  for (const { struck, outcome, settled, volumeMl, rivals } of run.readings) {
    if (struck) continue;
    if (outcome === 'taken' || settled) {
      best = volumeMl;
      sure = volumeMl;
      continue;
    }
    // With nothing sure before it, what it may have been instead.
    sure = sure === null ? rivalMl(rivals) : stepAbove(sure, stepMl);
    best = best !== null && volumeMl < best && volumeMl !== sure ? stepAbove(best, stepMl) : volumeMl;
  }
  const markOn = (ml: number | null): number | null => {
    const mark = stepAbove(ml, stepMl);
    return mark > cylinder.capacityMl + 1e-9 ? null : mark;
  };
  const markMl = markOn(best);
  if (best === sure) return { markMl };
  const otherMl = sure === null ? null : markOn(sure);
  if (markMl === otherMl) return { markMl };
  return markMl === null ? { markMl: otherMl, otherMl: null } : { markMl, otherMl };
}

export const nextMarkMl = (run: Run, setup: Setup): number | null => dueMark(run, setup).markMl;

function rivalMl(rivals: Reading['rivals']): number | null {
  for (const { meaning } of rivals)
    if (meaning.kind === 'reading' && meaning.values.length === 1) return Number(meaning.values[0]!.value);
  return null;
}

/** Counted in whole steps so that 0.1 mL steps do not creep. */
const stepAbove = (ml: number | null, stepMl: number): number =>
  tidy(ml === null ? 0 : (Math.floor(ml / stepMl + 1e-6) + 1) * stepMl);

/** A mark as it would be said: as many decimals as the step has. */
export function markText(markMl: number, setup: Setup): string {
  return markMl.toFixed(decimalsOf(String(setup.stepMl)));
}

const tidy = (value: number): number => Number(value.toPrecision(12));

/** true once the run has displaced its span; a reading in doubt does not tell. */
export function spanReached(run: Run, setup: Setup): boolean {
  const from = originMl(run);
  const last = countingReadings(run).findLast((reading) => reading.outcome === 'taken');
  return from !== null && last !== undefined && last.volumeMl - from >= setup.spanMl - 1e-9;
}
