import { expect, test } from 'vitest';
import { dissolvedNote } from '../../src/analysis/dissolved-gas.ts';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import type { RunData } from '../../src/analysis/run-data.ts';
import { peroxideIodide, reactionOf, reactions } from '../../src/chemistry/reactions.ts';
import { reduce } from '../../src/log/reduce.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { limitsOf } from '../../src/results/report-remarks.ts';
import { the } from '../the.ts';

const run: RunData = {
  label: '1',
  readings: [12, 20, 30].map((ml, i) => ({ timeS: i, volumeM3: ml * 1e-6, uTimeS: 0.1, uVolumeM3: 1e-7 })),
  baselineM3: { value: 10e-6, u: 0 },
  temperatureK: { value: 298.15, u: 0 },
  gas: {
    solutionM3: { value: 50e-6, u: 0 },
    gasPerLimiting: 0.5,
    limiting: 'H2O2',
    pressurePa: { value: 1e5, u: 0 },
  },
};
const carbonate = the(reactions.find(({ id }) => id === 'carbonate-acid'));

test('how much gas solution and water can hold is stated in mL, with its source', () => {
  // 0.0322 of its volume of oxygen at 25 °C (Sander 2023: H R T), by hand.
  expect(dissolvedNote(peroxideIodide, [run])).toBe(
    'Water takes up oxygen: the 50 mL of solution can hold 1.6 mL of it, the 20 mL of water displaced 0.64 mL, when saturated with it at 25.0 °C (Sander, Atmos. Chem. Phys. 23 (2023) 10901). How much they do hold is not known; the rates are not corrected for it.',
  );
  // Carbon dioxide is corrected for.
  expect(dissolvedNote(carbonate, [run])).toBeNull();
});

test('a number heard far too large, or a last reading set aside, is no water that was displaced', () => {
  const [first, second, last] = run.readings;
  const asides = [
    the(first),
    { ...the(second), volumeM3: 80e-6 },
    the(last),
    { ...the(last), timeS: 3, volumeM3: 99e-6, setAside: 'x' },
  ];
  expect(dissolvedNote(peroxideIodide, [{ ...run, readings: asides }])).toBe(dissolvedNote(peroxideIodide, [run]));
});

test('of several runs the one that can hold most is named', () => {
  const larger = { ...run, label: '2', gas: { ...the(run.gas), solutionM3: { value: 100e-6, u: 0 } } };
  expect(dissolvedNote(peroxideIodide, [run, larger, run])).toMatch(/the 100 mL of solution can hold 3.2 mL/);
});

test('nothing is said where the gas, the temperature or the solution is not known', () => {
  const { temperatureK: _t, ...noTemperature } = run;
  const { gas: _g, ...noSolution } = run;
  const own = reactionOf('own', { name: 'x', gas: 'other', gasPerLimiting: 1, limiting: 'A', orderSpecies: ['A'] });
  expect(dissolvedNote(own, [run])).toBeNull();
  expect(dissolvedNote(null, [run])).toBeNull();
  expect(dissolvedNote(peroxideIodide, [])).toBeNull();
  expect(dissolvedNote(peroxideIodide, [noTemperature, noSolution, { ...run, readings: [] }])).toBeNull();
  expect(dissolvedNote(peroxideIodide, [{ ...run, temperatureK: { value: 364, u: 0 } }])).toBeNull();
});

test('it stands once among what limits the figures of the report and among the notes of the analysis', () => {
  const state = reduce(demoNotebook(1.7e12).events);
  const found = analysisOf(state);
  for (const list of [found.notes, limitsOf(state, found)])
    expect(
      list.filter((text) => /^Water takes up oxygen: the 50 mL of solution can hold 1\.7 mL/.test(text)),
    ).toHaveLength(1);
});
