import { createSignal, For, Show } from 'solid-js';
import type { NotebookSummary } from '../../log/store.ts';
import { practiceOf } from '../../rehearsal/practice-kind.ts';
import { Contained } from '../Contained.tsx';
import { useDesk } from '../desk.tsx';
import { shownTitle } from '../names/texts.ts';
import { hrefOf } from '../route.ts';
import { saveRaw } from '../save-raw.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { texts } from './list-texts.ts';

/** The notebooks of this device, one's own first: open one, or delete it after a second thought. */
export function NotebookList() {
  const desk = useDesk();
  const t = textsOf(texts);
  const practice = () => desk.notebooks().filter((notebook) => practiceOf(notebook) !== null);
  return (
    <section aria-labelledby="notebooks-heading">
      <h2 id="notebooks-heading" tabindex="-1">
        {t().notebooks}
      </h2>
      <Show when={desk.keeping() === 'not-promised'}>
        <p class="quiet">{t().notPromised}</p>
      </Show>
      <Entries of={desk.notebooks().filter((notebook) => practiceOf(notebook) === null)} />
      <Show when={practice().length > 0}>
        <h3>{t().practice}</h3>
        <Entries of={practice()} />
      </Show>
    </section>
  );
}

function Entries(props: { of: readonly NotebookSummary[] }) {
  const desk = useDesk();
  return (
    <ul class="notebooks">
      <For each={props.of}>
        {(notebook) => (
          <Contained
            what={shownTitle(notebook.title)}
            notebook={notebook}
            onDelete={() => void desk.remove(notebook.id)}
          >
            <Entry notebook={notebook} />
          </Contained>
        )}
      </For>
    </ul>
  );
}

function Entry(props: { notebook: NotebookSummary }) {
  const desk = useDesk();
  const t = textsOf(texts);
  const [asking, setAsking] = createSignal(false);
  /** The question was asked and answered with no: the focus goes back to where it was asked. */
  let kept = false;
  const remove = async (): Promise<void> => {
    const name = title();
    await desk.remove(props.notebook.id);
    document.getElementById('notebooks-heading')?.focus();
    desk.announce(t().isDeleted(name));
  };
  const title = () => shownTitle(props.notebook.title);
  const isOpen = () => desk.journal()?.id === props.notebook.id;
  const changed = () =>
    new Intl.DateTimeFormat(pageLanguage() === 'de' ? 'de' : undefined, {
      dateStyle: 'medium',
      timeStyle: 'short',
    }).format(props.notebook.changedWallMs);
  const open = async (): Promise<void> => {
    if (!isOpen()) await desk.open(props.notebook.id);
    if (desk.state()) location.hash = hrefOf('bench');
  };
  return (
    <li>
      <p class="what">
        <strong>{title()}</strong>
        <span class="quiet"> {t().changed(changed(), isOpen())}</span>
      </p>
      <Show when={desk.failing().has(props.notebook.id)}>
        <p class="wrong">
          {t().doesNotOpen}{' '}
          <button type="button" onClick={() => void saveRaw(desk.store, props.notebook.id, title())}>
            {t().saveAsFile}
          </button>
        </p>
      </Show>
      <Show
        when={asking()}
        fallback={
          <p class="row">
            <button type="button" aria-label={t().openNamed(title())} onClick={() => void open()}>
              {t().open}
            </button>
            <button
              type="button"
              class="plain"
              ref={(button) => kept && queueMicrotask(() => button.focus())}
              aria-label={t().deleteNamed(title())}
              onClick={() => setAsking(true)}
            >
              {t().remove}
            </button>
          </p>
        }
      >
        <fieldset class="row asking" aria-label={t().reallyDelete(title())}>
          <p>{t().forGood}</p>
          <button type="button" class="danger" onClick={() => void remove()}>
            {t().deleteForGood(title())}
          </button>
          <button
            type="button"
            onClick={() => {
              kept = true;
              setAsking(false);
            }}
            ref={(button) => queueMicrotask(() => button.focus())}
          >
            {t().keepIt}
          </button>
        </fieldset>
      </Show>
    </li>
  );
}

export default NotebookList;
