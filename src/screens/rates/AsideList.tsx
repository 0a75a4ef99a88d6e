import { For, Show } from 'solid-js';
import type { Reading } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { causeText } from '../readings/SetAside.tsx';
import type { RunProps } from './run-props.ts';

/** What was set aside in a run, with the reason, and the way back. */
export function AsideList(props: RunProps & { heading: string }) {
  const desk = useDesk();
  const aside = () =>
    props.state.runs.find(({ id }) => id === props.named.id)?.readings.filter((r) => r.setAside && !r.struck) ?? [];
  const putBack = async (reading: Reading): Promise<void> => {
    if (!(await desk.record({ kind: 'put-back', reading: reading.id }))) return;
    desk.announce(`${reading.value} mL put back; the rate of run ${props.named.label} is worked out anew.`);
    document.getElementById(props.heading)?.focus({ preventScroll: true });
  };
  return (
    <Show when={aside().length > 0}>
      <section aria-label={`Set aside in run ${props.named.label}`}>
        <h3>Set aside</h3>
        <ul class="aside-list">
          <For each={aside()}>
            {(reading) => (
              <li>
                <span>
                  {reading.value} mL: {causeText(reading.setAside?.cause ?? 'own-judgement')}
                  {reading.setAside?.why ? `. ${reading.setAside.why}` : ''}
                </span>
                <button
                  type="button"
                  aria-label={`Put back ${reading.value} mL of run ${props.named.label}`}
                  onClick={() => void putBack(reading)}
                >
                  Put back
                </button>
              </li>
            )}
          </For>
        </ul>
      </section>
    </Show>
  );
}
