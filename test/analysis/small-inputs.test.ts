import { expect, test } from 'vitest';
import { analyseRun } from '../../src/analysis/analyse-run.ts';
import { experimentOf } from '../../src/analysis/notebook-analysis.ts';
import type { RunData } from '../../src/analysis/run-data.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { NotebookState } from '../../src/log/state.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';

const demo = reduce(demoNotebook(1.7e12).events);

/** The demo with the first reading of its first run at another volume. */
function withFirstReading(volumeMl: number): NotebookState {
  const [run, ...others] = demo.runs;
  const [first, ...rest] = run?.readings ?? [];
  if (!run || !first) throw new Error('no run');
  const { uVolumeMl: _, ...reading } = first;
  return { ...demo, runs: [{ ...run, readings: [{ ...reading, volumeMl }, ...rest] }, ...others] };
}

test('a volume on a line of the scale is known to a tenth of a division, one between lines to 0.29 of one', () => {
  const division = demo.setup.cylinder.divisionMl;
  const uMl = (volumeMl: number): number =>
    (experimentOf(withFirstReading(volumeMl)).experiment.runs[0]?.readings[0]?.uVolumeM3 ?? Number.NaN) * 1e6;
  expect(uMl(20 * division)).toBeCloseTo(division / 10, 9);
  expect(uMl(20.4 * division)).toBeCloseTo(division / Math.sqrt(12), 9);
});

test('the activation energy of a reaction is taken to be known to 5 %', () => {
  const activation = experimentOf(demo).experiment.activationJPerMol;
  expect((activation?.u ?? 0) / (activation?.value ?? 1)).toBeCloseTo(0.05, 9);
});

/** A steady flow of 0.1 mL/s with the third reading 5 mL too high. */
const withOneOff = (count: number, uStated: boolean): RunData => ({
  label: '1',
  readings: Array.from({ length: count }, (_, i) => ({
    timeS: 20 * i,
    volumeM3: (10 + 2 * i + (i === 1 ? 5 : 0)) * 1e-6,
    uTimeS: 0.1,
    uVolumeM3: 1e-7,
  })),
  uStated,
  ...(uStated ? {} : { resolution: { timeS: 1, volumeM3: 1e-7 } }),
});

test.each([
  [3, true, 0],
  [4, true, 1],
  [4, false, 0],
])('of %i readings, uncertainties stated: %s, %i can be flagged', (count, stated, flags) => {
  const analysis = analyseRun(withOneOff(count, stated));
  if (!analysis.ok) throw new Error(analysis.sentence);
  expect(analysis.flags.length).toBe(flags);
});

test('a run whose volumes do not change says why no rate is recommended', () => {
  const run = withOneOff(5, true);
  const still = { ...run, readings: run.readings.map((reading) => ({ ...reading, volumeM3: 1e-5 })) };
  const analysis = analyseRun(still);
  if (!analysis.ok) throw new Error(analysis.sentence);
  expect(analysis.recommended).toBeNull();
  expect(analysis.falling).toMatch(/do not change, so no gas came/);
});
