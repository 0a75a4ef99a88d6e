import type { Prediction } from '../language/course.ts';
import type { PageLanguage } from '../language/page-language.ts';
import type { Saying } from '../language/spoken.ts';
import { type Point, predictFrom } from '../language/trend.ts';
import { countingReadings, decimalsOf, isOwnSound } from '../log/runs.ts';
import type { Setup } from '../log/setup.ts';
import type { Call, Reading, Run } from '../log/state.ts';
import { only } from '../numerics/nth.ts';
import { sessionTexts } from './session-texts.ts';

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
 * distances other than the step change the step, also where one mark between them was left out.
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
  const distances: number[] = [];
  let before = first;
  let beforeOff = false;
  for (const [k, volumeMl] of volumes.slice(1).entries()) {
    const apart = tidy(volumeMl - before);
    distances.push(apart);
    const off = !isWhole((volumeMl - grid.anchorMl) / grid.stepMl);
    const goesOn = even.count > 0 && Math.abs(apart - even.stepMl) < 1e-6;
    even = goesOn
      ? { ...even, count: even.count + 1, off: even.off + (off ? 1 : 0) }
      : { stepMl: apart, count: 1, off: off ? 1 : 0, fromFirst: k === 0 };
    if (changesStep(even, grid.stepMl, plannedMl) || skipsAtStep(distances, grid.stepMl)) {
      grid = { anchorMl: volumeMl, stepMl: apart };
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

/** The whole run was called at a larger step than the marks have, with a mark left out: 18, 20, (22), 24, 26 for 1 mL. */
function skipsAtStep(distances: readonly number[], nowMl: number): boolean {
  const step = distances.at(-1) ?? 0;
  const isCommon = step > nowMl + 1e-6 && commonStepsMl.some((one) => Math.abs(one - step) < 1e-6);
  const twice = distances.filter((one) => Math.abs(one - step) < 1e-6).length >= 2;
  return isCommon && twice && distances.every((one) => isWhole(one / step));
}

const isWhole = (ratio: number): boolean => Math.abs(ratio - Math.round(ratio)) < 1e-6;

/** The marks of a run, by its sure readings and what goes on evenly with them; by the first as long as none is sure. */
export function gridOf(run: Run, setup: Setup): MarkGrid | null {
  const readings = countingReadings(run);
  const telling = tellingVolumes(readings, setup.stepMl);
  return markGrid(telling.length > 0 ? telling : readings.slice(0, 1).map(({ volumeMl }) => volumeMl), setup);
}

/**
 * The volumes that tell the marks: those that are sure, and one in doubt between or after them where it, or what it may
 * have been instead, makes the distances even: half-way between two that are sure, one planned step before the next, or
 * as far on as the last. A mishearing hardly ever falls on such a place.
 */
function tellingVolumes(readings: readonly Reading[], stepMl: number): number[] {
  const volumes: number[] = [];
  let doubted: Reading[] = [];
  for (const reading of [...readings, null]) {
    const isSure = reading !== null && (reading.outcome === 'taken' || reading.settled);
    if (reading !== null && !isSure) {
      doubted.push(reading);
      continue;
    }
    const even = doubted.length === 1 && doubted[0] ? evenMl(doubted[0], volumes, reading, stepMl) : null;
    if (even !== null) volumes.push(even);
    else volumes.push(...evenlyApart(doubted, volumes.at(-1), reading));
    if (reading !== null) volumes.push(reading.volumeMl);
    doubted = [];
  }
  return volumes;
}

/** Of several in doubt those that lie at one distance, at least three with the sure one before or after them. */
function evenlyApart(doubted: readonly Reading[], last: number | undefined, after: Reading | null): number[] {
  const own = doubted.map(({ volumeMl }) => volumeMl);
  const row = [...(last === undefined ? [] : [last]), ...own, ...(after ? [after.volumeMl] : [])];
  const apart = row.slice(1).map((ml, k) => ml - (row[k] ?? Number.NaN));
  const step = apart.at(-1) ?? 0;
  const uneven = apart.findLastIndex((distance) => Math.abs(distance - step) > 1e-6);
  const even = row.slice(uneven + 1);
  return step > 0 && even.length >= 3 ? own.filter((ml) => even.includes(ml)).map(tidy) : [];
}

function evenMl(doubted: Reading, before: readonly number[], after: Reading | null, stepMl: number): number | null {
  const [earlier, last] = [before.at(-2), before.at(-1)];
  const mayBe = [doubted.volumeMl, ...rivalsMl(doubted.rivals)];
  const even: number[] = [];
  if (last !== undefined && after !== null) even.push((last + after.volumeMl) / 2);
  if (after !== null) even.push(after.volumeMl - stepMl);
  if (last !== undefined && earlier !== undefined) even.push(2 * last - earlier);
  const found = even.find((ml) => (last ?? 0) < ml && mayBe.some((one) => Math.abs(one - ml) < 1e-6));
  return found === undefined ? null : tidy(found);
}

/** What is said, once, when the caller went over to other marks; null where they are the same. */
export function gridMoved(
  before: MarkGrid | null,
  after: MarkGrid | null,
  language: PageLanguage = 'en',
): { readonly text: string; readonly saying: Saying } | null {
  if (before === null || after === null) return null;
  const t = sessionTexts[language];
  const stepMl = String(tidy(after.stepMl));
  const saying: Saying = { kind: 'calling-every', stepMl };
  if (Math.abs(before.stepMl - after.stepMl) > 1e-9) return { text: t.callingEvery(stepMl), saying };
  if (isWhole((after.anchorMl - before.anchorMl) / after.stepMl)) return null;
  return { text: t.callingEveryFrom(stepMl, tidy(after.anchorMl)), saying };
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
  for (const reading of run.readings) {
    const { struck, outcome, settled, volumeMl, rivals } = reading;
    if (struck) continue;
    if (outcome === 'taken' || settled) {
      best = volumeMl;
      sure = volumeMl;
      continue;
    }
    // With nothing sure before it, what it may have been instead.
    sure = sure === null ? rivalMl(rivals) : markAbove(sure, grid);
    best = best === null ? volumeMl : passedMl(best, sure, likeliestMl(reading), grid);
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

/**
 * What a call in doubt was made at: a mark that lies ahead as it is; anything else was most likely the next mark, said
 * or heard badly.
 */
function passedMl(beforeMl: number, sureMl: number | null, likelyMl: number, grid: MarkGrid): number {
  const onMarks = isWhole((likelyMl - grid.anchorMl) / grid.stepMl);
  return likelyMl === sureMl || (onMarks && likelyMl >= beforeMl) ? likelyMl : markAbove(beforeMl, grid);
}

/** A reading in doubt is shown as it was heard; a rival may be likelier. */
function likeliestMl({ volumeMl, rivals }: Reading): number {
  const own = 1 - rivals.reduce((sum, { p }) => sum + p, 0);
  const [first] = rivals;
  return first !== undefined && first.p > own ? (rivalMl([first]) ?? volumeMl) : volumeMl;
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
    // After one reading nothing tells the rate: words that were not understood were most likely the next mark.
    if (sure.length < 2 && call.heard.length > 0) passed++;
    const points = sure.map(({ timeMs, volumeMl }) => ({ timeS: timeMs / 1000, volumeMl }));
    const now = predictFrom(points, call.onsetMs / 1000) ?? straightOn(points, call.onsetMs / 1000);
    const next = tidy(markAbove(lastMl, grid) + passed * grid.stepMl);
    if (now && Math.abs(now.volumeMl - next) <= atMarkSteps * grid.stepMl) passed++;
  }
  return passed;
}

/** The straight line through the only two readings. */
function straightOn(points: readonly Point[], timeS: number): Pick<Prediction, 'volumeMl'> | null {
  const [first, second, ...more] = points;
  if (!first || !second || more.length > 0 || second.timeS <= first.timeS) return null;
  const rate = (second.volumeMl - first.volumeMl) / (second.timeS - first.timeS);
  return { volumeMl: second.volumeMl + rate * (timeS - second.timeS) };
}

const rivalMl = (rivals: Reading['rivals']): number | null => rivalsMl(rivals)[0] ?? null;

const rivalsMl = (rivals: Reading['rivals']): number[] =>
  rivals.flatMap(({ meaning }) => {
    const volume = meaning.kind === 'reading' ? only(meaning.values) : undefined;
    return volume ? [Number(volume.value)] : [];
  });

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
