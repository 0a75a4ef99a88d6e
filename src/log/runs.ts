import { nth } from '../numerics/nth.ts';
import type { Call, NotebookState, Reading, Run } from './state.ts';

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

export const decimalsOf = (text: string): number => text.split('.')[1]?.length ?? 0;

/** Volume displaced at the last counting reading with the decimals that were said, or null. */
export function displacedText(run: Run): string | null {
  const readings = countingReadings(run);
  const last = readings.at(-1);
  const from = originMl(run);
  if (!last || from === null) return null;
  const firstText = run.baseline ?? readings[0]?.value ?? '0';
  return (last.volumeMl - from).toFixed(Math.max(decimalsOf(last.value), decimalsOf(firstText)));
}

/** A sound without words from while the tool spoke: kept, but more likely its own voice than a call. */
export const isOwnSound = (call: Call): boolean => call.overSpeech === true && call.outcome === 'unresolved';

/** The latest call of a run that could have been a reading: commands and what was no reading are passed over. */
export function latestCallOf(state: NotebookState, run: Run): Call | null {
  for (let i = state.calls.length - 1; i >= 0; i--) {
    const call = nth(state.calls, i);
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
