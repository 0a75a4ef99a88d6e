import { nth } from '../numerics/nth.ts';
import type { Condition, EventBody } from './event.ts';
import type { Call, NotebookState, Reading, Run, TimedEvent } from './state.ts';

/** One run, while the fold of a notebook's events (`reduce.ts`) works on it. */
export interface RunDraft {
  run: Omit<Run, 'readings' | 'timed' | 'baseline'>;
  readings: string[];
  timed: TimedEvent[];
  /** The finished value, until something in the run changes. */
  value: Run | null;
  /** Taken out whole. */
  removed?: { how: 'set-aside' | 'deleted'; why: string };
}

export interface Draft {
  title: string;
  group: string;
  members: string;
  classPlan: NotebookState['classPlan'];
  seed: number;
  invented: boolean;
  createdWallMs: number;
  setup: NotebookState['setup'];
  plan: NotebookState['plan'];
  runs: Map<string, RunDraft>;
  openRun: string | null;
  paused: boolean;
  calls: Map<string, Call>;
  /** Call ids by onset. */
  callOrder: string[];
  readings: Map<string, Reading>;
  timed: TimedEvent[];
  step: number;
  stepMs: number | null;
  skipped: Condition[];
  joints: NotebookState['joints'][number][];
  undoable: string[];
  acts: EventBody[];
  events: number;
  lastMs: number;
  clipsDeleted: boolean;
}

/** So many places from the end are looked at one by one: calls come nearly in order. */
const nearEnd = 50;

/** Inserts so that times stay in order, after those of the same time. Further from the end the place is found by halving. */
export function insertByTime(order: string[], id: string, time: (id: string) => number): void {
  const at = time(id);
  let high = order.length;
  const near = Math.max(0, high - nearEnd);
  while (high > near && time(nth(order, high - 1)) > at) high--;
  if (high > near) {
    order.splice(high, 0, id);
    return;
  }
  let low = 0;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time(nth(order, middle)) > at) high = middle;
    else low = middle + 1;
  }
  order.splice(low, 0, id);
}

export function changeRun(draft: Draft, id: string, next: (entry: RunDraft) => void): void {
  const entry = draft.runs.get(id);
  if (!entry) return;
  next(entry);
  entry.value = null;
}
