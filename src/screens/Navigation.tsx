import { createEffect, For, lazy, Show, Suspense } from 'solid-js';
import { useDesk } from './desk.tsx';
import { hrefOf, type Screen } from './route.ts';

const NotebookTitle = lazy(() => import('./names/NotebookTitle.tsx'));

const places: readonly { screen: Screen; label: string; needsNotebook: boolean }[] = [
  { screen: 'start', label: 'Notebooks', needsNotebook: false },
  { screen: 'run-sheet', label: 'Run sheet', needsNotebook: true },
  { screen: 'bench', label: 'Bench', needsNotebook: true },
  { screen: 'readings', label: 'Readings', needsNotebook: true },
  { screen: 'rates', label: 'Rates', needsNotebook: true },
  { screen: 'report', label: 'Report', needsNotebook: true },
  { screen: 'class', label: 'Class', needsNotebook: false },
  { screen: 'help', label: 'Help', needsNotebook: false },
];

/** The screen in a word, for the window's title. */
export const screenName = (screen: Screen): string =>
  places.find((place) => place.screen === screen)?.label ?? otherNames[screen] ?? 'Rehearsal';

const otherNames: Partial<Record<Screen, string>> = { open: 'Open a link', voice: 'Say these words' };

export function Navigation(props: { screen: Screen }) {
  const desk = useDesk();
  let nav!: HTMLElement;
  // On a phone the strip of screens is wider than the page: bring the current one to the eye.
  createEffect(() => {
    const current = nav.querySelector<HTMLElement>(`a[href="${hrefOf(props.screen)}"]`);
    if (current) nav.scrollLeft = current.offsetLeft - (nav.clientWidth - current.offsetWidth) / 2;
  });
  return (
    <header class="masthead">
      <p class="wordmark">
        Menis<span>call</span>
      </p>
      <Show when={desk.state()}>
        <Suspense>
          <NotebookTitle />
        </Suspense>
      </Show>
      <nav ref={nav} aria-label="Screens">
        <ul>
          <For each={places.filter((place) => !place.needsNotebook || desk.state())}>
            {(place) => (
              <li>
                <a href={hrefOf(place.screen)} aria-current={props.screen === place.screen ? 'page' : undefined}>
                  {place.label}
                </a>
              </li>
            )}
          </For>
        </ul>
      </nav>
    </header>
  );
}
