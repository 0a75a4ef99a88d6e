import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import { volumeOn } from '../../src/analysis/estimate.ts';
import { curvePlot, residualPlot } from '../../src/results/curve-plot.ts';
import { plotSvg } from '../../src/results/plot-svg.ts';
import { simulate } from '../benchmarks/kinetics-simulator.ts';

const words = (node: unknown): string => JSON.stringify(node);

test('a fitted lag is drawn: a band from mixing with its words, and a curve that follows the readings', () => {
  // The simulator holds the gas back with 60 s, by integrating the release.
  const analysis = analyseExperiment(simulate({ title: '', lagS: 60, stated: true }, 4).experiment);
  const [run] = analysis.runs;
  if (!run?.ok || !run.used || !run.model?.lag) throw new Error('no lag was found');
  const plot = curvePlot(analysis, 0);
  const { band } = plot;
  if (!band) throw new Error('no band');
  expect(band.to - band.from).toBeCloseTo(run.model.lag.seconds, 6);
  expect(Math.abs(run.model.lag.seconds - 60)).toBeLessThan(20);
  expect(band.label).toMatch(/^gas held back, about \d+\ss$/);
  expect(curvePlot(analysis, 0, 'de').band?.label).toMatch(/^Gas zurückgehalten, etwa \d+\ss$/);
  expect(plot.description).toContain('Gas was held back for about');
  expect(words(plotSvg(plot))).toContain(band.label);
  // Drawn where the fit has it: readings lie on the curve to their own uncertainty of 0.1 mL and 0.1 s.
  const { shape } = run.used;
  expect(shape.kind).toBe('sampled');
  for (const { timeS, volumeM3 } of run.run.readings)
    expect(Math.abs(volumeOn(shape, timeS) - volumeM3) * 1e6).toBeLessThan(0.5);
  // Before mixing nothing has come.
  expect(volumeOn(shape, run.model.mixedS - 10)).toBeCloseTo(run.run.baselineM3?.value ?? Number.NaN, 12);
});

test('without a lag there is no band', () => {
  const analysis = analyseExperiment(simulate({ title: '', stated: true }, 4).experiment);
  expect(curvePlot(analysis, 0).band).toBeUndefined();
});

test('a German plot writes the numbers along its axes with a comma', () => {
  const analysis = analyseExperiment(simulate({ title: '', stated: true }, 4).experiment);
  const ticksOf = (language: 'en' | 'de') => {
    const plot = residualPlot(analysis, 0, language);
    return plot ? words(plotSvg(plot)).match(/"−?\d+[.,]\d+"/g) : null;
  };
  expect(ticksOf('en')?.length).toBeGreaterThan(1);
  expect(ticksOf('de')).toEqual(ticksOf('en')?.map((tick) => tick.replace('.', ',')));
});
