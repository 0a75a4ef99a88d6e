import type { NotebookEvent } from '../log/event.ts';
import type { Setup } from '../log/setup.ts';
import type { Notebook, NotebookState } from '../log/state.ts';
import { type CallTiming, callTiming, type RehearsedCall } from './call-timing.ts';
import { rehearsalTitle } from './practice-kind.ts';
import { marksOf, momentOf, readingAt, type SimulatedRun } from './simulated-run.ts';

/** One rehearsal: its notebook and the reaction that is simulated in it. */
export interface Rehearsal {
  readonly notebook: string;
  readonly run: SimulatedRun;
  /** 'self': a simulated caller calls; 'person': a person does. */
  readonly caller: 'person' | 'self';
}

/**
 * A notebook of its own for a rehearsal, marked as invented: its readings are of a simulated reaction and never mix
 * with real ones.
 */
export function rehearsalNotebook(id: string, setup: Setup, seed: number, wallMs: number): Notebook {
  const bodies: NotebookEvent['body'][] = [
    { kind: 'created', title: rehearsalTitle, seed, invented: true, app: '' },
    { kind: 'set-up', setup },
  ];
  const events = bodies.map(
    (body, index): NotebookEvent => ({ id: `${id}-${index + 1}`, seq: index + 1, atMs: 0, wallMs, page: 1, body }),
  );
  return { id, events };
}

/** Cylinder reading of the simulated reaction at a notebook time: at the baseline until a run is started. */
export function levelAt(rehearsal: Rehearsal, state: NotebookState, nowMs: number): number {
  const open = state.runs.find((run) => run.id === state.openRun);
  const shown = open ?? state.runs.at(-1);
  if (!shown) return rehearsal.run.baselineMl;
  const untilMs = open ? nowMs : (shown.endedMs ?? nowMs);
  return readingAt(rehearsal.run, (untilMs - shown.startedMs) / 1000);
}

/**
 * What the calls of all runs of a rehearsal say about their caller. Readings count at their
 * recorded moments counted from the start of their run; struck readings do not count.
 */
export function rehearsedTiming(rehearsal: Rehearsal, state: NotebookState): CallTiming | null {
  const marks = marksOf(rehearsal.run, state.setup.stepMl, state.setup.cylinder.capacityMl);
  const calls = state.runs.flatMap((run) =>
    run.readings
      .filter((reading) => !reading.struck && reading.timing !== 'hand')
      .map(
        (reading): RehearsedCall => ({
          reading: reading.id,
          markMl: reading.volumeMl,
          calledMs: reading.timeMs - run.startedMs,
        }),
      ),
  );
  const momentMs = (mark: number): number | null => {
    const seconds = momentOf(rehearsal.run, mark);
    return seconds === null ? null : seconds * 1000;
  };
  return callTiming(calls, momentMs, marks);
}
