import { numbersIn, type PageLanguage } from '../language/page-language.ts';
import { type Axis, linearAxis } from './axis.ts';
import { node, type SvgNode, short, textNode } from './svg.ts';

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
  /** Size of the type, px; default 12, for paper. */
  readonly fontSize?: number;
  /** Where the y axis begins, unless data lie clearly below it. */
  readonly lowY?: number;
  /** A stretch of the x axis, shaded, with its words at its top. */
  readonly band?: { readonly from: number; readonly to: number; readonly label: string };
  /** Values that must be on the axes besides the data. */
  readonly include?: { readonly x?: readonly number[]; readonly y?: readonly number[] };
  /** Of the numbers along the axes; default: English. */
  readonly language?: PageLanguage;
}

export type Series =
  | {
      readonly kind: 'line';
      readonly name: string;
      readonly points: readonly Point[];
      readonly dashed?: boolean;
      /** Where several runs are drawn together: which of them, for its colour. */
      readonly run?: number;
      /** Stands at the end of the line. */
      readonly endLabel?: string;
    }
  | {
      readonly kind: 'points';
      readonly name: string;
      readonly points: readonly MarkedPoint[];
      /** Filled dot: used; ring with a stroke through it: set aside; diamond: suggested or struck; `run`: the run's own. */
      readonly mark: 'dot' | 'aside' | 'diamond' | 'run';
      readonly run?: number;
    };

export interface MarkedPoint extends Point {
  /** Half the length of its bar. */
  readonly half?: number;
  readonly label?: string;
  /** To be looked at: a ring and a question mark around it. */
  readonly flagged?: boolean;
}

export interface Point {
  readonly x: number;
  readonly y: number;
}

export const ink = '#0d3540';
export const curveColour = '#0b4a5a';
export const asideColour = '#8f1d2c';
/** Colours of runs drawn together, each with a mark of its own; on the page the theme has its own set (`plot-run-0` …). */
export const runColours = ['#0b4a5a', '#9a4a00', '#6b3a8c', '#2c6e3f', '#9d2348', '#4a5560'] as const;
export const flagColour = '#8a4b00';
const faint = '#c9cfc8';
const plotFont = 'system-ui, "Segoe UI", "Noto Sans", "DejaVu Sans", sans-serif';

/** The frame of a drawing: its size, its type, and what it shows in words for those who do not see it. */
export function picture(
  {
    title,
    description,
    fontSize = 12,
  }: { readonly title: string; readonly description: string; readonly fontSize?: number },
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
      'font-size': fontSize,
    },
    node('title', {}, title),
    node('desc', {}, description),
    ...drawn,
  );
}

const finite = ({ x, y }: Point): boolean => Number.isFinite(x) && Number.isFinite(y);

/** Where a plot's values lie in its drawing, px of the drawing. */
export interface Layout {
  readonly width: number;
  readonly height: number;
  readonly fontSize: number;
  readonly x: Axis;
  readonly y: Axis;
  readonly box: Box;
  px(value: number): number;
  py(value: number): number;
}

