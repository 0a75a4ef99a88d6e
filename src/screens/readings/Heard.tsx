import { For, Show } from 'solid-js';
import type { Call, HeardWords } from '../../log/state.ts';

/** What each ear made of a call, with its alternatives. */
export function Heard(props: { call: Call }) {
  return (
    <Show when={props.call.heard.length > 0} fallback={<p class="quiet">No words were heard.</p>}>
      <For each={props.call.heard}>
        {(words) => (
          <p>
            <span class="quiet">{earNames[words.ear]} heard</span>{' '}
            <For each={likely(words.alternatives)}>
              {(alternative, index) => (
                <>
                  {index() > 0 ? ', or ' : ''}
                  <q>{alternative.text}</q>
                  {alternative.p === null ? '' : ` (${Math.round(100 * alternative.p)} %)`}
                </>
              )}
            </For>
            <Show when={words.lagMs !== null}>
              <span class="quiet"> {((words.lagMs ?? 0) / 1000).toFixed(1)} s after the sound began</span>
            </Show>
          </p>
        )}
      </For>
    </Show>
  );
}

/** The alternatives worth reading: not those that the ear itself hardly believes. */
const likely = (alternatives: HeardWords['alternatives']): HeardWords['alternatives'] =>
  alternatives.filter(({ p }, index) => index === 0 || p === null || p >= 0.01).slice(0, 5);

const earNames: Readonly<Record<Call['heard'][number]['ear'], string>> = {
  browser: 'The browser’s recogniser',
  own: 'The recogniser in this page',
  sound: 'The sound finder',
  rehearsal: 'The rehearsal',
};
