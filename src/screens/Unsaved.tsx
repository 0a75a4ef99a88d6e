import { onCleanup, Show } from 'solid-js';
import { notebookToJson, withoutHoles } from '../log/notebook-json.ts';
import { useDesk } from './desk.tsx';
import { fileStem, saveFile } from './report/save-file.ts';
import { textsOf } from './texts.ts';
import { unsavedTexts } from './unsaved-texts.ts';

/** How often storing is tried again by itself, ms. */
const retryMs = 10_000;

/** Banner for unsaved entries, with the ways to make them safe. */
export function Unsaved() {
  const desk = useDesk();
  const t = textsOf(unsavedTexts);
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
          <p role="alert">{t().why[why()]}</p>
          <button type="button" onClick={save}>
            {t().saveNotebook}
          </button>
          <button type="button" onClick={() => void desk.retry()}>
            {t().storeAgain}
          </button>
        </div>
      )}
    </Show>
  );
}

export default Unsaved;
