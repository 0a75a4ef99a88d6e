import { For, Show } from 'solid-js';
import type { By } from '../../log/event.ts';
import { durationText } from '../../log/runs.ts';
import type { Call, Change, Reading } from '../../log/state.ts';

/** What was done to a call and its readings, in order. */
export function History(props: { changes: readonly Change[]; zeroMs: number }) {
  return (
    <Show when={props.changes.length > 0}>
      <details class="history">
        <summary>History ({props.changes.length})</summary>
        <ol>
          <For each={props.changes}>
            {(change) => (
              <li>
                {durationText(change.atMs - props.zeroMs)} {change.what.replace('-', ' ')}
                {change.value === null ? '' : ` ${change.value} mL`}, {byNames[change.by]}
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

const byNames: Readonly<Record<By, string>> = {
  ear: 'as heard',
  expectation: 'in the light of later readings',
  voice: 'by voice',
  hand: 'by hand',
};
