import { createSignal, lazy, Show, Suspense } from 'solid-js';
import { useDesk } from '../desk.tsx';
import { pageLanguage } from '../texts.ts';
import { DropZone } from './DropZone.tsx';
import './share-in.css';

const PasteIn = lazy(() => import('./PasteIn.tsx'));

/**
 * Brings in a notebook, an archive with clips, or a run sheet: by choosing a file, by dropping one, or by pasting a
 * link. Nothing is changed when it cannot be read.
 */
export function OpenFile() {
  const desk = useDesk();
  const [said, setSaid] = createSignal<{ ok: boolean; sentence: string } | null>(null);
  const [busy, setBusy] = createSignal(false);

  const open = async (file: Blob | undefined): Promise<void> => {
    if (!file || busy()) return;
    setBusy(true);
    // Fetched when a file comes: the first screen stands without it.
    const { columnsIn, readFileArrival, takeArrival } = await import('./take-arrival.ts');
    const columns = await columnsIn(file, pageLanguage());
    if (columns !== null) {
      setPasted(columns);
      setSaid(null);
      setBusy(false);
      return;
    }
    const arrival = await readFileArrival(file);
    const result = arrival.ok ? await takeArrival(desk, arrival.value) : { ok: false, sentence: arrival.sentence };
    setSaid(result);
    desk.announce(result.sentence);
    setBusy(false);
  };
  let link!: HTMLInputElement;
  /** Columns of times and volumes, as text, to be looked at before they are taken. */
  const [pasted, setPasted] = createSignal<string | null>(null);

  return (
    <DropZone class="open-file" labelledBy="open-file" onFiles={(files) => void open(files?.[0])}>
      <h2 id="open-file">Open a file or link</h2>
      <div class="row">
        <label>
          A notebook, archive or run sheet from a file (or drop it here)
          <input
            type="file"
            accept=".json,.zip,.txt,.csv,.tsv,application/json,application/zip,text/csv"
            disabled={busy()}
            onChange={(event) => {
              void open(event.currentTarget.files?.[0]);
              event.currentTarget.value = '';
            }}
          />
        </label>
        <form
          class="row"
          onSubmit={(event) => {
            event.preventDefault();
            void open(new Blob([link.value]));
          }}
        >
          <label>
            or a link
            <input ref={link} type="text" inputmode="url" autocomplete="off" placeholder="…#/open/…" />
          </label>
          <button type="submit" disabled={busy()}>
            Open the link
          </button>
        </form>
      </div>
      <Suspense>
        <PasteIn text={pasted()} onText={setPasted} />
      </Suspense>
      <Show when={said()}>
        {(result) => <p classList={{ problem: !result().ok, quiet: result().ok }}>{result().sentence}</p>}
      </Show>
    </DropZone>
  );
}

export default OpenFile;
