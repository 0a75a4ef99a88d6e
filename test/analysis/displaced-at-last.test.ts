import { expect, test } from 'vitest';
import { displacedAtLast } from '../../src/analysis/displaced-at-last.ts';
import type { RunData, RunReading } from '../../src/analysis/run-data.ts';

const reading = (timeS: number, ml: number, setAside?: string): RunReading => ({
  timeS,
  volumeM3: ml * 1e-6,
  uTimeS: 0.1,
  uVolumeM3: 1e-7,
  ...(setAside === undefined ? {} : { setAside }),
});
const run = (readings: RunReading[], baselineMl?: number): RunData => ({
  label: '1',
  readings,
  ...(baselineMl === undefined ? {} : { baselineM3: { value: baselineMl * 1e-6, u: 0 } }),
});

test('the volume displaced at the end is that of the last counted moment, from the baseline or the first reading', () => {
  const readings = [reading(20, 18), reading(5, 12), reading(10, 61), reading(30, 90, 'late-call')];
  expect(displacedAtLast(run(readings, 10)) * 1e6).toBeCloseTo(8, 9);
  expect(displacedAtLast(run(readings)) * 1e6).toBeCloseTo(6, 9);
});

test('without counted readings, or with a level that fell, nothing is displaced', () => {
  expect(displacedAtLast(run([], 10))).toBe(0);
  expect(displacedAtLast(run([reading(1, 12, 'x')]))).toBe(0);
  expect(displacedAtLast(run([reading(1, 12), reading(2, 8)]))).toBe(0);
});
