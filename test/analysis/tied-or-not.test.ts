import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import type { RunData } from '../../src/analysis/run-data.ts';
import { isTold, mostGas, withFittedCeilings, withTriedCeilings } from '../../src/analysis/tied-ceilings.ts';
import { experimentJson } from '../../src/files/rates-json.ts';
import { reasonText } from '../../src/results/analysis-texts.ts';
import { lawTable } from '../../src/results/rate-table.ts';
import { runSentence } from '../../src/results/sentences.ts';
import { verdictReasonText } from '../../src/results/verdict-texts.ts';
import { type Scenario, simulate, three } from '../benchmarks/kinetics-simulator.ts';

/** What comes of an experiment that was integrated step by step, with what is true. */
function analysed(scenario: Omit<Scenario, 'title' | 'ceiling'>, seed: number) {
  const { experiment, truth } = simulate({ title: '', ceiling: false, stated: true, ...scenario }, seed);
  const analysis = analyseExperiment(experiment);
  const runs = analysis.runs.map((run, i) => {
    if (!run.ok || !run.used || !run.estimates.firstOrder.ok) throw new Error('no rate');
    return { ...run, used: run.used, first: run.estimates.firstOrder, truth: truth.rates[i]?.zeroGas ?? Number.NaN };
  });
  return { analysis, runs, truth };
}

test('no ceiling lies below the gas that came, whichever reagent ties them and whatever the order', () => {
  // The second run has as much gas as the first one but only a third of B.
  const runs = [3, 1].map(
    (b, i): RunData => ({
      label: String(i + 1),
      readings: [1, 2, 3].map((n) => ({ timeS: 10 * n, volumeM3: n * 1e-5, uTimeS: 0.1, uVolumeM3: 1e-7 })),
      baselineM3: { value: 0, u: 0 },
      concentrations: { B: { value: 100 * b, u: 0, uCommonRelative: 0 } },
    }),
  );
  const tried = withTriedCeilings(runs, 'B');
  // Placed by the first reagent, and put in proportion to another: no longer twice the gas of the fullest run.
  const placed = tried.map((run) => ({
    ...run,
    ceilingM3: { value: (run.ceilingM3?.value ?? 0) / Math.sqrt(3), u: 0 },
  }));
  for (const order of [1, 2])
    for (const run of withFittedCeilings(placed, { value: 1.9, u: 0.1 }, order))
      expect(run.ceilingM3?.value).toBeGreaterThanOrEqual(1.01 * mostGas(run));
});

test('the bend of an order and its uncertainty are those of the logarithm of the rate', () => {
  const placed = [1, 2].map(
    (n): RunData => ({
      label: String(n),
      readings: [{ timeS: 10, volumeM3: n * 1e-6, uTimeS: 0.1, uVolumeM3: 1e-7 }],
      ceilingM3: { value: n * 4e-5, u: 0 },
    }),
  );
  const [one] = withFittedCeilings(placed, { value: 0.5, u: 0.05 }, 1);
  const [two] = withFittedCeilings(placed, { value: 0.5, u: 0.05 }, 2);
  expect(one?.ceilingM3?.value).toBeCloseTo(8e-5, 12);
  expect(two?.ceilingM3?.value).toBeCloseTo(4e-5, 12);
  for (const run of [one, two]) expect((run?.ceilingM3?.u ?? 0) / (run?.ceilingM3?.value ?? 1)).toBeCloseTo(0.1, 9);
});

test("the first-order curve of a second-order reaction has that reaction's starting rate, not two thirds of it", () => {
  for (const seed of [1, 2, 4, 5])
    for (const { first, truth } of analysed({ order: 2, readings: 14, stepMl: 4 }, seed).runs) {
      expect(first.ceilingM3?.from).toBe('tied');
      expect(first.rateM3PerS / truth).toBeGreaterThan(0.9);
      expect(first.rateM3PerS / truth).toBeLessThan(1.1);
    }
});

