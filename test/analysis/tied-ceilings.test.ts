import { expect, test } from 'vitest';
import { analyseExperiment } from '../../src/analysis/analyse-experiment.ts';
import type { RunData } from '../../src/analysis/run-data.ts';

/** Runs of the strengths 1, 2, 3 ..., in time and volume as somebody called them. */
function runsOf(timesS: readonly number[], volumesMl: readonly (readonly number[])[], more = {}): RunData[] {
  return volumesMl.map((volumes, i) => ({
    label: String(i + 1),
    readings: timesS.map((timeS, r) => ({
      timeS,
      volumeM3: (volumes[r] ?? Number.NaN) * 1e-6,
      uTimeS: 0.3,
      uVolumeM3: 1e-7,
    })),
    baselineM3: { value: 0, u: 5e-8 },
    concentrations: { A: { value: 100 * (i + 1), u: 0.5, uCommonRelative: 0 } },
    ...more,
  }));
}

/** @throws where a run has no rate */
function usedOf(runs: readonly RunData[]) {
  return analyseExperiment({ runs }).runs.map((run) => {
    if (!run.ok || !run.used) throw new Error('no rate');
    return { ...run, used: run.used };
  });
}

test.each([[[2, 3.8, 5.3]], [[2, 3.8, 5.4]]])(
  'three short runs have rates of which something is known: %j mL',
  (volumes) => {
    const shares = [1, 2, 3].map((times) => volumes.map((volume) => volume * times));
    for (const { used } of usedOf(runsOf([10, 20, 30], shares))) expect(used.u / used.rateM3PerS).toBeLessThan(1);
  },
);

/** V = 25 mL n (1 - exp(-0.01 t)), to 0.01 mL. */
function firstOrder(timesS: readonly number[]): number[][] {
  return [1, 2, 3].map((n) => timesS.map((t) => Math.round(-2500 * n * Math.expm1(-0.01 * t)) / 100));
}

test('a scale that is wrong by half a per cent makes rates of runs with a tied ceiling wrong by half a per cent', () => {
  const timesS = [10, 20, 40, 60, 80, 110, 140, 180];
  const runs = usedOf(runsOf(timesS, firstOrder(timesS), { gainURelative: 0.005 }));
  for (const { run, used } of runs) {
    expect(run.ceilingTiedBy).toBe('A');
    expect(used.uShared.gain / used.rateM3PerS).toBeCloseTo(0.005, 4);
  }
});

test('a rate at the start is called no mean rate where the curve of all runs has replaced a straight line', () => {
  const timesS = [20, 40, 60, 80, 100, 120];
  // Zero order: the same amount each second until nothing is left.
  const runs = runsOf(timesS, [timesS.map((t) => 0.2 * t), timesS.map((t) => 0.2 * t)]).map((run) => ({
    ...run,
    ceilingM3: { value: 3e-5, u: 1e-8 },
  }));
  for (const { used, meanRate } of usedOf(runs)) expect([used.at, meanRate]).toEqual(['zero-gas', false]);
});
