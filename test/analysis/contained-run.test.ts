import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import type { RunData } from '../../src/analysis/run-data.ts';
import { five, simulate } from '../benchmarks/kinetics-simulator.ts';

/** A run whose readings cannot even be looked at. */
function broken(run: RunData): RunData {
  return {
    label: 'broken',
    ...(run.concentrations ? { concentrations: run.concentrations } : {}),
    get readings(): RunData['readings'] {
      throw new TypeError('nothing there');
    },
  };
}

test('a run whose analysis throws says so with what to do, and the other runs keep their rates', () => {
  const { runs } = simulate({ title: '', runs: five, stated: true }, 2).experiment;
  const [first, ...others] = runs;
  if (!first) throw new Error('no runs');
  const told: number[] = [];
  const analysis = analyseExperiment({ runs: [broken(first), ...others] }, { onRun: (done) => told.push(done) });
  const [failed, ...rest] = analysis.runs;
  expect(failed).toMatchObject({ ok: false, reason: 'failed' });
  expect(failed?.ok === false && failed.sentence).toMatch(
    /^Run broken could not be worked out \(nothing there\)\. Set/,
  );
  expect(rest.every((run) => run.ok && run.used !== null)).toBe(true);
  expect(analysis.law.ok && analysis.law.accepted?.orders).toEqual({ A: 1, B: 1 });
  const without = analyseExperiment({ runs: others });
  expect(analysis.unit).toBe('amount');
  expect(analysis.headline?.k?.value).toBeCloseTo(without.headline?.k?.value ?? 0, 9);
  expect(analysis.headline?.k?.u).toBeCloseTo(without.headline?.k?.u ?? 0, 9);
  expect(told).toEqual([1, 2, 3, 4, 5]);
});

test('where one run tells no amount of gas, both ways to k are in volumes', () => {
  const { runs } = simulate({ title: '', runs: five, stated: true }, 2).experiment;
  const poorer = runs.map((run, i) => {
    const { gas: _, ...bare } = run;
    return i === 0 ? bare : run;
  });
  const { unit, law, whole, headline } = analyseExperiment({ runs: poorer });
  expect(unit).toBe('volume');
  const { accepted } = law.ok ? law : { accepted: null };
  const all = whole.ok ? whole.accepted : null;
  expect((all?.k ?? 0) / (accepted?.k ?? 1)).toBeCloseTo(1, 1);
  expect(headline?.k).not.toBeNull();
});
