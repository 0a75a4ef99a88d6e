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
