import type uPlot from 'uplot';
import { zeroMs } from '../../log/runs.ts';
import type { Reading, Run } from '../../log/state.ts';
import { nth } from '../../numerics/nth.ts';
import { makeColours } from './resolved-colour.ts';
import { readingsTexts as t } from './texts.ts';

/** Readings of a run as the plot takes them: seconds, and volumes by how they stand (null: not of that kind). */
export interface Points {
  readonly times: number[];
  readonly taken: (number | null)[];
  readonly doubtful: (number | null)[];
  readonly out: (number | null)[];
  readonly calls: string[];
  readonly readings: string[];
}

export function pointsOf(run: Run): Points {
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
    readings: run.readings.map((reading) => reading.id),
  };
}

export const dataOf = (points: Points): uPlot.AlignedData => [points.times, points.taken, points.doubtful, points.out];

/** Low enough on a phone that the list stays in sight below it, high enough for its axes. */
export const heightOf = (frame: HTMLElement): number =>
  innerWidth < 960 ? Math.min(220, Math.max(170, innerHeight * 0.25)) : Math.min(420, frame.clientWidth * 0.8);

/** What a person does to the readings on the plot. */
export interface PlotHandlers {
  /** A reading was clicked. */
  onPick(call: string): void;
  /** A reading is being dragged up or down with a mouse; mL, not yet rounded. */
  onDrag(reading: string, volumeMl: number): void;
  /** It was let go. */
  onDrop(): void;
}

/** @param points the readings as they stand when something is drawn or touched */
export function optionsOf(frame: HTMLElement, points: () => Points, handlers: PlotHandlers): uPlot.Options {
  const resolved = makeColours(frame);
  const colour = (name: string) => (): string => resolved(name);
  const font = `14px ${getComputedStyle(frame).fontFamily}`;
  const axis: uPlot.Axis = {
    stroke: colour('--ink'),
    grid: { stroke: colour('--line'), width: 1 },
    ticks: { stroke: colour('--line'), width: 1, size: 5 },
    font,
    labelFont: font,
    // Room for the title and, before it, clear of the tick labels: `size` holds tick, gap and one line or four figures.
    labelSize: 22,
    labelGap: 4,
    gap: 4,
  };
  return {
    width: frame.clientWidth,
    height: heightOf(frame),
    legend: { show: false },
    cursor: { drag: { x: false, y: false } },
    scales: { x: { time: false } },
    axes: [
      { ...axis, label: t().secondsAxis, size: 27 },
      { ...axis, label: t().volumeAxis, size: 40 },
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
      ready: [(plot) => listenTo(plot, points, handlers)],
    },
  };
}

/** Pixels between pointer and reading within which it is meant. */
const reachPx = 16;

/** Clicks and drags. Touch scrolls the page; there a value is typed. */
function listenTo(plot: uPlot, points: () => Points, handlers: PlotHandlers): void {
  const nearest = (event: PointerEvent): number | null => {
    const { times, taken, doubtful, out } = points();
    let best: number | null = null;
    let least = reachPx;
    times.forEach((time, index) => {
      const volume = taken[index] ?? doubtful[index] ?? out[index];
      if (volume === null || volume === undefined) return;
      const away = Math.hypot(plot.valToPos(time, 'x') - event.offsetX, plot.valToPos(volume, 'y') - event.offsetY);
      if (away < least) {
        least = away;
        best = index;
      }
    });
    return best;
  };
  let held: { index: number; fromY: number; moved: boolean } | null = null;
  plot.over.addEventListener('pointerdown', (event) => {
    const index = nearest(event);
    if (index === null) return;
    held = { index, fromY: event.offsetY, moved: false };
    if (event.pointerType === 'mouse') plot.over.setPointerCapture(event.pointerId);
  });
  plot.over.addEventListener('pointermove', (event) => {
    plot.over.style.cursor = held || nearest(event) !== null ? 'ns-resize' : '';
    if (!held || event.pointerType !== 'mouse') return;
    held.moved ||= Math.abs(event.offsetY - held.fromY) > 4;
    const reading = points().readings[held.index];
    if (held.moved && reading !== undefined) handlers.onDrag(reading, plot.posToVal(event.offsetY, 'y'));
  });
  plot.over.addEventListener('pointerup', () => {
    const done = held;
    held = null;
    if (done?.moved) handlers.onDrop();
    else if (done) handlers.onPick(points().calls[done.index] ?? '');
  });
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
    const x = plot.valToPos(nth(points.times, index), 'x', true);
    const y = plot.valToPos(volume, 'y', true);
    ctx.moveTo(x - arm, y - arm);
    ctx.lineTo(x + arm, y + arm);
    ctx.moveTo(x - arm, y + arm);
    ctx.lineTo(x + arm, y - arm);
  });
  ctx.stroke();
  ctx.restore();
}
