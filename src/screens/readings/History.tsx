import { For, Show } from 'solid-js';
import { durationText } from '../../log/runs.ts';
import type { Call, Change, Reading } from '../../log/state.ts';
import { readingsTexts as t } from './texts.ts';

/** What was done to a call and its readings, in order. */
export function History(props: { changes: readonly Change[]; zeroMs: number }) {
  return (
    <Show when={props.changes.length > 0}>
      <details class="history">
        <summary>{t().history(props.changes.length)}</summary>
        <ol>
          <For each={props.changes}>
            {(change) => (
              <li>
                {durationText(change.atMs - props.zeroMs)} {t().did[change.what]}
                {change.value === null ? '' : ` ${change.value} mL`}, {t().by[change.by]}
                {change.reason ? `: ${change.reason}` : ''}
              </li>
            )}
          </For>
        </ol>
      </details>
    </Show>
  );
}

/** Changes of a call and of its readings, each event once, in order. */
export function historyOf(call: Call, readings: readonly Reading[]): readonly Change[] {
  const changes = new Map<string, Change>();
  for (const change of [...call.history, ...readings.flatMap((reading) => reading.history)])
    changes.set(change.event + change.what, change);
  return [...changes.values()].sort((a, b) => a.atMs - b.atMs);
}
