import { createEffect, createMemo, createSignal, onCleanup, onMount, Show } from 'solid-js';
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import type { Setup } from '../../notebook/setup.ts';
import type { NotebookState, Run } from '../../notebook/state.ts';
import { countingReadings, decimalsOf } from '../../session/marks.ts';
import { useDesk } from '../desk.tsx';
import { createLiveFigures, type ShownFigures } from '../live-figures.ts';
import { dataOf, heightOf, optionsOf, pointsOf } from './run-plot.ts';

/**
 * Volume against time of one run as its readings stand now. Readings in doubt are open circles, those struck or set
 * aside are crosses; a click on one opens its row, a drag with the mouse corrects it by whole divisions.
 */
export function RunCurve(props: { run: Run; state: NotebookState; onPick: (call: string) => void }) {
  let frame!: HTMLDivElement;
  let plot: uPlot | undefined;
  const desk = useDesk();
  const [drag, setDrag] = createSignal<{ reading: string; value: string } | null>(null);
  /** The state as it would be if the dragged reading were let go here. */
  const state = createMemo((): NotebookState => {
    const held = drag();
    if (!held) return props.state;
    const runs = props.state.runs.map((run) => (run.id === props.run.id ? withValue(run, held) : run));
    return { ...props.state, runs };
  });
  const run = createMemo(() => state().runs.find((known) => known.id === props.run.id) ?? props.run);
  const rate = createLiveFigures(state, () => props.run.id, 2);
  /** A reading that does not go with the others is passed over here; nothing is set aside by that. */
  const countText = (used: number): string => {
    const all = countingReadings(run()).length;
    return used < all ? `${used} of ${all} readings go together` : `${all} readings`;
  };
  const points = createMemo(() => pointsOf(run()));

  onMount(() => {
    plot = new uPlot(
      optionsOf(frame, points, {
        onPick: (call) => props.onPick(call),
        onDrag: (reading, volumeMl) => setDrag({ reading, value: onDivision(volumeMl, props.state.setup) }),
        onDrop: () => {
          const held = drag();
          if (!held) return;
          void desk
            .record({ kind: 'corrected', reading: held.reading, value: held.value, by: 'hand' })
            .finally(() => setDrag(null));
        },
      }),
      dataOf(points()),
      frame,
    );
    const watch = new ResizeObserver(() => plot?.setSize({ width: frame.clientWidth, height: heightOf(frame) }));
    watch.observe(frame);
    onCleanup(() => {
      watch.disconnect();
      plot?.destroy();
    });
  });
  createEffect(() => {
    const data = dataOf(points());
    plot?.setData(data);
  });

  return (
    <>
      <h2>Run {props.run.label}</h2>
      <p class="rate-now" aria-live="polite">
        <Show when={rate()} fallback="A rate needs three readings.">
          {(known) => (
            <>
              <strong>{known().text} mL/s</strong>{' '}
              <span class="quiet">
                {estimators[known().estimator]}, {countText(known().readings)}
              </span>
            </>
          )}
        </Show>
      </p>
      <div
        class="plot"
        ref={frame}
        role="img"
        aria-label={`Volume against time of run ${props.run.label}; the readings are in the list beside it.`}
      />
    </>
  );
}

/** A volume rounded to the cylinder's divisions, as it would be said. */
function onDivision(volumeMl: number, setup: Setup): string {
  const { divisionMl, capacityMl } = setup.cylinder;
  const bounded = Math.min(capacityMl, Math.max(0, volumeMl));
  return (Math.round(bounded / divisionMl) * divisionMl).toFixed(decimalsOf(String(divisionMl)));
}

const withValue = (run: Run, held: { reading: string; value: string }): Run => ({
  ...run,
  readings: run.readings.map((reading) =>
    reading.id === held.reading ? { ...reading, value: held.value, volumeMl: Number(held.value) } : reading,
  ),
});

const estimators: Readonly<Record<ShownFigures['estimator'], string>> = {
  line: 'straight line',
  quadratic: 'slope at the start of a bent curve',
  firstOrder: 'start of a first-order curve',
};

export default RunCurve;
