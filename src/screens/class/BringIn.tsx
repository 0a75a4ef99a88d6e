import { createSignal, For, lazy, Show, Suspense } from 'solid-js';
import { useDesk } from '../desk.tsx';
import { type Dropped, DropZone } from '../share-in/DropZone.tsx';
import { pageLanguage } from '../texts.ts';
import { classList } from './class-list.ts';
import { classScreenTexts as t } from './texts.ts';

const Scan = lazy(() => import('./Scan.tsx'));

/** Codes, files, links and tables of values into the class; an import that can be watched and stopped. */
export function BringIn() {
  const desk = useDesk();
  const [scanning, setScanning] = createSignal(false);
  const [pasting, setPasting] = createSignal(false);
  const files = (chosen: readonly Dropped[]): void => {
    if (chosen.length > 0) void classList.bring({ kind: 'files', files: chosen });
  };
  return (
    <DropZone class="bring-in no-print" label={t().add} onFiles={files}>
      <div class="row">
        <button
          type="button"
          classList={{ primary: classList.entries().length === 0 }}
          onClick={() => setScanning(true)}
        >
          {t().scan}
        </button>
        <label class="button">
          {t().files}
          <input
            class="for-screen-readers"
            type="file"
            multiple
            aria-label={`${t().files}: ${t().filesHint}`}
            accept=".json,.zip,.csv,.txt,application/json,application/zip,text/csv"
            onChange={(event) => {
              files([...(event.currentTarget.files ?? [])].map((file) => ({ name: file.name, blob: file })));
              event.currentTarget.value = '';
            }}
          />
        </label>
        <button type="button" aria-expanded={pasting()} onClick={() => setPasting(!pasting())}>
          {t().paste}
        </button>
        <Show when={desk.notebooks().length > 0}>
          <button
            type="button"
            onClick={() => void classList.bring({ kind: 'device', ids: desk.notebooks().map(({ id }) => id) })}
          >
            {t().device}
          </button>
        </Show>
      </div>
      <Show when={pasting()}>
        <Paste />
      </Show>
      <Show when={scanning()}>
        <Suspense fallback={<p role="status">{t().camera.wait}</p>}>
          <Scan onClose={() => setScanning(false)} />
        </Suspense>
      </Show>
      <Show when={classList.progress()}>
        {(now) => (
          <div class="row" role="status">
            <label>
              {now().look === 'names' ? t().read(now().done, now().total) : t().computed(now().done, now().total)}
              <progress value={now().done} max={now().total} />
            </label>
            <button type="button" onClick={classList.cancel}>
              {t().stop}
            </button>
          </div>
        )}
      </Show>
      <Show when={classList.progress()?.look === 'results' && classList.coming().length > 0}>
        <section aria-label={t().coming}>
          <p class="quiet">{t().coming}</p>
          <ul class="groups-in">
            <For each={classList.coming()}>{(name) => <li>{name}</li>}</For>
          </ul>
        </section>
      </Show>
      {/* The camera says itself what it caught. */}
      <Show when={!scanning()}>
        <LastImport />
      </Show>
    </DropZone>
  );
}

/** Links are one a line; anything else is one text (a table, a notebook). */
function Paste() {
  let pasted!: HTMLTextAreaElement;
  const take = (): void => {
    const text = pasted.value.trim();
    if (text === '') return;
    const lines = text.split(/\s*\n\s*/);
    const links = lines.every((line) => line.includes('#/open/'));
    void classList.bring({
      kind: 'files',
      files: (links ? lines : [text]).map((part, i) => ({
        name: links ? t().link(i + 1) : t().pasted,
        blob: new Blob([part]),
      })),
    });
    pasted.value = '';
  };
  return (
    <div class="row">
      <label class="pasted">
        {t().pasteHint}
        <textarea ref={pasted} rows="3" spellcheck={false} />
      </label>
      <button type="button" onClick={take}>
        {t().addThese}
      </button>
    </div>
  );
}

/** Doubles and damaged ones of the last import, a sentence each. */
function LastImport() {
  const doubles = () => classList.last().doubles;
  const skipped = () => classList.last().skipped;
  return (
    <>
      <Show when={doubles().length > 0}>
        <ul class="doubles" role="status">
          <For each={doubles().slice(0, 8)}>{(double) => <li>{t().double(double)}</li>}</For>
          <Show when={doubles().length > 8}>
            <li>{t().andMore(doubles().length - 8)}</li>
          </Show>
        </ul>
      </Show>
      <Show when={skipped().length > 0}>
        <div class="problem" role="status">
          <p>{t().leftOut}</p>
          <ul>
            <For each={skipped().slice(0, 50)}>
              {({ name, sentences }) => (
                <li>
                  <strong>{name}</strong>: {sentences[pageLanguage()]}
                </li>
              )}
            </For>
            <Show when={skipped().length > 50}>
              <li>{t().andMore(skipped().length - 50)}</li>
            </Show>
          </ul>
        </div>
      </Show>
    </>
  );
}
