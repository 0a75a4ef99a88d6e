import { expect, test } from 'vitest';
import { analyseExperiment, type ExperimentAnalysis } from '../../src/analysis/analyse-experiment.ts';
import { amountPerVolumeRate, ceilingOf } from '../../src/analysis/gas-frame.ts';
import { uncertainInputs } from '../../src/analysis/inputs.ts';
import type { Experiment, GasFrame } from '../../src/analysis/run-data.ts';
import { propagateByDraws } from '../../src/analysis/uncertainty.ts';
import { usualActivationJPerMol } from '../../src/analysis/warming.ts';
import { wholeFit } from '../../src/analysis/whole-fit.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { chainChoice } from '../../src/results/chain-choice.ts';
import { the } from '../the.ts';
import { back, boreM, experimentOf, headspaceM3 } from './flasks-with-headspace.ts';

const orders = { A: 1, B: 1 };

/** What a flask of that headspace over a cylinder of that bore shows; the analysis gets the nominal two. */
const experiment = (gas: Partial<GasFrame>, headspace = headspaceM3, bore = boreM): Experiment =>
  experimentOf(gas, { headspace, bore, uTimeS: 0.02, uVolumeM3: 0.01e-6 }, { chosen: 'firstOrder' });

const known = (headspace: number, bore: number) => ({
  headspace: { relative: headspace, supposed: true },
  bore: { relative: bore, supposed: false },
});

function budgetOf({ whole }: ExperimentAnalysis): Record<string, number> {
  if (!whole.ok || !whole.accepted) throw new Error('no accepted orders');
  return Object.fromEntries(whole.accepted.budget.map(({ source, u }) => [source, u]));
}

test('a headspace known to 10 % and a bore to 2 % are lines of the budget of k, of the starting rates and of all readings', () => {
  const found = analyseExperiment(experiment({ back, uBack: known(0.1, 0.02) }));
  // By hand: 4.0 % of the gas is pressed into the headspace; a tenth of that, and twice 2 % of it. More gas per volume is
  // less water at full conversion, too, and a share x used up counts x/((1 - x)(-ln(1 - x))): 1.3 at the 43 % of runs 1 and 3.
  const hand = { 'gas above the reaction (10 % by judgement)': 0.004, 'bore of the cylinder': 0.0016 };
  const { law } = found;
  if (!law.ok || !law.accepted) throw new Error('no accepted orders');
  const shares = Object.fromEntries(law.accepted.shares.map(({ source, u }) => [source, u]));
  for (const [source, u] of Object.entries(hand)) {
    for (const own of [the(budgetOf(found)[source]), the(shares[source])]) {
      expect(own / u).toBeGreaterThan(1);
      expect(own / u).toBeLessThan(1.35);
    }
  }
});

test('k scatters by what the budget says when flasks and cylinders really differ by so much', () => {
  const stated = { headspace: 0.1, bore: 0.02 };
  const budget = budgetOf(analyseExperiment(experiment({ back, uBack: known(stated.headspace, stated.bore) })));
  const random = createRandom(20_251);
  for (const [part, source] of [
    ['headspace', 'gas above the reaction (10 % by judgement)'],
    ['bore', 'bore of the cylinder'],
  ] as const) {
    const logs = Array.from({ length: 400 }, () => {
      const z = random.normal();
      const really = { headspace: headspaceM3, bore: boreM };
      really[part] *= 1 + z * stated[part];
      const fit = wholeFit(experiment({ back }, really.headspace, really.bore).runs, {
        fixed: orders,
        activationJPerMol: usualActivationJPerMol,
      });
      if (!fit.ok) throw new Error(fit.sentence);
      return Math.log(fit.k);
    });
    const mean = logs.reduce((a, b) => a + b, 0) / logs.length;
    const sd = Math.sqrt(logs.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (logs.length - 1));
    // A standard deviation of 400 draws is good to 3.5 %.
    expect(Math.abs(sd / the(budget[source]) - 1)).toBeLessThan(0.12);
  }
});

test('the draws of the report carry headspace and bore as the linear budget does', async () => {
  const given = experiment({ back, uBack: known(0.1, 0.02) });
  const analysis = analyseExperiment(given);
  const { whole } = analysis;
  if (!whole.ok || !whole.accepted) throw new Error('no accepted orders');
  const choice = { ...chainChoice(analysis), scatter: {} };
  expect(choice.orders).toEqual(orders);
  const drawn = await propagateByDraws({ experiment: given, choice, seed: 7, draws: 600 });
  expect(drawn.failed).toBe(0);
  const { mean, u } = the(drawn.kWhole);
  expect(Math.abs(u / mean / (whole.accepted.u / whole.accepted.k) - 1)).toBeLessThan(0.12);
});

test('amounts and the ceiling are as uncertain as headspace and bore make them, together', () => {
  const [run] = experiment({ back, uBack: known(0.1, 0.02) }).runs;
  const by = Math.hypot(0.1, 2 * 0.02) * (0.0403 / 1.0403);
  expect(Math.abs(the(amountPerVolumeRate(the(run))).uRelative / by - 1)).toBeLessThan(0.03);
  const ceiling = the(ceilingOf(the(run)));
  expect(Math.abs(ceiling.u / ceiling.value / by - 1)).toBeLessThan(0.05);
});

test('a headspace known hardly at all is never less than nothing', () => {
  const given = experiment({ back, uBack: known(3, 3) });
  for (const input of uncertainInputs(given))
    for (const z of [-4, -1, 1, 4]) {
      const { headspaceM3: space, risePerM3 } = the(the(the(input.move(given, z).runs[0]).gas).back);
      expect(space).toBeGreaterThan(0);
      expect(Number.isFinite(risePerM3)).toBe(true);
    }
  expect(analyseExperiment(given).whole.ok).toBe(true);
});

test('where headspace and bore are not allowed for, what is known of them changes no figure', () => {
  expect(uncertainInputs(experiment({ uBack: known(0.1, 0.02) }))).toEqual([]);
  const plain = analyseExperiment(experiment({}));
  expect(JSON.stringify(plain.whole)).toBe(
    JSON.stringify(analyseExperiment(experiment({ uBack: known(0.1, 0.02) })).whole),
  );
});
