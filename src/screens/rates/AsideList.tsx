import { For, Show } from 'solid-js';
import type { Reading } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import type { RunProps } from './run-props.ts';
import { ratesTexts as t } from './texts.ts';

/** What was set aside in a run, with the reason, and the way back. */
export function AsideList(props: RunProps & { onDone: () => void }) {
  const desk = useDesk();
  const aside = () =>
    props.state.runs.find(({ id }) => id === props.named.id)?.readings.filter((r) => r.setAside && !r.struck) ?? [];
  const putBack = async (reading: Reading): Promise<void> => {
    if (!(await desk.record({ kind: 'put-back', reading: reading.id }))) return;
    desk.announce(t().putBackSaid(reading.value, props.named.label));
    props.onDone();
  };
  return (
    <Show when={aside().length > 0}>
      <section aria-label={t().leftOutIn(props.named.label)}>
        <h3>{t().leftOutTitle}</h3>
        <ul class="aside-list">
          <For each={aside()}>
            {(reading) => (
              <li>
                <span>
                  {reading.value} mL: {t().causes[reading.setAside?.cause ?? 'own-judgement']}
                  {reading.setAside?.why ? `. ${reading.setAside.why}` : ''}
                </span>
                <button
                  type="button"
                  aria-label={t().putBackOf(reading.value, props.named.label)}
                  onClick={() => void putBack(reading)}
                >
                  {t().putBack}
                </button>
              </li>
            )}
          </For>
        </ul>
      </section>
    </Show>
  );
}
