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

/** Inserts so that times stay in order; calls come nearly in order, so it looks from the end. */
export function insertByTime(order: string[], id: string, time: (id: string) => number): void {
  const at = time(id);
  let i = order.length;
  while (i > 0 && time(nth(order, i - 1)) > at) i--;
  order.splice(i, 0, id);
}

export function changeRun(draft: Draft, id: string, next: (entry: RunDraft) => void): void {
  const entry = draft.runs.get(id);
  if (!entry) return;
  next(entry);
  entry.value = null;
}