/** The axes of a plot and the place of every value. */
export function layoutOf(plot: Plot): Layout {
  const { width = 380, height = 260, fontSize = 12 } = plot;
  const all = plot.series.flatMap((series): Point[] => series.points.filter(finite));
  const spans = plot.series.flatMap((series) =>
    series.kind === 'points'
      ? series.points.filter(finite).flatMap(({ y, half = 0 }) => [y - half, y + half])
      : series.points.filter(finite).map(({ y }) => y),
  );
  const xs = [
    ...all.map(({ x }) => x),
    ...(plot.include?.x ?? []),
    ...(plot.band ? [plot.band.from, plot.band.to] : []),
  ];
  const ys = [...spans, ...(plot.include?.y ?? [])];
  const x = linearAxis(lowest(xs), highest(xs), Math.round(width / (7.5 * fontSize)));
  const y = linearAxis(lowY(plot, ys), highest(ys), Math.round(height / (4.6 * fontSize)));
  const widest = Math.max(...y.ticks.map((tick) => tick.label.length));
  const labels = plot.series.flatMap((one) => (one.kind === 'line' && one.endLabel ? [one.endLabel.length] : []));
  const box = {
    left: 1.5 * fontSize + 0.6 * fontSize * widest + 1.2 * fontSize,
    right: width - Math.max(1.2 * fontSize, 0.6 * fontSize * Math.max(0, ...labels)),
    top: fontSize,
    bottom: height - 3.7 * fontSize,
  };
  return {
    width,
    height,
    fontSize,
    x,
    y,
    box,
    px: (value) => box.left + ((value - x.low) / (x.high - x.low)) * (box.right - box.left),
    py: (value) => box.bottom - ((value - y.low) / (y.high - y.low)) * (box.bottom - box.top),
  };
}

/** A reading that lies a little below the beginning of the axis does not stretch it. */
function lowY({ lowY: wanted }: Plot, ys: readonly number[]): number {
  const low = lowest(ys);
  return wanted !== undefined && low > wanted - 0.05 * (highest(ys) - wanted) ? wanted : low;
}

/** Draws it. Points that are not finite are left out. Cost: linear in the points. */
export function plotSvg(plot: Plot): SvgNode {
  const layout = layoutOf(plot);
  const { width, height, box, fontSize } = layout;
  return picture(
    plot,
    width,
    height,
    ...bandOf(plot, layout),
    ...gridOf(layout, plot.language ?? 'en'),
    ...plot.series.map((series) => drawn(series, layout)),
    ...endLabelsOf(plot, layout),
    textNode(plot.xLabel, fontSize, {
      class: 'plot-ink',
      x: (box.left + box.right) / 2,
      y: height - 0.7 * fontSize,
      'text-anchor': 'middle',
      fill: ink,
    }),
    textNode(plot.yLabel, fontSize, {
      class: 'plot-ink',
      transform: `translate(${short(1.1 * fontSize)} ${short((box.top + box.bottom) / 2)}) rotate(-90)`,
      'text-anchor': 'middle',
      fill: ink,
    }),
  );
}

function bandOf({ band }: Plot, { px, box, fontSize }: Layout): SvgNode[] {
  if (!band) return [];
  const [left, right] = [px(band.from), px(band.to)];
  const edge = { class: 'plot-axis', y1: box.top, y2: box.bottom, stroke: ink, 'stroke-dasharray': '2 3' };
  return [
    node('rect', {
      class: 'plot-band',
      x: left,
      y: box.top,
      width: Math.max(right - left, 1),
      height: box.bottom - box.top,
      fill: faint,
      'fill-opacity': 0.45,
    }),
    node('line', { ...edge, x1: left, x2: left }),
    node('line', { ...edge, x1: right, x2: right }),
    textNode(band.label, Math.round(0.92 * fontSize), {
      class: 'plot-ink',
      x: left + 0.4 * fontSize,
      y: box.top + 1.1 * fontSize,
      fill: ink,
    }),
  ];
}

const runColour = (run: number): string => runColours[run % runColours.length] ?? ink;
const runClass = (run: number): string => `plot-run-${run % runColours.length}`;

/** Half the size of a run's mark, and the air around it, px. */
const markPx = 8;

/**
 * The name of each run at the end of its curve: beside its mark, or above or below it where another run ends there. No
 * name lies on another one or on another run's last mark as long as one of the three places is free.
 */
