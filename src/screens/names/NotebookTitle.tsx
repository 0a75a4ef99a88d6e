import { createSignal, Show } from 'solid-js';
import { useDesk } from '../desk.tsx';
import { textsOf } from '../texts.ts';
import './names.css';
import { NameFields } from './NameFields.tsx';
import { shownTitle, texts } from './texts.ts';

/** The open notebook's name, wherever it stands; a press opens the form that changes it. */
export function NotebookTitle() {
  const desk = useDesk();
  const t = textsOf(texts);
  const [open, setOpen] = createSignal(false);
  let button!: HTMLButtonElement;
  const title = (): string => shownTitle(desk.state()?.title ?? '');
  const close = (): void => {
    setOpen(false);
    button.focus();
  };
  return (
    <Show when={desk.state()}>
      {(state) => (
        <div class="notebook-title">
          <button
            ref={button}
            type="button"
            aria-expanded={open()}
            aria-label={t().rename([title(), state().group].filter(Boolean).join(', '))}
            onClick={() => setOpen(!open())}
          >
            {title()}
            <Show when={state().group}>{(group) => <span class="group-name"> · {group()}</span>}</Show>
          </button>
          <Show when={state().invented}>
            {' '}
            <em class="invented">{t().invented}</em>
          </Show>
          <Show when={open()}>
            <section
              class="name-panel"
              aria-label={t().heading}
              onKeyDown={(event) => event.key === 'Escape' && close()}
            >
              <NameFields />
              <button type="button" class="primary" onClick={close}>
                {t().done}
              </button>
            </section>
          </Show>
        </div>
      )}
    </Show>
  );
}

export default NotebookTitle;
