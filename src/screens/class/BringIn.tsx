import { For, Show } from 'solid-js';
import { useDesk } from '../desk.tsx';
import { DropZone } from '../share-in/DropZone.tsx';
import { classList } from './class-list.ts';

/** Files, links and tables of values into the class; an import that can be watched and stopped. */
export function BringIn() {
  const desk = useDesk();
  let pasted!: HTMLTextAreaElement;
  const files = (list: FileList | null | undefined): void => {
    const chosen = [...(list ?? [])].map((file) => ({ name: file.name, blob: file }));
    if (chosen.length > 0) classList.bring({ kind: 'files', files: chosen });
  };
  /** Links are one a line; anything else is one text (a table, a notebook). */
  const texts = (): void => {
    const text = pasted.value.trim();
    if (text === '') return;
    const lines = text.split(/\s*\n\s*/);
    const links = lines.every((line) => line.includes('#/open/'));
    const parts = links ? lines : [text];
    classList.bring({
      kind: 'files',
      files: parts.map((part, i) => ({
        name: links ? `link ${i + 1}` : 'pasted text',
        blob: new Blob([part]),
      })),
    });
    pasted.value = '';
  };

  return (
    <DropZone class="bring-in no-print" label="Bring in groups" onFiles={files}>
      <div class="row">
        <label>
          Notebooks, archives, or tables of values (drop them here)
          <input
            type="file"
            multiple
            accept=".json,.zip,.csv,.txt,application/json,application/zip,text/csv"
            onChange={(event) => {
              files(event.currentTarget.files);
              event.currentTarget.value = '';
            }}
          />
        </label>
        <button
          type="button"
          disabled={desk.notebooks().length === 0}
          onClick={() => classList.bring({ kind: 'device', ids: desk.notebooks().map((notebook) => notebook.id) })}
        >
          Add the notebooks of this device
        </button>
      </div>
      <div class="row">
        <label class="pasted">
          Links, one a line, or a table with the columns name,value,u
          <textarea ref={pasted} rows="3" spellcheck={false} />
        </label>
        <button type="button" onClick={texts}>
          Add these
        </button>
      </div>
      <Show when={classList.progress()}>
        {(now) => (
          <div class="row" role="status">
            <label>
              {now().done} of {now().total} read
              <progress value={now().done} max={now().total} />
            </label>
            <button type="button" onClick={classList.cancel}>
              Stop
            </button>
          </div>
        )}
      </Show>
      <Show when={classList.again() > 0}>
        <p role="status">
          {classList.again() === 1 ? 'One of these was' : `${classList.again()} of these were`} in the class already and{' '}
          {classList.again() === 1 ? 'counts' : 'count'} once: the same notebook, the longer log of the two.
        </p>
      </Show>
      <Show when={classList.skipped().length > 0}>
        <div class="problem" role="status">
          <p>Left out:</p>
          <ul>
            <For each={classList.skipped().slice(0, 50)}>
              {({ name, sentence }) => (
                <li>
                  <strong>{name}</strong>: {sentence}
                </li>
              )}
            </For>
            <Show when={classList.skipped().length > 50}>
              <li>and {classList.skipped().length - 50} more</li>
            </Show>
          </ul>
        </div>
      </Show>
    </DropZone>
  );
}
