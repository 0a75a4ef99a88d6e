import { type Axis, linearAxis } from './axis.ts';
import { node, type SvgNode, short } from './svg.ts';

/** A plot of points and curves on linear axes, drawn for paper: dark ink, two accents, no meaning by colour alone. */
export interface Plot {
  readonly title: string;
  /** What it shows, for those who do not see it. */
  readonly description: string;
  readonly xLabel: string;
  readonly yLabel: string;
  readonly series: readonly Series[];
  readonly width?: number;
  readonly height?: number;
  /** Values that must be on the axes besides the data. */
  readonly include?: { readonly x?: readonly number[]; readonly y?: readonly number[] };
}

export type Series =
  | { readonly kind: 'line'; readonly name: string; readonly points: readonly Point[]; readonly dashed?: boolean }
  | {
      readonly kind: 'points';
      readonly name: string;
      readonly points: readonly (Point & { readonly half?: number; readonly label?: string })[];
      /** Filled dot: used; ring with a stroke through it: set aside; diamond: suggested or struck. */
      readonly mark: 'dot' | 'aside' | 'diamond';
    };

export interface Point {
  readonly x: number;
  readonly y: number;
}

export const ink = '#0d3540';
export const curveColour = '#0b4a5a';
export const asideColour = '#8f1d2c';
const faint = '#c9cfc8';
const plotFont = 'system-ui, "Segoe UI", "Noto Sans", "DejaVu Sans", sans-serif';

/** The frame of a drawing: its size, its type, and what it shows in words for those who do not see it. */
export function picture(
  { title, description }: { readonly title: string; readonly description: string },
  width: number,
  height: number,
  ...drawn: readonly SvgNode[]
): SvgNode {
  return node(
    'svg',
    {
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      role: 'img',
      'aria-label': description,
      'font-family': plotFont,
      'font-size': 12,
    },
    node('title', {}, title),
    node('desc', {}, description),
    ...drawn,
  );
}

const finite = ({ x, y }: Point): boolean => Number.isFinite(x) && Number.isFinite(y);

/** Draws it. Points that are not finite are left out. Cost: linear in the points. */
export function plotSvg(plot: Plot): SvgNode {
  const { width = 380, height = 260 } = plot;
  const all = plot.series.flatMap((series): Point[] => series.points.filter(finite));
  const spans = plot.series.flatMap((series) =>
    series.kind === 'points'
      ? series.points.filter(finite).flatMap(({ y, half = 0 }) => [y - half, y + half])
      : series.points.filter(finite).map(({ y }) => y),
  );
  const xs = [...all.map(({ x }) => x), ...(plot.include?.x ?? [])];
  const ys = [...spans, ...(plot.include?.y ?? [])];
  const x = linearAxis(lowest(xs), highest(xs), Math.round(width / 90));
  const y = linearAxis(lowest(ys), highest(ys), Math.round(height / 55));
  const left = 18 + 7.2 * Math.max(...y.ticks.map((tick) => tick.label.length)) + 14;
  const box = { left, right: width - 14, top: 12, bottom: height - 44 };
  const px = (value: number): number => box.left + ((value - x.low) / (x.high - x.low)) * (box.right - box.left);
  const py = (value: number): number => box.bottom - ((value - y.low) / (y.high - y.low)) * (box.bottom - box.top);
  return picture(
    plot,
    width,
    height,
    ...gridOf(x, y, px, py, box),
    ...plot.series.map((series) => drawn(series, px, py)),
    node(
      'text',
      { class: 'plot-ink', x: (box.left + box.right) / 2, y: height - 8, 'text-anchor': 'middle', fill: ink },
      plot.xLabel,
    ),
    node(
      'text',
      {
        class: 'plot-ink',
        transform: `translate(13 ${short((box.top + box.bottom) / 2)}) rotate(-90)`,
        'text-anchor': 'middle',
        fill: ink,
      },
      plot.yLabel,
    ),
  );
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

function gridOf(x: Axis, y: Axis, px: (v: number) => number, py: (v: number) => number, box: Box): SvgNode[] {
  const line = (x1: number, y1: number, x2: number, y2: number, strong: boolean): SvgNode =>
    node('line', {
      class: strong ? 'plot-axis' : 'plot-grid',
      x1,
      y1,
      x2,
      y2,
      stroke: strong ? ink : faint,
      'stroke-width': strong ? 1.2 : 0.6,
    });
  return [
    ...x.ticks.map(({ at }) => line(px(at), box.top, px(at), box.bottom, false)),
    ...y.ticks.map(({ at }) => line(box.left, py(at), box.right, py(at), false)),
    line(box.left, box.bottom, box.right, box.bottom, true),
    line(box.left, box.top, box.left, box.bottom, true),
    ...x.ticks.map(({ at, label }) =>
      node('text', { class: 'plot-ink', x: px(at), y: box.bottom + 16, 'text-anchor': 'middle', fill: ink }, label),
    ),
    ...y.ticks.map(({ at, label }) =>
      node('text', { class: 'plot-ink', x: box.left - 6, y: py(at) + 4, 'text-anchor': 'end', fill: ink }, label),
    ),
  ];
}

function drawn(series: Series, px: (v: number) => number, py: (v: number) => number): SvgNode {
  const points = series.points.filter(finite);
  if (series.kind === 'line')
    return node('path', {
      class: 'plot-curve',
      d: points.map((point, i) => `${i === 0 ? 'M' : 'L'}${short(px(point.x))} ${short(py(point.y))}`).join(''),
      fill: 'none',
      stroke: curveColour,
      'stroke-width': 1.8,
      ...(series.dashed ? { 'stroke-dasharray': '6 4' } : {}),
    });
  return node(
    'g',
    {},
    ...series.points.filter(finite).flatMap((point) => {
      const { x, y, half = 0, label } = point;
      const bar =
        half > 0
          ? [
              node('line', {
                class: 'plot-axis',
                x1: px(x),
                x2: px(x),
                y1: py(y - half),
                y2: py(y + half),
                stroke: ink,
                'stroke-width': 1.2,
              }),
            ]
          : [];
      const name = label
        ? [node('text', { class: 'plot-ink', x: px(x) - 8, y: py(y) + 14, fill: ink, 'font-size': 11 }, label)]
        : [];
      return [...bar, markAt(series.mark, px(x), py(y)), ...name];
    }),
  );
}

export function markAt(mark: 'dot' | 'aside' | 'diamond', cx: number, cy: number): SvgNode {
  if (mark === 'dot') return node('circle', { class: 'plot-dot', cx, cy, r: 4, fill: ink });
  if (mark === 'diamond')
    return node('polygon', {
      class: 'plot-dot',
      points: `${short(cx)},${short(cy - 6)} ${short(cx + 6)},${short(cy)} ${short(cx)},${short(cy + 6)} ${short(cx - 6)},${short(cy)}`,
      fill: ink,
    });
  return node(
    'g',
    { class: 'plot-aside', stroke: asideColour, 'stroke-width': 1.6, fill: 'none' },
    node('circle', { cx, cy, r: 5 }),
    node('line', { x1: cx - 7, y1: cy + 7, x2: cx + 7, y2: cy - 7 }),
  );
}

const lowest = (values: readonly number[]): number => values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
const highest = (values: readonly number[]): number =>
  values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
