import { expect, test } from 'vitest';
import { analyseExperiment, type ExperimentAnalysis } from '../../src/analysis/analyse-experiment.ts';
import { judgeOrder } from '../../src/analysis/judge-order.ts';
import { isLate } from '../../src/analysis/late-rate.ts';
import type { RunData } from '../../src/analysis/run-data.ts';
import { combineContributions } from '../../src/analysis/scatter.ts';
import { tempered } from '../../src/analysis/tied-ceilings.ts';
import { experimentJson } from '../../src/files/rates-json.ts';
import { headlineOf } from '../../src/results/headline.ts';
import { lawTable, rateTable } from '../../src/results/rate-table.ts';
import { type Scenario, simulate } from '../benchmarks/kinetics-simulator.ts';
import { seeded } from '../files/mutations.ts';

/** Experiments integrated step by step, with what is true; seeds that no threshold was chosen on. */
const analysed = (scenario: Omit<Scenario, 'title'>, seed: number) => {
  const { experiment, truth } = simulate({ title: '', ...scenario }, seed);
  return { analysis: analyseExperiment(experiment), truth };
};

test('a leak that nobody has settled leaves no k in the headline, and both values in the sentence', () => {
  let flagged = 0;
  for (const seed of [71, 72, 73]) {
    const { analysis, truth } = analysed({ leak: 0.4 }, seed);
    const { headline, unsettled } = analysis;
    expect(headline?.k ?? null).toBeNull();
    if (!unsettled?.differ) continue;
    flagged++;
    expect(unsettled.without?.k?.value).toBeGreaterThan(0.9 * truth.k);
    expect(unsettled.without?.k?.value).toBeLessThan(1.1 * truth.k);
    expect(headlineOf(analysis, unsettled.count).sentence).toMatch(/^Settle \d+ readings first: k is/);
  }
  expect(flagged).toBeGreaterThan(0);
});

test('one number that was misheard leaves k in the headline where it hardly changes it', () => {
  const { analysis, truth } = analysed({ misheard: true }, 71);
  expect(analysis.runs.some((run) => run.ok && run.flags.length > 0)).toBe(true);
  expect(Math.abs((analysis.headline?.k?.value ?? 0) / truth.k - 1)).toBeLessThan(0.1);
});

test('four readings of a reaction that is soon over bend, though they miss every parabola', () => {
  for (const seed of [71, 72, 73]) {
    const { analysis, truth } = analysed({ ceiling: false, timesS: [30, 60, 90, 120], k: 0.1 }, seed);
    for (const run of analysis.runs) expect(run.ok && run.used?.estimator).toBe('firstOrder');
    expect(analysis.headline?.k?.orders).toEqual({ A: 1, B: 1 });
    expect(Math.abs((analysis.headline?.k?.value ?? 0) / truth.k - 1)).toBeLessThan(0.05);
  }
});

test('where readings are too few for any criterion, orders are uncertain all the same', () => {
  const { analysis } = analysed({ ceiling: false, timesS: [30, 60, 90] }, 71);
  if (!analysis.whole.ok) throw new Error(analysis.whole.sentence);
  expect(analysis.whole.free.aicc).toBe(Number.POSITIVE_INFINITY);
  for (const { value, u, low95, high95 } of Object.values(analysis.whole.orders)) {
    expect(u).toBeGreaterThan(0.005);
    expect(low95).toBeLessThan(value);
    expect(high95).toBeGreaterThan(1);
  }
  const endless = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  expect(tempered(endless.map((aicc, i) => ({ by: String(i), aicc })))).toEqual(endless);
});

test('an uncertainty that cannot be worked out is none that is known, and not zero', () => {
  expect(combineContributions([{ u: Number.NaN, df: 3 }]).u).toBe(Number.POSITIVE_INFINITY);
});

test('starting rates are no better known than by all readings: three readings a run are no disagreement', () => {
  let differing = 0;
  for (let seed = 71; seed < 79; seed++) {
    const { analysis } = analysed({ ceiling: false, readings: 3, stepMl: 7, stated: true }, seed);
    if (analysis.verdict.reasons.some(({ code }) => code === 'ways-differ')) differing++;
  }
  expect(differing).toBeLessThanOrEqual(1);
});

test('a half order must lie in its 95 % interval, a whole one in its 99 % interval', () => {
  expect(judgeOrder(0.67, { u: 0.07, df: 12 }).accepted).toBeNull();
  expect(judgeOrder(0.56, { u: 0.07, df: 12 }).accepted).toBe(0.5);
  expect(judgeOrder(1.17, { u: 0.07, df: 12 }).accepted).toBe(1);
});

test('a mean rate of readings that begin near the end is no starting rate', () => {
  // 50 mL in all, most of it before the first reading; the readings are off by some tenths.
  const volumesMl = [46.4, 48.6, 48.9, 49.9];
  const run: RunData = {
    label: '1',
    readings: volumesMl.map((ml, i) => ({ timeS: 90 + 30 * i, volumeM3: ml * 1e-6, uTimeS: 0.3, uVolumeM3: 1e-7 })),
    baselineM3: { value: 0, u: 0 },
    uStated: false,
  };
  const [found] = analyseExperiment({ runs: [run] }).runs;
  if (!found?.ok) throw new Error('refused');
  expect(found.used?.at).toBe('whole-run');
  expect(isLate(found)).toBe(true);
});

