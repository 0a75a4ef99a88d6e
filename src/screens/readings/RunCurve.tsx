import { createEffect, createMemo, onCleanup, onMount, Show } from 'solid-js';
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import type { NotebookState, Reading, Run } from '../../notebook/state.ts';
import { zeroMs } from '../../session/marks.ts';
import { createLiveFigures, type ShownFigures } from '../live-figures.ts';

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
                {estimators[known().estimator]}, {known().readings} readings
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

interface Points {
  readonly times: number[];
  readonly taken: (number | null)[];
  readonly doubtful: (number | null)[];
  readonly out: (number | null)[];
  readonly calls: string[];
}

function pointsOf(run: Run): Points {
  const zero = zeroMs(run);
  const pick = (wanted: (reading: Reading) => boolean): (number | null)[] =>
    run.readings.map((reading) => (wanted(reading) ? reading.volumeMl : null));
  const isOut = (reading: Reading): boolean => reading.struck || reading.setAside !== null;
  const isDoubtful = (reading: Reading): boolean => !isOut(reading) && reading.outcome === 'doubtful';
  return {
    times: run.readings.map((reading) => (reading.timeMs - zero) / 1000),
    taken: pick((reading) => !isOut(reading) && !isDoubtful(reading)),
    doubtful: pick(isDoubtful),
    out: pick(isOut),
    calls: run.readings.map((reading) => reading.call),
  };
}

const dataOf = (points: Points): uPlot.AlignedData => [points.times, points.taken, points.doubtful, points.out];

/** Low enough on a phone that the list stays in sight below it. */
const heightOf = (frame: HTMLElement): number =>
  innerWidth < 960 ? Math.min(220, innerHeight * 0.28) : Math.min(420, frame.clientWidth * 0.8);

function optionsOf(frame: HTMLElement, points: () => Points, onPick: (call: string) => void): uPlot.Options {
  const colour = (name: string) => (): string => getComputedStyle(frame).getPropertyValue(name).trim();
  const axis: uPlot.Axis = {
    stroke: colour('--ink'),
    grid: { stroke: colour('--line'), width: 1 },
    ticks: { stroke: colour('--line'), width: 1 },
    font: '14px sans-serif',
    labelFont: '14px sans-serif',
    labelSize: 22,
  };
  return {
    width: frame.clientWidth,
    height: heightOf(frame),
    legend: { show: false },
    cursor: { drag: { x: false, y: false } },
    scales: { x: { time: false } },
    axes: [
      { ...axis, label: 'seconds since the first reading' },
      { ...axis, label: 'cylinder reading, mL' },
    ],
    series: [
      {},
      {
        stroke: colour('--petrol'),
        width: 1.5,
        spanGaps: true,
        points: { show: true, size: 9, fill: colour('--petrol') },
      },
      {
        stroke: colour('--doubt'),
        width: 2,
        paths: () => null,
        points: { show: true, size: 12, width: 2.5, fill: colour('--paper') },
      },
      { stroke: colour('--ink-soft'), paths: () => null, points: { show: false } },
    ],
    hooks: {
      draw: [(plot) => drawCrosses(plot, points(), colour('--ink-soft')())],
      ready: [
        (plot) =>
          plot.over.addEventListener('click', () => {
            const index = plot.cursor.idx;
            const call = index === null || index === undefined ? undefined : points().calls[index];
            if (call !== undefined) onPick(call);
          }),
      ],
    },
  };
}

/** Readings struck or set aside: crosses, so that they differ by shape too. */
function drawCrosses(plot: uPlot, points: Points, colour: string): void {
  const { ctx } = plot;
  const arm = 5 * devicePixelRatio;
  ctx.save();
  ctx.strokeStyle = colour;
  ctx.lineWidth = 2 * devicePixelRatio;
  ctx.beginPath();
  points.out.forEach((volume, index) => {
    if (volume === null) return;
    const x = plot.valToPos(points.times[index]!, 'x', true);
    const y = plot.valToPos(volume, 'y', true);
    ctx.moveTo(x - arm, y - arm);
    ctx.lineTo(x + arm, y + arm);
    ctx.moveTo(x - arm, y + arm);
    ctx.lineTo(x + arm, y - arm);
  });
  ctx.stroke();
  ctx.restore();
}

export default RunCurve;
