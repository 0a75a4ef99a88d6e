import { Show } from 'solid-js';

/** A sentence about trouble, with a way to put it away. */
export function Problem(props: { sentence: string; onDismiss?: () => void; way?: string }) {
  return (
    <div class="problem" role="alert">
      <p>{props.sentence}</p>
      <Show when={props.onDismiss}>
        {(dismiss) => (
          <button type="button" onClick={() => dismiss()()}>
            {props.way ?? 'Understood'}
          </button>
        )}
      </Show>
    </div>
  );
}
