import { expect, test } from 'vitest';
import { impossibleReading } from '../../src/bench/plausible.ts';
import type { Meaning } from '../../src/log/meaning.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { the } from '../the.ts';
import { testBench } from './bench.ts';

const reading = (value: string): Meaning => ({ kind: 'reading', values: [{ value }] });

async function benchWithRun() {
  const bench = await testBench();
  await bench.session.press({ kind: 'start-run', run: '1' }, 5_000);
  for (const [index, value] of ['8', '10', '12'].entries())
    await bench.session.press(reading(value), 10_000 + 10_000 * index);
  return bench;
}

test('a cylinder shows nothing beyond its scale and nothing finer than its divisions can be read', () => {
  expect(impossibleReading('100', defaultSetup, 'en')).toBeNull();
  expect(impossibleReading('12.25', defaultSetup, 'en')).toBeNull();
  expect(impossibleReading('100.5', defaultSetup, 'en')).toMatch(/more than the cylinder shows/);
  expect(impossibleReading('0.0000001', defaultSetup, 'en')).toMatch(/finer/);
  expect(impossibleReading('100.5', defaultSetup, 'de')).toMatch(/mehr, als der Zylinder zeigt/);
});

test('a typed value that the cylinder cannot show is no reading; its moment is kept with what was due', async () => {
  const bench = await benchWithRun();
  await bench.session.press(reading('999'), 40_000);
  const call = the(bench.state().calls.at(-1));
  expect(call).toMatchObject({ onsetMs: 40_000, outcome: 'unresolved' });
  expect(call.reason).toBe('999 mL is more than the cylinder shows (100 mL); the moment is kept');
  expect(call.rivals[0]?.meaning).toMatchObject({ values: [{ value: '14' }] });
  expect(bench.run('1').readings).toHaveLength(3);
  expect(bench.session.view().exchange).toMatchObject({ tone: 'unresolved', answer: call.reason });
});

test('a typed value that contradicts what is due is doubtful with a reason until somebody confirms it', async () => {
  const bench = await benchWithRun();
  await bench.session.press(reading('30'), 40_000);
  const typed = () => the(bench.run('1').readings.at(-1));
  expect(typed()).toMatchObject({ value: '30', outcome: 'doubtful', settled: false });
  expect(bench.state().calls.at(-1)?.reason).toBe('30 mL was typed where some 14 mL were due');
  expect(bench.cues.at(-1)?.cue).toBe('doubtful');
  expect(bench.session.view().exchange?.answer).toBe('30 or 14 mL?');
  await bench.session.press({ kind: 'correction', value: '14' }, 45_000);
  expect(typed()).toMatchObject({ value: '14', outcome: 'taken', settled: true });
});

test('a typed value is doubted when it falls, or jumps before there is a trend', async () => {
  const bench = await testBench();
  await bench.session.press({ kind: 'start-run', run: '1' }, 5_000);
  await bench.session.press(reading('12'), 10_000);
  await bench.session.press(reading('40'), 20_000);
  await bench.session.press(reading('14'), 30_000);
  expect(bench.run('1').readings.map(({ outcome }) => outcome)).toEqual(['taken', 'doubtful', 'doubtful']);
});

test('typed values that go on as the run goes, with a mark passed over or a bend, are taken', async () => {
  const bench = await benchWithRun();
  for (const [value, atMs] of [
    ['16', 51_000],
    ['18', 63_000],
    ['19.5', 73_000],
    ['22', 92_000],
  ] as const)
    await bench.session.press(reading(value), atMs);
  expect(bench.run('1').readings.every(({ outcome, settled }) => outcome === 'taken' && settled)).toBe(true);
});

test('a correction to what the cylinder cannot show is refused in words, also after the run', async () => {
  const bench = await benchWithRun();
  await bench.session.press({ kind: 'end-run' }, 40_000);
  await bench.session.press({ kind: 'correction', value: '999' }, 50_000);
  expect(bench.run('1').readings.at(-1)?.value).toBe('12');
  expect(bench.session.view().exchange).toMatchObject({
    tone: 'trouble',
    answer: '999 mL is more than the cylinder shows (100 mL); nothing was changed',
  });
});

test('a correction out of the order of the readings is made and doubted in words', async () => {
  const bench = await benchWithRun();
  await bench.session.press({ kind: 'correction', value: '9' }, 41_000);
  expect(bench.run('1').readings.at(-1)?.value).toBe('9');
  expect(bench.session.view().exchange).toMatchObject({
    tone: 'doubtful',
    answer: '12 corrected to 9 mL at 0:20, not above 10 mL at 0:10',
  });
});

test('a baseline or a temperature that cannot be is not taken', async () => {
  const bench = await testBench();
  await bench.session.press({ kind: 'baseline', value: '999' }, 1000);
  await bench.session.press({ kind: 'temperature', value: '999' }, 2000);
  expect(bench.state().timed).toEqual([]);
  expect(bench.session.view().exchange?.answer).toMatch(
    /^999 °C cannot be right: it should lie between -5 and 100 °C\. Nothing was taken\.$/,
  );
});
