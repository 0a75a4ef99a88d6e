import { Show } from 'solid-js';
import { deskTexts } from './desk-texts.ts';
import { textsOf } from './texts.ts';

/** A sentence about trouble, with a way to put it away. */
export function Problem(props: { sentence: string; onDismiss?: () => void; way?: string }) {
  const t = textsOf(deskTexts);
  return (
    <div class="problem" role="alert">
      <p>{props.sentence}</p>
      <Show when={props.onDismiss}>
        {(dismiss) => (
          <button type="button" onClick={() => dismiss()()}>
            {props.way ?? t().understood}
          </button>
        )}
      </Show>
    </div>
  );
}