test('where nothing bends no ceiling is claimed, in either language and in the file', () => {
  let open = 0;
  for (let seed = 1; seed <= 8; seed++) {
    // Straight to 1 %: a sixtieth of the reagent is used up.
    const { analysis, runs } = analysed({ runs: three.map(([a, b]) => [20 * a, b / 20]), readings: 7 }, seed);
    const [run] = runs;
    const json = JSON.parse(JSON.stringify(experimentJson(analysis)));
    for (const one of runs) {
      if (one.first.ceilingM3?.from !== 'tied' || isTold(one.first.ceilingM3)) continue;
      open++;
      const said = [one.recommended?.reason, reasonText(one, 'de'), runSentence(one), runSentence(one, 'de')].join(' ');
      expect(said).toMatch(/bend too little/);
      expect(said).toMatch(/biegen sich zu wenig/);
      expect(said).not.toMatch(/runs together|verraten es gemeinsam|being used up|wurde verbraucht/);
      const found = json.runs.find((each: { run: string }) => each.run === one.run.label).firstOrder;
      expect(found).toMatchObject({ ceiling: 'not told', ceiling_mL: null, u_ceiling_mL: null, k_per_s: null });
    }
    expect(run).toBeDefined();
  }
  expect(open).toBeGreaterThan(12);
});

test('ceilings are not tied where a fading catalyst bends the runs, whatever their amounts', () => {
  for (const seed of [1, 2, 3])
    for (const { run, used, truth } of analysed({ fadesS: 100, readings: 8 }, seed).runs) {
      expect(run.ceilingTiedBy).toBeUndefined();
      expect(Math.abs(used.rateM3PerS / truth - 1)).toBeLessThan(0.15);
    }
});

test('runs that bend otherwise than their amounts ask for have no k, and the reason', () => {
  const { analysis } = analysed({ fadesS: 300 }, 4);
  const { headline, verdict } = analysis;
  expect(headline?.k ?? null).toBeNull();
  expect(verdict.standing).toBe('does-not-fit');
  expect(verdict.reasons[0]?.code).toBe('bends-differ');
  expect(verdictReasonText({ code: 'bends-differ' }, 'en')).toMatch(/slow down otherwise than their starting amounts/);
});

test('a reagent that nobody stated may be used up: it is the same in all runs', () => {
  // Of second order in it, 100 mL of gas in each run; only the catalyst is known.
  const runs = [1, 2, 1, 2, 1, 1.5].map((b, i): RunData => {
    const readings = Array.from({ length: 8 }, (_, n) => {
      const share = (10 + 5 * n) / 100;
      const timeS = Math.round((share / (1 - share) / (0.01 * b)) * 10) / 10;
      return { timeS, volumeM3: share * 1e-4, uTimeS: 0.3, uVolumeM3: 1e-7 };
    });
    const concentrations = { B: { value: 10 * b, u: 0, uCommonRelative: 0 } };
    return { label: String(i + 1), readings, baselineM3: { value: 0, u: 1e-7 }, concentrations, uStated: true };
  });
  const { headline, verdict } = analyseExperiment({ runs });
  expect(verdict.reasons.map(({ code }) => code)).toContain('used-up-unstated');
  expect(verdictReasonText({ code: 'used-up-unstated' }, 'en')).toMatch(/the same concentration of it/);
  expect(verdictReasonText({ code: 'used-up-unstated' }, 'de')).toMatch(/mit derselben Konzentration davon/);
  expect(headline?.k?.orders).toEqual({ B: 1 });
  // dV/dt at the start: 100 mL times 0.01 b per s, b being the concentration over 0.01 mol/L.
  expect(Math.abs((headline?.k?.value ?? 0) / 1e-4 - 1)).toBeLessThan(0.05);
});

test('ceilings stay tied where the amounts do bend the runs', () => {
  let tied = 0;
  for (let seed = 1; seed <= 15; seed++)
    tied += analysed({}, seed).runs.every(({ run }) => run.ceilingTiedBy !== undefined) ? 1 : 0;
  expect(tied).toBeGreaterThanOrEqual(14);
});

/** Three readings of an exhausting reaction at given moments: V = C (1 - exp(-k t)), read to 0.1 mL. */
function late(timesS: readonly number[], uStated: boolean): RunData[] {
  return [0.5, 0.75, 1].map((strength, i) => ({
    label: String(i + 1),
    readings: timesS.map((timeS) => ({
      timeS,
      volumeM3: Math.round(-500 * strength * Math.expm1(-0.03 * timeS)) * 1e-7,
      uTimeS: 0.3,
      uVolumeM3: 1e-7,
    })),
    baselineM3: { value: 0, u: 0 },
    concentrations: { H2O2: { value: 1000 * strength, u: 0, uCommonRelative: 0 } },
    uStated,
    resolution: { timeS: 1, volumeM3: 1e-7 },
  }));
}

