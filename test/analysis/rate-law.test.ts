import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import { analyseRun } from '../../src/analysis/analyse-run.ts';
import { conversionTime } from '../../src/analysis/course.ts';
import type { LawRow } from '../../src/analysis/law-row.ts';
import { rateLaw } from '../../src/analysis/rate-law.ts';
import { peroxideIodide, simulateExperiment, usualErrors } from '../../src/analysis/simulate.ts';
import { propagateByDraws } from '../../src/analysis/uncertainty.ts';
import { wholeFit } from '../../src/analysis/whole-fit.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { chainChoice } from '../../src/results/chain-choice.ts';
import { lawSentence } from '../../src/results/sentences.ts';
import { the } from '../the.ts';

function row(label: string, rate: number, uRate: number | null, concentrations: Record<string, number>): LawRow {
  return {
    label,
    rate,
    uRate,
    dfRate: Number.POSITIVE_INFINITY,
    concentrations: Object.fromEntries(
      Object.entries(concentrations).map(([name, value]) => [name, { value, u: 0, uCommonRelative: 0 }]),
    ),
  };
}

test('three runs for three unknowns: u of an order is the propagated one, sqrt(2) u(r)/r / ln 2', () => {
  const law = rateLaw([
    row('1', 1, 0.01, { A: 0.1, B: 0.1 }),
    row('2', 2, 0.02, { A: 0.2, B: 0.1 }),
    row('3', 2, 0.02, { A: 0.1, B: 0.2 }),
  ]);
  if (!law.ok) throw new Error(law.sentence);
  expect(the(law.orders.A).value).toBeCloseTo(1, 12);
  expect(the(law.orders.A).u).toBeCloseTo((Math.SQRT2 * 0.01) / Math.LN2, 6);
  expect(the(law.accepted).k).toBeCloseTo(100, 9);
});

test('an order that the runs cannot tell is named, and why', () => {
  const law = rateLaw([
    row('1', 1, 0.01, { A: 0.1, B: 0.1 }),
    row('2', 2, 0.02, { A: 0.2, B: 0.1 }),
    row('3', 4, 0.04, { A: 0.4, B: 0.1 }),
  ]);
  if (!law.ok) throw new Error(law.sentence);
  expect(Object.keys(law.orders)).toEqual(['A']);
  expect(law.problems).toEqual([
    {
      species: 'B',
      kind: 'constant',
      with: [],
      sentence: expect.stringMatching(/^Runs 1, 2 and 3 all have the same B/),
    },
  ]);
});

test('a pour of what is the same in all runs does not blow up the constant that holds it', () => {
  const { experiment } = simulateExperiment(peroxideIodide, usualErrors, createRandom(6));
  const [first] = experiment.runs;
  const iodide = the(the(the(first).concentrations)['I-']);
  const runs = experiment.runs.map((run) => ({ ...run, concentrations: { ...run.concentrations, 'I-': iodide } }));
  const { law } = analyseExperiment({ ...experiment, runs }, { withoutWhole: true, withoutFlags: true });
  if (!law.ok || !law.effective) throw new Error('no effective law');
  expect(law.problems).toMatchObject([{ species: 'I-', kind: 'constant' }]);
  const poured = law.effective.shares.find(({ source }) => source === 'poured volumes');
  expect(the(poured).u).toBeLessThan(0.03);
});

test('nobody can tell apart two reagents that change only together', () => {
  const law = rateLaw([
    row('1', 1, 0.01, { A: 0.1, B: 0.3, C: 1 }),
    row('2', 4, 0.04, { A: 0.2, B: 0.6, C: 1 }),
    row('3', 2, 0.02, { A: 0.1, B: 0.3, C: 2 }),
  ]);
  if (!law.ok) throw new Error(law.sentence);
  // C gets its order all the same, not disturbed by the pair.
  expect(the(law.orders.C).value).toBeCloseTo(1, 9);
  expect(law.k).toBeNull();
  expect(law.problems.map(({ species }) => species).sort()).toEqual(['A', 'B']);
});

test('replicates are pooled: two more of run 1 narrow the order', () => {
  const three = [row('1', 1, 0.02, { A: 0.1 }), row('2', 2, 0.04, { A: 0.2 })];
  const one = rateLaw(three);
  const more = rateLaw([...three, row('1b', 1.01, 0.02, { A: 0.1 }), row('1c', 0.99, 0.02, { A: 0.1 })]);
  if (!one.ok || !more.ok) throw new Error('refused');
  expect(the(more.orders.A).u).toBeLessThan(the(one.orders.A).u);
});

