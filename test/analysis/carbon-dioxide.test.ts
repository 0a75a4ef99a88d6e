/** Carbon dioxide that stays dissolved: what it does to k, against a bench simulated by other physics. */
import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import { withDissolved } from '../../src/analysis/dissolved-gas.ts';
import { amountPerVolumeRate, ceilingOf, gasPerVolume, growthPerM3 } from '../../src/analysis/gas-frame.ts';
import { inputsToMove } from '../../src/analysis/inputs.ts';
import type { Dissolving, RunData } from '../../src/analysis/run-data.ts';
import { levelRise } from '../../src/chemistry/gas.ts';
import { randomOf } from '../benchmarks/kinetics-simulator.ts';
import { the } from '../the.ts';
import { experimentIn, type Lab } from './carbon-dioxide-lab.ts';

const bench: Lab = {
  acids: [0.15, 0.2, 0.3],
  perS: 0.006,
  solutionMl: 50,
  outOfSolutionPerS: 0.1,
  headspaceMl: 100,
  waterMl: 250,
  intoWaterPerS: 2e-4,
  waterSaturated: 0,
};
const fresh: Dissolving = { gas: 'CO2', water: 'fresh', waterM3: 250e-6 };

/** How many of a few experiments have k, and the order in the acid, within their 95 % intervals. */
function covered(lab: Lab, stated: Dissolving | null, seeds: readonly number[]) {
  let [k, order] = [0, 0];
  for (const seed of seeds) {
    const { law } = analyseExperiment(experimentIn(lab, stated, seed));
    if (!law.ok) continue;
    const acid = the(law.orders.HCl);
    if (acid.low95 <= 1 && 1 <= acid.high95) order += 1;
    const { low95 = null, high95 = null } = law.accepted ?? {};
    if (low95 !== null && high95 !== null && low95 <= lab.perS / 2 && lab.perS / 2 <= high95) k += 1;
  }
  return { k, order };
}

const seeds = [101, 202, 303];

test.each<[string, Partial<Lab>, Dissolving]>([
  ['fresh water at rest', {}, fresh],
  ['fresh water, the gas bubbling through it', { intoWaterPerS: 3e-3 }, fresh],
  ['nothing stated', {}, { gas: 'CO2' }],
  ['water saturated beforehand', { waterSaturated: 0.97 }, { gas: 'CO2', water: 'saturated', waterM3: 250e-6 }],
  ['oil on the water', { intoWaterPerS: 0 }, { gas: 'CO2', water: 'none' }],
  [
    'oil, a slow release, much air above',
    { intoWaterPerS: 0, outOfSolutionPerS: 0.03, headspaceMl: 300 },
    { gas: 'CO2', water: 'none' },
  ],
])('%s: k and the order lie within their intervals', (_, change, stated) => {
  expect(covered({ ...bench, ...change }, stated, seeds)).toEqual({ k: seeds.length, order: seeds.length });
});

test('without allowing for it, every rate is far too small for its uncertainty', () => {
  analyseExperiment(experimentIn(bench, null, 505)).runs.forEach((result, i) => {
    const used = the(result.ok ? result.used : null);
    const inAmount = the(amountPerVolumeRate(the(result.ok ? result.run : null))).factor / 1000;
    const truth = ((bench.acids[i] ?? 0) * bench.perS) / 2;
    expect(used.rateM3PerS * inAmount).toBeLessThan(0.8 * truth);
    expect(used.high95 * inAmount).toBeLessThan(truth);
  });
});

test('k is shown only where its interval tells something', () => {
  // Six runs read for a minute, from the bottom of the cylinder to its top: the gas dissolved may be most of it.
  const acids = [0.3, 0.3, 0.45, 0.45, 0.6, 0.6];
  for (const seed of [11, 12, 13]) {
    const { headline, whole } = analyseExperiment(experimentIn({ ...bench, acids, untilS: 60 }, fresh, seed));
    const k = headline?.k;
    if (k) expect(Number.isFinite(k.u) && the(k.high95) < 10 * the(k.low95)).toBe(true);
    for (const { u, share } of (whole.ok && whole.accepted?.budget) || [])
      expect([Number.isFinite(u), Number.isFinite(share)]).toEqual([true, true]);
  }
});

