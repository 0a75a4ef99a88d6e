import { Show } from 'solid-js';
import type { Reading } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { causeText, SetAside } from './SetAside.tsx';

/** Strike or restore a reading, set it aside or put it back. */
export function ReadingActs(props: { reading: Reading }) {
  const desk = useDesk();
  const id = () => props.reading.id;
  return (
    <>
      <div class="row">
        <Show
          when={props.reading.struck}
          fallback={
            <button type="button" onClick={() => void desk.record({ kind: 'struck', reading: id(), by: 'hand' })}>
              Strike {props.reading.value} mL
            </button>
          }
        >
          <button type="button" onClick={() => void desk.record({ kind: 'restored', reading: id() })}>
            Restore {props.reading.value} mL
          </button>
        </Show>
        <Show when={props.reading.setAside}>
          <button type="button" onClick={() => void desk.record({ kind: 'put-back', reading: id() })}>
            Put {props.reading.value} mL back
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
        {(aside) => (
          <p>
            Set aside: {causeText(aside().cause)}
            {aside().why ? `, ${aside().why}` : ''}.
          </p>
        )}
      </Show>
    </>
  );
}
