import { createSignal, Show } from 'solid-js';
import { useDesk } from './desk.tsx';
import { lateTexts } from './late-texts.ts';
import { shownTitle } from './names/texts.ts';
import { fileStem, saveFile } from './report/save-file.ts';
import type { Late as LateThing } from './rescue.ts';
import { hrefOf } from './route.ts';
import { textsOf } from './texts.ts';

/** Banner while the browser does not return what is stored, with what can be done meanwhile. */
export function Late() {
  const desk = useDesk();
  const t = textsOf(lateTexts);
  const [said, setSaid] = createSignal('');
  const save = async (what: LateThing): Promise<void> => {
    setSaid(t().saving);
    const found = await desk.rescued(what);
    for (const { title, json } of found) saveFile(`${fileStem(title)}.json`, json, 'application/json');
    setSaid(found.length > 0 ? t().saved(found.length) : t().nothing);
  };
  const goOn = (): void => {
    desk.goWithout();
    if (!desk.state()) location.hash = hrefOf('start');
  };
  return (
    <Show when={desk.late()}>
      {(what) => (
        <div class="problem no-print">
          <p role="alert">{what().id === null ? t().all : t().notebook(shownTitle(what().title))}</p>
          <button type="button" onClick={() => location.reload()}>
            {t().again}
          </button>
          <button type="button" onClick={goOn}>
            {t().without}
          </button>
          <button type="button" onClick={() => void save(what())}>
            {t().save}
          </button>
          <p role="status">{said()}</p>
        </div>
      )}
    </Show>
  );
}

export default Late;
