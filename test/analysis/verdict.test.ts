import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import { analyseRun } from '../../src/analysis/analyse-run.ts';
import { liveLag } from '../../src/analysis/live.ts';
import { moderated } from '../../src/analysis/moderated-rows.ts';
import { rateLaw } from '../../src/analysis/rate-law.ts';
import type { Experiment, RunData, RunReading } from '../../src/analysis/run-data.ts';
import { standingOf, verdictOf } from '../../src/analysis/verdict.ts';
import { nth } from '../../src/numerics/nth.ts';
import { rateColumns } from '../../src/results/rate-table.ts';
import { verdictReasonText, verdictText } from '../../src/results/verdict-texts.ts';
import { simulate } from '../benchmarks/kinetics-simulator.ts';

/** A ceiling of 90 mL per 0.15 mol/L; volumes from an integration in small steps, read every 20 s. */
function runOf(label: string, a: number, { order = 1, lagS = 0, scale = 1 } = {}): RunData {
  const ceiling = 600 * a;
  const h = 0.05;
  let made = 0;
  let held = 0;
  const readings: RunReading[] = [];
  for (let step = 1; step <= 6000; step++) {
    const gain = h * 2 * scale * a * (1 - made / ceiling) ** order;
    made += gain;
    held += lagS > 0 ? gain - (h * held) / lagS : 0;
    const t = step * h;
    if (step % 400 !== 0 || made - held < 2) continue;
    // A fixed pattern in place of chance: a tenth of a millilitre up and down.
    const off: number = [0.1, -0.1, -0.1, 0.1, 0.05, -0.05][readings.length % 6] ?? 0;
    readings.push({ timeS: t, volumeM3: (made - held + off) * 1e-6, uTimeS: 0, uVolumeM3: 1e-7 });
  }
  return {
    label,
    readings,
    baselineM3: { value: 0, u: 0 },
    ceilingM3: { value: ceiling * 1e-6, u: 0 },
    concentrations: { A: { value: a * 1000, u: 0, uCommonRelative: 0 } },
  };
}

const experimentOf = (...runs: RunData[]): Experiment => ({ runs });

test('runs of a first-order reaction have a law that fits, and k is in the headline', () => {
  const { verdict, headline } = analyseExperiment(experimentOf(runOf('1', 0.1), runOf('2', 0.2), runOf('3', 0.3)));
  expect(verdict.standing).toBe('fits');
  expect(headline?.k?.orders).toEqual({ A: 1 });
});

test('a reaction that falls with the square of what is left has its starting rate by that curve', () => {
  const analysis = analyseExperiment(
    experimentOf(...[0.1, 0.2, 0.3].map((a, i) => runOf(String(i), a, { order: 2, scale: a / 0.1 }))),
  );
  expect(analysis.within?.order).toBeCloseTo(2, 0);
  for (const [i, a] of [0.1, 0.2, 0.3].entries()) {
    const run = analysis.runs[i];
    if (!run?.ok || !run.used) throw new Error('refused');
    const truth = 2 * (a / 0.1) * a * 1e-6;
    if (run.used.at === 'zero-gas') expect(Math.abs(run.used.rateM3PerS / truth - 1)).toBeLessThan(0.05);
  }
});

test('gas that is held back for a minute is said to be, and k is that of the reaction all the same', () => {
  const { verdict, headline, within } = analyseExperiment(
    experimentOf(...[0.1, 0.2, 0.3].map((a, i) => runOf(String(i), a, { lagS: 60 }))),
  );
  expect(verdict.reasons.map(({ code }) => code)).toContain('held-back');
  expect(within?.lag?.seconds).toBeGreaterThan(45);
  expect(within?.lag?.seconds).toBeLessThan(75);
  // 2 mL/s per mol/L.
  expect(headline?.k?.low95).toBeLessThan(2e-6);
  expect(headline?.k?.high95).toBeGreaterThan(2e-6);
  expect(Math.abs((headline?.k?.value ?? 0) / 2e-6 - 1)).toBeLessThan(0.1);
});

test('first readings that held-back gas delays are no surge when they lie on the curve of all runs', () => {
  const { runs } = simulate({ title: '', lagS: 20, stated: true }, 3).experiment;
  const alone = runs.map((run) => analyseRun(run));
  expect(alone.some((one) => one.ok && one.flags.length > 0)).toBe(true);
  const { runs: together, within } = analyseExperiment({ runs });
  expect(within?.lag).not.toBeNull();
  expect(together.flatMap((one) => (one.ok ? one.flags : []))).toEqual([]);
  // A reading that is off stays flagged.
  const [first, ...others] = runs;
  if (!first) throw new Error('no run');
  const readings = first.readings.map((one, i) => (i === 4 ? { ...one, volumeM3: one.volumeM3 + 6e-6 } : one));
  const wrong = analyseExperiment({ runs: [{ ...first, readings }, ...others] }).runs[0];
  expect(wrong?.ok && wrong.flags.map(({ index }) => index)).toContain(4);
});

test('what starting rates miss k by within their own uncertainty does not widen the k of all readings', () => {
  // Gas held back: starting rates tell little, and all readings together tell k.
  const { headline, whole, law } = analyseExperiment(
    experimentOf(...[0.1, 0.2, 0.3].map((a, i) => runOf(String(i), a, { lagS: 100 }))),
  );
  if (!whole.ok || !whole.accepted || !law.ok || !law.accepted) throw new Error('refused');
  expect(law.accepted.u).toBeGreaterThan(1.2 * whole.accepted.u);
  expect(headline?.k?.u).toBeLessThan(1.1 * whole.accepted.u);
});

