/** What of an experiment is uncertain besides its readings, and what moving it does. */
import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import { gasPerVolume } from '../../src/analysis/gas-frame.ts';
import { bare, inputsToMove, uncertainInputs } from '../../src/analysis/inputs.ts';
import { missingUncertainties } from '../../src/analysis/judge-law.ts';
import type { Experiment, RunData } from '../../src/analysis/run-data.ts';
import { peroxideIodide, simulateExperiment, usualErrors } from '../../src/analysis/simulate.ts';
import { GAS_CONSTANT } from '../../src/chemistry/constants.ts';
import { waterVapourPressure } from '../../src/chemistry/water-vapour.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { the } from '../the.ts';

/** A run with every input uncertain. */
const full = (label: string, more: Partial<RunData> = {}): RunData => ({
  label,
  readings: [1, 2, 3].map((i) => ({ timeS: 10 * i, volumeM3: 2e-6 * i, uTimeS: 0.1, uVolumeM3: 1e-7 })),
  baselineM3: { value: 1e-5, u: 1e-7 },
  ceilingM3: { value: 6e-5, u: 6e-7 },
  concentrations: { A: { value: 100, u: 0.5, uCommonRelative: 0.01 }, B: { value: 40, u: 0.2, uCommonRelative: 0.02 } },
  solids: { Mg: { mol: 2e-3, u: 1e-5, uCommonRelative: 0.03, gPerMol: 24.305 } },
  gainURelative: 0.005,
  temperatureK: { value: 298, u: 0.2 },
  gas: {
    solutionM3: { value: 25e-6, u: 2e-7 },
    gasPerLimiting: 0.5,
    limiting: 'A',
    pressurePa: { value: 1e5, u: 100 },
    back: { headspaceM3: 8e-5, risePerM3: 4000 },
    uBack: { headspace: { relative: 0.2, supposed: true }, bore: { relative: 0.05, supposed: false } },
  },
  ...more,
});

/** Every number of a run by the path to it. */
function numbersOf(value: unknown, path = ''): Map<string, number> {
  const found = new Map<string, number>();
  if (typeof value === 'number') found.set(path, value);
  else if (typeof value === 'object' && value !== null)
    for (const [key, part] of Object.entries(value))
      for (const [inner, number] of numbersOf(part, path === '' ? key : `${path}.${key}`)) found.set(inner, number);
  return found;
}

/** The numbers that differ, by how many times the old one (`by: 'ratio'`) or by how much. */
function changes(before: RunData, after: RunData): Record<string, number> {
  const [a, b] = [numbersOf(before), numbersOf(after)];
  expect([...b.keys()].sort()).toEqual([...a.keys()].sort());
  return Object.fromEntries(
    [...a].flatMap(([path, value]) => (b.get(path) === value ? [] : [[path, the(b.get(path))]])),
  );
}

const volumes = (factor: number): Record<string, number> =>
  Object.fromEntries([1, 2, 3].map((i) => [`readings.${i - 1}.volumeM3`, 2e-6 * i * factor]));

test('moving an input moves what it names by so many standard uncertainties, in its runs, and nothing else', () => {
  const experiment: Experiment = { runs: [full('1'), full('2')] };
  const inputs = new Map(uncertainInputs(experiment).map((input) => [input.name, input]));
  const both: Record<string, Record<string, number>> = {
    'scale of the cylinder': { ...volumes(1.01), 'baselineM3.value': 1e-5 * 1.01 },
    temperature: { 'temperatureK.value': 298.4 },
    pressure: { 'gas.pressurePa.value': 100_200 },
    'gas above the reaction': { 'gas.back.headspaceM3': 8e-5 * 1.4 },
    // The level rises by the inverse of the bore's area.
    'bore of the cylinder': { 'gas.back.risePerM3': 4000 / 1.1 ** 2 },
    'strength of A': { 'concentrations.A.value': 102 },
    'strength of B': { 'concentrations.B.value': 40 * 1.04 },
    'mass per length of Mg': { 'solids.Mg.mol': 2e-3 * 1.06 },
  };
  const single: Record<string, Record<string, number>> = {
    'poured A': { 'concentrations.A.value': 101 },
    'poured B': { 'concentrations.B.value': 40.4 },
    'weighed Mg': { 'solids.Mg.mol': 2.02e-3 },
    baseline: { 'baselineM3.value': 1.02e-5 },
    ceiling: { 'ceilingM3.value': 6.12e-5 },
    'volume of the solution': { 'gas.solutionM3.value': 25.4e-6 },
  };
  const expected = new Map<string, readonly [Record<string, number>, Record<string, number>]>([
    ...Object.entries(both).map(([name, change]) => [name, [change, change]] as const),
    ...Object.entries(single).flatMap(([name, change]) => [
      [`${name}, run 1`, [change, {}]] as const,
      [`${name}, run 2`, [{}, change]] as const,
    ]),
  ]);
  expect([...inputs.keys()].sort()).toEqual([...expected.keys()].sort());
  for (const [name, input] of inputs) {
    const moved = input.move(experiment, 2);
    expect(input.shared, name).toBe(name in both);
    for (const [r, wanted] of the(expected.get(name)).entries()) {
      const found = changes(the(experiment.runs[r]), the(moved.runs[r]));
      expect(Object.keys(found).sort(), name).toEqual(Object.keys(wanted).sort());
      for (const [path, value] of Object.entries(wanted))
        expect(the(found[path]) / value, `${name} ${path}`).toBeCloseTo(1, 12);
    }
    expect(input.move(experiment, 0), name).toEqual(experiment);
  }
  expect(the(inputs.get('gas above the reaction')).source).toBe('gas above the reaction (20 % by judgement)');
  expect(the(inputs.get('bore of the cylinder')).source).toBe('bore of the cylinder');
});

