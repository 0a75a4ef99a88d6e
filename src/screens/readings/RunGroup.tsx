import { createSignal, For, type JSX, lazy, Show, Suspense } from 'solid-js';
import { countingReadings } from '../../log/runs.ts';
import type { Run } from '../../log/state.ts';
import { readingsTexts as t } from './texts.ts';

const RunMenu = lazy(() => import('./RunMenu.tsx'));

/** The calls of one run. Closed groups cost nothing, so that a hundred runs stay smooth. */
export function RunGroup(props: {
  /** Null for calls outside runs. */
  run: Run | null;
  runs: readonly Run[];
  calls: readonly string[];
  open: boolean;
  onOpen: () => void;
  row: (call: string) => JSX.Element;
}) {
  const [wanted, setWanted] = createSignal<boolean | null>(null);
  const [menu, setMenu] = createSignal(false);
  let more!: HTMLButtonElement;
  const isOpen = () => wanted() ?? props.open;
  const count = () => (props.run ? countingReadings(props.run).length : 0);
  return (
    <section class="run-group" aria-label={props.run ? t().run(props.run.label) : t().outside}>
      <div class="group-bar">
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
            <Show when={props.run} fallback={t().outside}>
              {(run) => t().run(run().label)}
            </Show>
            <span class="quiet">
              {props.run ? t().readingsOf(count(), props.calls.length) : t().calls(props.calls.length)}
            </span>
          </button>
        </h2>
        <Show when={props.run}>
          {(run) => (
            <button
              ref={more}
              type="button"
              class="run-more"
              aria-label={t().more(run().label)}
              aria-expanded={menu()}
              onClick={() => setMenu(!menu())}
            >
              …
            </button>
          )}
        </Show>
      </div>
      <Show when={menu() && props.run}>
        {(run) => (
          <Suspense>
            <RunMenu
              run={run()}
              runs={props.runs}
              onDone={() => {
                setMenu(false);
                if (more.isConnected) more.focus();
              }}
            />
          </Suspense>
        )}
      </Show>
      <Show when={isOpen()}>
        <ul class="calls">
          <For each={props.calls}>{(id) => props.row(id)}</For>
        </ul>
      </Show>
    </section>
  );
}