function endLabelsOf(plot: Plot, { px, py, fontSize }: Layout): SvgNode[] {
  const ends = plot.series.flatMap((series) => {
    const last = series.kind === 'line' && series.endLabel ? series.points.filter(finite).at(-1) : undefined;
    if (!last || series.kind !== 'line' || !series.endLabel) return [];
    return [{ text: series.endLabel, run: series.run ?? 0, x: px(last.x), y: py(last.y) }];
  });
  const taken: Box[] = ends.map(({ x, y }) => ({
    left: x - markPx,
    right: x + markPx,
    top: y - markPx,
    bottom: y + markPx,
  }));
  return ends.map(({ text, run, x, y }, i) => {
    const wide = 0.6 * fontSize * text.length;
    const high = 0.75 * fontSize;
    const places = [
      { x: x + Math.max(markPx, 0.6 * fontSize), y: y + high / 2 },
      { x: x - wide / 2, y: y - markPx - 2 },
      { x: x - wide / 2, y: y + markPx + high + 2 },
    ] as const;
    const boxAt = (at: Point): Box => ({ left: at.x, right: at.x + wide, top: at.y - high, bottom: at.y });
    const free = places.find((at) => !taken.some((other, k) => k !== i && overlap(boxAt(at), other))) ?? places[0];
    taken.push(boxAt(free));
    return textNode(text, fontSize, {
      class: runClass(run),
      x: free.x,
      y: free.y,
      'font-weight': 700,
      fill: runColour(run),
    });
  });
}

const overlap = (a: Box, b: Box): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

function gridOf({ x, y, px, py, box, fontSize }: Layout, language: PageLanguage): SvgNode[] {
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
  const tick = (label: string, at: { x: number; y: number; 'text-anchor': string }): SvgNode =>
    node('text', { class: 'plot-ink', ...at, fill: ink }, numbersIn(language, label));
  return [
    ...x.ticks.map(({ at }) => line(px(at), box.top, px(at), box.bottom, false)),
    ...y.ticks.map(({ at }) => line(box.left, py(at), box.right, py(at), false)),
    line(box.left, box.bottom, box.right, box.bottom, true),
    line(box.left, box.top, box.left, box.bottom, true),
    ...x.ticks.map(({ at, label }) =>
      tick(label, { x: px(at), y: box.bottom + 1.35 * fontSize, 'text-anchor': 'middle' }),
    ),
    ...y.ticks.map(({ at, label }) =>
      tick(label, { x: box.left - 0.5 * fontSize, y: py(at) + 0.35 * fontSize, 'text-anchor': 'end' }),
    ),
  ];
}

function drawn(series: Series, layout: Layout): SvgNode {
  const { px, py } = layout;
  const { run } = series;
  if (series.kind === 'line')
    return node('path', {
      class: run === undefined ? 'plot-curve' : `${runClass(run)} plot-line`,
      d: series.points
        .filter(finite)
        .map((point, i) => `${i === 0 ? 'M' : 'L'}${short(px(point.x))} ${short(py(point.y))}`)
        .join(''),
      fill: 'none',
      stroke: run === undefined ? curveColour : runColour(run),
      'stroke-width': 1.8,
      ...(series.dashed ? { 'stroke-dasharray': '6 4' } : {}),
    });
  const points = withSharedLabels(series.points.filter(finite), layout);
  return node('g', {}, ...points.flatMap((point) => pointNodes(series, point, layout)));
}

/** Points that lie on one another have their labels in one: "1, 3" at the last of them. */
function withSharedLabels(points: readonly MarkedPoint[], { px, py, fontSize }: Layout): MarkedPoint[] {
  const near = (a: Point, b: Point): boolean => Math.hypot(px(a.x) - px(b.x), py(a.y) - py(b.y)) < 0.8 * fontSize;
  return points.map(({ label, ...point }, i) => {
    if (label === undefined || points.slice(i + 1).some((other) => other.label !== undefined && near(point, other)))
      return point;
    const before = points.slice(0, i).flatMap((other) => (other.label && near(point, other) ? [other.label] : []));
    return { ...point, label: [...before, label].join(', ') };
  });
}

