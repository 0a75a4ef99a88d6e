/** Properties that any run's analysis must have, whatever the readings: fast-check draws them. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { analyseRun } from '../../src/analysis/analyse-run.ts';
import type { RateEstimate } from '../../src/analysis/estimate.ts';
import { predictVolume } from '../../src/analysis/live.ts';
import type { Refused, RunData } from '../../src/analysis/run-data.ts';
import { reactionTime } from '../../src/analysis/simulate.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { the } from '../the.ts';

/** A plausible run: eleven marks of a first-order reaction with errors. */
const plausible = fc
  .record({
    seed: fc.integer({ min: 0, max: 1e6 }),
    rate: fc.double({ min: 0.02, max: 0.5, noNaN: true }),
    ceiling: fc.double({ min: 30, max: 400, noNaN: true }),
    wild: fc.option(fc.integer({ min: 0, max: 10 })),
  })
  .map(({ seed, rate, ceiling, wild }): RunData => {
    const random = createRandom(seed);
    return {
      label: '1',
      readings: Array.from({ length: 11 }, (_, i) => ({
        timeS: reactionTime(2 * (i + 1) + random.normal(0, 0.1), rate, ceiling, 1) + random.normal(0, 0.1),
        volumeM3: (10 + 2 * (i + 1) + (wild === i ? 4 : 0)) * 1e-6,
        uTimeS: 0.1,
        uVolumeM3: 1e-7,
      })),
      baselineM3: { value: 1e-5, u: 1e-7 },
      ceilingM3: { value: ceiling * 1e-6, u: ceiling * 1e-8 },
      gainURelative: 0.005,
      stepM3: 2e-6,
    };
  });

interface Seen {
  readonly rate: number;
  readonly u: number;
  readonly flags: string;
  readonly recommended: string | undefined;
}

function eachEstimate(run: RunData): Seen[] {
  const analysis = analyseRun(run);
  if (!analysis.ok) throw new Error(analysis.sentence);
  const flags = analysis.flags.map(({ index, cause }) => `${index} ${cause}`).join();
  return (Object.values(analysis.estimates) as (RateEstimate | Refused)[]).map((estimate) =>
    estimate.ok
      ? { rate: estimate.rateM3PerS, u: estimate.u, flags, recommended: analysis.recommended?.name }
      : { rate: Number.NaN, u: Number.NaN, flags, recommended: estimate.reason },
  );
}

function expectSame(a: RunData, b: RunData, unit = 1, relative = 1e-7): void {
  const left = eachEstimate(a);
  const right = eachEstimate(b);
  expect(right.length).toBe(left.length);
  left.forEach((one, i) => {
    const other = the(right[i]);
    expect(other.flags).toBe(one.flags);
    expect(other.recommended).toBe(one.recommended);
    if (Number.isNaN(one.rate)) {
      expect(other.rate).toBeNaN();
      return;
    }
    expect(Math.abs(other.rate / (one.rate * unit) - 1)).toBeLessThan(relative);
    expect(Math.abs(other.u / (one.u * unit) - 1)).toBeLessThan(relative);
  });
}

test('minutes for seconds give the same rate, sixty times as large, and the same flags', () => {
  fc.assert(
    fc.property(plausible, (run) => {
      const inMinutes = {
        ...run,
        readings: run.readings.map((r) => ({ ...r, timeS: r.timeS / 60, uTimeS: r.uTimeS / 60 })),
      };
      expectSame(run, inMinutes, 60);
    }),
    { numRuns: 40 },
  );
}, 60_000);

test('the order of the readings in the list does not matter', () => {
  fc.assert(
    fc.property(plausible, fc.integer(), (run, seed) => {
      const random = createRandom(seed);
      const shuffled = run.readings
        .map((reading, i) => ({ reading, i, key: random.uniform() }))
        .sort((a, b) => a.key - b.key);
      const analysis = analyseRun({ ...run, readings: shuffled.map(({ reading }) => reading) });
      const original = analyseRun(run);
      if (!analysis.ok || !original.ok) throw new Error('refused');
      expect(analysis.used?.rateM3PerS).toBe(original.used?.rateM3PerS);
      expect(analysis.flags.map(({ index }) => the(shuffled[index]).i).sort()).toEqual(
        original.flags.map(({ index }) => index).sort(),
      );
    }),
    { numRuns: 40 },
  );
}, 60_000);

test('a constant added to all times changes nothing', () => {
  fc.assert(
    fc.property(plausible, fc.integer({ min: -100_000, max: 100_000 }), (run, shift) => {
      expectSame(run, { ...run, readings: run.readings.map((r) => ({ ...r, timeS: r.timeS + shift })) });
    }),
    { numRuns: 40 },
  );
}, 60_000);

test('a constant added to cylinder and baseline changes nothing', () => {
  fc.assert(
    fc.property(plausible, fc.integer({ min: 0, max: 30 }), (run, ml) => {
      const analysis = analyseRun({
        ...run,
        readings: run.readings.map((r) => ({ ...r, volumeM3: r.volumeM3 + ml * 1e-6 })),
        baselineM3: { value: 1e-5 + ml * 1e-6, u: 1e-7 },
      });
      const original = analyseRun(run);
      if (!analysis.ok || !original.ok) throw new Error('refused');
      // Which other number a reading may have been misheard for depends on the number, so causes may differ.
      expect(analysis.flags.map(({ index }) => index)).toEqual(original.flags.map(({ index }) => index));
      for (const name of ['line', 'quadratic', 'firstOrder'] as const) {
        const a = analysis.estimates[name];
        const b = original.estimates[name];
        if (a.ok && b.ok) expect(a.rateM3PerS / b.rateM3PerS).toBeCloseTo(1, 6);
        else expect(a.ok).toBe(b.ok);
      }
    }),
    { numRuns: 40 },
  );
}, 60_000);

