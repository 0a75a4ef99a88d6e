import { createEffect, createSignal, lazy, onCleanup, onMount, Show, type Signal, Suspense } from 'solid-js';
import { callWords } from '../../language/call-words.ts';
import { useDesk } from '../desk.tsx';
import { preferences } from '../preferences/device.ts';
import { stateOf } from '../state-of.ts';
import { pageLanguage, textsOf } from '../texts.ts';
import './bench.css';
import { BetweenRuns } from './BetweenRuns.tsx';
import { createBenchKeys } from './bench-keys.ts';
import { type BenchNow, createBenchNow } from './bench-now.ts';
import { type BenchSession, benchSession } from './bench-session.ts';
import { Cylinder } from './Cylinder.tsx';
import { Hearing } from './Hearing.tsx';
import type { KeyState } from './keys.ts';
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
  const now = createBenchNow(bench, stateOf(desk), () => desk.journal()?.id);
  const [menu, setMenu] = createInRunMenu(() => now.run() !== null && !now.practice());
  const keys = createBenchKeys(bench, now.context, now.watching);
  // There long before the first run is started.
  onMount(() => void figures().catch(() => {}));
  return (
    <div
      class="bench"
      classList={{
        paused: now.state().paused,
        first: now.state().runs.length === 0,
        running: now.run() !== null && now.practice() === null,
      }}
      data-tone={now.tone()}
    >
      <h1 class="for-screen-readers">{t().heading}</h1>
      <Show
        when={now.practice()}
        fallback={<Cylinder run={now.shown()} setup={now.state().setup} nextMark={now.nextMark()} />}
      >
        {(going) => <RehearsalPanel practice={going()} bench={bench} />}
      </Show>
      <BesideCylinder bench={bench} now={now} typed={keys.typed()} />
      <Show when={now.run() && !now.practice()}>
        <button type="button" class="menu" aria-expanded={menu()} onClick={() => setMenu(!menu())}>
          {t().menu}
        </button>
      </Show>
      <Show when={!now.watching()}>
        <Suspense>
          <ByHand
            state={now.state()}
            run={now.run()}
            context={now.context()}
            nextMark={now.nextMark()}
            press={keys.press}
            undo={() => void bench.session.undo()}
          />
        </Suspense>
      </Show>
    </div>
  );
}

/** The figures of a run or what to do between two, what was typed and heard, and whether it hears. */
function BesideCylinder(props: { bench: BenchSession; now: BenchNow; typed: KeyState }) {
  const t = textsOf(texts);
  const { bench, now } = props;
  return (
    <div class="beside-cylinder">
      <Show when={!now.practice()}>
        <Suspense>
          <ClockDoubts small />
        </Suspense>
      </Show>
      <Show
        when={now.run()}
        fallback={
          <Show when={!now.watching()} fallback={<Watching />}>
            {/* Nothing is to be done before the microphone is open, so it comes first. */}
            <Hearing bench={bench} />
            <BetweenRuns
              label={now.context().nextRun}
              first={now.state().runs.length === 0}
              setup={now.state().setup}
              plan={now.state().plan}
            />
            <Suspense>
              <TwentyWords state={now.state()} />
            </Suspense>
          </Show>
        }
      >
        {(open) => (
          <Suspense>
            <Figures run={open()} nowMs={now.nowMs()} nextMark={now.nextMark()} live={now.live()} />
          </Suspense>
        )}
      </Show>
      <Show when={props.typed.digits || props.typed.typing !== 'reading'}>
        <p class="typed" role="status">
          {t().typing[props.typed.typing]}
          {pageLanguage() === 'de' ? props.typed.digits.replace('.', ',') : props.typed.digits}|
        </p>
      </Show>
      <LastHeard exchange={bench.view().exchange} coming={bench.view().coming} />
      <Show when={now.state().paused}>
        <p class="stand-by">{t().paused(callWords(preferences().language).goAhead)}</p>
      </Show>
      <Show when={now.run() && !now.watching()}>
        <Hearing bench={bench} />
        <Suspense>
          <TwentyWords state={now.state()} />
        </Suspense>
      </Show>
    </div>
  );
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

export default Bench;
