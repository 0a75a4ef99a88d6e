import fc from 'fast-check';
import { expect, test } from 'vitest';
import { dueMark, markText, nextMarkMl, spanReached } from '../../src/bench/marks.ts';
import type { Rival } from '../../src/log/event.ts';
import { displacedText, distinctLabel, durationText, originMl } from '../../src/log/runs.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import type { Run } from '../../src/log/state.ts';
import { the } from '../the.ts';
import { runOf } from './run-of.ts';

const runWith = (values: readonly string[], baseline: string | null = null): Run => ({ ...runOf(...values), baseline });

test('the next mark is the first step above the last reading', () => {
  expect(nextMarkMl(runWith(['12']), defaultSetup)).toBe(14);
  expect(nextMarkMl(runWith(['12', '13.4']), defaultSetup)).toBe(14);
});

test('before any reading no mark is due, baseline or not, unless the setup names the first one', () => {
  expect(dueMark(runWith([], '10'), defaultSetup)).toEqual({ markMl: null, unknown: true });
  expect(nextMarkMl(runWith([]), defaultSetup)).toBeNull();
  expect(nextMarkMl(runWith([]), { ...defaultSetup, firstMarkMl: 8 })).toBe(8);
});

test('marks are the first volume plus whole steps, whatever the baseline', () => {
  expect(nextMarkMl(runWith(['63'], '61'), defaultSetup)).toBe(65);
  expect(nextMarkMl(runWith(['31.5', '33.5'], '31'), defaultSetup)).toBe(35.5);
  expect(markText(35.5, defaultSetup)).toBe('35.5');
});

test('a reading in between and a mark left out change nothing after them', () => {
  expect(nextMarkMl(runWith(['41', '41.5']), defaultSetup)).toBe(43);
  expect(nextMarkMl(runWith(['41', '43', '44', '45']), defaultSetup)).toBe(47);
  expect(nextMarkMl(runWith(['41', '43', '47']), defaultSetup)).toBe(49);
  expect(nextMarkMl(runWith(['41', '43', '47', '51']), defaultSetup)).toBe(53);
});

test('two readings that agree on other marks or another step move the marks', () => {
  expect(nextMarkMl(runWith(['41', '43', '46', '48']), defaultSetup)).toBe(50);
  expect(nextMarkMl(runWith(['41', '42', '43']), defaultSetup)).toBe(44);
  expect(nextMarkMl(runWith(['41', '43', '44', '45', '46']), defaultSetup)).toBe(47);
  expect(nextMarkMl(runWith(['41', '43', '45.5', '48']), defaultSetup)).toBe(50.5);
  expect(nextMarkMl(runWith(['41', '43', '48', '53']), defaultSetup)).toBe(58);
  // Called every 5 mL with one mark left out; 4 and 6 mL apart are marks of 2 mL left out.
  expect(nextMarkMl(runWith(['41', '46', '56', '61']), defaultSetup)).toBe(66);
  expect(nextMarkMl(runWith(['41', '45', '51', '55']), defaultSetup)).toBe(57);
  // Back to the step of the setup.
  expect(nextMarkMl(runWith(['41', '42', '43', '45', '47']), defaultSetup)).toBe(49);
});

const called = (doubtful: readonly string[], ...values: string[]): Run => {
  const run = runWith(values, '10');
  return {
    ...run,
    readings: run.readings.map((reading) =>
      doubtful.includes(reading.value) ? { ...reading, outcome: 'doubtful' } : reading,
    ),
  };
};

test('a reading in doubt that makes the distances even tells another step, by its value or what else it may be', () => {
  expect(nextMarkMl(called(['24'], '15', '17', '19', '24', '29'), defaultSetup)).toBe(34);
  expect(nextMarkMl(called(['25'], '15', '17', '19', '25', '29'), defaultSetup)).toBe(31);
  const misheard = called(['25'], '15', '17', '19', '25', '29');
  const may24: Rival = { meaning: { kind: 'reading', values: [{ value: '24' }] }, p: 0.2, why: 'heard' };
  const readings = misheard.readings.map((one) => (one.value === '25' ? { ...one, rivals: [may24] } : one));
  expect(nextMarkMl({ ...misheard, readings }, defaultSetup)).toBe(34);
  expect(nextMarkMl(called(['27'], '15', '17', '22', '27'), defaultSetup)).toBe(32);
  expect(nextMarkMl(called(['54', '59'], '45', '47', '49', '54', '59'), defaultSetup)).toBe(64);
});

test('a call in doubt off the marks was most likely the next mark', () => {
  expect(nextMarkMl(called(['36'], '32.7', '34.7', '36'), defaultSetup)).toBe(38.7);
});

