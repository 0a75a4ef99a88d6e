import { createEffect, createMemo, For, lazy, on, onCleanup, Show, Suspense } from 'solid-js';
import { useDesk } from './desk.tsx';
import { placeNames } from './place-names.ts';
import { hrefOf, type Screen } from './route.ts';
import { textsOf } from './texts.ts';

const NotebookTitle = lazy(() => import('./names/NotebookTitle.tsx'));

const places: readonly { screen: Screen; needsNotebook: boolean }[] = [
  { screen: 'start', needsNotebook: false },
  { screen: 'run-sheet', needsNotebook: true },
  { screen: 'bench', needsNotebook: true },
  { screen: 'readings', needsNotebook: true },
  { screen: 'rates', needsNotebook: true },
  { screen: 'report', needsNotebook: true },
  { screen: 'class', needsNotebook: false },
  { screen: 'help', needsNotebook: false },
];

const names = textsOf(placeNames);

/** The screen in a word, for the window's title. */
export const screenName = (screen: Screen): string => names()[screen];

export function Navigation(props: { screen: Screen }) {
  const desk = useDesk();
  let nav!: HTMLElement;
  const longer = createMemo(() => desk.state() !== null);
  /** On a phone the strip of screens is wider than the page: brings the current one to the eye. */
  const bring = (): void => {
    const current = nav.querySelector<HTMLElement>(`a[href="${hrefOf(props.screen)}"]`);
    if (current) nav.scrollLeft = current.offsetLeft - (nav.clientWidth - current.offsetWidth) / 2;
  };
  createEffect(
    on([() => props.screen, longer], () => {
      // With the frame, which measures the page anyway.
      const frame = requestAnimationFrame(bring);
      onCleanup(() => cancelAnimationFrame(frame));
    }),
  );
  // A phone that is turned.
  addEventListener('resize', bring);
  onCleanup(() => removeEventListener('resize', bring));
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
      <nav ref={nav} aria-label={names().menu}>
        <ul>
          <For each={places.filter((place) => !place.needsNotebook || desk.state())}>
            {(place) => (
              <li>
                <a href={hrefOf(place.screen)} aria-current={props.screen === place.screen ? 'page' : undefined}>
                  {names()[place.screen]}
                </a>
              </li>
            )}
          </For>
        </ul>
      </nav>
    </header>
  );
}
