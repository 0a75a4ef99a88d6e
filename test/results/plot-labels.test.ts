import { expect, test } from 'vitest';
import { type Plot, plotSvg } from '../../src/results/plot-svg.ts';
import { type SvgNode, svgText } from '../../src/results/svg.ts';

const line = (label: string, run: number, x: number, y: number): Plot['series'][number] => ({
  kind: 'line',
  name: label,
  run,
  endLabel: label,
  points: [
    { x: 0, y: 0 },
    { x, y },
  ],
});
const plot = (series: Plot['series']): Plot => ({ title: '', description: '', xLabel: 'x', yLabel: 'y', series });

/** Where each bold text begins, px. */
const namesOf = (drawing: SvgNode) =>
  [...svgText(drawing).matchAll(/<text[^>]*font-weight="700"[^>]*>[^<]*/g)].map(([text]) => ({
    name: text.replace(/.*>/, ''),
    x: Number(/ x="([-\d.]+)"/.exec(text)?.[1]),
    y: Number(/ y="([-\d.]+)"/.exec(text)?.[1]),
  }));

test('the names of runs that end side by side do not lie on one another', () => {
  const names = namesOf(plotSvg(plot([line('1', 0, 100, 20), line('2', 1, 220, 20), line('3', 2, 224, 20)])));
  expect(names.map(({ name }) => name)).toEqual(['1', '2', '3']);
  for (const [i, one] of names.entries())
    for (const other of names.slice(i + 1))
      expect(Math.abs(one.x - other.x) > 7 || Math.abs(one.y - other.y) > 9, `${one.name} and ${other.name}`).toBe(
        true,
      );
});

test('points that lie on one another have one label for both', () => {
  const points = [
    { x: 1, y: 1, label: '1' },
    { x: 2, y: 2, label: '2' },
    { x: 1, y: 1.001, label: '3' },
  ];
  const drawn = svgText(plotSvg(plot([{ kind: 'points', name: '', mark: 'dot', points }])));
  expect(drawn).toContain('>1, 3<');
  expect(drawn).toContain('>2<');
  expect(drawn).not.toContain('>1<');
});
