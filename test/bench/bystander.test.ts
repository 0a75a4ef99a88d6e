import { expect, test } from 'vitest';
import { type TestBench, testBench } from './bench.ts';

/** A run whose first readings were 31, 33 and 35. */
async function inRun(): Promise<TestBench> {
  const bench = await testBench();
  await bench.say('start run one', 5);
  for (const [k, text] of ['thirty one', 'thirty three', 'thirty five'].entries())
    await own(bench, 20 + 20 * k, { [text]: 0.97 });
  return bench;
}

const own = (bench: TestBench, atS: number, said: Record<string, number>, bystander = false): Promise<void> =>
  bench.say('', atS, {
    ear: 'own',
    alternatives: Object.entries(said).map(([text, confidence]) => ({ text, confidence })),
    bystander,
  });

const values = (bench: TestBench): string[] => bench.run('1').readings.map(({ value }) => value);

test.for([
  [{ seven: 0.14, two: 0.02 }],
  [{ twenty: 0.34, 'twenty one': 0.14 }],
  [{ zero: 0.6 }],
  [{ 'thirty four': 0.68, four: 0.15 }],
  [{ nineteen: 0.35 }],
  [{ one: 0.21, two: 0.03, 'one one': 0.02 }],
])('numbers in the talk of others are kept and not asked about (%j)', async ([said = {}]) => {
  const bench = await inRun();
  const [cues, shown] = [bench.cues.length, bench.session.view().exchange];
  await own(bench, 75, said, true);
  expect(values(bench)).toEqual(['31', '33', '35']);
  expect(bench.cues).toHaveLength(cues);
  expect(bench.session.view().exchange).toEqual(shown);
  const call = bench.state().calls.at(-1);
  expect(call?.outcome).toBe('not-a-reading');
  expect(call?.heard.at(-1)?.alternatives[0]?.text).toBe(Object.keys(said)[0]);
});

test('a number that is due is asked about, whoever said it', async () => {
  const bench = await inRun();
  await own(bench, 80, { 'thirty seven': 0.45 }, true);
  expect(bench.run('1').readings.at(-1)).toMatchObject({ value: '37', outcome: 'doubtful' });
  expect(bench.cues.at(-1)?.cue).toBe('doubtful');
});

// Its third reading was in doubt itself, and 34 of others' talk lay between that and the one before.
test('a number in talk that is less than a reading in doubt is not asked about', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  await own(bench, 20, { 'thirty one': 0.97 });
  await own(bench, 40, { 'thirty three': 0.97 });
  await own(bench, 60, { 'thirty five': 0.3, thirty: 0.04 });
  await own(bench, 70, { 'thirty four': 0.74, four: 0.15 }, true);
  expect(values(bench)).toEqual(['31', '33', '35']);
});

test('a number off the marks that was plainly heard farther away is asked about', async () => {
  const bench = await inRun();
  await own(bench, 90, { 'thirty eight': 0.8 }, true);
  expect(bench.run('1').readings.at(-1)).toMatchObject({ value: '38', outcome: 'doubtful' });
});

test('a caller who turned away and is heard plainly is taken', async () => {
  const bench = await inRun();
  await own(bench, 80, { 'thirty seven': 0.96 }, true);
  expect(bench.run('1').readings.at(-1)).toMatchObject({ value: '37', outcome: 'taken' });
});

test('what the caller said and the ear did not make out is asked about', async () => {
  const bench = await inRun();
  const cues = bench.cues.length;
  await own(bench, 75, { seven: 0.04, two: 0.02 });
  expect(bench.cues.length).toBeGreaterThan(cues);
});

// They were taken for a run of their own, 1, 3, 5, 7 and 9, after 35.
test('numbers that were hardly heard do not make readings below those before them', async () => {
  const bench = await inRun();
  const talk = [
    { twenty: 0.34, 'twenty one': 0.14, one: 0.06 },
    { three: 0.06, eight: 0.02, twelve: 0.01 },
    { nineteen: 0.35, ninety: 0.03 },
    { one: 0.07, 'one one': 0.02 },
    { nine: 0.03, eight: 0.02 },
    // The last is taken for a reading in doubt, and those before it are judged again.
    { seven: 0.14, two: 0.01, ten: 0.01 },
  ];
  for (const [k, said] of talk.entries()) await own(bench, 73 + 8 * k, said);
  const last = bench.state().calls.at(-1)?.id;
  const others = bench.run('1').readings.filter(({ call }) => call !== last);
  expect(others.map(({ value }) => value)).toEqual(['31', '33', '35']);
});
