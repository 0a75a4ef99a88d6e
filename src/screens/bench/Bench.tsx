import {
  type Accessor,
  createEffect,
  createMemo,
  createSignal,
  lazy,
  onCleanup,
  onMount,
  Show,
  type Signal,
  Suspense,
} from 'solid-js';
import { markText, nextMarkMl } from '../../bench/marks.ts';
import { callWords } from '../../language/call-words.ts';
import { nextRunLabel, openRunOf } from '../../log/runs.ts';
import type { NotebookState, Run } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import { createLiveFigures } from '../live-figures.ts';
import { preferences } from '../preferences/device.ts';
import { currentPractice } from '../rehearsal/current.ts';
import { stateOf } from '../state-of.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import './bench.css';
import { BetweenRuns } from './BetweenRuns.tsx';
import { createBenchKeys } from './bench-keys.ts';
import { type BenchSession, benchSession } from './bench-session.ts';
import { Cylinder } from './Cylinder.tsx';
import { Hearing } from './Hearing.tsx';
import type { KeyContext } from './keys.ts';
import { LastHeard } from './LastHeard.tsx';
import { texts } from './texts.ts';

const RehearsalPanel = lazy(() => import('../rehearsal/RehearsalPanel.tsx'));

const LookOnly = lazy(() => import('../practice/LookOnly.tsx'));
const Watching = lazy(() => import('../practice/Watching.tsx'));
const ClockDoubts = lazy(async () => ({ default: (await import('../clock/ClockDoubts.tsx')).ClockDoubts }));
const figures = () => import('./Figures.tsx');
const Figures = lazy(figures);
const TwentyWords = lazy(async () => ({ default: (await import('../voice/TwentyWords.tsx')).TwentyWords }));
const ByHand = lazy(() => import('./ByHand.tsx'));

/** The bench: seen from two metres with one eye, worked without touching. In the example there is only the look of it. */
export function Bench() {
  const desk = useDesk();
  return (
    <Show when={desk.takesReadings()} fallback={<LookOnly />}>
      <WorkingBench />
    </Show>
  );
}

function WorkingBench() {
  const t = textsOf(texts);
  const desk = useDesk();
  const bench = benchSession(desk);
  const state = stateOf(desk);
  const run = createMemo(() => openRunOf(state()));
  /** The run on show: the open one, else the last. */
  const shown = createMemo(() => run() ?? state().runs.at(-1) ?? null);
  const nextMark = createMemo(() => {
    const open = run();
    const ml = open && nextMarkMl(open, state().setup, state().calls);
    return ml === null ? null : { ml, text: markText(ml, state().setup) };
  });
  const live = createLiveFigures(state, () => run()?.id ?? null, 1);

  /** A rehearsal shows its simulated cylinder where the log's cylinder stands. */
  const practice = createMemo(() => {
    const going = currentPractice();
    return going && going.notebook === desk.journal()?.id ? going : null;
  });

  /** In a rehearsal that is shown, the simulated caller alone records. */
  const watching = () => practice()?.caller === 'self';

  const now = createNow(bench, state);
  const [menu, setMenu] = createInRunMenu(() => run() !== null && !practice());
  const exchange = () => bench.view().exchange;
  const fresh = () => now() - (exchange()?.atMs ?? Number.NEGATIVE_INFINITY) < takenShownMs;
  /** What the whole screen tells by colour and shape: a doubt until something else is said, the good news for a moment. */
  const screenTone = () => {
    const tone = exchange()?.tone;
    if (!run() || (tone === 'taken' && !fresh())) return undefined;
    return tone;
  };

  const context = createMemo(() => keyContextOf(state(), run()));
  const keys = createBenchKeys(bench, context, watching);
  // There long before the first run is started.
  onMount(() => void figures().catch(() => {}));

  return (
    <div
      class="bench"
      classList={{
        paused: state().paused,
        first: state().runs.length === 0,
        running: run() !== null && practice() === null,
      }}
      data-tone={screenTone()}
    >
      <h1 class="for-screen-readers">{t().heading}</h1>
      <Show when={practice()} fallback={<Cylinder run={shown()} setup={state().setup} nextMark={nextMark()} />}>
        {(going) => <RehearsalPanel practice={going()} bench={bench} />}
      </Show>
      <div class="beside-cylinder">
        <Show when={!practice()}>
          <Suspense>
            <ClockDoubts small />
          </Suspense>
        </Show>
        <Show
          when={run()}
          fallback={
            <Show when={!watching()} fallback={<Watching />}>
              {/* Nothing is to be done before the microphone is open, so it comes first. */}
              <Hearing bench={bench} />
              <BetweenRuns
                label={context().nextRun}
                first={state().runs.length === 0}
                setup={state().setup}
                plan={state().plan}
              />
              <Suspense>
                <TwentyWords state={state()} />
              </Suspense>
            </Show>
          }
        >
          {(open) => (
            <Suspense>
              <Figures run={open()} nowMs={now()} nextMark={nextMark()} live={live()} />
            </Suspense>
          )}
        </Show>
        <Show when={keys.typed().digits || keys.typed().typing !== 'reading'}>
          <p class="typed" role="status">
            {t().typing[keys.typed().typing]}
            {pageLanguage() === 'de' ? keys.typed().digits.replace('.', ',') : keys.typed().digits}|
          </p>
        </Show>
        <LastHeard exchange={bench.view().exchange} coming={bench.view().coming} />
        <Show when={state().paused}>
          <p class="stand-by">{t().paused(callWords(preferences().language).goAhead)}</p>
        </Show>
        <Show when={run() && !watching()}>
          <Hearing bench={bench} />
          <Suspense>
            <TwentyWords state={state()} />
          </Suspense>
        </Show>
      </div>
      <Show when={run() && !practice()}>
        <button type="button" class="menu" aria-expanded={menu()} onClick={() => setMenu(!menu())}>
          {t().menu}
        </button>
      </Show>
      <Show when={!watching()}>
        <Suspense>
          <ByHand
            state={state()}
            run={run()}
            context={context()}
            nextMark={nextMark()}
            press={keys.press}
            undo={() => void bench.session.undo()}
          />
        </Suspense>
      </Show>
    </div>
  );
}

/** How long the whole screen shows that a reading was taken, ms. */
const takenShownMs = 1200;

/** Notebook time now, ms, four times a second; a new reading counts from its own moment, not from the next tick. */
function createNow(bench: BenchSession, state: Accessor<NotebookState>): Accessor<number> {
  const [now, setNow] = createSignal(bench.now());
  const tick = setInterval(() => setNow(bench.now()), 250);
  onCleanup(() => clearInterval(tick));
  createEffect(() => {
    state();
    setNow(bench.now());
  });
  return now;
}

/** In a run the screens' menu goes, to give its room to the numbers; a button brings it back. */
function createInRunMenu(hides: () => boolean): Signal<boolean> {
  const [menu, setMenu] = createSignal(false);
  createEffect(() => {
    const root = document.documentElement;
    if (hides() && !menu()) root.dataset.inRun = '';
    else delete root.dataset.inRun;
  });
  onCleanup(() => delete document.documentElement.dataset.inRun);
  return [menu, setMenu];
}

function keyContextOf(state: NotebookState, run: Run | null): KeyContext {
  const swirl = run?.timed.findLast(
    (event) => event.kind === 'happened' && (event.what === 'swirling' || event.what === 'swirl-stopped'),
  );
  return {
    nextRun: nextRunLabel(state),
    paused: state.paused,
    swirling: swirl?.kind === 'happened' && swirl.what === 'swirling',
  };
}

export default Bench;
