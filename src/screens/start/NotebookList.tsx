import { createSignal, For, Show } from 'solid-js';
import type { NotebookSummary } from '../../log/store.ts';
import { useDesk } from '../desk.tsx';
import { hrefOf } from '../route.ts';

/** The notebooks of this device: open one, or delete it after a second thought. */
export function NotebookList() {
  const desk = useDesk();
  return (
    <section aria-labelledby="notebooks-heading">
      <h2 id="notebooks-heading" tabindex="-1">
        Notebooks on this device
      </h2>
      <Show when={desk.keeping() === 'not-promised'}>
        <p class="quiet">
          This browser has not promised to keep them: when space gets short it may clear them. Save what matters as a
          file, under Report.
        </p>
      </Show>
      <ul class="notebooks">
        <For each={desk.notebooks()}>{(notebook) => <Entry notebook={notebook} />}</For>
      </ul>
    </section>
  );
}

function Entry(props: { notebook: NotebookSummary }) {
  const desk = useDesk();
  const [asking, setAsking] = createSignal(false);
  /** The question was asked and answered with no: the focus goes back to where it was asked. */
  let kept = false;
  const remove = async (): Promise<void> => {
    const name = title();
    await desk.remove(props.notebook.id);
    document.getElementById('notebooks-heading')?.focus();
    desk.announce(`${name} is deleted`);
  };
  const title = () => props.notebook.title || 'Untitled';
  const isOpen = () => desk.journal()?.id === props.notebook.id;
  const changed = () =>
    new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' }).format(
      props.notebook.changedWallMs,
    );
  const open = async (): Promise<void> => {
    if (!isOpen()) await desk.open(props.notebook.id);
    if (desk.state()) location.hash = hrefOf('bench');
  };
  return (
    <li>
      <p class="what">
        <strong>{title()}</strong>
        <span class="quiet">
          {' '}
          last changed {changed()}
          {isOpen() ? ', open now' : ''}
        </span>
      </p>
      <Show
        when={asking()}
        fallback={
          <p class="row">
            <button type="button" aria-label={`Open ${title()}`} onClick={() => void open()}>
              Open
            </button>
            <button
              type="button"
              class="plain"
              ref={(button) => kept && queueMicrotask(() => button.focus())}
              aria-label={`Delete ${title()}…`}
              onClick={() => setAsking(true)}
            >
              Delete…
            </button>
          </p>
        }
      >
        <fieldset class="row asking" aria-label={`Delete ${title()}?`}>
          <p>Its readings and sounds go for good. Save it as a file first if in doubt.</p>
          <button type="button" class="danger" onClick={() => void remove()}>
            Delete {title()} for good
          </button>
          <button
            type="button"
            onClick={() => {
              kept = true;
              setAsking(false);
            }}
            ref={(button) => queueMicrotask(() => button.focus())}
          >
            Keep it
          </button>
        </fieldset>
      </Show>
    </li>
  );
}

export default NotebookList;
