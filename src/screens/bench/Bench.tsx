import { createEffect, createMemo, createSignal, lazy, onCleanup, onMount, Show, Suspense } from 'solid-js';
import { markText, nextMarkMl } from '../../bench/marks.ts';
import type { Meaning } from '../../log/meaning.ts';
import { nextRunLabel, openRunOf } from '../../log/runs.ts';
import { useDesk } from '../desk.tsx';
import { createLiveFigures } from '../live-figures.ts';
import { preferences } from '../preferences/device.ts';
import { currentPractice } from '../rehearsal/current.ts';
import { stateOf } from '../state-of.ts';
import { textsOf } from '../texts.ts';
import './bench.css';
import { BetweenRuns } from './BetweenRuns.tsx';
import { benchSession } from './bench-session.ts';
import { Cylinder } from './Cylinder.tsx';
import { Hearing } from './Hearing.tsx';
import { type KeyContext, noKeys, pressKey } from './keys.ts';
import { LastHeard } from './LastHeard.tsx';
import { callWords, texts } from './texts.ts';

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

  const [now, setNow] = createSignal(bench.now());
  const tick = setInterval(() => setNow(bench.now()), 250);
  onCleanup(() => clearInterval(tick));
  // A new reading counts from its own moment, not from the next tick.
  createEffect(() => {
    state();
    setNow(bench.now());
  });

  /** In a run the screens' menu goes, to give its room to the numbers; a button brings it back. */
  const [menu, setMenu] = createSignal(false);
  createEffect(() => {
    const root = document.documentElement;
    if (run() && !practice() && !menu()) root.dataset.inRun = '';
    else delete root.dataset.inRun;
  });
  onCleanup(() => delete document.documentElement.dataset.inRun);
  const exchange = () => bench.view().exchange;
  const fresh = () => now() - (exchange()?.atMs ?? Number.NEGATIVE_INFINITY) < takenShownMs;
  /** What the whole screen tells by colour and shape: a doubt until something else is said, the good news for a moment. */
  const screenTone = () => {
    const tone = exchange()?.tone;
    if (!run() || (tone === 'taken' && !fresh())) return undefined;
    return tone;
  };

  const context = createMemo((): KeyContext => {
    const swirl = run()?.timed.findLast(
      (event) => event.kind === 'happened' && (event.what === 'swirling' || event.what === 'swirl-stopped'),
    );
    return {
      nextRun: nextRunLabel(state()),
      paused: state().paused,
      swirling: swirl?.kind === 'happened' && swirl.what === 'swirling',
    };
  });

  const [keys, setKeys] = createSignal(noKeys);
  const press = (meaning: Meaning, atMs = performance.now()): void => void bench.session.press(meaning, atMs);
  const onKey = (event: KeyboardEvent): void => {
    if (watching() || event.ctrlKey || event.altKey || event.metaKey || isTyping(event.target)) return;
    // After a click on the menu the focus is still there: Enter ends the number that was typed, and follows no link.
    const endsNumber = event.key === 'Enter' && keys().digits !== '';
    if (isPressable(event.target) && !endsNumber && (event.key === ' ' || event.key === 'Enter')) return;
    const outcome = pressKey(event.key, event.timeStamp, keys(), context());
    if (!outcome) return;
    event.preventDefault();
    if (event.repeat) return;
    setKeys(outcome.state);
    if (outcome.meaning) press(outcome.meaning, outcome.atMs);
    const { refused } = outcome;
    if (refused) {
      const text = 'tooLong' in refused ? t().longest(refused.tooLong) : t().noNumber[refused.noNumberFor];
      bench.session.tell({ tone: 'unresolved', text });
    }
    if (outcome.undo) void bench.session.undo();
  };
  onMount(() => {
    addEventListener('keydown', onKey);
    // There long before the first run is started.
    void figures().catch(() => {});
  });
  onCleanup(() => removeEventListener('keydown', onKey));

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
        <Show when={keys().digits || keys().typing !== 'reading'}>
          <p class="typed" role="status">
            {t().typing[keys().typing]}
            {keys().digits}|
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
            press={press}
            undo={() => void bench.session.undo()}
          />
        </Suspense>
      </Show>
    </div>
  );
}

/** How long the whole screen shows that a reading was taken, ms. */
const takenShownMs = 1200;

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement &&
  (target.isContentEditable ||
    target instanceof HTMLTextAreaElement ||
    target instanceof HTMLSelectElement ||
    (target instanceof HTMLInputElement && target.type !== 'checkbox' && target.type !== 'radio'));

const isPressable = (target: EventTarget | null): boolean =>
  target instanceof Element && target.closest('button, a, summary, input') !== null;

export default Bench;
