import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import { momentsOf } from '../../src/analysis/course.ts';
import { momentSlopes } from '../../src/analysis/course-slopes.ts';
import { uncertainInputs } from '../../src/analysis/inputs.ts';
import type { Experiment, RunReading } from '../../src/analysis/run-data.ts';
import { followFit, wholeFit } from '../../src/analysis/whole-fit.ts';
import { five, simulate } from '../benchmarks/kinetics-simulator.ts';

const many = (count: number): Experiment =>
  simulate({ title: '', runs: Array.from({ length: count }, (_, i) => five[i % 5] ?? [0.1, 0.1]), stated: true }, 1)
    .experiment;

test('k and orders of 450 runs in turn of five mixtures hold the truth of the simulator', () => {
  const { headline, whole, runs } = analyseExperiment(many(450));
  expect(runs.every(({ ok }) => ok)).toBe(true);
  expect(headline?.k?.low95).toBeLessThan(0.0115);
  expect(headline?.k?.high95).toBeGreaterThan(0.0115);
  expect(whole.ok && whole.free.runs.length).toBe(450);
});

test('a fit of very many runs that starts from some of them ends where the fit from the data does', () => {
  const { runs } = many(450);
  const quick = wholeFit(runs, { activationJPerMol: 56_000 });
  if (!quick.ok) throw new Error(quick.sentence);
  const slow = wholeFit(runs, { activationJPerMol: 56_000, near: quick, nearSteps: 12 });
  if (!slow.ok) throw new Error(slow.sentence);
  expect(Math.abs(Math.log(quick.k / slow.k))).toBeLessThan(0.001 * slow.uRelative);
  for (const [name, order] of Object.entries(slow.orders))
    expect(Math.abs((quick.orders[name]?.value ?? 9) - order.value)).toBeLessThan(0.001 * order.u);
});

test('following a fit to moved inputs says what fitting anew says', () => {
  const { runs } = simulate({ title: '', stated: true }, 3).experiment;
  const experiment: Experiment = {
    runs: runs.map((run) => ({
      ...run,
      gainURelative: 0.005,
      temperatureK: { value: 298.15, u: 0.2 },
      concentrations: {
        A: { value: run.concentrations?.A?.value ?? 0, u: 0.5, uCommonRelative: 0.01 },
        B: { value: run.concentrations?.B?.value ?? 0, u: 0.5, uCommonRelative: 0.01 },
      },
    })),
  };
  const options = { activationJPerMol: 56_000 };
  const fit = wholeFit(experiment.runs, options);
  if (!fit.ok) throw new Error(fit.sentence);
  const follow = followFit(experiment.runs, options, fit);
  const inputs = uncertainInputs(experiment);
  expect(inputs.length).toBeGreaterThan(8);
  for (const input of inputs) {
    const moved = input.move(experiment, 1).runs;
    const anew = wholeFit(moved, options);
    const followed = follow(moved);
    if (!anew.ok || !followed) throw new Error(input.name);
    const change = Math.log(anew.k / fit.k);
    // To first order: a tenth of the change, or a tenth of what the readings leave open.
    expect(Math.abs(followed.lnK - Math.log(anew.k)), input.name).toBeLessThan(
      0.1 * Math.max(Math.abs(change), fit.uRelative),
    );
  }
});

test.each([
  ['plain', { pacePerS: 0.004, order: 1 }],
  ['warming', { pacePerS: 0.004, order: 1.4, warmingPerS: 0.0004, anchorS: 90 }],
  ['held back', { pacePerS: 0.004, order: 1, lagS: 30, warmingPerS: 0.0002 }],
  ['saturating', { pacePerS: 0.004, order: 0, saturation: 0.7 }],
])('derivatives of the moments by the pace follow from the others: %s', (_, course) => {
  const logs = [0.05, 0.2, 0.5, 0.9];
  const all = { lnPace: 1, order: 0, saturation: 0, bend: 0, lagS: 0, warmingPerS: 0, anchorS: 0 };
  const slopes = momentSlopes(course, logs, [all])?.lnPace ?? [];
  const at = (factor: number) => momentsOf({ ...course, pacePerS: course.pacePerS * factor }, logs)?.times ?? [];
  const [up, down] = [at(Math.exp(1e-5)), at(Math.exp(-1e-5))];
  slopes.forEach((slope, i) => {
    expect(slope / (((up[i] ?? 0) - (down[i] ?? 0)) / 2e-5)).toBeCloseTo(1, 4);
  });
});

test('a logger’s run of 20,000 readings keeps a residual for each, and its rate', () => {
  // V = 60 mL (1 - exp(-t/500 s)): 0.12 mL/s at the start.
  const readings = Array.from({ length: 20_000 }, (_, i): RunReading => {
    const timeS = 0.05 * i;
    const noise = 1e-7 * Math.sin(12.9898 * i) * Math.cos(78.233 * i);
    return { timeS, volumeM3: 10e-6 - 60e-6 * Math.expm1(-timeS / 500) + noise, uTimeS: 0.01, uVolumeM3: 5e-8 };
  });
  const run = {
    label: '1',
    readings,
    baselineM3: { value: 10e-6, u: 0 },
    ceilingM3: { value: 60e-6, u: 0 },
    concentrations: { A: { value: 100, u: 0, uCommonRelative: 0 } },
  };
  const [found] = analyseExperiment({ runs: [run] }).runs;
  if (!found?.ok || !found.used) throw new Error('no rate');
  expect(found.model).not.toBeNull();
  expect(found.used.residualsM3).toHaveLength(20_000);
  expect(Math.max(...found.used.residualsM3.map(Math.abs))).toBeLessThan(4e-7);
  expect(found.used.rateM3PerS * 1e6).toBeCloseTo(0.12, 4);
});
