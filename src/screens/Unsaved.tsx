import { onCleanup, Show } from 'solid-js';
import { notebookToJson, withoutHoles } from '../log/file.ts';
import { useDesk } from './desk.tsx';
import { fileStem, saveFile } from './report/save-file.ts';

/** How often storing is tried again by itself, ms. */
const retryMs = 10_000;

/** What is only in this page, said for as long as it is so, with the ways to make it safe. */
export function Unsaved() {
  const desk = useDesk();
  const timer = setInterval(() => {
    if (desk.unsaved()) void desk.retry();
  }, retryMs);
  onCleanup(() => clearInterval(timer));
  const save = (): void => {
    const journal = desk.journal();
    if (!journal) return;
    const notebook = withoutHoles({ id: journal.id, events: journal.events() });
    saveFile(`${fileStem(journal.state().title)}.json`, notebookToJson(notebook), 'application/json');
    desk.savedAsFile();
  };
  return (
    <Show when={desk.unsaved()}>
      {(why) => (
        <div class="problem no-print">
          <p role="alert">{why()}</p>
          <button type="button" onClick={save}>
            Save the notebook as a file
          </button>
          <button type="button" onClick={() => void desk.retry()}>
            Try to store it again
          </button>
        </div>
      )}
    </Show>
  );
}