test('labels of bottles and solids are common to groups with one kit, gas that stays dissolved to all', () => {
  const solids = { Mg: { mol: 2e-3, u: 1e-5, uCommonRelative: 0.03, uPurityRelative: 0.01, gPerMol: 24.305 } };
  const stated = { gas: 'CO2', water: 'fresh' } as const;
  const dissolved = {
    stated,
    solutionHoldsM3: 0,
    waterHoldsM3: 0,
    perCollected: 0.1,
    uShared: 0.05,
    uSlant: -0.02,
    uOwn: 0.01,
  };
  const gas = { ...the(full('1').gas), dissolved: { ...dissolved, low: 0, high: 0.2 } };
  const inputs = uncertainInputs({ runs: [full('1', { solids, gas })] });
  expect(inputs.flatMap(({ name, commonTo }) => (commonTo ? [[name, commonTo]] : []))).toEqual([
    ['gas that stays dissolved', 'reaction'],
    ['gas that stays dissolved, by what was collected', 'reaction'],
    ['strength of A', 'kit'],
    ['strength of B', 'kit'],
    ['mass per length of Mg', 'kit'],
    ['purity of Mg', 'kit'],
  ]);
});

test('what a run lacks, or knows exactly, is no input of it', () => {
  const exact = bare(full('1'));
  expect(uncertainInputs({ runs: [exact] })).toEqual([]);
  // It is the same run but for its uncertainties; those of the readings stay.
  const lost = changes(full('1'), {
    ...full('1'),
    ...exact,
    gainURelative: 0.005,
    gas: { ...the(full('1').gas), ...exact.gas },
  });
  expect(Object.values(lost)).toEqual(Object.values(lost).map(() => 0));
  expect(Object.keys(lost).every((path) => /\.(u|uCommonRelative)$/.test(path))).toBe(true);
  const {
    baselineM3: _,
    ceilingM3: __,
    temperatureK: ___,
    gas: ____,
    concentrations,
    solids: _____,
    ...poor
  } = full('2');
  const runs = [full('1'), poor, { ...poor, label: '3', concentrations: { B: the(the(concentrations).B) } }];
  for (const input of uncertainInputs({ runs })) {
    const [, second, third] = input.move({ runs }, 1).runs;
    const names = [second, third].map((run, i) => Object.keys(changes(the(runs[i + 1]), the(run))).length > 0);
    const scale = input.name === 'scale of the cylinder';
    expect(names, input.name).toEqual([scale, scale || /^(strength of B|poured B, run 3)$/.test(input.name)]);
  }
});

test('each cylinder has a scale of its own, as uncertain as the worst that was said of it', () => {
  const runs = [
    full('1', { cylinder: 'a', gainURelative: 0.002 }),
    full('2', { cylinder: 'a', gainURelative: 0.004 }),
    full('3', { cylinder: 'b' }),
  ];
  const scales = uncertainInputs({ runs }).filter(({ source }) => source === 'scale of the cylinder');
  expect(scales.map(({ name, shared }) => [name, shared])).toEqual([
    ['scale of a', false],
    ['scale of b', false],
  ]);
  const factors = scales.map(({ move }) =>
    move({ runs }, 1).runs.map((run) => Number((the(run.readings[0]).volumeM3 / 2e-6).toFixed(6))),
  );
  expect(factors).toEqual([
    [1.004, 1.004, 1],
    [1, 1, 1.005],
  ]);
});

