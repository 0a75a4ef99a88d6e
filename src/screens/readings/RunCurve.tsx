import { createEffect, createMemo, onCleanup, onMount } from 'solid-js';
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import type { RunAnalysis } from '../../analysis/analyse-run.ts';
import type { Refused } from '../../analysis/run-data.ts';
import { decimalsOf } from '../../log/runs.ts';
import type { Setup } from '../../log/setup.ts';
import type { Run } from '../../log/state.ts';
import { useDesk } from '../desk.tsx';
import type { Held } from './held.ts';
import { RunDoubt, RunRate } from './RunRate.tsx';
import { watchTheme } from './resolved-colour.ts';
import { dataOf, heightOf, optionsOf, pointsOf } from './run-plot.ts';
import { readingsTexts as t } from './texts.ts';

/**
 * Volume against time of one run as its readings stand now. Readings in doubt are open circles, those struck or set
 * aside are crosses; a click on one opens its row, a drag with the mouse corrects it by whole divisions.
 */
export function RunCurve(props: {
  /** As it would be if what is held were let go. */
  run: Run;
  setup: Setup;
  /** What Rates has of it. */
  result: RunAnalysis | Refused | null;
  held: Held | null;
  onHold: (held: Held | null) => void;
  onPick: (call: string) => void;
}) {
  let frame!: HTMLDivElement;
  let plot: uPlot | undefined;
  const desk = useDesk();
  const points = createMemo(() => pointsOf(props.run));

  onMount(() => {
    plot = new uPlot(
      optionsOf(frame, points, {
        onPick: (call) => props.onPick(call),
        onDrag: (reading, volumeMl) => props.onHold({ reading, value: onDivision(volumeMl, props.setup) }),
        onDrop: () => {
          const { held } = props;
          if (!held) return;
          void desk
            .record({ kind: 'corrected', reading: held.reading, value: held.value, by: 'hand' })
            .finally(() => props.onHold(null));
        },
      }),
      dataOf(points()),
      frame,
    );
    const watch = new ResizeObserver(() => plot?.setSize({ width: frame.clientWidth, height: heightOf(frame) }));
    watch.observe(frame);
    const unwatch = watchTheme(() => plot?.redraw(false));
    onCleanup(() => {
      unwatch();
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
      <div class="curve-now">
        <h2>{t().run(props.run.label)}</h2>
        <RunRate result={props.result} />
        <div class="run-curve" ref={frame} role="img" aria-label={t().curve(props.run.label)} />
      </div>
      <RunDoubt result={props.result} />
    </>
  );
}

/** A volume rounded to the cylinder's divisions, as it would be said. */
function onDivision(volumeMl: number, setup: Setup): string {
  const { divisionMl, capacityMl } = setup.cylinder;
  const bounded = Math.min(capacityMl, Math.max(0, volumeMl));
  return (Math.round(bounded / divisionMl) * divisionMl).toFixed(decimalsOf(String(divisionMl)));
}

export default RunCurve;