function pointNodes(
  series: Extract<Series, { kind: 'points' }>,
  { x, y, half = 0, label, flagged }: MarkedPoint,
  { px, py, fontSize }: Layout,
): SvgNode[] {
  const [cx, cy] = [px(x), py(y)];
  const bar = { class: 'plot-axis', x1: cx, x2: cx, stroke: ink, 'stroke-width': 1.2 };
  const mark = series.mark === 'run' ? runMarkAt(series.run ?? 0, cx, cy) : markAt(series.mark, cx, cy, series.run);
  return [
    ...(half > 0 ? [node('line', { ...bar, y1: py(y - half), y2: py(y + half) })] : []),
    mark,
    ...(flagged ? flagAt(cx, cy, fontSize) : []),
    ...(label
      ? [
          textNode(label, Math.round(0.92 * fontSize), {
            class: 'plot-ink',
            x: cx - 0.67 * fontSize,
            y: cy + 1.17 * fontSize,
            fill: ink,
          }),
        ]
      : []),
  ];
}

/** A ring and a question mark: look at this one. */
const flagAt = (cx: number, cy: number, fontSize: number): SvgNode[] => [
  node('circle', { class: 'plot-flag', cx, cy, r: 10, fill: 'none', stroke: flagColour, 'stroke-width': 2.5 }),
  node(
    'text',
    {
      class: 'plot-flag-text',
      x: cx + 13,
      y: cy + 5,
      fill: flagColour,
      'font-weight': 700,
      'font-size': 1.2 * fontSize,
    },
    '?',
  ),
];

const polygon = (points: readonly (readonly [number, number])[]): string =>
  points.map(([x, y]) => `${short(x)},${short(y)}`).join(' ');

/** The mark of a run where several are drawn together: circle, square, triangle, diamond, triangle on its tip, bar. */
export function runMarkAt(run: number, cx: number, cy: number): SvgNode {
  const style = { class: `${runClass(run)} plot-mark`, fill: runColour(run) };
  switch (run % runColours.length) {
    case 0:
      return node('circle', { ...style, cx, cy, r: 5 });
    case 1:
      return node('rect', { ...style, x: cx - 4.5, y: cy - 4.5, width: 9, height: 9 });
    case 2:
      return node('polygon', {
        ...style,
        points: polygon([
          [cx, cy - 6],
          [cx + 6, cy + 4.5],
          [cx - 6, cy + 4.5],
        ]),
      });
    case 3:
      return node('polygon', {
        ...style,
        points: polygon([
          [cx, cy - 6.5],
          [cx + 6.5, cy],
          [cx, cy + 6.5],
          [cx - 6.5, cy],
        ]),
      });
    case 4:
      return node('polygon', {
        ...style,
        points: polygon([
          [cx, cy + 6],
          [cx + 6, cy - 4.5],
          [cx - 6, cy - 4.5],
        ]),
      });
    default:
      return node('rect', { ...style, x: cx - 6.5, y: cy - 3, width: 13, height: 6 });
  }
}

export function markAt(mark: 'dot' | 'aside' | 'diamond', cx: number, cy: number, run?: number): SvgNode {
  if (mark === 'dot') return node('circle', { class: 'plot-dot', cx, cy, r: 4, fill: ink });
  if (mark === 'diamond')
    return node('polygon', {
      class: 'plot-dot',
      points: `${short(cx)},${short(cy - 6)} ${short(cx + 6)},${short(cy)} ${short(cx)},${short(cy + 6)} ${short(cx - 6)},${short(cy)}`,
      fill: ink,
    });
  return node(
    'g',
    {
      class: run === undefined ? 'plot-aside' : `${runClass(run)} plot-line`,
      stroke: run === undefined ? asideColour : runColour(run),
      'stroke-width': 1.6,
      fill: 'none',
    },
    node('circle', { cx, cy, r: 5 }),
    node('line', { x1: cx - 7, y1: cy + 7, x2: cx + 7, y2: cy - 7 }),
  );
}

const lowest = (values: readonly number[]): number => values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
const highest = (values: readonly number[]): number =>
  values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
