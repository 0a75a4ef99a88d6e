import { type Accessor, createEffect, createMemo, createSignal, on, onCleanup } from 'solid-js';
import type { LiveFigures } from '../bench/live.ts';
import { countingReadings } from '../log/runs.ts';
import type { NotebookState } from '../log/state.ts';

export interface ShownFigures extends LiveFigures {
  /** Rate and uncertainty in one line, mL/s. */
  readonly text: string;
  /** Readings that count and were passed over because they do not go with the others. */
  readonly leftOut: number;
}

/**
 * The live figures of a run, kept up with its changes. They are fetched and worked out after the screen has shown the
 * change itself: no call and no key waits for a fit.
 */
export function createLiveFigures(
  state: Accessor<NotebookState>,
  run: Accessor<string | null>,
  digits: 1 | 2,
): Accessor<ShownFigures | null> {
  const [figures, setFigures] = createSignal<ShownFigures | null>(null);
  // Only what the figures depend on: a call that changes neither run nor setup costs nothing.
  const known = createMemo(() => state().runs.find(({ id }) => id === run()) ?? null);
  const setup = createMemo(() => state().setup);
  const plan = createMemo(() => state().plan);
  createEffect(
    on([known, setup, plan], ([now]) => {
      if (now === null) {
        setFigures(null);
        return;
      }
      let dropped = false;
      const timer = setTimeout(async () => {
        const { liveFigures, withUncertainty } = await import('../bench/live.ts');
        if (dropped) return;
        const found = liveFigures(state(), now.id);
        const read = state().runs.find(({ id }) => id === now.id);
        setFigures(
          found && {
            ...found,
            text: withUncertainty(found.rateMlPerS, found.uMlPerS, digits),
            leftOut: Math.max(0, (read ? countingReadings(read).length : 0) - found.readings),
          },
        );
      }, 40);
      onCleanup(() => {
        dropped = true;
        clearTimeout(timer);
      });
    }),
  );
  return figures;
}
