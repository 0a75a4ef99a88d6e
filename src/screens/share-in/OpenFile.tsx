import { createSignal, lazy, onCleanup, Show, Suspense } from 'solid-js';
import { makeDoor } from '../../files/door.ts';
import type { DoorStep } from '../../files/door-orders.ts';
import { refusals } from '../../log/refusal.ts';
import { useDesk } from '../desk.tsx';
import { pageLanguage, textsOf } from '../texts.ts';
import { type Dropped, DropZone } from './DropZone.tsx';
import './share-in.css';
import type { Brought } from './take-arrival.ts';
import { texts } from './texts.ts';
import { Waiting } from './Waiting.tsx';

const PasteIn = lazy(() => import('./PasteIn.tsx'));

/**
 * Brings in a notebook, an archive with clips, or a run sheet: by choosing a file, by dropping one, or by pasting a
 * link. Nothing is changed when it cannot be read.
 */
export function OpenFile() {
  const desk = useDesk();
  const t = textsOf(texts);
  const [said, setSaid] = createSignal<{ ok: boolean; sentence: string } | null>(null);
  const [busy, setBusy] = createSignal(false);

  const [step, setStep] = createSignal<DoorStep | null>(null);
  const door = makeDoor(setStep);
  onCleanup(door.stop);

  /** Reads, keeps and opens; null for columns, which are looked at first. */
  const bring = async (source: Blob | string): Promise<Brought | null> => {
    const language = pageLanguage();
    const arrived = await door.arrive(source, { language });
    if (!arrived.ok) return { ok: false, sentence: arrived.sentences[language] };
    const { value } = arrived;
    if (value.kind === 'columns') {
      setPasted(value.text);
      return null;
    }
    // Fetched when something comes: the first screen stands without it.
    const { beginWith, keepArrived } = await import('./take-arrival.ts');
    if (value.kind === 'plan') return beginWith(desk, value.handOut, { group: '', members: '' });
    return keepArrived(desk, door);
  };
  const open = async (source: Blob | string | undefined): Promise<void> => {
    if (source === undefined || busy()) return;
    setBusy(true);
    setSaid(null);
    const result = await bring(source);
    setSaid(result);
    if (result) desk.announce(result.sentence);
    setBusy(false);
  };
  const openDropped = async ({ blob }: Dropped): Promise<void> => {
    if (blob) return open(blob);
    const sentence = refusals.folder[pageLanguage()];
    setSaid({ ok: false, sentence });
    desk.announce(sentence);
  };
  let link!: HTMLInputElement;
  /** Columns of times and volumes, as text, to be looked at before they are taken. */
  const [pasted, setPasted] = createSignal<string | null>(null);

  return (
    <DropZone class="open-file" labelledBy="open-file" onFiles={([first]) => first && void openDropped(first)}>
      <h2 id="open-file">{t().openHeading}</h2>
      <div class="row">
        <label>
          {t().openLabel}
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
            void open(link.value);
          }}
        >
          <label>
            {t().orLink}
            <input ref={link} type="text" inputmode="url" autocomplete="off" />
          </label>
          <button type="submit" disabled={busy()}>
            {t().openLink}
          </button>
        </form>
      </div>
      <Suspense>
        <PasteIn text={pasted()} onText={setPasted} />
      </Suspense>
      <Waiting step={step()} onStop={door.stop} />
      <Show when={said()}>
        {(result) => <p classList={{ problem: !result().ok, quiet: result().ok }}>{result().sentence}</p>}
      </Show>
    </DropZone>
  );
}

export default OpenFile;
