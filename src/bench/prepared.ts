import { freshRunOf, latestReading, openRunOf } from '../log/runs.ts';
import type { NotebookState, TimedEvent } from '../log/state.ts';

/** What is called before a run and can be put right by voice. */
export type Prepared = Extract<TimedEvent, { kind: 'poured' | 'baseline' | 'temperature' }>;

const isPrepared = (event: TimedEvent): event is Prepared =>
  event.kind === 'poured' || event.kind === 'baseline' || event.kind === 'temperature';

/**
 * The pour, baseline or temperature that was called last, where it is later than every reading and no reading was
 * called in the run in progress. "No, twelve" and "disregard" speak of it, not of the last reading of an earlier run.
 */
export function latestPrepared(state: NotebookState): Prepared | null {
  if (openRunOf(state) && !freshRunOf(state)) return null;
  const latest = state.timed.findLast(isPrepared);
  const readMs = Math.max(Number.NEGATIVE_INFINITY, ...state.runs.map((run) => latestReading(run)?.timeMs ?? -1));
  return latest && latest.timeMs > readMs ? latest : null;
}
