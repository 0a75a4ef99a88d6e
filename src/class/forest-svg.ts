import { linearAxis } from '../results/axis.ts';
import { asideColour, curveColour, ink, markAt, picture } from '../results/plot-svg.ts';
import { node, type SvgNode, short, textNode } from '../results/svg.ts';

/** One line of a forest plot: a value with its interval. */
export interface ForestRow {
  readonly name: string;
  readonly value: number;
  /** Half the length of the bar (two standard uncertainties). */
  readonly half: number;
  /** Stands apart: an open mark with a stroke through it. */
  readonly outlying: boolean;
}

export interface ForestPlot {
  readonly title: string;
  readonly description: string;
  readonly xLabel: string;
  readonly rows: readonly ForestRow[];
  /** The value of all together: a diamond at the foot and a band through the rows. */
  readonly centre: { readonly name: string; readonly value: number; readonly half: number } | null;
  /** A value from the literature: a dashed line. */
  readonly published: { readonly name: string; readonly value: number } | null;
  /** What stands below when not all rows could be drawn. */
  readonly more: (count: number) => string;
  readonly decimal: '.' | ',';
  readonly width?: number;
}

/** Most rows that are drawn; a plot of more says how many were left out. */
export const forestRowLimit = 120;

const rowHeight = 30;
const top = 14;
const fontSize = 14;

/** Values of many groups below each other with their intervals, and what they come to together. */
export function forestSvg(plot: ForestPlot): SvgNode {
  const { width = 640, centre, published } = plot;
  const rows = plot.rows.slice(0, forestRowLimit);
  const left = Math.min(190, 0.34 * width);
  const right = width - 30;
  const footTop = top + rows.length * rowHeight + 6;
  const feet = (centre ? 1 : 0) + (published ? 1 : 0);
  const bottom = footTop + feet * rowHeight + 4;
  const height = bottom + 50;
  const axis = axisOf(plot, rows, right - left);
  const px = (value: number): number =>
    left + Math.min(1, Math.max(0, (value - axis.low) / (axis.high - axis.low))) * (right - left);
  const yOf = (i: number): number => top + (i + 0.5) * rowHeight;
  const footY = (i: number): number => footTop + (i + 0.5) * rowHeight;
  const label = (text: string, y: number, bold = false): SvgNode =>
    textNode(cut(text, (left - 14) / (0.56 * fontSize)), fontSize, {
      class: 'plot-ink',
      x: left - 12,
      y: y + 5,
      'text-anchor': 'end',
      fill: ink,
      'font-weight': bold ? 700 : 400,
    });
  const upright = (value: number, look: Readonly<Record<string, string | number>>): SvgNode =>
    node('line', { x1: px(value), x2: px(value), y1: top, y2: bottom, ...look });
  return picture(
    { ...plot, fontSize },
    width,
    height,
    ...axis.ticks.flatMap(({ at, label: text }) => [
      upright(at, { class: 'plot-grid', stroke: '#c9cfc8', 'stroke-width': 0.6 }),
      node(
        'text',
        { class: 'plot-ink', x: px(at), y: bottom + 18, 'text-anchor': 'middle', fill: ink },
        plot.decimal === ',' ? text.replace('.', ',') : text,
      ),
    ]),
    ...(centre
      ? [
          node('rect', {
            class: 'plot-band',
            x: px(centre.value - centre.half),
            y: top,
            width: Math.max(2, px(centre.value + centre.half) - px(centre.value - centre.half)),
            height: footTop - top,
            fill: curveColour,
            'fill-opacity': 0.14,
          }),
        ]
      : []),
    ...(published
      ? [upright(published.value, { class: 'plot-axis', stroke: ink, 'stroke-width': 1.4, 'stroke-dasharray': '5 4' })]
      : []),
    ...rows.flatMap((row, i) => [
      label(row.name, yOf(i)),
      node('line', {
        class: row.outlying ? 'plot-aside' : 'plot-axis',
        x1: px(row.value - row.half),
        x2: px(row.value + row.half),
        y1: yOf(i),
        y2: yOf(i),
        stroke: row.outlying ? asideColour : ink,
        'stroke-width': 2,
      }),
      row.outlying
        ? markAt('aside', px(row.value), yOf(i))
        : node('circle', { class: 'plot-dot', cx: px(row.value), cy: yOf(i), r: 5, fill: ink }),
    ]),
    ...(centre ? [label(centre.name, footY(0), true), diamond(px, centre, footY(0))] : []),
    ...(published
      ? [label(published.name, footY(centre ? 1 : 0)), markAt('diamond', px(published.value), footY(centre ? 1 : 0))]
      : []),
    ...(plot.rows.length > rows.length
      ? [
          node(
            'text',
            { class: 'plot-ink', x: left, y: height - 26, fill: asideColour, 'font-size': 12 },
            plot.more(plot.rows.length - rows.length),
          ),
        ]
      : []),
    textNode(plot.xLabel, fontSize, {
      class: 'plot-ink',
      x: (left + right) / 2,
      y: height - 10,
      'text-anchor': 'middle',
      fill: ink,
    }),
  );
}

function diamond(
  px: (value: number) => number,
  { value, half }: { readonly value: number; readonly half: number },
  y: number,
): SvgNode {
  const reach = Math.max(6, px(value + half) - px(value));
  const points = [
    [px(value) - reach, y],
    [px(value), y - 9],
    [px(value) + reach, y],
    [px(value), y + 9],
  ];
  return node('polygon', {
    class: 'plot-pooled',
    points: points.map(([a = 0, b = 0]) => `${short(a)},${short(b)}`).join(' '),
    fill: curveColour,
    stroke: curveColour,
  });
}

/** One group with a huge interval must not press all others together: bars are cut at the frame. */
function axisOf({ centre, published }: ForestPlot, rows: readonly ForestRow[], room: number) {
  const drawn = [...rows, ...(centre ? [centre] : [])].filter(({ value, half }) => Number.isFinite(value + half));
  const middle = middleRange(drawn.map(({ value }) => value));
  const halves = middleRange(drawn.map(({ half }) => half));
  const reach = 3 * Math.max(halves.high, (middle.high - middle.low) / 2, Math.abs(middle.low) * 1e-6);
  const known = published ? [published.value] : [];
  const low = Math.min(...drawn.map((row) => row.value - row.half), middle.low);
  const high = Math.max(...drawn.map((row) => row.value + row.half), middle.high);
  return linearAxis(
    Math.min(Math.max(low, middle.low - reach), ...known),
    Math.max(Math.min(high, middle.high + reach), ...known),
    Math.max(3, Math.round(room / 110)),
  );
}

const cut = (text: string, most: number): string =>
  text.length > most ? `${text.slice(0, Math.max(1, Math.floor(most) - 1))}…` : text;

/** From the 5th to the 95th percentile. */
function middleRange(values: readonly number[]): { low: number; high: number } {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number): number => sorted[Math.round(share * (sorted.length - 1))] ?? 0;
  return { low: at(0.05), high: at(0.95) };
}