test('half-integer orders are found; others are not forced', () => {
  const rate = (a: number, order: number): number => 3 * a ** order;
  const at = (order: number) =>
    rateLaw([0.1, 0.2, 0.4].map((a, i) => row(String(i + 1), rate(a, order), rate(a, order) * 0.005, { A: a })));
  const half = at(0.5);
  const third = at(1.25);
  if (!half.ok || !third.ok) throw new Error('refused');
  expect(the(half.accepted).orders).toEqual({ A: 0.5 });
  expect(the(third.orders.A).accepted).toBeNull();
  expect(third.accepted).toBeNull();
});

test('a run with a zero concentration or a falling volume is left out, with the reason', () => {
  const law = rateLaw([
    row('1', 1, 0.01, { A: 0.1 }),
    row('2', 2, 0.02, { A: 0.2 }),
    row('blank', 0.01, 0.01, { A: 0 }),
    row('4', -1, 0.01, { A: 0.3 }),
  ]);
  if (!law.ok) throw new Error(law.sentence);
  expect(law.leftOut.map(({ label }) => label)).toEqual(['blank', '4']);
});

test('the time law is closed for every order, and smooth through order 1', () => {
  for (const f of [0.01, 0.3, 0.9]) {
    const log = -Math.log1p(-f);
    expect(conversionTime(log, 0)).toBeCloseTo(f, 12);
    expect(conversionTime(log, 1)).toBeCloseTo(log, 12);
    expect(conversionTime(log, 2)).toBeCloseTo(f / (1 - f), 10);
    expect(conversionTime(log, 0.5)).toBeCloseTo(2 * (1 - Math.sqrt(1 - f)), 12);
    expect(conversionTime(log, 1 + 1e-7)).toBeCloseTo(conversionTime(log, 1 - 1e-7), 5);
  }
});

const noErrors = {
  ...usualErrors,
  timeS: 1e-6,
  volumeM3: 1e-13,
  baselineVolumeM3: 0,
  gainRelative: 0,
  pourRelative: 0,
  stockRelative: 0,
  temperatureK: 0,
  pressurePa: 0,
};

test("without errors a simulated experiment gives Liebhafsky and Mohammad's k back, for d[O2]/dt", () => {
  // J. Am. Chem. Soc. 55 (1933) 3977: 0.69 L/(mol min) for d[O2]/dt; the loss of peroxide is twice that, 1.38.
  const { experiment } = simulateExperiment(peroxideIodide, noErrors, createRandom(1));
  const { law, whole, runs } = analyseExperiment(experiment);
  if (!law.ok || !whole.ok) throw new Error('refused');
  expect(the(law.accepted).orders).toEqual({ H2O2: 1, 'I-': 1 });
  expect(the(law.accepted).k * 60).toBeCloseTo(0.69, 4);
  expect(whole.k * 60).toBeCloseTo(0.69, 4);
  expect(the(whole.orders.H2O2).value).toBeCloseTo(1, 5);
  // The first-order constant of a run is for the peroxide: 2 k [I-].
  const first = the(runs[0]);
  if (!first.ok || !first.used) throw new Error('refused');
  expect(the(first.used.kPerS).value).toBeCloseTo(2 * 0.0115 * 0.08, 6);
});

test.each([0, 0.5, 1, 2])(
  'the fit of all readings finds order %d in the limiting reagent from the bend of the curves',
  (order) => {
    const plan = { ...peroxideIodide, orders: { H2O2: order, 'I-': 1 }, k: 1.15e-5 * 150 ** (1 - order) };
    const { experiment } = simulateExperiment(plan, { ...noErrors, timeS: 0.02 }, createRandom(2));
    // One run alone: only the curvature can tell.
    const fit = wholeFit(experiment.runs.slice(0, 1));
    if (!fit.ok) throw new Error(fit.sentence);
    expect(Math.abs(the(fit.orders.H2O2).value - order)).toBeLessThan(5 * the(fit.orders.H2O2).u + 0.01);
  },
);

