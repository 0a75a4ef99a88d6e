import { Show } from 'solid-js';

const drawn: Readonly<Record<string, string>> = { '✓': 'M4 13l5.5 5.5L20 6', '✕': 'M5 5l14 14M19 5L5 19' };

/** A sign beside words that say the same. Tick and cross are drawn: many fonts lack them, and an empty ring says nothing. */
export function Sign(props: { sign: string }) {
  return (
    <Show when={drawn[props.sign]} fallback={<span aria-hidden="true">{props.sign}</span>}>
      {(path) => (
        <svg class="drawn-sign" viewBox="0 0 24 24" aria-hidden="true">
          <path d={path()} />
        </svg>
      )}
    </Show>
  );
}
