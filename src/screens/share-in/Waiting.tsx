import { Show } from 'solid-js';
import type { DoorStep } from '../../files/door-orders.ts';
import { textsOf } from '../texts.ts';
import { texts } from './texts.ts';

/** How far the reading of something from outside is, and a way to stop it. */
export function Waiting(props: { step: DoorStep | null; onStop: () => void }) {
  const t = textsOf(texts);
  return (
    <Show when={props.step}>
      {(step) => (
        <div class="row" role="status">
          <label>
            {t().steps[step()]}
            <progress />
          </label>
          <button type="button" onClick={() => props.onStop()}>
            {t().stop}
          </button>
        </div>
      )}
    </Show>
  );
}
