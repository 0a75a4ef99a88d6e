import { createEffect, ErrorBoundary, lazy, on, Show, Suspense } from 'solid-js';
import { Dynamic } from 'solid-js/web';
import { createDesk, DeskProvider } from './desk.tsx';
import { deskTexts } from './desk-texts.ts';
import { Navigation, screenName } from './Navigation.tsx';
import { OneMoment } from './OneMoment.tsx';
import { Problem } from './Problem.tsx';
import { createRoute, type Screen } from './route.ts';
import { Start } from './start/Start.tsx';
import { textsOf } from './texts.ts';
import { createUpdates } from './updates.ts';

const FiguresMoved = lazy(() => import('./moved/FiguresMoved.tsx'));
const PracticeBand = lazy(() => import('./practice/PracticeBand.tsx'));

/** Not in the first load, and fetched soon after it: when they are needed there may be no network. */
const Unsaved = lazy(() => import('./Unsaved.tsx'));
const Late = lazy(() => import('./Late.tsx'));
setTimeout(() => {
  for (const part of [Unsaved, Late]) void part.preload().catch(() => {});
}, 1000);

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
  const t = textsOf(deskTexts);
  const desk = createDesk();
  const route = createRoute();
  const updates = createUpdates();
  /** The notebook that the screen shows is being opened: Start, which comes where there is none, is not to flash by. */
  const waits = (): boolean => needsNotebook.has(route().screen) && !desk.state() && desk.opening();
  const screen = (): Screen => {
    const wanted = route().screen;
    return needsNotebook.has(wanted) && !desk.state() && !waits() ? 'start' : wanted;
  };
  // Fetched while the notebook is being opened.
  if (waits()) void screenOf[route().screen].preload().catch(() => {});
  createEffect(() => {
    document.documentElement.dataset.screen = screen();
    const title = desk.state()?.title;
    document.title = [screenName(screen()), ...(title ? [title] : []), 'Meniscall'].join(' · ');
  });
  // What was pressed to come here may be gone with its screen: move focus to the main content.
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
        {t().skip}
      </a>
      <Navigation screen={screen()} />
      <Show when={desk.practice()}>
        {(kind) => (
          <Suspense>
            <PracticeBand kind={kind()} />
          </Suspense>
        )}
      </Show>
      <Show when={desk.problem()}>
        {(sentence) => <Problem sentence={sentence()} onDismiss={desk.dismissProblem} />}
      </Show>
      <Show when={desk.unsaved()}>
        <Suspense>
          <Unsaved />
        </Suspense>
      </Show>
      <Show when={desk.late()}>
        <Suspense>
          <Late />
        </Suspense>
      </Show>
      <Show when={desk.elsewhere()}>
        <div class="problem" role="alert">
          <p>{t().elsewhere}</p>
          <button type="button" onClick={() => void desk.takeOver()}>
            {t().takeOver}
          </button>
        </div>
      </Show>
      <Show when={updates.waiting() && !desk.state()?.openRun}>
        <p class="update no-print" role="status">
          {t().newVersion}{' '}
          <button type="button" onClick={updates.change}>
            {t().changeNow}
          </button>
        </p>
      </Show>
      <Show when={desk.state()?.runs.some(({ endedMs }) => endedMs !== null)}>
        <Suspense>
          <FiguresMoved />
        </Suspense>
      </Show>
      <main id="main" tabindex="-1" ref={main}>
        <ErrorBoundary
          fallback={(error, reset) => {
            // Another screen may well work: going there leaves the failed one behind.
            createEffect(on(screen, reset, { defer: true }));
            return (
              <Problem sentence={failureSentence(t(), error)} way={t().loadAgain} onDismiss={() => location.reload()} />
            );
          }}
        >
          <Suspense fallback={<OneMoment />}>
            <Show when={!waits()} fallback={<p class="quiet">{t().oneMoment}</p>}>
              <Dynamic component={screenOf[screen()]} />
            </Show>
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
function failureSentence(t: (typeof deskTexts)['en'], error: unknown): string {
  const told = error instanceof Error ? error.message : String(error);
  return /import|module|fetch|load/i.test(told) ? t.notLoaded : t.failed(told);
}
