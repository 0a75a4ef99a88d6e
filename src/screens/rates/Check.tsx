import { createSignal, For, Show } from 'solid-js';
import type { NotebookState } from '../../log/state.ts';
import { UndoButton } from '../readings/UndoButton.tsx';
import { CheckCard } from './CheckCard.tsx';
import { ratesTexts as t } from './texts.ts';
import { type CheckItem, countOf } from './to-check.ts';

/** The one action where something waits: everything left to check, each settled by one tap. */
export function Check(props: { items: readonly CheckItem[]; state: NotebookState }) {
  const [open, setOpen] = createSignal(false);
  const [acted, setActed] = createSignal(false);
  let heading: HTMLHeadingElement | undefined;
  const keys = () => props.items.map(({ key }) => key);
  const close = (): void => {
    setOpen(false);
    setActed(false);
  };
  return (
    <Show
      when={open()}
      fallback={
        <Show when={props.items.length > 0}>
          <p>
            <button
              type="button"
              class="primary check-button"
              onClick={() => {
                setOpen(true);
                queueMicrotask(() => heading?.focus());
              }}
            >
              {t().check(countOf(props.items))}
            </button>
          </p>
        </Show>
      }
    >
      <section class="check-panel" aria-label={t().toCheck}>
        <h2 tabindex="-1" ref={(element) => (heading = element)}>
          {props.items.length > 0 ? t().toCheck : t().nothingToCheck}
        </h2>
        <For each={keys()}>
          {(key) => (
            <Show when={props.items.find((item) => item.key === key)}>
              {(item) => (
                <CheckCard
                  item={item()}
                  state={props.state}
                  onDone={() => {
                    setActed(true);
                    heading?.focus({ preventScroll: true });
                  }}
                />
              )}
            </Show>
          )}
        </For>
        <div class="row">
          <button type="button" onClick={close}>
            {t().close}
          </button>
          <Show when={acted()}>
            <UndoButton />
          </Show>
        </div>
      </section>
    </Show>
  );
}