test('a run that makes no gas is set apart, and the orders come from the others', () => {
  const row = (label: string, a: number, rate: number) => ({
    label,
    rate,
    uRate: 0.01,
    dfRate: 20,
    concentrations: { A: { value: a, u: 0, uCommonRelative: 0 } },
  });
  const law = rateLaw([row('1', 1, 1), row('2', 2, 2), row('3', 4, 4), row('4', 3, 1e-9)]);
  if (!law.ok) throw new Error(law.sentence);
  expect(law.orders.A?.value).toBeCloseTo(1, 6);
  expect(law.leftOut.map(({ label }) => label)).toEqual(['4']);
});

test('an order of ten is never accepted', () => {
  const row = (label: string, a: number, rate: number) => ({
    label,
    rate,
    uRate: rate / 100,
    dfRate: 20,
    concentrations: { A: { value: a, u: 0, uCommonRelative: 0 } },
  });
  const law = rateLaw([row('1', 1, 1), row('2', 2, 2 ** 10)]);
  if (!law.ok) throw new Error(law.sentence);
  expect(law.orders.A?.accepted).toBeNull();
  expect(law.accepted).toBeNull();
});

test('a mean rate is called a mean rate, with a reservation', () => {
  const bare = [0.1, 0.2, 0.3].map((a, i): RunData => {
    const { ceilingM3: _, baselineM3: __, ...run } = runOf(String(i), a);
    return { ...run, readings: run.readings.slice(0, 3) };
  });
  const analysis = analyseExperiment(experimentOf(...bare));
  expect(analysis.verdict.reasons.map(({ code }) => code)).toContain('mean-rates');
  for (const [language, name] of [
    ['en', 'mean rate'],
    ['de', 'mittlere Geschwindigkeit'],
  ] as const) {
    const columns = rateColumns(analysis, 'mL/s', language);
    expect(columns.find(({ key }) => key === 'rate')?.label).toBe(name);
    const row = { run: nth(analysis.experiment.runs, 0), result: nth(analysis.runs, 0) };
    expect(columns.find(({ key }) => key === 'estimator')?.cell(row)).toMatchObject({
      text: expect.stringContaining(name),
    });
  }
});

test('runs without a ceiling that differ only in dilution share one: their starting rates are those of the reaction', () => {
  const bare = [0.1, 0.2, 0.3].map((a, i): RunData => {
    const { ceilingM3: _, ...run } = runOf(String(i), a);
    return run;
  });
  const { runs, headline, verdict } = analyseExperiment(experimentOf(...bare));
  expect(verdict.reasons.map(({ code }) => code)).not.toContain('mean-rates');
  expect(headline?.k?.orders).toEqual({ A: 1 });
  runs.forEach((run, i) => {
    if (!run.ok || !run.used) throw new Error('no rate');
    expect(run.used).toMatchObject({ at: 'zero-gas', ceilingM3: { from: 'tied' } });
    // 2 mL/s for each mol/L, as `runOf` has it.
    expect(Math.abs(run.used.rateM3PerS - nth([0.2e-6, 0.4e-6, 0.6e-6], i))).toBeLessThan(2 * run.used.u);
    expect(run.used.u).toBeLessThan(0.1 * run.used.rateM3PerS);
  });
});

test('variances from few readings are drawn together, those from many stay', () => {
  const row = (uRate: number, dfRate: number) => ({ label: '', rate: 1, uRate, dfRate, concentrations: {} });
  const [low, high] = moderated([row(0.01, 1), row(0.1, 1)]);
  expect(low?.uRate).toBeGreaterThan(0.03);
  expect(high?.uRate).toBeLessThan(0.1);
  expect(moderated([row(0.01, 50), row(0.1, 50)])[0]?.uRate).toBe(0.01);
});

test('the worst reason sets the standing, and every code has a sentence in both languages', () => {
  expect(
    verdictOf([
      { code: 'runs-disagree', birge: 3 },
      { code: 'wild-order', species: 'A', value: -10 },
    ]).standing,
  ).toBe('does-not-fit');
  expect(Object.values(standingOf)).toContain('no-law');
  for (const language of ['en', 'de'] as const) {
    expect(verdictReasonText({ code: 'mean-rates', runs: ['1', '2'] }, language)).toMatch(/1 (and|und) 2/);
    expect(verdictText(verdictOf([{ code: 'misfit', runs: ['3'], p: 0.01 }]), language)).toMatch(/3/);
  }
});

test('the Bench warns while gas is held back, and not when the flow is steady or falls', () => {
  const at = (timeS: number, ml: number) => ({ timeS, volumeM3: ml * 1e-6, uTimeS: 0.1, uVolumeM3: 1e-7 });
  expect(liveLag([at(0, 62), at(40, 64), at(70, 66), at(94, 68), at(116, 70)])?.fasterBy).toBeGreaterThan(0.5);
  expect(liveLag([at(0, 62), at(20, 64), at(40, 66), at(60, 68), at(80, 70)])).toBeNull();
  expect(liveLag([at(0, 62), at(20, 64), at(42, 66), at(66, 68), at(92, 70)])).toBeNull();
});
