import { createSignal, lazy, onCleanup, onMount, Show, Suspense } from 'solid-js';
import { demoId } from '../../rehearsal/practice-kind.ts';
import { useDesk } from '../desk.tsx';
// Sets the theme of this device before anything else is seen.
import '../preferences/device.ts';
import { screenName } from '../Navigation.tsx';
import { createRoute, hrefOf } from '../route.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import { CylinderPicture } from './CylinderPicture.tsx';
import './start.css';
import { texts } from './texts.ts';

const NotebookList = lazy(() => import('./NotebookList.tsx'));
const OpenFile = lazy(() => import('../share-in/OpenFile.tsx'));

/** The first screen: what this is, a new notebook, the notebooks of this device, the demo. */
export function Start() {
  const t = textsOf(texts);
  const desk = useDesk();
  const [opening, setOpening] = createSignal(false);
  const [making, setMaking] = createSignal(false);
  const [name, setName] = createSignal(dayTitle(new Date()));
  const tooLong = () => (name().trim().length > longestName ? name().trim().length : null);
  const route = createRoute();
  let field!: HTMLInputElement;

  const begin = async (): Promise<void> => {
    if (tooLong()) field.focus();
    // A second tap while the first is being stored would make a second notebook.
    if (tooLong() || making()) return;
    setMaking(true);
    const made = await desk.create(name().trim() || dayTitle(new Date()));
    if (made) location.hash = hrefOf('bench');
    else setMaking(false);
  };

  const openDemo = async (): Promise<void> => {
    if (opening()) return;
    setOpening(true);
    const { demoNotebook } = await import('../../rehearsal/demo.ts');
    if (desk.notebooks().some((notebook) => notebook.id === demoId)) await desk.open(demoId);
    else await desk.keep(demoNotebook(Date.now(), pageLanguage()));
    setOpening(false);
    if (desk.state()) location.hash = hrefOf('rates');
  };

  const onKey = (event: KeyboardEvent): void => {
    const elsewhere = event.target instanceof HTMLElement && event.target.matches('input, textarea, select');
    if (elsewhere || event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.key === 'd' || event.key === 'D') void openDemo();
  };
  onMount(() => {
    addEventListener('keydown', onKey);
    // The Bench comes next: fetched once this screen stands, it answers the first press at once.
    const ahead = setTimeout(() => void import('../bench/Bench.tsx').catch(() => {}), 100);
    onCleanup(() => clearTimeout(ahead));
  });
  onCleanup(() => removeEventListener('keydown', onKey));

  return (
    <div class="start">
      <Show when={route().unknown}>
        <p class="problem" role="alert">
          {t().unknown}
        </p>
      </Show>
      <Show when={!route().unknown && route().screen !== 'start' && !desk.state()}>
        <p class="needs-notebook" role="status">
          {t().needsNotebook(screenName(route().screen))}
        </p>
      </Show>
      <div class="opening">
        <div>
          <h1>{t().heading}</h1>
          <p>{t().what}</p>
          <form
            class="row new-notebook"
            onSubmit={(event) => {
              event.preventDefault();
              void begin();
            }}
          >
            <label>
              {t().name}
              <input
                ref={field}
                type="text"
                value={name()}
                autocomplete="off"
                aria-invalid={tooLong() !== null}
                aria-describedby={tooLong() === null ? undefined : 'name-too-long'}
                onInput={(event) => setName(event.currentTarget.value)}
              />
            </label>
            <button type="submit" class="primary">
              {t().begin}
            </button>
            <Show when={tooLong()}>
              {(length) => (
                <p class="wrong" id="name-too-long" role="alert">
                  {t().tooLong(longestName, length())}
                </p>
              )}
            </Show>
          </form>
          <p class="row first-looks">
            <button type="button" onClick={() => void openDemo()} disabled={opening()}>
              {t().example} <span class="key-hint">{t().pressD}</span>
            </button>
            <a class="button" href={hrefOf('rehearsal')}>
              {t().rehearse}
            </a>
          </p>
        </div>
        <CylinderPicture />
      </div>
      <Show when={desk.notebooks().length > 0}>
        <Suspense>
          <NotebookList />
        </Suspense>
      </Show>
      <Suspense>
        <OpenFile />
      </Suspense>
    </div>
  );
}

/** Longest name that the notebook keeps, characters. */
const longestName = 200;

/** "25 November 2026, 10:05" as the person's own system writes it. */
function dayTitle(date: Date): string {
  return new Intl.DateTimeFormat(undefined, { dateStyle: 'long', timeStyle: 'short' }).format(date);
}
