import { expect, test } from 'vitest';
import { testBench } from './bench.ts';

// Talk in the room: the second call made the first likely, and together they were taken for a run that fell to 3 and 5.
test('talk that goes with more talk is no run that fell', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  const say = (atS: number, ...said: readonly (readonly [string, number])[]) =>
    bench.say('', atS, { ear: 'own', alternatives: said.map(([text, confidence]) => ({ text, confidence })) });
  await say(33, ['thirty one', 0.869], ['thirty', 0.016], ['one', 0.012], ['twenty one', 0.003]);
  await say(56, ['thirty three', 0.957], ['forty three', 0.02], ['thirty', 0.006]);
  await say(75, ['thirty five', 0.425], ['thirty', 0.102], ['thirty nine', 0.034], ['thirty four', 0.028]);
  await say(94, ['three', 0.087], ['six', 0.06], ['six three', 0.056], ['three five', 0.04], ['five', 0.038]);
  await say(95, ['two', 0.211], ['double two', 0.009], ['two eight', 0.004]);
  await say(97, ['two', 0.279], ['four', 0.01], ['two four', 0.006], ['five', 0.002]);
  await say(98, ['two', 0.137], ['one', 0.025], ['one two', 0.016]);
  await say(111, ['five', 0.332], ['twenty five', 0.286], ['twenty', 0.083], ['one', 0.035], ['twenty one', 0.03]);
  await say(112, ['fifty', 0.067], ['zero', 0.044], ['four', 0.013]);
  await say(137, ['two', 0.309], ['two one', 0.004]);
  const { readings } = bench.run('1');
  expect(readings.slice(0, 3).map(({ value }) => value)).toEqual(['31', '33', '35']);
  for (const { volumeMl, outcome } of readings.slice(3)) if (volumeMl < 35) expect(outcome).toBe('doubtful');
});

test('a number in what is rather talk answers no question', async () => {
  const bench = await testBench();
  await bench.say('start run one', 5);
  const say = (atS: number, ...said: readonly (readonly [string, number])[]) =>
    bench.say('', atS, { ear: 'own', alternatives: said.map(([text, confidence]) => ({ text, confidence })) });
  await say(94, ['fifteen', 0.48], ['fifty', 0.45]);
  expect(bench.run('1').readings.at(-1)?.outcome).toBe('doubtful');
  await say(97, ['fifty', 0.2], ['five', 0.02]);
  expect(bench.run('1').readings.map(({ settled }) => settled)).not.toContain(true);
});
