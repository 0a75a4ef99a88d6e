import { type Accessor, createEffect, createMemo, createSignal, onCleanup } from 'solid-js';
import type { Tone } from '../../bench/act.ts';
import { markText, nextMarkMl } from '../../bench/marks.ts';
import { nextRunLabel, openRunOf } from '../../log/runs.ts';
import type { NotebookState, Run } from '../../log/state.ts';
import { createLiveFigures, type ShownFigures } from '../live-figures.ts';
import { currentPractice } from '../rehearsal/current.ts';
import type { BenchSession } from './bench-session.ts';
import type { KeyContext } from './keys.ts';

/** What the Bench shows at this moment. */
export interface BenchNow {
  readonly state: Accessor<NotebookState>;
  /** The open run. */
  readonly run: Accessor<Run | null>;
  /** The run on show: the open one, else the last. */
  readonly shown: Accessor<Run | null>;
  readonly nextMark: Accessor<{ readonly ml: number; readonly text: string } | null>;
  readonly live: Accessor<ShownFigures | null>;
  /** A rehearsal shows its simulated cylinder where the log's cylinder stands. */
  readonly practice: Accessor<ReturnType<typeof currentPractice>>;
  /** In a rehearsal that is shown, the simulated caller alone records. */
  readonly watching: Accessor<boolean>;
  /** Notebook time, ms. */
  readonly nowMs: Accessor<number>;
  /** What the whole screen tells by colour and shape: a doubt until something else is said, the good news for a moment. */
  readonly tone: Accessor<Tone | undefined>;
  readonly context: Accessor<KeyContext>;
}

/** How long the whole screen shows that a reading was taken, ms. */
const takenShownMs = 1200;

/** @param notebook id of the notebook at the desk */
export function createBenchNow(
  bench: BenchSession,
  state: Accessor<NotebookState>,
  notebook: () => string | undefined,
): BenchNow {
  const run = createMemo(() => openRunOf(state()));
  const nextMark = createMemo(() => {
    const open = run();
    const ml = open && nextMarkMl(open, state().setup, state().calls);
    return ml === null ? null : { ml, text: markText(ml, state().setup) };
  });
  const practice = createMemo(() => {
    const going = currentPractice();
    return going && going.notebook === notebook() ? going : null;
  });
  const nowMs = createNow(bench, state);
  return {
    state,
    run,
    shown: createMemo(() => run() ?? state().runs.at(-1) ?? null),
    nextMark,
    live: createLiveFigures(state, () => run()?.id ?? null, 1),
    practice,
    watching: () => practice()?.caller === 'self',
    nowMs,
    tone: () => {
      const exchange = bench.view().exchange;
      const isFresh = nowMs() - (exchange?.atMs ?? Number.NEGATIVE_INFINITY) < takenShownMs;
      return !run() || (exchange?.tone === 'taken' && !isFresh) ? undefined : exchange?.tone;
    },
    context: createMemo(() => keyContextOf(state(), run())),
  };
}

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
