import { expect, test } from 'vitest';
import { analyseExperiment, type ExperimentAnalysis } from '../../src/analysis/analyse-experiment.ts';
import type { RunData } from '../../src/analysis/run-data.ts';
import { ratesOfFile } from '../../src/commands/rates.ts';

/**
 * Runs of V = C (1 - exp(-k' t)), read to 0.1 mL until the reaction is over. What must come out is the definition of the
 * curve: its rate at the start is k' C.
 */
const timesS = [15, 30, 45, 60, 90, 120, 150, 180, 240, 300];

interface Flask {
  readonly ceilingMl: number;
  readonly perS: number;
  readonly concentrations: Readonly<Record<string, number>>;
}

function runsOf(flasks: readonly Flask[], lastS: number, uTimeS: number, uVolumeM3: number): RunData[] {
  return flasks.map(({ ceilingMl, perS, concentrations }, i) => ({
    label: String(i + 1),
    readings: timesS
      .filter((timeS) => timeS <= lastS)
      .map((timeS) => ({
        timeS,
        volumeM3: Math.round(-10 * ceilingMl * Math.expm1(-perS * timeS)) * 1e-7,
        uTimeS,
        uVolumeM3,
      })),
    baselineM3: { value: 0, u: 0 },
    concentrations: Object.fromEntries(
      Object.entries(concentrations).map(([name, molar]) => [name, { value: 1000 * molar, u: 0, uCommonRelative: 0 }]),
    ),
  }));
}

const strengths: readonly Flask[] = [0.5, 0.75, 1].map((H2O2) => ({
  ceilingMl: 50 * H2O2,
  perS: 0.03,
  concentrations: { H2O2 },
}));
const catalysed: readonly Flask[] = [1, 2, 4].map((times) => ({
  ceilingMl: 50,
  perS: 0.01 * times,
  concentrations: { H2O2: 1, KI: 0.01 * times },
}));

function expectStartingRates({ runs }: ExperimentAnalysis, flasks: readonly Flask[]): void {
  flasks.forEach(({ ceilingMl, perS }, i) => {
    const run = runs[i];
    if (!run?.ok || !run.used) throw new Error('no rate');
    const wanted = ceilingMl * perS * 1e-6;
    expect(Math.abs(run.used.rateM3PerS - wanted), `run ${i + 1}`).toBeLessThan(3 * run.used.u);
    expect(run.used.rateM3PerS / wanted).toBeGreaterThan(0.95);
    expect(run.used.rateM3PerS / wanted).toBeLessThan(1.05);
  });
}

/** Standard uncertainties of a time, s, and of a reading, m3. */
const stated = [
  [0.3, 1e-7],
  [0.3, 3e-8],
  [1, 1e-7],
] as const;

test.each(stated)('runs that are over keep the ceilings that each shows by itself: u(t) %f s, u(V) %f m3', (uT, uV) => {
  const analysis = analyseExperiment({ runs: runsOf(strengths, 300, uT, uV) });
  expectStartingRates(analysis, strengths);
  const k = analysis.headline?.k;
  if (!k) throw new Error('no k');
  expect(k.orders).toEqual({ H2O2: 1 });
  // k' C over c: 1.5 mL/s over mol/L.
  expect(Math.abs(k.value / 1.5e-6 - 1)).toBeLessThan(0.05);
  expect(Math.abs(k.value - 1.5e-6)).toBeLessThan(3 * (k.u ?? 0));
});

test('the same as a table that states no uncertainties', () => {
  const rows = runsOf(strengths, 300, 0, 0).flatMap(({ label, readings }, i) =>
    readings.map(({ timeS, volumeM3 }) =>
      [label, timeS, (volumeM3 * 1e6).toFixed(1), 0, strengths[i]?.concentrations.H2O2].join(','),
    ),
  );
  const answer = ratesOfFile(['run,time_s,volume_mL,baseline_mL,conc_H2O2_M', ...rows].join('\n'));
  if (!answer.ok) throw new Error(answer.sentence);
  const { value, u } = JSON.parse(JSON.stringify(answer.json)).headline.k;
  expect(value / 1.5).toBeGreaterThan(0.95);
  expect(value / 1.5).toBeLessThan(1.05);
  expect(Math.abs(value - 1.5)).toBeLessThan(3 * u);
});

test.each(stated)('one run that is over is enough, with three amounts of catalyst: u(t) %f s, u(V) %f m3', (uT, uV) => {
  expectStartingRates(analyseExperiment({ runs: runsOf(catalysed, 240, uT, uV) }), catalysed);
});
