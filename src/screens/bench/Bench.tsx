import { createEffect, createMemo, createSignal, onCleanup, onMount, Show } from 'solid-js';
import type { Meaning } from '../../notebook/meaning.ts';
import { liveRate } from '../../session/live.ts';
import { markText, nextMarkMl, openRunOf } from '../../session/marks.ts';
import { useDesk } from '../desk.tsx';
import './bench.css';
import { ByHand } from './ByHand.tsx';
import { benchSession } from './bench-session.ts';
import { Cautions } from './Cautions.tsx';
import { Cylinder } from './Cylinder.tsx';
import { Figures } from './Figures.tsx';
import { Hearing } from './Hearing.tsx';
import { type KeyContext, noKeys, pressKey } from './keys.ts';
import { LastHeard } from './LastHeard.tsx';

/** The bench: seen from two metres with one eye, worked without touching. */
export function Bench() {
  const desk = useDesk();
  const bench = benchSession(desk);
  const state = () => desk.state()!;
  const run = createMemo(() => openRunOf(state()));
  /** The run on show: the open one, else the last. */
  const shown = createMemo(() => run() ?? state().runs.at(-1) ?? null);
  const nextMark = createMemo(() => {
    const open = run();
    const ml = open && nextMarkMl(open, state().setup);
    return ml === null ? null : { ml, text: markText(ml, state().setup) };
  });
  const live = createMemo(() => {
    const open = run();
    return open && liveRate(open, state().setup);
  });

  const [now, setNow] = createSignal(bench.now());
  const tick = setInterval(() => setNow(bench.now()), 250);
  onCleanup(() => clearInterval(tick));
  // A new reading counts from its own moment, not from the next tick.
  createEffect(() => {
    state();
    setNow(bench.now());
  });

  const context = createMemo((): KeyContext => {
    const swirl = run()?.timed.findLast(
      (event) => event.kind === 'happened' && (event.what === 'swirling' || event.what === 'swirl-stopped'),
    );
    return {
      nextRun: nextLabel(state().runs.map((known) => known.label)),
      paused: state().paused,
      swirling: swirl?.kind === 'happened' && swirl.what === 'swirling',
    };
  });

  const [keys, setKeys] = createSignal(noKeys);
  const press = (meaning: Meaning, atMs = performance.now()): void => void bench.session.press(meaning, atMs);
  const onKey = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.altKey || event.metaKey || isTyping(event.target)) return;
    if (isPressable(event.target) && (event.key === ' ' || event.key === 'Enter')) return;
    const outcome = pressKey(event.key, event.timeStamp, keys(), context());
    if (!outcome) return;
    event.preventDefault();
    if (event.repeat) return;
    setKeys(outcome.state);
    if (outcome.meaning) press(outcome.meaning, outcome.atMs);
    if (outcome.undo) void bench.session.undo();
  };
  onMount(() => addEventListener('keydown', onKey));
  onCleanup(() => removeEventListener('keydown', onKey));

  return (
    <div class="bench" classList={{ paused: state().paused, first: state().runs.length === 0 }}>
      <h1 class="for-screen-readers">Bench</h1>
      <Cylinder run={shown()} setup={state().setup} nextMark={nextMark()} />
      <div class="beside-cylinder">
        <Show when={run()} fallback={<BetweenRuns label={context().nextRun} first={state().runs.length === 0} />}>
          {(open) => <Figures run={open()} setup={state().setup} nowMs={now()} nextMark={nextMark()} live={live()} />}
        </Show>
        <Show when={keys().digits || keys().typing !== 'reading'}>
          <p class="typed" role="status">
            {keys().typing === 'reading' ? '' : `${keys().typing} `}
            {keys().digits}▏
          </p>
        </Show>
        <LastHeard exchange={bench.view().exchange} coming={bench.view().coming} />
        <Show when={state().paused}>
          <p class="stand-by">Standing by. Say “go ahead”.</p>
        </Show>
        <Hearing bench={bench} />
        <ByHand
          state={state()}
          run={run()}
          keys={keys()}
          context={context()}
          nextMark={nextMark()}
          press={press}
          undo={() => void bench.session.undo()}
        />
      </div>
    </div>
  );
}

function BetweenRuns(props: { label: string; first: boolean }) {
  return (
    <div class="between">
      <Show when={props.first}>
        <Cautions />
      </Show>
      <p class="say">
        <Show when={props.first}>
          Say <strong>“baseline”</strong> and the cylinder’s reading before you mix. Then mix, and say{' '}
        </Show>
        <Show when={!props.first}>Mix, then say </Show>
        <strong>“start run {props.label}”</strong>. Swirl until it drips steadily; then call each mark as the water
        reaches it.
      </p>
    </div>
  );
}

/** "1", "2", … : one more than the highest number among the labels. */
function nextLabel(labels: readonly string[]): string {
  const numbers = labels.map((label) => Number.parseInt(label, 10)).filter((number) => Number.isFinite(number));
  return String(Math.max(0, ...numbers) + 1);
}

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement &&
  (target.isContentEditable ||
    target instanceof HTMLTextAreaElement ||
    target instanceof HTMLSelectElement ||
    (target instanceof HTMLInputElement && target.type !== 'checkbox' && target.type !== 'radio'));

const isPressable = (target: EventTarget | null): boolean =>
  target instanceof Element && target.closest('button, a, summary, input') !== null;

export default Bench;
