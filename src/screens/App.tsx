import { createEffect, ErrorBoundary, lazy, on, Show, Suspense } from 'solid-js';
import { Dynamic } from 'solid-js/web';
import { createDesk, DeskProvider } from './desk.tsx';
import { Navigation, screenName } from './Navigation.tsx';
import { Problem } from './Problem.tsx';
import { createRoute, type Screen } from './route.ts';
import { Start } from './start/Start.tsx';
import { Unsaved } from './Unsaved.tsx';
import { createUpdates } from './updates.ts';

const screenOf: Record<Screen, ReturnType<typeof lazy>> = {
  start: lazy(async () => ({ default: Start })),
  'run-sheet': lazy(() => import('./run-sheet/RunSheet.tsx')),
  bench: lazy(() => import('./bench/Bench.tsx')),
  readings: lazy(() => import('./readings/Readings.tsx')),
  rates: lazy(() => import('./rates/Rates.tsx')),
  report: lazy(() => import('./report/Report.tsx')),
  class: lazy(() => import('./class/Class.tsx')),
  open: lazy(() => import('./share-in/OpenLink.tsx')),
  rehearsal: lazy(() => import('./rehearsal/Rehearsal.tsx')),
  voice: lazy(() => import('./voice/Voice.tsx')),
  help: lazy(() => import('./help/Help.tsx')),
};

const needsNotebook: ReadonlySet<Screen> = new Set(['run-sheet', 'bench', 'readings', 'rates', 'report']);

export function App() {
  let main!: HTMLElement;
  const desk = createDesk();
  const route = createRoute();
  const updates = createUpdates();
  const screen = (): Screen => {
    const wanted = route().screen;
    return needsNotebook.has(wanted) && !desk.state() ? 'start' : wanted;
  };
  createEffect(() => {
    document.documentElement.dataset.screen = screen();
    const title = desk.state()?.title;
    document.title = [screenName(screen()), ...(title ? [title] : []), 'Meniscall'].join(' · ');
  });
  // What was pressed to come here may be gone with its screen: who goes by keys or by ear goes on from the content.
  createEffect(
    on(
      screen,
      () => setTimeout(() => document.activeElement === document.body && main.focus({ preventScroll: true }), 50),
      { defer: true },
    ),
  );
  return (
    <DeskProvider desk={desk}>
      <a class="skip" href="#main">
        Skip to the content
      </a>
      <Navigation screen={screen()} />
      <Show when={desk.problem()}>
        {(sentence) => <Problem sentence={sentence()} onDismiss={desk.dismissProblem} />}
      </Show>
      <Unsaved />
      <Show when={desk.elsewhere()}>
        <div class="problem" role="alert">
          <p>This notebook is open in another window. Only one window can add to it; nothing is lost there.</p>
          <button type="button" onClick={() => void desk.takeOver()}>
            Go on in this window
          </button>
        </div>
      </Show>
      <Show when={updates.waiting() && !desk.state()?.openRun}>
        <p class="update no-print" role="status">
          A newer version of Meniscall is stored on this device.{' '}
          <button type="button" onClick={updates.change}>
            Change to it now
          </button>
        </p>
      </Show>
      <main id="main" tabindex="-1" ref={main}>
        <ErrorBoundary
          fallback={(error, reset) => {
            // Another screen may well work: going there leaves the failed one behind.
            createEffect(on(screen, reset, { defer: true }));
            return (
              <Problem
                sentence={failureSentence(error)}
                way="Load the page again"
                onDismiss={() => location.reload()}
              />
            );
          }}
        >
          <Suspense fallback={<p class="quiet">One moment.</p>}>
            <Dynamic component={screenOf[screen()]} />
          </Suspense>
        </ErrorBoundary>
      </main>
      <p class="for-screen-readers" role="status" aria-live="polite">
        {desk.announcement()}
      </p>
    </DeskProvider>
  );
}

/** Chunks that cannot be fetched are the usual case: no network, or the app was replaced on its host. */
function failureSentence(error: unknown): string {
  const told = error instanceof Error ? error.message : String(error);
  return /import|module|fetch|load/i.test(told)
    ? 'This screen could not be loaded: there may be no network. Nothing recorded is lost.'
    : `This screen failed (${told}). Nothing recorded is lost; the other screens go on.`;
}