test('a ceiling that is tied to a reagent goes with the scale and with what was poured of it, and is no input', () => {
  const runs = [full('1', { ceilingTiedBy: 'A' })];
  const inputs = new Map(uncertainInputs({ runs }).map((input) => [input.name, input]));
  expect(inputs.has('ceiling, run 1')).toBe(false);
  const ceiling = (name: string): number =>
    the(the(inputs.get(name)).move({ runs }, 1).runs[0]?.ceilingM3).value / 6e-5;
  expect(ceiling('scale of the cylinder')).toBeCloseTo(1.005, 12);
  expect(ceiling('poured A, run 1')).toBeCloseTo(1.005, 12);
  expect(ceiling('poured B, run 1')).toBe(1);
});

test('no amount and no headspace becomes less than nothing, however badly it is known', () => {
  const bad = full('1', { solids: { Mg: { mol: 2e-3, u: 1e-2, uCommonRelative: 0, gPerMol: 24.305 } } });
  for (const { move } of uncertainInputs({ runs: [bad] }))
    for (const z of [-1000, 1000])
      for (const { concentrations, solids, gas } of move({ runs: [bad] }, z).runs) {
        for (const { value } of Object.values(concentrations ?? {})) expect(value).toBeGreaterThan(0);
        for (const { mol } of Object.values(solids ?? {})) expect(mol).toBeGreaterThan(0);
        expect(the(gas?.back).headspaceM3).toBeGreaterThan(0);
        expect(the(gas?.back).risePerM3).toBeGreaterThan(0);
      }
});

test('of very many runs each is moved once for each of its inputs, in groups that leave every square as it was', () => {
  const runs = Array.from({ length: 60 }, (_, i) => full(String(i + 1)));
  const groups = inputsToMove({ runs }).filter(({ shared }) => !shared);
  expect(groups.length).toBeLessThan(60 * 6);
  const read: Record<string, readonly [(run: RunData) => number, number]> = {
    'poured A': [(run) => the(run.concentrations?.A).value, 0.5],
    'weighed Mg': [(run) => the(run.solids?.Mg).mol, 1e-5],
    baseline: [(run) => the(run.baselineM3).value, 1e-7],
    ceiling: [(run) => the(run.ceilingM3).value, 6e-7],
    'volume of the solution': [(run) => the(run.gas).solutionM3.value, 2e-7],
  };
  const shared = inputsToMove({ runs }).filter((input) => input.shared);
  expect(shared.map(({ name }) => name)).toEqual(
    uncertainInputs({ runs: [the(runs[0])] }).flatMap((input) => (input.shared ? [input.name] : [])),
  );
  for (const [of, u] of Object.values(read)) {
    const moves = groups.map(({ move }) => move({ runs }, 1).runs.map((run, i) => of(run) - of(the(runs[i]))));
    for (const i of runs.keys()) expect(Math.hypot(...moves.map((move) => the(move[i]))) / u).toBeCloseTo(1, 6);
    // No sign is the rule: the sum of a group that all runs add to alike is far below the number of its runs.
    const sums = moves.map((move) => Math.abs(move.reduce((sum, value) => sum + value, 0)) / u);
    expect(Math.max(...sums)).toBeLessThan(3);
  }
  const few = { runs: runs.slice(0, 3) };
  expect(inputsToMove(few).map(({ name }) => name)).toEqual(uncertainInputs(few).map(({ name }) => name));
});

test('gas per volume is that of an ideal gas beside water vapour, and its uncertainty that of temperature and pressure', () => {
  for (const [t, p, uT, uP] of [
    [298.15, 101_325, 0.5, 0],
    [298.15, 101_325, 0, 300],
    [313, 95_000, 0.3, 150],
  ] as const) {
    const run = full('1', {
      temperatureK: { value: t, u: uT },
      gas: { solutionM3: { value: 25e-6, u: 0 }, gasPerLimiting: 0.5, limiting: 'A', pressurePa: { value: p, u: uP } },
    });
    const dry = p - waterVapourPressure(t);
    // d ln(n/V) = dp/dry - (1/T + (dvapour/dT)/dry) dT; the vapour's slope by Clausius and Clapeyron, 44.0 kJ/mol.
    const slope = (waterVapourPressure(t) * 44_000) / (GAS_CONSTANT * t * t);
    const { value, u } = the(gasPerVolume(run) ?? undefined);
    expect(value).toBeCloseTo(dry / (GAS_CONSTANT * t), 8);
    expect(u / value / Math.hypot(uP / dry, (1 / t + slope / dry) * uT)).toBeCloseTo(1, 1.7);
  }
});

