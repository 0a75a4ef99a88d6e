import { expect, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { liveFigures, withUncertainty } from '../../src/bench/live.ts';
import { warningsOf } from '../../src/bench/warnings.ts';
import { reduce } from '../../src/log/reduce.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { the } from '../the.ts';

const events = demoNotebook(1.7e12).events;
const whole = reduce(events);

test('the live rate of a finished clean run is that of the estimate that Rates recommends for it alone', () => {
  const run = the(whole.runs[1]);
  const recommended = the(analysisOf(whole).analysis.runs[1]);
  const live = the(liveFigures(whole, run.id));
  if (!recommended.ok || !recommended.used || !recommended.recommended) throw new Error('no rate');
  const alone = recommended.estimates[recommended.recommended.name];
  if (!alone.ok) throw new Error(alone.sentence);
  expect(live.rateMlPerS).toBeCloseTo(alone.rateM3PerS * 1e6, 9);
  expect(live.uMlPerS).toBeCloseTo(alone.u * 1e6, 9);
  // Rates averages it with the curves that the other runs allow: closer than its uncertainty.
  expect(Math.abs(recommended.used.rateM3PerS * 1e6 - live.rateMlPerS)).toBeLessThan(live.uMlPerS);
});

test('before the third reading there is no rate; after it the next mark is predicted', () => {
  const run = the(whole.runs[1]);
  const upTo = (count: number) => {
    const last = the(run.readings[count - 1]);
    const until = events.findIndex(({ body }) => body.kind === 'judged' && body.call === last.call);
    return reduce(events.slice(0, until + 1));
  };
  expect(liveFigures(upTo(2), run.id)).toBeNull();
  const live = the(liveFigures(upTo(5), run.id));
  const next = the(run.readings[5]);
  // Half the time between two marks would be useless; a tenth is a guide.
  const between = next.timeMs - the(run.readings[4]).timeMs;
  expect(Math.abs(the(live.nextMarkMs) - next.timeMs)).toBeLessThan(0.1 * between);
  expect(live.spanMs).toBeGreaterThan(the(live.nextMarkMs));
});

test('uncertainties are printed to one or two digits and values to the same place', () => {
  expect(withUncertainty(0.08321, 0.00114, 2)).toBe('0.0832 ± 0.0011');
  expect(withUncertainty(0.08321, 0.00114, 1)).toBe('0.083 ± 0.001');
  expect(withUncertainty(12.34, 25, 1)).toBe('12 ± 25');
});

const run = the(whole.runs[1]);
const shifted = (change: (timeMs: number, index: number) => number) => ({
  ...run,
  readings: run.readings.map((reading, index) => ({
    ...reading,
    outcome: 'taken' as const,
    timeMs: change(reading.timeMs, index),
  })),
});

test('a run that goes as it should raises no warning', () => {
  const clean = shifted((timeMs) => timeMs);
  for (let count = 1; count <= 11; count++) {
    const part = { ...clean, readings: clean.readings.slice(0, count) };
    expect(warningsOf(part, the(part.readings.at(-1)).timeMs + 1000)).toEqual([]);
  }
});

test('one late call raises no warning; a leak, a surge and silence do', () => {
  const end = the(run.readings.at(-1)).timeMs;
  const late = shifted((timeMs, index) => timeMs + (index === 10 ? 6000 : 0));
  expect(warningsOf(late, end + 7000)).toEqual([]);
  const leak = shifted((timeMs, index) => timeMs + (index > 8 ? 30_000 * (index - 8) : 0));
  expect(warningsOf(leak, end + 61_000).map((warning) => warning.kind)).toEqual(['slower']);
  const surge = shifted((timeMs, index) => timeMs - (index > 8 ? 15_000 * (index - 8) : 0));
  expect(warningsOf(surge, end - 29_000).map((warning) => warning.kind)).toEqual(['surge']);
  expect(
    warningsOf(
      shifted((timeMs) => timeMs),
      end + 120_000,
    ).map((warning) => warning.kind),
  ).toEqual(['no-reading']);
});
