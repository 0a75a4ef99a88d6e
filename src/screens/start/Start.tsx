import { createSignal, onCleanup, onMount, Show } from 'solid-js';
import { useDesk } from '../desk.tsx';
// Sets the theme of this device before anything else is seen.
import '../preferences/device.ts';
import { screenName } from '../Navigation.tsx';
import { createRoute, hrefOf } from '../route.ts';
import { OpenFile } from '../share-in/OpenFile.tsx';
import { CylinderPicture } from './CylinderPicture.tsx';
import { NotebookList } from './NotebookList.tsx';
import './start.css';

/** The first screen: what this is, a new notebook, the notebooks of this device, the demo. */
export function Start() {
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
    const { demoId, demoNotebook } = await import('../../rehearsal/demo.ts');
    if (desk.notebooks().some((notebook) => notebook.id === demoId)) await desk.open(demoId);
    else await desk.keep(demoNotebook(Date.now()));
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
          This page has no screen by that address. It begins here, with the notebooks.
        </p>
      </Show>
      <Show when={!route().unknown && route().screen !== 'start' && !desk.state()}>
        <p class="needs-notebook" role="status">
          {screenName(route().screen)} needs an open notebook: begin or open one here.
        </p>
      </Show>
      <div class="opening">
        <div>
          <h1>Call the readings, hands free; get the rate.</h1>
          <p>
            Say each mark as the water in the cylinder reaches it: Meniscall keeps the moment, the number and its
            doubts, and turns them into rates, orders and rate constants with honest uncertainties. Everything stays on
            this device.
          </p>
          <form
            class="row new-notebook"
            onSubmit={(event) => {
              event.preventDefault();
              void begin();
            }}
          >
            <label>
              Name of the new notebook
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
              Begin a notebook
            </button>
            <Show when={tooLong()}>
              {(length) => (
                <p class="wrong" id="name-too-long" role="alert">
                  A name has at most {longestName} characters; this one has {length()}.
                </p>
              )}
            </Show>
          </form>
          <p class="row first-looks">
            <button type="button" onClick={() => void openDemo()} disabled={opening()}>
              Look at a finished one<span class="key-hint">(press D)</span>
            </button>
            <a class="button" href={hrefOf('rehearsal')}>
              Rehearse with a simulated reaction
            </a>
          </p>
        </div>
        <CylinderPicture />
      </div>
      <Show when={desk.notebooks().length > 0}>
        <NotebookList />
      </Show>
      <OpenFile />
    </div>
  );
}

/** Longest name that the notebook keeps, characters. */
const longestName = 200;

/** "25 November 2026, 10:05" as the person's own system writes it. */
function dayTitle(date: Date): string {
  return new Intl.DateTimeFormat(undefined, { dateStyle: 'long', timeStyle: 'short' }).format(date);
}
