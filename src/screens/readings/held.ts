import type { NotebookState } from '../../log/state.ts';

/** A reading that is being dragged, and the value it would get here. */
export interface Held {
  readonly reading: string;
  readonly value: string;
}

/** The state as it would be if the dragged reading were let go. */
export function withHeld(state: NotebookState, held: Held | null): NotebookState {
  if (!held) return state;
  return {
    ...state,
    runs: state.runs.map((run) =>
      run.readings.some(({ id }) => id === held.reading)
        ? {
            ...run,
            readings: run.readings.map((reading) =>
              reading.id === held.reading ? { ...reading, value: held.value, volumeMl: Number(held.value) } : reading,
            ),
          }
        : run,
    ),
  };
}
