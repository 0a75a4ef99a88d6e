import { expect, test } from 'vitest';
import { analysisOf, experimentOf } from '../../src/analysis/notebook-analysis.ts';
import type { RunData } from '../../src/analysis/run-data.ts';
import { warmingNote } from '../../src/analysis/self-warming.ts';
import { magnesiumAcid, peroxideIodide, reactionOf } from '../../src/chemistry/reactions.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { Run } from '../../src/log/state.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { limitsOf } from '../../src/results/report-remarks.ts';
import { the } from '../the.ts';

const state = reduce(demoNotebook(1.7e12).events);
/** The demo's runs, 22 mL of gas each, as if made in 20 mL of solution in place of 50. */
const small = experimentOf(state).experiment.runs.map(
  (run): RunData => ({ ...run, gas: { ...the(run.gas), solutionM3: { value: 20e-6, u: 0 } } }),
);
const called = (run: Run, ...seconds: number[]): Run => ({
  ...run,
  timed: seconds.map((s, i) => ({
    id: `t-${i}`,
    kind: 'temperature',
    timeMs: run.startedMs + s * 1000,
    value: String(22 + i),
  })) as unknown as Run['timed'],
});
const uncalled = state.runs.map((run) => called(run));

test('runs that can have warmed themselves by a degree are named where no two temperatures tell whether they did', () => {
  // 22 mL at about 25.2 L/mol: 0.87 mmol, 196.1 kJ/mol, into 20 mL of 4.18 J/(mL K): 2.05 K; Ea 56.1 kJ/mol: 17 %.
  expect(warmingNote(peroxideIodide, small, uncalled)).toBe(
    'Runs 1, 2, 3: by the last reading their own heat can have warmed them by up to 2.0 degrees, which makes them some 16 % faster, and temperatures were not called at two moments of the run. Called at its start and at its end, they would tell, and the warming would be allowed for.',
  );
});

test('a number heard far too large in the middle of a run makes no heat', () => {
  const misheard = small.map((run) => ({
    ...run,
    readings: run.readings.map((reading, i) => (i === 4 ? { ...reading, volumeM3: 90e-6 } : reading)),
  }));
  expect(warmingNote(peroxideIodide, misheard, uncalled)).toBe(warmingNote(peroxideIodide, small, uncalled));
});

test('one temperature, or two in one breath, do not tell; two that are apart do, and the run is no longer named', () => {
  const [first, second, third] = state.runs as [Run, Run, Run];
  const runs = [called(first, 5), called(second, 5, 20), called(third, 5, 90)];
  expect(warmingNote(peroxideIodide, small, runs)).toMatch(/^Runs 1, 2: by the last reading their own heat/);
  expect(warmingNote(peroxideIodide, small, [called(first, 5, 90), called(second, 5, 90), the(runs[0])])).toMatch(
    /^Run 3: by the last reading its own heat can have warmed it by up to/,
  );
  // What was called before the start is no moment of the run.
  expect(warmingNote(peroxideIodide, small, [called(first, -60, 5), the(runs[2]), the(runs[2])])).toMatch(/^Run 1:/);
  expect(warmingNote(peroxideIodide, small, [the(runs[2]), the(runs[2]), the(runs[2])])).toBeNull();
});

test('where no activation energy is known, nothing is promised of the warming', () => {
  expect(warmingNote(magnesiumAcid, small, uncalled)).toMatch(
    /by up to 4\.9 degrees, and temperatures .* they would tell\.$/,
  );
});

test('little heat, or a heat that is not known, is no matter', () => {
  expect(warmingNote(peroxideIodide, experimentOf(state).experiment.runs, uncalled)).toBeNull();
  const own = the(reactionOf('own', { name: 'x', gas: 'O2', gasPerLimiting: 1, limiting: 'A', orderSpecies: ['A'] }));
  expect(warmingNote(own, small, uncalled)).toBeNull();
  const { temperatureK: _, ...cold } = the(small[0]);
  expect(warmingNote(peroxideIodide, [cold, { ...the(small[1]), readings: [] }], uncalled)).toBeNull();
});

test('it is said on Rates and in the report of a notebook with small flasks', () => {
  const plan = the(state.plan);
  const runs = plan.runs.map((run) => ({
    ...run,
    pours: run.pours.map((pour) => ({ ...pour, volumeMl: pour.volumeMl / 2.5 })),
  }));
  const smaller = {
    ...state,
    plan: { ...plan, runs },
    runs: state.runs.map((run) => ({ ...run, timed: run.timed.filter(({ kind }) => kind !== 'poured') })),
  };
  const found = analysisOf(smaller);
  for (const list of [found.notes, limitsOf(smaller, found)])
    expect(list.filter((text) => text.includes('own heat can have warmed'))).toHaveLength(1);
  expect(analysisOf(state).notes.join(' ')).not.toMatch(/own heat/);
});
