import type { Setup } from '../notebook/setup.ts';
import type { Call, NotebookState, Reading, Run } from '../notebook/state.ts';

/** The run in progress, or null. */
export function openRunOf(state: NotebookState): Run | null {
  return state.runs.find((run) => run.id === state.openRun) ?? null;
}

/** The run in progress, else the one that was started last: what "disregard" and "correction" speak of. */
export function currentRunOf(state: NotebookState): Run | null {
  return openRunOf(state) ?? state.runs.at(-1) ?? null;
}

/** Readings that count: not struck, not set aside, by time. */
export const countingReadings = (run: Run): readonly Reading[] =>
  run.readings.filter((reading) => !reading.struck && reading.setAside === null);

/** The latest reading that is not struck. */
export const latestReading = (run: Run): Reading | null =>
  run.readings.filter((reading) => !reading.struck).at(-1) ?? null;

/** End of a call's sound; where only words were had, half a second after they began (reasoned). */
export const endOf = (call: Pick<Call, 'onsetMs' | 'endMs'>): number => call.endMs ?? call.onsetMs + 500;

/** Cylinder reading from which displacement counts, mL: the baseline, else the first reading; null without either. */
export function originMl(run: Run): number | null {
  if (run.baseline !== null) return Number(run.baseline);
  return countingReadings(run)[0]?.volumeMl ?? null;
}

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

export const decimalsOf = (text: string): number => text.split('.')[1]?.length ?? 0;

const tidy = (value: number): number => Number(value.toPrecision(12));

/** Volume displaced at the last counting reading with the decimals that were said, or null. */
export function displacedText(run: Run): string | null {
  const readings = countingReadings(run);
  const last = readings.at(-1);
  const from = originMl(run);
  if (!last || from === null) return null;
  const firstText = run.baseline ?? readings[0]?.value ?? '0';
  return (last.volumeMl - from).toFixed(Math.max(decimalsOf(last.value), decimalsOf(firstText)));
}

/** true once the run has displaced its span; a reading in doubt does not tell. */
export function spanReached(run: Run, setup: Setup): boolean {
  const from = originMl(run);
  const last = countingReadings(run).findLast((reading) => reading.outcome === 'taken');
  return from !== null && last !== undefined && last.volumeMl - from >= setup.spanMl - 1e-9;
}

/** A sound without words from while the tool spoke: kept, but more likely its own voice than a call. */
export const isOwnSound = (call: Call): boolean => call.overSpeech === true && call.outcome === 'unresolved';

/** The latest call of a run that could have been a reading: commands and what was no reading are passed over. */
export function latestCallOf(state: NotebookState, run: Run): Call | null {
  for (let i = state.calls.length - 1; i >= 0; i--) {
    const call = state.calls[i]!;
    if (call.run !== run.id || isOwnSound(call)) continue;
    if (call.outcome === 'taken' || call.outcome === 'doubtful' || call.outcome === 'unresolved') return call;
  }
  return null;
}

/** Label for a run that is started as `wanted`: a label that is taken gets a letter ("2b" repeats run 2). */
export function distinctLabel(wanted: string, taken: readonly string[]): string {
  if (!taken.includes(wanted)) return wanted;
  for (let letter = 1; letter < 26; letter++) {
    const label = `${wanted}${String.fromCharCode(97 + letter)}`;
    if (!taken.includes(label)) return label;
  }
  return `${wanted}-${taken.length + 1}`;
}

/** The run in progress while nothing was read in it: starting a run again starts this one anew. */
export function freshRunOf(state: NotebookState): Run | null {
  const run = openRunOf(state);
  const called = run !== null && (run.readings.length > 0 || latestCallOf(state, run) !== null);
  return called ? null : run;
}

/**
 * Label of the run that is started next when none is said: one more than the highest number so far, or that of the run
 * in progress while it has no reading.
 */
export function nextRunLabel(state: NotebookState): string {
  const fresh = freshRunOf(state);
  if (fresh) return fresh.label;
  const numbers = state.runs.map((run) => Number.parseInt(run.label, 10)).filter((number) => Number.isFinite(number));
  return String(Math.max(0, ...numbers) + 1);
}

/** Minutes and seconds of a duration in ms: "2:05"; tenths on request: "2:05.3". */
export function durationText(durationMs: number, tenths = false): string {
  const sign = durationMs < 0 ? '−' : '';
  const total = tenths ? Math.round(Math.abs(durationMs) / 100) / 10 : Math.floor(Math.abs(durationMs) / 1000);
  const minutes = Math.floor(total / 60);
  const seconds = total - 60 * minutes;
  return `${sign}${minutes}:${tenths ? seconds.toFixed(1).padStart(4, '0') : String(seconds).padStart(2, '0')}`;
}

/** Notebook time from which a run's seconds count: its first counting reading; its start before there is one. */
export const zeroMs = (run: Run): number => countingReadings(run)[0]?.timeMs ?? run.startedMs;