const anyNumber = fc.oneof(
  fc.double(),
  fc.integer({ min: -50, max: 50 }),
  fc.constantFrom(0, -0, Number.NaN, Number.POSITIVE_INFINITY, 1e-320, 1e300),
);

const hostile = fc.record({
  times: fc.array(anyNumber, { maxLength: 14 }),
  volumes: fc.array(anyNumber, { maxLength: 14 }),
  u: anyNumber,
  baseline: fc.option(anyNumber),
  ceiling: fc.option(anyNumber),
  stated: fc.boolean(),
});

/** Every number of a result, however deep. */
function numbersIn(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (typeof value !== 'object' || value === null) return [];
  return Object.values(value).flatMap(numbersIn);
}

test('hostile readings give a result without NaN, or a refusal with a sentence; never an exception', () => {
  fc.assert(
    fc.property(hostile, ({ times, volumes, u, baseline, ceiling, stated }) => {
      const run: RunData = {
        label: 'x',
        readings: times.map((timeS, i) => ({
          timeS,
          volumeM3: volumes[i] ?? 0,
          uTimeS: Math.abs(u),
          uVolumeM3: Math.abs(u),
        })),
        ...(baseline === null ? {} : { baselineM3: { value: baseline, u: 0 } }),
        ...(ceiling === null ? {} : { ceilingM3: { value: ceiling, u: 0 } }),
        uStated: stated,
      };
      const analysis = analyseRun(run);
      if (!analysis.ok) {
        expect(analysis.sentence).toMatch(/^[A-Z].*\.$/);
        return;
      }
      for (const estimate of Object.values(analysis.estimates) as (RateEstimate | Refused)[]) {
        if (estimate.ok) expect([estimate.rateM3PerS, estimate.u].some(Number.isNaN)).toBe(false);
        else expect(estimate.sentence).toMatch(/^[A-Z].*\.$/);
      }
      for (const flag of analysis.flags) expect(Number.isNaN(flag.expectedM3)).toBe(false);
      const predicted = predictVolume(run.readings, 1);
      if (predicted) expect(numbersIn(predicted).some(Number.isNaN)).toBe(false);
    }),
    { numRuns: 1500 },
  );
}, 60_000);

test('two readings give a line and say that they cannot give more', () => {
  const analysis = analyseRun({
    label: '1',
    readings: [
      { timeS: 0, volumeM3: 0, uTimeS: 0.1, uVolumeM3: 1e-7 },
      { timeS: 20, volumeM3: 2e-6, uTimeS: 0.1, uVolumeM3: 1e-7 },
    ],
  });
  if (!analysis.ok) throw new Error(analysis.sentence);
  expect(analysis.used).toMatchObject({ estimator: 'line' });
  expect(the(analysis.used).rateM3PerS).toBeCloseTo(1e-7, 14);
  expect(the(analysis.used).u / 1e-7).toBeCloseTo((Math.sqrt(2) * Math.hypot(1e-7, 1e-8)) / 2e-6, 3);
  expect(analysis.estimates.quadratic).toMatchObject({ ok: false, reason: 'too-few-readings' });
});

test('equal times, no readings and one reading are refused in words', () => {
  const reading = { timeS: 5, volumeM3: 1e-6, uTimeS: 0.1, uVolumeM3: 1e-7 };
  expect(analyseRun({ label: '1', readings: [] })).toMatchObject({ ok: false, reason: 'too-few-readings' });
  expect(analyseRun({ label: '1', readings: [reading] })).toMatchObject({ ok: false, reason: 'too-few-readings' });
  expect(analyseRun({ label: '1', readings: [reading, reading, reading] })).toMatchObject({
    ok: false,
    reason: 'equal-times',
  });
});

test('falling volumes give a negative line and no first-order rate', () => {
  const analysis = analyseRun({
    label: '1',
    readings: [10, 8, 6, 4, 2].map((ml, i) => ({ timeS: 10 * i, volumeM3: ml * 1e-6, uTimeS: 0.1, uVolumeM3: 1e-7 })),
    baselineM3: { value: 0, u: 0 },
    ceilingM3: { value: 5e-5, u: 0 },
  });
  if (!analysis.ok) throw new Error(analysis.sentence);
  expect(analysis.estimates.line).toMatchObject({ ok: true });
  expect((analysis.estimates.line as RateEstimate).rateM3PerS).toBeCloseTo(-2e-7, 12);
  expect(analysis.estimates.firstOrder.ok).toBe(false);
});

test('a hundred thousand readings are analysed in seconds', () => {
  const random = createRandom(1);
  const readings = Array.from({ length: 100_000 }, (_, i) => ({
    timeS: i * 0.01,
    volumeM3: 5e-5 * -Math.expm1(-i * 0.01 * 1e-3) + random.normal(0, 1e-7),
    uTimeS: 0.01,
    uVolumeM3: 1e-7,
  }));
  const begun = performance.now();
  const analysis = analyseRun({ label: '1', readings, baselineM3: { value: 0, u: 0 } });
  if (!analysis.ok) throw new Error(analysis.sentence);
  expect(analysis.used?.kPerS?.value).toBeCloseTo(1e-3, 5);
  expect(performance.now() - begun).toBeLessThan(60_000);
}, 90_000);
