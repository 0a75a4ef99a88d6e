import { createSignal, For, type JSX, Show } from 'solid-js';
import { countingReadings } from '../../log/runs.ts';
import type { Run } from '../../log/state.ts';

/** The calls of one run. Closed groups cost nothing, so that a hundred runs stay smooth. */
export function RunGroup(props: {
  /** Null for calls outside runs. */
  run: Run | null;
  calls: readonly string[];
  open: boolean;
  onOpen: () => void;
  row: (call: string) => JSX.Element;
}) {
  const [wanted, setWanted] = createSignal<boolean | null>(null);
  const isOpen = () => wanted() ?? props.open;
  const count = () => (props.run ? countingReadings(props.run).length : 0);
  return (
    <section class="run-group" aria-label={props.run ? `Run ${props.run.label}` : 'Outside runs'}>
      <h2>
        <button
          type="button"
          class="group-head"
          aria-expanded={isOpen()}
          onClick={() => {
            setWanted(!isOpen());
            if (isOpen()) props.onOpen();
          }}
        >
          <Show when={props.run} fallback="Outside runs">
            {(run) => `Run ${run().label}`}
          </Show>
          <span class="quiet">
            {props.run ? `${count()} ${count() === 1 ? 'reading' : 'readings'} of ` : ''}
            {props.calls.length} {props.calls.length === 1 ? 'call' : 'calls'}
          </span>
        </button>
      </h2>
      <Show when={isOpen()}>
        <ul class="calls">
          <For each={props.calls}>{(id) => props.row(id)}</For>
        </ul>
      </Show>
    </section>
  );
}