test('the less is known, the wider k', () => {
  const uOf = (stated: Dissolving): number => {
    const { law } = analyseExperiment(experimentIn({ ...bench, acids: [0.4, 0.6, 0.8] }, stated, 404));
    const { k, u } = the(law.ok ? law.accepted : null);
    return the(u) / k;
  };
  expect(uOf({ gas: 'CO2', water: 'none' })).toBeLessThan(uOf({ gas: 'CO2', water: 'saturated', waterM3: 250e-6 }));
  expect(uOf({ gas: 'CO2', water: 'saturated', waterM3: 250e-6 })).toBeLessThan(uOf(fresh));
});

const [run] = experimentIn(bench, null, 1).runs;
const one = the(run);

test('50 mL of solution and 250 mL of fresh water hold 282 mL at 20 °C, and never more than is still to be made', () => {
  // 0.03911 mol/(L atm) R T/(1 atm) = 0.9408 volumes of gas per volume of water (Weiss 1974), by hand.
  const strong = { HCl: { value: 3000, u: 0, uCommonRelative: 0 } };
  const [plenty] = withDissolved([{ ...one, concentrations: strong }], () => fresh);
  const held = the(plenty?.gas?.dissolved);
  expect(held.solutionHoldsM3 * 1e6).toBeCloseTo(47.0, 1);
  expect(held.waterHoldsM3 * 1e6).toBeCloseTo(235.1, 1);
  expect(held.high).toBeCloseTo(282.2 / 44, 1);
  expect(held.low).toBeCloseTo(0, 12);
  // 3.75 mmol of gas are 92.6 mL of moist gas at 20 °C: 48.6 mL are left for the liquids when 44 mL were collected.
  const [little] = withDissolved([one], () => fresh);
  expect(the(little?.gas?.dissolved).high).toBeCloseTo(48.6 / 44, 1);
});

test('a ceiling that was read is gas collected: it does not say what was made', () => {
  const high = (run: RunData): number => the(withDissolved([run], () => fresh)[0]?.gas?.dissolved).high;
  expect(high({ ...one, ceilingM3: { value: 45e-6, u: 0 } })).toBe(high(one));
  const { concentrations: _, ...unknown } = one;
  expect(high({ ...unknown, ceilingM3: { value: 45e-6, u: 0 } })).toBeCloseTo(282.2 / 44, 1);
});

test('runs of equal time: no k with a wrong order, and the true order within its interval', () => {
  const equal: [Partial<Lab>, Dissolving][] = [
    [{ acids: [0.3, 0.45, 0.6], untilS: 40 }, fresh],
    [{ acids: [0.3, 0.45, 0.6], untilS: 40, intoWaterPerS: 3e-3 }, fresh],
    [{ acids: [0.2, 0.2, 0.4, 0.4, 0.8, 0.8], untilS: 60 }, fresh],
    [
      { acids: [0.3, 0.45, 0.6], untilS: 40, intoWaterPerS: 0 },
      { gas: 'CO2', water: 'none' },
    ],
    [{ untilS: 120 }, { gas: 'CO2' }],
  ];
  for (const [change, stated] of equal) {
    const lab = { ...bench, ...change };
    expect(covered(lab, stated, seeds).order).toBe(seeds.length);
    for (const seed of seeds) {
      const { headline, verdict } = analyseExperiment(experimentIn(lab, stated, seed));
      const k = headline?.k;
      if (k) {
        expect(k.orders).toEqual({ HCl: 1 });
        expect(the(k.low95)).toBeLessThan(lab.perS / 2);
        expect(the(k.high95)).toBeGreaterThan(lab.perS / 2);
      }
      const { low95, high95 } = the(headline?.orders.HCl);
      const open = Math.floor(the(high95)) > Math.ceil(the(low95));
      expect(open && k).toBeFalsy();
      if (open) expect(verdict.reasons.map(({ code }) => code)).toContain('constant-open');
    }
  }
});

