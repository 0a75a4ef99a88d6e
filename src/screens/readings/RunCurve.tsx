import { createEffect, createMemo, onCleanup, onMount, Show } from 'solid-js';
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import type { NotebookState, Run } from '../../notebook/state.ts';
import { countingReadings } from '../../session/marks.ts';
import { createLiveFigures, type ShownFigures } from '../live-figures.ts';
import { dataOf, heightOf, optionsOf, pointsOf } from './run-plot.ts';

/**
 * Volume against time of one run as its readings stand now. Readings in doubt are open circles, those struck or set
 * aside are crosses; a click on one opens its row.
 */
export function RunCurve(props: { run: Run; state: NotebookState; onPick: (call: string) => void }) {
  let frame!: HTMLDivElement;
  let plot: uPlot | undefined;
  const rate = createLiveFigures(
    () => props.state,
    () => props.run.id,
    2,
  );
  /** A reading that does not go with the others is passed over here; nothing is set aside by that. */
  const countText = (used: number): string => {
    const all = countingReadings(props.run).length;
    return used < all ? `${used} of ${all} readings go together` : `${all} readings`;
  };
  const points = createMemo(() => pointsOf(props.run));

  onMount(() => {
    plot = new uPlot(
      optionsOf(frame, points, (call) => props.onPick(call)),
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

const estimators: Readonly<Record<ShownFigures['estimator'], string>> = {
  line: 'straight line',
  quadratic: 'slope at the start of a bent curve',
  firstOrder: 'start of a first-order curve',
};

export default RunCurve;
