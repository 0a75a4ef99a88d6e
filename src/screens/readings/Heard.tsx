import { For, Show } from 'solid-js';
import type { Call, HeardWords } from '../../log/state.ts';
import { readingsTexts as t } from './texts.ts';

/** What each ear made of a call, with its alternatives. */
export function Heard(props: { call: Call }) {
  return (
    <Show when={props.call.heard.length > 0} fallback={<p class="quiet">{t().noWords}</p>}>
      <For each={props.call.heard}>
        {(words) => (
          <p>
            <span class="quiet">{t().heard[words.ear]}</span>{' '}
            <For each={likely(words.alternatives)}>
              {(alternative, index) => (
                <>
                  {index() > 0 ? t().or : ''}
                  <q>{alternative.text}</q>
                  {alternative.p === null ? '' : ` (${Math.round(100 * alternative.p)} %)`}
                </>
              )}
            </For>
            <Show when={words.lagMs !== null}>
              <span class="quiet"> {t().after(((words.lagMs ?? 0) / 1000).toFixed(1))}</span>
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
