import { linearAxis } from '../results/axis.ts';
import { asideColour, curveColour, ink, markAt, picture } from '../results/plot-svg.ts';
import { node, type SvgNode, short } from '../results/svg.ts';

/** One line of a forest plot: a value with its interval. */
export interface ForestRow {
  readonly name: string;
  readonly value: number;
  /** Half the length of the bar (two standard uncertainties). */
  readonly half: number;
  readonly outlying: boolean;
}

export interface ForestPlot {
  readonly title: string;
  readonly description: string;
  readonly xLabel: string;
  readonly rows: readonly ForestRow[];
  /** Pooled values, drawn below as diamonds. */
  readonly pooled: readonly { readonly name: string; readonly value: number; readonly half: number }[];
  readonly width?: number;
}

/** Most rows that are drawn; a plot of more says how many were left out. */
export const forestRowLimit = 120;

/** Values of many groups below each other with their intervals, pooled values at the foot. */
export function forestSvg(plot: ForestPlot): SvgNode {
  const { width = 640 } = plot;
  const rows = plot.rows.slice(0, forestRowLimit);
  const left = 170;
  const right = width - 20;
  const rowHeight = 22;
  const pooledTop = 20 + rows.length * rowHeight + 12;
  const bottom = pooledTop + plot.pooled.length * rowHeight + 8;
  const height = bottom + 46;
  const shown = [...rows, ...plot.pooled].filter(({ value, half }) => Number.isFinite(value + half));
  // One group with a huge interval must not press all others together: bars are cut at the frame.
  const centre = middleRange(shown.map(({ value }) => value));
  const halves = middleRange(shown.map(({ half }) => half));
  const room = 3 * Math.max(halves.high, (centre.high - centre.low) / 2, Math.abs(centre.low) * 1e-6);
  const axis = linearAxis(
    Math.max(Math.min(...shown.map((r) => r.value - r.half), centre.low), centre.low - room),
    Math.min(Math.max(...shown.map((r) => r.value + r.half), centre.high), centre.high + room),
    5,
  );
  const px = (value: number): number =>
    left + Math.min(1, Math.max(0, (value - axis.low) / (axis.high - axis.low))) * (right - left);
  const label = (text: string, y: number, bold = false): SvgNode =>
    node(
      'text',
      { class: 'plot-ink', x: left - 10, y: y + 4, 'text-anchor': 'end', fill: ink, 'font-weight': bold ? 700 : 400 },
      cut(text),
    );
  const bar = (value: number, half: number, y: number, thick: number): SvgNode =>
    node('line', {
      class: 'plot-axis',
      x1: px(value - half),
      x2: px(value + half),
      y1: y,
      y2: y,
      stroke: ink,
      'stroke-width': thick,
    });
  return picture(
    plot,
    width,
    height,
    ...axis.ticks.flatMap(({ at, label: text }) => [
      node('line', {
        class: 'plot-grid',
        x1: px(at),
        x2: px(at),
        y1: 12,
        y2: bottom,
        stroke: '#c9cfc8',
        'stroke-width': 0.6,
      }),
      node('text', { class: 'plot-ink', x: px(at), y: bottom + 16, 'text-anchor': 'middle', fill: ink }, text),
    ]),
    ...rows.flatMap((row, i) => {
      const y = 20 + i * rowHeight;
      const mark = row.outlying
        ? [markAt('aside', px(row.value), y)]
        : [node('rect', { class: 'plot-dot', x: px(row.value) - 4, y: y - 4, width: 8, height: 8, fill: ink })];
      const name = row.outlying ? `${row.name} ▸` : row.name;
      return [label(name, y), bar(row.value, row.half, y, 1.4), ...mark];
    }),
    ...plot.pooled.flatMap(({ name, value, half }, i) => {
      const y = pooledTop + i * rowHeight;
      const points = [
        [px(value - half), y],
        [px(value), y - 7],
        [px(value + half), y],
        [px(value), y + 7],
      ];
      return [
        label(name, y, true),
        node('polygon', {
          class: 'plot-pooled',
          points: points.map(([a, b]) => `${short(a!)},${short(b!)}`).join(' '),
          fill: curveColour,
          stroke: curveColour,
        }),
      ];
    }),
    ...(plot.rows.length > rows.length
      ? [
          node(
            'text',
            { class: 'plot-ink', x: left, y: height - 26, fill: asideColour, 'font-size': 11 },
            `${plot.rows.length - rows.length} more groups are in the table`,
          ),
        ]
      : []),
    node(
      'text',
      { class: 'plot-ink', x: (left + right) / 2, y: height - 8, 'text-anchor': 'middle', fill: ink },
      plot.xLabel,
    ),
  );
}

const cut = (text: string): string => (text.length > 24 ? `${text.slice(0, 23)}…` : text);

/** From the 5th to the 95th percentile. */
function middleRange(values: readonly number[]): { low: number; high: number } {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number): number => sorted[Math.round(share * (sorted.length - 1))] ?? 0;
  return { low: at(0.05), high: at(0.95) };
}