test('one run that went to its end, over water that had gas in it, does not switch off the correction of its sisters', () => {
  const { runs } = experimentIn(bench, null, 6);
  const first = the(runs[0]);
  // 3.75 mmol of gas displace 92.6 mL when none stays dissolved.
  const ended = { ...first, label: '4', readings: first.readings.map((r) => ({ ...r, volumeM3: r.volumeM3 * 2.1 })) };
  const [alone, beside] = [runs, [...runs, ended]].map((all) =>
    withDissolved(all, () => fresh).map(({ gas }) => the(gas?.dissolved)),
  );
  the(alone).forEach((before, i) => {
    const after = the(the(beside)[i]);
    expect(after.high).toBeGreaterThan(0.9 * before.high);
    expect(Math.hypot(after.uShared, after.uSlant)).toBeGreaterThan(0.7 * before.uShared);
  });
  expect(the(the(beside)[3]).high).toBeLessThan(0.01);
});

test('what each run errs by alone is no disagreement of the runs', () => {
  const random = randomOf(77);
  const found = Array.from({ length: 10 }, (_, seed) => {
    const { runs } = experimentIn({ ...bench, acids: [0.15, 0.2, 0.25, 0.3] }, fresh, seed);
    // Each run's amount of gas is off by its own part: so is its acid, for the law.
    const off = runs.map((run) => {
      const { perCollected, uOwn } = the(run.gas?.dissolved);
      const factor = 1 + random.normal(uOwn) / (1 + perCollected);
      return { ...run, readings: run.readings.map((r) => ({ ...r, timeS: r.timeS * factor })) };
    });
    return analyseExperiment({ runs: off }).verdict.reasons.some(({ code }) => code === 'runs-disagree');
  });
  expect(found.filter((one) => one).length).toBeLessThanOrEqual(1);
});

test('it raises the gas per volume, lowers the ceiling, and leaves how the level presses alone', () => {
  const gas = { ...the(one.gas), back: { headspaceM3: 1e-4, risePerM3: levelRise(0.03) } };
  const plain = { ...one, gas };
  const [with_] = withDissolved([plain], () => fresh);
  const dissolved = the(with_?.gas?.dissolved);
  const factor = the(gasPerVolume(the(with_))).value / the(gasPerVolume(plain)).value;
  expect(factor).toBeCloseTo(1 + dissolved.perCollected, 12);
  expect(the(ceilingOf(the(with_))).value).toBeLessThan(the(ceilingOf(plain)).value);
  expect(growthPerM3(the(with_))).toBe(growthPerM3(plain));
});

test('it is an input that all runs share, and one of each run alone, within what can be', () => {
  const experiment = experimentIn(bench, fresh, 2);
  const inputs = inputsToMove(experiment).filter(({ source }) => source === 'gas that stays dissolved');
  expect(inputs.map(({ shared }) => shared)).toEqual([true, true, false, false, false]);
  for (const { move } of inputs)
    for (const z of [-9, 9])
      for (const { gas } of move(experiment, z).runs) {
        const { perCollected, low, high } = the(gas?.dissolved);
        expect(perCollected).toBeGreaterThanOrEqual(low);
        expect(perCollected).toBeLessThanOrEqual(high);
      }
});

test('nothing is made of it without temperature, conditions or readings', () => {
  const { temperatureK: _t, ...cold } = one;
  const { gas: _g, ...bare } = one;
  const runs = [cold, bare, { ...one, readings: [] }, { ...one, temperatureK: { value: 364, u: 0 } }];
  expect(withDissolved(runs, () => fresh)).toEqual(runs);
});