test.each([1, 2])('where only the catalyst is stated, runs of order %i in what is used up have k', (order) => {
  const runs: Scenario['runs'] = [
    [0.15, 0.08],
    [0.15, 0.16],
    [0.15, 0.24],
    [0.15, 0.08],
  ];
  for (const seed of [71, 72]) {
    const { analysis, truth } = analysed({ runs, ceiling: false, onlyCatalyst: true, order, stated: true }, seed);
    expect(analysis.headline?.k?.orders).toEqual({ B: 1 });
    expect(Math.abs((analysis.headline?.k?.value ?? 0) / truth.k - 1)).toBeLessThan(0.06);
    // A catalyst that fades in minutes bends them by time and not by what is left. One that fades more slowly is not told
    // from a reagent used up; the starting rates, and k, are the same either way.
    const slow = analysed({ runs, ceiling: false, onlyCatalyst: true, fadesS: 3000, stated: true }, seed);
    expect(Math.abs((slow.analysis.headline?.k?.value ?? 0) / slow.truth.k - 1)).toBeLessThan(0.06);
    const fading = analysed({ runs, ceiling: false, onlyCatalyst: true, fadesS: 300, stated: true }, seed);
    expect(fading.analysis.headline?.k ?? null).toBeNull();
  }
});

/** Oxygen from peroxide read to so many mL; only the catalyst is stated. `peroxide` in mol/L, `hidden` a factor on its amount. */
function readTo(
  peroxide: readonly number[],
  catalyst: readonly number[],
  toMl: number,
  seed: number,
  hidden: readonly number[] = [],
): RunData[] {
  const random = seeded(seed);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  return peroxide.map((a, i): RunData => {
    const b = catalyst[i] ?? Number.NaN;
    // mL of oxygen from 50 mL of it, 24.7 L/mol; first order in both, k = 0.0174 L/(mol s).
    const madeMl = a * 50 * 0.5 * 24.7;
    const readings = Array.from({ length: toMl / 2 }, (_, n) => ({
      timeS: -Math.log(1 - (2 * n + 2) / madeMl) / (0.0174 * b * (hidden[i] ?? 1)) + 0.1 * normal(),
      volumeM3: (2 * n + 2) * 1e-6,
      uTimeS: 0.1,
      uVolumeM3: 1e-7,
    }));
    return {
      label: String(i + 1),
      readings,
      baselineM3: { value: 0, u: 1e-7 },
      concentrations: { B: { value: 1000 * b, u: 5 * b, uCommonRelative: 0.01 } },
      uStated: true,
    };
  });
}

test('runs with the same of all that is stated, at rates twofold apart, had not the same of what is not', () => {
  for (let seed = 1; seed <= 12; seed++) {
    const runs = readTo([0.36, 0.36, 0.18], [0.048, 0.024, 0.048], 20, seed * 977);
    const { headline, verdict } = analyseExperiment({ runs });
    expect(headline?.k ?? null, `${seed}`).toBeNull();
    expect(verdict.reasons.map(({ code }) => code)).toContain('bends-differ');
  }
});

test('runs that disagree had not the same of what is not stated', () => {
  let seen = 0;
  for (let seed = 1; seed <= 6; seed++) {
    const runs = readTo([0.3, 0.3, 0.3, 0.3], [0.02, 0.03, 0.04, 0.05], 60, seed, [1, 1.4, 1, 1]);
    const { verdict } = analyseExperiment({ runs });
    const codes = verdict.reasons.map(({ code }) => code);
    expect(codes.includes('used-up-unstated') && codes.includes('runs-disagree')).toBe(false);
    if (codes.includes('bends-differ')) seen++;
    const good = analyseExperiment({ runs: readTo([0.3, 0.3, 0.3, 0.3], [0.02, 0.03, 0.04, 0.05], 60, seed) });
    expect(good.headline?.k?.orders).toEqual({ B: 1 });
  }
  expect(seen).toBeGreaterThan(3);
});

test('where the verdict shows no k, no table has one, and the JSON says of its figures that it is not shown', () => {
  const withheld = analysed({ leak: 0.4 }, 201).analysis;
  expect(withheld.headline?.k ?? null).toBeNull();
  expect(withheld.law.ok && withheld.law.accepted).not.toBeNull();
  const shown = analysed({ stated: true, clean: true }, 71).analysis;
  const keysOf = (analysis: ExperimentAnalysis) => rateTable('', analysis, 'mol/(L s)').columns.map(({ key }) => key);
  expect(keysOf(shown)).toContain('k');
  expect(keysOf(withheld)).not.toContain('k');
  const quantitiesOf = (analysis: ExperimentAnalysis) => JSON.stringify(lawTable(analysis).rows);
  expect(quantitiesOf(shown)).toMatch(/"k"/);
  expect(quantitiesOf(withheld)).not.toMatch(/"k"/);
  const json = JSON.parse(JSON.stringify(experimentJson(withheld)));
  for (const part of [json.law, json.whole]) {
    expect(part.k_shown).toBe(false);
    expect(part.k_not_shown).toMatch(/may be wrong, and the result depends on/);
  }
  expect(JSON.parse(JSON.stringify(experimentJson(shown))).law).not.toHaveProperty('k_shown');
});
