import type { Random } from '../numerics/random.ts';
import type { Line } from './caller.ts';
import { marksOf, momentOf, type SimulatedRun } from './simulated-run.ts';

/** How a simulated caller calls: mean delay behind the mark and its standard deviation, ms. */
export interface CallerHabit {
  readonly delayMs: number;
  readonly spreadMs: number;
}

/** Speaking a number on an event seen coming: 300 to 500 ms, 50 to 100 ms from call to call (from memory). */
export const usualCaller: CallerHabit = { delayMs: 400, spreadMs: 80 };

/**
 * What a caller says in one run: the baseline, "start run", every mark with a delay of its own, "end run". The
 * reaction of `run` counts from the sound of "start run".
 *
 * @param fromMs page time at which the caller begins, ms
 */
export function callerScript(options: {
  readonly run: SimulatedRun;
  readonly label: string;
  readonly stepMl: number;
  readonly spanMl: number;
  readonly fromMs: number;
  readonly habit: CallerHabit;
  readonly random: Random;
}): { readonly lines: readonly Line[]; readonly startMs: number; readonly endMs: number } {
  const { run, label, stepMl, spanMl, fromMs, habit, random } = options;
  const startMs = fromMs + 2500;
  const lines: Line[] = [
    { atMs: fromMs, text: `baseline ${run.baselineMl}` },
    { atMs: startMs, text: `start run ${label}` },
  ];
  let last = startMs + run.mixS * 1000;
  for (const mark of marksOf(run, stepMl, spanMl)) {
    const moment = momentOf(run, mark);
    if (moment === null) continue;
    last = startMs + moment * 1000 + random.normal(habit.delayMs, habit.spreadMs);
    lines.push({ atMs: last, text: String(mark) });
  }
  const endMs = last + 2500;
  lines.push({ atMs: endMs, text: 'end run' });
  return { lines, startMs, endMs: endMs + 1500 };
}
