import { Show } from 'solid-js';
import { newId } from '../../log/new-id.ts';
import { distinctLabel } from '../../log/runs.ts';
import type { Reading } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { causeText, SetAside } from './SetAside.tsx';
import { readingsTexts as t } from './texts.ts';

/** Strike or restore a reading, set it aside or put it back. */
export function ReadingActs(props: { reading: Reading }) {
  const desk = useDesk();
  const id = () => props.reading.id;
  const run = () => desk.state()?.runs.find((known) => known.id === props.reading.run);
  /** The first reading of a run begins one already. */
  const canSplit = () => (run()?.readings.findIndex((known) => known.id === id()) ?? 0) > 0;
  const split = async (): Promise<void> => {
    const from = run();
    if (!from) return;
    const label = distinctLabel(from.label, desk.state()?.runs.map((known) => known.label) ?? []);
    const into = newId().slice(0, 13);
    if (await desk.record({ kind: 'run-split', run: from.id, at: id(), into, label }))
      desk.announce(t().splitDone(label));
  };
  return (
    <>
      <div class="row">
        <Show
          when={props.reading.struck}
          fallback={
            <button type="button" onClick={() => void desk.record({ kind: 'struck', reading: id(), by: 'hand' })}>
              {t().strike(props.reading.value)}
            </button>
          }
        >
          <button type="button" onClick={() => void desk.record({ kind: 'restored', reading: id() })}>
            {t().restore(props.reading.value)}
          </button>
        </Show>
        <Show when={props.reading.setAside}>
          <button type="button" onClick={() => void desk.record({ kind: 'put-back', reading: id() })}>
            {t().putBack(props.reading.value)}
          </button>
        </Show>
        <Show when={canSplit()}>
          <button type="button" onClick={() => void split()}>
            {t().split}
          </button>
        </Show>
      </div>
      <Show
        when={props.reading.setAside}
        fallback={
          <Show when={!props.reading.struck}>
            <SetAside reading={props.reading} />
          </Show>
        }
      >
        {(aside) => <p>{t().isAside(causeText(aside().cause), aside().why)}</p>}
      </Show>
    </>
  );
}