test('the shares of k are what k answers to each input, worked out anew', () => {
  const { experiment } = simulateExperiment(peroxideIodide, usualErrors, createRandom(12));
  const options = { withoutWhole: true, withoutFlags: true, orders: { H2O2: 1, 'I-': 1 } } as const;
  const kOf = (one: Experiment): number => {
    const { law } = analyseExperiment({ ...one, runs: one.runs.map(bare) }, options);
    if (!law.ok || !law.accepted) throw new Error('no law');
    return Math.log(law.accepted.k);
  };
  const squares = new Map<string, number>();
  for (const { source, shared, move } of uncertainInputs(experiment)) {
    if (!shared) continue;
    // A wrong thermometer moves the temperature to which k belongs too: back to the one that was read (Arrhenius).
    const back = source === 'temperature' ? (56_100 / (GAS_CONSTANT * 298.15 ** 2)) * 0.2 : 0;
    const share = (kOf(move(experiment, 1)) - kOf(move(experiment, -1))) / 2 - back;
    squares.set(source, (squares.get(source) ?? 0) + share ** 2);
  }
  const { law } = analyseExperiment(experiment, options);
  if (!law.ok || !law.accepted) throw new Error('no law');
  const shares = new Map(law.accepted.shares.map(({ source, u }) => [source, u]));
  const ofRuns = ['baseline', 'how the rate falls', 'poured volumes', 'times and readings'];
  expect([...shares.keys()].sort()).toEqual([...ofRuns, ...squares.keys()].sort());
  // Anew, the estimators weigh a little otherwise: nothing else is uncertain to them.
  for (const [source, square] of squares)
    expect(Math.abs(the(shares.get(source)) - Math.sqrt(square)), source).toBeLessThan(0.35 * Math.sqrt(square) + 2e-4);
  const all = Math.hypot(...shares.values());
  expect(the(law.accepted.u ?? undefined) / law.accepted.k / all).toBeCloseTo(1, 1);
});

test('each run says its own k as uncertain as its rate and what was poured make it', () => {
  const { experiment } = simulateExperiment(peroxideIodide, { ...usualErrors, stockRelative: 0 }, createRandom(3));
  const { law, runs } = analyseExperiment(experiment, { withoutWhole: true, withoutFlags: true });
  if (!law.ok || !law.accepted) throw new Error('no law');
  expect(law.accepted.perRun).toHaveLength(3);
  for (const [i, { k, u }] of law.accepted.perRun.entries()) {
    const run = the(runs[i]);
    if (!run.ok || !run.used) throw new Error('no rate');
    const rate = run.used.u / run.used.rateM3PerS;
    // Two pours of 0.5 % each, at first order; the rate's own share is that of the readings or less.
    expect(the(u ?? undefined) / k).toBeGreaterThan(0.9 * Math.hypot(0.005, 0.005));
    expect(the(u ?? undefined) / k).toBeLessThan(1.2 * Math.hypot(rate, 0.01));
  }
});

test('what came without an uncertainty is named, be it in one run of two', () => {
  const whole = full('1');
  const gas = the(whole.gas);
  const { gainURelative: _, ...scaleless } = whole;
  const lacking: Record<string, RunData> = {
    'times and readings': { ...whole, uStated: false },
    concentrations: { ...whole, concentrations: { A: { value: 1, u: 0, uCommonRelative: 0 } } },
    solids: { ...whole, solids: { Mg: { mol: 1, u: 0, uCommonRelative: 0, gPerMol: 24 } } },
    baseline: { ...whole, baselineM3: { value: 1e-5, u: 0 } },
    ceiling: { ...whole, ceilingM3: { value: 1e-5, u: 0 } },
    temperature: { ...whole, temperatureK: { value: 298, u: 0 } },
    pressure: { ...whole, gas: { ...gas, pressurePa: { value: 1e5, u: 0 } } },
    scale: scaleless,
    solution: { ...whole, gas: { ...gas, solutionM3: { value: 25e-6, u: 0 } } },
  };
  expect(missingUncertainties({ runs: [whole, whole] })).toEqual([]);
  for (const [name, run] of Object.entries(lacking)) {
    expect(missingUncertainties({ runs: [whole, run] })).toEqual([name]);
    expect(missingUncertainties({ runs: [run, whole] })).toEqual([name]);
  }
  // One kind of uncertainty is enough; a tied ceiling is fitted and says its own.
  const shared = { A: { value: 1, u: 0, uCommonRelative: 0.01 } };
  expect(missingUncertainties({ runs: [{ ...whole, concentrations: shared }] })).toEqual([]);
  expect(missingUncertainties({ runs: [{ ...the(lacking.ceiling), ceilingTiedBy: 'A' }] })).toEqual([]);
});