test('a temperature that drifts during the runs is carried by the clock of the reaction', () => {
  const drift = 0.004;
  const { experiment, truth } = simulateExperiment(peroxideIodide, { ...noErrors, driftKPerS: drift }, createRandom(3));
  const told = {
    ...experiment,
    runs: experiment.runs.map((run) => {
      const times = run.readings.map((reading) => reading.timeS);
      const middle = times.reduce((a, b) => a + b, 0) / times.length;
      // The simulation starts at the told temperature and warms; the mean is what a person calls.
      return { ...run, temperatureK: { value: 298.15 + drift * middle, u: 0 }, driftKPerS: drift };
    }),
  };
  const known = analyseExperiment(told);
  if (!known.law.ok) throw new Error('refused');
  const atReference = truth.k * 1000 * Math.exp((-56_100 / 8.314462618) * (1 / the(known.referenceK) - 1 / 298.15));
  expect(the(known.law.accepted).k / atReference).toBeCloseTo(1, 2);
  // Ignored, the drift bends the curve and the first-order constant is wrong by several per cent.
  const rates = [told, experiment].map(({ runs }) => {
    const analysis = analyseRun(the(runs[0]), { activationJPerMol: { value: 56_100, u: 0 } });
    if (!analysis.ok || !analysis.estimates.firstOrder.ok) throw new Error('refused');
    return analysis.estimates.firstOrder;
  });
  expect(the(the(rates[1]).scatter.mswd) / the(the(rates[0]).scatter.mswd)).toBeGreaterThan(100);
});

test('runs at different temperatures: the activation energy is found with the orders, and k at the mean temperature', () => {
  const plan = {
    ...peroxideIodide,
    runs: [
      { label: '1', concentrations: { H2O2: 150, 'I-': 80 }, temperatureK: 288.15 },
      { label: '2', concentrations: { H2O2: 300, 'I-': 80 }, temperatureK: 298.15 },
      { label: '3', concentrations: { H2O2: 150, 'I-': 160 }, temperatureK: 298.15 },
      { label: '4', concentrations: { H2O2: 150, 'I-': 80 }, temperatureK: 308.15 },
    ],
  };
  const { experiment } = simulateExperiment(plan, noErrors, createRandom(5));
  const { activationJPerMol: _, ...unknown } = experiment;
  for (const one of [experiment, unknown]) {
    const { law, temperature, experiment: used } = analyseExperiment(one);
    if (!law.ok || !temperature.ok) throw new Error('refused');
    expect(the(used.activationJPerMol).value / 56_100).toBeCloseTo(1, 2);
    expect(the(law.accepted).orders).toEqual({ H2O2: 1, 'I-': 1 });
    expect(the(law.accepted).k).toBeCloseTo(0.0115, 4);
    expect(temperature.activation.value / 56_100).toBeCloseTo(1, 2);
  }
});

test('the draws through the chain agree with the linear result, and repeat with the seed', async () => {
  const { experiment } = simulateExperiment(peroxideIodide, usualErrors, createRandom(4));
  const analysis = analyseExperiment(experiment);
  if (!analysis.law.ok || !analysis.whole.ok) throw new Error('refused');
  const shares: number[] = [];
  const task = { experiment, choice: chainChoice(analysis), seed: 7, draws: 600 };
  const drawn = await propagateByDraws(task, (share) => shares.push(share));
  expect(the(drawn.k).mean / the(analysis.law.accepted).k).toBeCloseTo(1, 2);
  expect(the(drawn.k).u / the(the(analysis.law.accepted).u)).toBeGreaterThan(0.85);
  expect(the(drawn.k).u / the(the(analysis.law.accepted).u)).toBeLessThan(1.15);
  expect(the(drawn.kWhole).u / the(analysis.whole.accepted).u).toBeGreaterThan(0.85);
  expect(the(drawn.kWhole).u / the(analysis.whole.accepted).u).toBeLessThan(1.15);
  expect(shares.at(-1)).toBeGreaterThan(0.5);
  expect(await propagateByDraws(task)).toEqual(drawn);
  const stop = new AbortController();
  await expect(propagateByDraws(task, () => stop.abort(), stop.signal)).rejects.toThrow();
}, 120_000);

test('the law is said in words', () => {
  const { experiment } = simulateExperiment(peroxideIodide, noErrors, createRandom(1));
  expect(lawSentence(analyseExperiment(experiment))).toBe(
    'Doubling H2O2 doubles the rate, and doubling I- doubles the rate.',
  );
});
