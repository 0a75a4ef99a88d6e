import { For, Show } from 'solid-js';
import type { RemovedRun } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { readingsTexts as t } from './texts.ts';

/** Runs that were set aside whole or deleted: out of every computation, and one press from being back. */
export function RemovedRuns(props: { runs: readonly RemovedRun[] }) {
  const desk = useDesk();
  const bringBack = async ({ run }: RemovedRun): Promise<void> => {
    if (await desk.record({ kind: 'run-returned', run: run.id })) desk.announce(t().back(run.label));
  };
  return (
    <Show when={props.runs.length > 0}>
      <section aria-labelledby="runs-out">
        <h2 id="runs-out">{t().out}</h2>
        <ul class="runs-out">
          <For each={props.runs}>
            {(removed) => (
              <li class="row">
                <span>{t().outHow[removed.how](removed.run.label, removed.why)}</span>
                <button type="button" onClick={() => void bringBack(removed)}>
                  {t().bringBack(removed.run.label)}
                </button>
              </li>
            )}
          </For>
        </ul>
      </section>
    </Show>
  );
}
