import { createSignal, onCleanup, onMount, Show } from 'solid-js';
import { useDesk } from '../desk.tsx';
// Sets the theme of this device before anything else is seen.
import '../preferences/device.ts';
import { hrefOf } from '../route.ts';
import { OpenFile } from '../share-in/OpenFile.tsx';
import { NotebookList } from './NotebookList.tsx';
import './start.css';

/** The first screen: what this is, a new notebook, the notebooks of this device, the demo. */
export function Start() {
  const desk = useDesk();
  const [opening, setOpening] = createSignal(false);
  let title!: HTMLInputElement;

  const openDemo = async (): Promise<void> => {
    if (opening()) return;
    setOpening(true);
    const { demoId, demoNotebook } = await import('../../notebook/demo.ts');
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
  onMount(() => addEventListener('keydown', onKey));
  onCleanup(() => removeEventListener('keydown', onKey));

  return (
    <div class="start">
      <h1>Call the readings, hands free; get the rate.</h1>
      <p>
        Say each mark as the water in the cylinder reaches it: Meniscall keeps the moment, the number and its doubts,
        and turns them into rates, orders and rate constants with honest uncertainties. Everything stays on this device.
      </p>
      <form
        class="row new-notebook"
        onSubmit={async (event) => {
          event.preventDefault();
          if (await desk.create(title.value.trim() || dayTitle(new Date()))) location.hash = hrefOf('bench');
        }}
      >
        <label>
          Name of the new notebook
          <input ref={title} type="text" maxlength="200" value={dayTitle(new Date())} autocomplete="off" />
        </label>
        <button type="submit" class="primary">
          Begin a notebook
        </button>
        <button type="button" onClick={() => void openDemo()} disabled={opening()}>
          Look at a finished one (press D)
        </button>
        <a class="button" href={hrefOf('rehearsal')}>
          Rehearse with a simulated reaction
        </a>
      </form>
      <Show when={desk.notebooks().length > 0}>
        <NotebookList />
      </Show>
      <OpenFile />
    </div>
  );
}

/** "25 November 2026, 10:05" as the person's own system writes it. */
function dayTitle(date: Date): string {
  return new Intl.DateTimeFormat(undefined, { dateStyle: 'long', timeStyle: 'short' }).format(date);
}