test.each([
  [[60, 120, 180], true],
  [[60, 120, 180], false],
  [[90, 120, 150], true],
  [[90, 120, 150], false],
])('three readings near the end, %j s, stated %j: no k, and that the starting rate is not known', (timesS, stated) => {
  const analysis = analyseExperiment({ runs: late(timesS, stated) });
  const { headline, verdict, runs } = analysis;
  expect(headline?.k ?? null).toBeNull();
  // Nor does the table or the file state one.
  expect(
    lawTable(analysis)
      .rows.map(([quantity]) => JSON.stringify(quantity))
      .join(),
  ).not.toMatch(/"text":"k"/);
  expect(experimentJson(analysis)).toMatchObject({ law: { k: null, u: null, accepted: null } });
  const reason = verdict.reasons.find(({ code }) => code === 'late-rates');
  if (!reason) throw new Error('nothing said');
  expect(verdictReasonText(reason, 'en')).toMatch(/starting rate was higher/);
  expect(verdictReasonText(reason, 'de')).toMatch(/Anfangsgeschwindigkeit war höher/);
  const sentences = runs.filter((run) => run.ok && run.used?.at === 'first-reading').map((run) => runSentence(run));
  expect(sentences.length).toBeGreaterThan(0);
  for (const sentence of sentences) expect(sentence).toMatch(/starting rate was higher than this and is not known/);
});

test('three readings that no tied curve comes near have no starting rate', () => {
  // Three amounts of catalyst: the fastest run is over before its second reading.
  const runs = late([60, 120, 180], true).map((run, i) => ({
    ...run,
    readings: run.readings.map((reading) => ({
      ...reading,
      volumeM3: Math.round(-500 * Math.expm1(-0.01 * 2 ** i * reading.timeS)) * 1e-7,
    })),
    concentrations: {
      A: { value: 1000, u: 0, uCommonRelative: 0 },
      B: { value: 10 * 2 ** i, u: 0, uCommonRelative: 0 },
    },
  }));
  const { headline, runs: found } = analyseExperiment({ runs });
  expect(headline?.k ?? null).toBeNull();
  for (const run of found) expect(run.ok && run.used?.at).not.toBe('zero-gas');
});

test('three readings that begin early have starting rates within their uncertainties', () => {
  const { runs, verdict } = analyseExperiment({ runs: late([15, 30, 45], true) });
  expect(verdict.reasons.map(({ code }) => code)).not.toContain('late-rates');
  runs.forEach((run, i) => {
    if (!run.ok || !run.used) throw new Error('no rate');
    const truth = 1.5e-6 * ([0.5, 0.75, 1][i] ?? 0);
    expect(run.used.low95).toBeLessThan(truth);
    expect(run.used.high95).toBeGreaterThan(truth);
  });
});

test('k at free orders is uncertain by what the reagents that may tie the ceilings differ in', () => {
  // No input is uncertain, so that nothing but the readings and the reagents count.
  const { analysis } = analysed({ readings: 6, stepMl: 4, stated: false }, 1);
  const { whole } = analysis;
  if (!whole.ok) throw new Error(whole.sentence);
  expect(whole.u / whole.k).toBeGreaterThan(1.1 * whole.free.uRelative);
});

test.each([
  [0.2, 0.05, true, 'would do as well', 'ebenso gut'],
  [0.2, 0.05, false, 'not ruled out', 'nicht auszuschließen'],
])('a rate that levels off is said to fit as it does, with K %f ± %f', (constant, u, asWell, en, de) => {
  const reason = { code: 'levels-off', species: 'A', order: 0.5, constant, u, asWell } as const;
  expect(verdictReasonText(reason, 'en')).toContain(en);
  expect(verdictReasonText(reason, 'de')).toContain(de);
  expect(verdictReasonText(reason, 'en')).toMatch(/K = 0\.20* ± 0\.05/);
  expect(verdictReasonText({ ...reason, u: 0.15 }, 'en')).not.toMatch(/K =|0\.2/);
  expect(verdictReasonText({ ...reason, u: 0.15 }, 'de')).not.toMatch(/K =|0,2/);
});
