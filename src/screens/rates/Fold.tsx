import { createSignal, type JSX, Show } from 'solid-js';

/** A part that opens in place; what is in it is made when it is first opened. */
export function Fold(props: {
  title: JSX.Element;
  /** Names the part to those who hear it; default: the title is text. */
  label: string;
  children: JSX.Element;
  class?: string;
}) {
  const [wanted, setWanted] = createSignal(false);
  return (
    <section aria-label={props.label} class={props.class ?? 'fold'}>
      <details
        onToggle={(event) => {
          if (event.currentTarget.open) setWanted(true);
        }}
      >
        <summary>
          <h2 class="fold-title">{props.title}</h2>
        </summary>
        <Show when={wanted()}>
          <div class="fold-content">{props.children}</div>
        </Show>
      </details>
    </section>
  );
}
