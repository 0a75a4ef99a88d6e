/**
 * Integrated rate laws: OpenStax Chemistry 2e, sections 12.1 and 12.4 (modules m68786, m68791). The tables are of
 * concentrations; as volumes of gas they read V = C (1 - c/c0).
 */
import { expect, test } from 'vitest';
import { analyseRun } from '../../src/analysis/analyse-run.ts';
import { conversionTime } from '../../src/analysis/course.ts';
import type { RunData } from '../../src/analysis/run-data.ts';
import { wholeFit } from '../../src/analysis/whole-fit.ts';
import { the } from '../the.ts';

const runOf = (times: readonly number[], left: readonly number[], ceiling: boolean): RunData => ({
  label: '1',
  readings: times.map((timeS, i) => ({ timeS, volumeM3: 1e-4 * (1 - the(left[i])), uTimeS: 0, uVolumeM3: 1e-8 })),
  baselineM3: { value: 0, u: 0 },
  ...(ceiling ? { ceilingM3: { value: 1e-4, u: 0 } } : {}),
  uStated: false,
});

test('hydrogen peroxide at 40 degrees halves every six hours: k = 0.116 per hour, half-life 2.16e4 s', () => {
  const hours = [0, 6, 12, 18, 24];
  const left = [1, 0.5, 0.25, 0.125, 0.0625];
  for (const ceiling of [true, false]) {
    const analysis = analyseRun(
      runOf(
        hours.map((h) => h * 3600),
        left,
        ceiling,
      ),
    );
    if (!analysis.ok || !analysis.estimates.firstOrder.ok) throw new Error('no estimate');
    const k = the(analysis.estimates.firstOrder.kPerS).value;
    expect(k * 3600).toBeCloseTo(Math.LN2 / 6, 8);
    expect(Math.LN2 / k / 2.16e4).toBeCloseTo(1, 8);
    expect(the(analysis.estimates.firstOrder.ceilingM3).value).toBeCloseTo(1e-4, 10);
    // Rate before any gas: k times the ceiling.
    expect(analysis.estimates.firstOrder.rateM3PerS).toBeCloseTo(k * 1e-4, 14);
  }
});

test('butadiene is second order: the closed form gives k = 0.0614 L/mol/s from every pair of readings', () => {
  const times = [0, 1600, 3200, 4800, 6200];
  const c = [1e-2, 5.04e-3, 3.37e-3, 2.53e-3, 2.08e-3];
  // t = g(f)/(k c0) with g of order 2, f = 1 - c/c0.
  for (let i = 1; i < times.length; i++) {
    const k = conversionTime(-Math.log(the(c[i]) / the(c[0])), 2) / the(c[0]) / the(times[i]);
    expect(k).toBeCloseTo(0.0614, 3);
  }
});

test('butadiene with the order left open: second order, and k = 0.0614 L/mol/s from the same table', () => {
  const times = [0, 1600, 3200, 4800, 6200];
  const c = [1e-2, 5.04e-3, 3.37e-3, 2.53e-3, 2.08e-3];
  const run = {
    ...runOf(
      times,
      c.map((one) => one / 1e-2),
      true,
    ),
    concentrations: { C4H6: { value: 10, u: 0, uCommonRelative: 0 } },
  };
  const open = wholeFit([run]);
  if (!open.ok) throw new Error(open.sentence);
  expect(Math.abs((open.orders.C4H6?.value ?? 0) - 2)).toBeLessThan(0.02);
  const fit = wholeFit([run], { fixed: { C4H6: 2 } });
  if (!fit.ok) throw new Error(fit.sentence);
  // The rate is a volume per time here: over the ceiling of 1e-4 m3 for 1e-2 mol/L it is that of the concentration.
  expect((fit.k * 1e-2) / 1e-4).toBeCloseTo(0.0614, 3);
});