test('after a value in doubt that falls, the next mark goes on from the readings before it', () => {
  // "2" was 18: the mark that follows is 20, not 4.
  expect(nextMarkMl(called(['2'], '12', '14', '16', '2'), defaultSetup)).toBe(20);
  expect(nextMarkMl(called(['2', '4'], '12', '14', '16', '2', '4'), defaultSetup)).toBe(22);
  expect(nextMarkMl(called(['2'], '12', '14', '16', '2', '20'), defaultSetup)).toBe(22);
  // One that is sure, and one in doubt that rises, count as they stand.
  expect(nextMarkMl(called([], '12', '14', '16', '2'), defaultSetup)).toBe(4);
  expect(nextMarkMl(called(['23'], '20', '23'), defaultSetup)).toBe(24);
});

test('after a value in doubt that jumps ahead, the mark by the sure readings stands beside the one that is due', () => {
  expect(dueMark(called(['58'], '12', '14', '16', '58'), defaultSetup)).toEqual({ markMl: 60, otherMl: 20 });
  expect(dueMark(called(['58', '60'], '12', '14', '16', '58', '60'), defaultSetup)).toEqual({
    markMl: 62,
    otherMl: 22,
  });
  // A value in doubt that goes on from the sure readings, though it falls below the jump, is no fall.
  expect(dueMark(called(['58', '20'], '12', '14', '16', '58', '20'), defaultSetup)).toEqual({ markMl: 22 });
  // One sure value settles it, and so does a person.
  expect(dueMark(called(['58'], '12', '14', '16', '58', '60'), defaultSetup)).toEqual({ markMl: 62 });
  const jumped = called(['58'], '12', '14', '16', '58');
  const settled = { ...jumped, readings: jumped.readings.map((reading) => ({ ...reading, settled: true })) };
  expect(dueMark(settled, defaultSetup)).toEqual({ markMl: 60 });
  // Both ways of counting lead to the same mark.
  expect(dueMark(called(['18'], '12', '14', '16', '18'), defaultSetup)).toEqual({ markMl: 20 });
  expect(dueMark(called(['2'], '12', '14', '16', '2'), defaultSetup)).toEqual({ markMl: 20 });
  // A jump to the top leaves a mark.
  expect(dueMark(called(['100'], '12', '14', '16', '100'), defaultSetup)).toEqual({ markMl: 20, otherMl: null });
  // Nothing may be sure at all: then what it may have been instead.
  const first: Run = { ...called(['15'], '15'), baseline: null };
  expect(dueMark(first, defaultSetup)).toEqual({ markMl: 17, otherMl: null });
  const rival: Rival = { meaning: { kind: 'reading', values: [{ value: '50' }] }, p: 0.2, why: '' };
  const either: Run = { ...first, readings: first.readings.map((reading) => ({ ...reading, rivals: [rival] })) };
  expect(dueMark(either, defaultSetup)).toEqual({ markMl: 17, otherMl: 51 });
});

test('a full cylinder has no next mark', () => {
  expect(nextMarkMl(runWith(['100']), defaultSetup)).toBeNull();
});

test('a fine step does not creep', () => {
  const setup = { ...defaultSetup, stepMl: 0.1 };
  let value = '0.0';
  for (let i = 1; i <= 300; i++) {
    const mark = nextMarkMl(runWith([value]), setup);
    expect(mark).toBeCloseTo(i / 10, 12);
    value = markText(the(mark), setup);
  }
  expect(value).toBe('30.0');
});

test('the next mark lies above the last reading, by no more than a step', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 950 }), fc.constantFrom(0.2, 0.5, 1, 2, 5), (tenths, stepMl) => {
      const last = tenths / 10;
      const mark = nextMarkMl(runWith([String(last)]), { ...defaultSetup, stepMl });
      expect(mark).not.toBeNull();
      expect(the(mark)).toBeGreaterThan(last);
      expect(the(mark) - last).toBeLessThanOrEqual(stepMl + 1e-9);
    }),
  );
});

test('displacement counts from the baseline, else from the first reading, with the decimals that were said', () => {
  expect(displacedText(runWith(['12', '14'], '10.5'))).toBe('3.5');
  expect(displacedText(runWith(['12.0', '14.0']))).toBe('2.0');
  expect(displacedText(runWith([]))).toBeNull();
  expect(originMl(runWith([], '10'))).toBe(10);
});

test('the span is reached at its volume, not before', () => {
  expect(spanReached(runWith(['10', '28']), defaultSetup)).toBe(false);
  expect(spanReached(runWith(['10', '30']), defaultSetup)).toBe(true);
  // From the first reading, where the clock starts, not from the baseline.
  expect(spanReached(runWith(['63', '81'], '61'), defaultSetup)).toBe(false);
  expect(spanReached(runWith(['63', '83'], '61'), defaultSetup)).toBe(true);
});

test('a label that is taken gets a letter', () => {
  expect(distinctLabel('2', ['1'])).toBe('2');
  expect(distinctLabel('2', ['1', '2'])).toBe('2b');
  expect(distinctLabel('2', ['2', '2b'])).toBe('2c');
});

test('durations read as minutes and seconds', () => {
  expect(durationText(125_400)).toBe('2:05');
  expect(durationText(125_460, true)).toBe('2:05.5');
  expect(durationText(59_960, true)).toBe('1:00.0');
  expect(durationText(-3000)).toBe('−0:03');
});
