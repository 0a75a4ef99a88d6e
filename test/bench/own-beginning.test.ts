import { expect, test } from 'vitest';
import { type TestBench, testBench } from './bench.ts';

// An "er" was heard as the first word; the number's own first sound came 476 ms later.
const er = [
  { text: 'one thirty four', confidence: 0.5, begins: { laterMs: 0, uMs: 20 } },
  { text: 'thirty four', confidence: 0.3, begins: { laterMs: 476, uMs: 24 } },
];

async function running(): Promise<TestBench> {
  const bench = await testBench();
  await bench.say('start run one', 5);
  for (const [k, text] of ['thirty', 'thirty two'].entries()) await bench.say(text, 20 + 10 * k);
  return bench;
}

test('a reading begins with the sentence that it was taken from', async () => {
  const bench = await running();
  await bench.say('', 40, { ear: 'own', uOnsetMs: 250, alternatives: er });
  const reading = bench.run('1').readings[2];
  expect(reading).toMatchObject({ value: '34', outcome: 'taken' });
  expect(reading?.timeMs).toBeCloseTo(40_476, 6);
  expect(reading?.uTimeMs).toBe(24);
});

test('where the value is in doubt its moment reaches over all beginnings', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  const alternatives = [
    { text: 'four', confidence: 0.4, begins: { laterMs: 0, uMs: 20 } },
    { text: 'three four', confidence: 0.3, begins: { laterMs: -450, uMs: 22 } },
  ];
  await bench.say('', 20, { ear: 'own', uOnsetMs: 20, alternatives });
  const reading = bench.run('1').readings[0];
  expect(reading).toMatchObject({ outcome: 'doubtful', timeMs: 20_000 });
  expect(2 * (reading?.uTimeMs ?? 0)).toBeGreaterThan(450);
});

test('words that all begin with the call leave its moment as it is', async () => {
  const bench = await running();
  await bench.say('', 40, { ear: 'own', uOnsetMs: 17, alternatives: [{ text: 'thirty four', confidence: 0.97 }] });
  expect(bench.run('1').readings[2]).toMatchObject({ timeMs: 40_000, uTimeMs: 17 });
});

test('the browser’s recogniser takes no beginning away, whether it answers first or with the ear', async () => {
  for (const first of [true, false]) {
    const bench = await running();
    const other = { ear: 'browser', alternatives: [{ text: 'thirty four', confidence: 0.9 }], first } as const;
    await bench.say('', 40, { ear: 'own', uOnsetMs: 250, alternatives: er, other });
    const reading = bench.run('1').readings[2];
    expect(reading).toMatchObject({ value: '34', outcome: 'taken' });
    expect(reading?.timeMs).toBeCloseTo(40_476, 6);
  }
});

test('a value that later readings change begins with its own sentence then', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  const alternatives = [
    { text: 'four', confidence: 0.939, begins: { laterMs: 450, uMs: 20 } },
    { text: 'thirty four', confidence: 0.03, begins: { laterMs: 0, uMs: 20 } },
  ];
  await bench.say('', 20, { ear: 'own', uOnsetMs: 20, alternatives });
  expect(bench.run('1').readings[0]).toMatchObject({ value: '4', timeMs: 20_450 });
  // Somebody may correct it: the beginning that it would have then is in the uncertainty.
  expect(bench.run('1').readings[0]?.uTimeMs).toBeGreaterThan(60);
  for (const [k, text] of ['thirty six', 'thirty eight', 'forty', 'forty two'].entries())
    await bench.say(text, 30 + 10 * k);
  const reading = bench.run('1').readings[0];
  expect(reading).toMatchObject({ value: '34' });
  expect(reading?.timeMs).toBeCloseTo(20_000, 6);
});

test('two sentences of one value share its moment by how likely they are', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  const alternatives = [
    { text: 'zero point five', confidence: 0.49, begins: { laterMs: -400, uMs: 20 } },
    { text: 'point five', confidence: 0.45, begins: { laterMs: 0, uMs: 20 } },
  ];
  await bench.say('', 20, { ear: 'own', uOnsetMs: 20, alternatives });
  const reading = bench.run('1').readings[0];
  expect(reading).toMatchObject({ value: '0.5', timeMs: 19_600 });
  expect(2 * (reading?.uTimeMs ?? 0)).toBeGreaterThan(400);
});

test('a call within the tool’s own voice stays as uncertain as that makes it', async () => {
  const bench = await running();
  const during = { said: [{ spoken: 'thirty two', sinceMs: -300 }], within: true };
  await bench.say('', 40, { ear: 'own', uOnsetMs: 200, during, alternatives: er });
  const call = bench.state().calls.at(-1);
  expect(call).toMatchObject({ overSpeech: true, uOnsetMs: 200 });
});
