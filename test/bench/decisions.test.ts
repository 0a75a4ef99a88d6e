import { expect, test } from 'vitest';
import { runSheetDecisions } from '../../src/bench/decisions.ts';
import { planTemplates } from '../../src/planning/plan-templates.ts';
import { the } from '../the.ts';
import { type TestBench, testBench } from './bench.ts';

const plan = the(planTemplates.find((template) => template.id === 'three-runs')).plan;

async function day() {
  const bench = await testBench({ decisions: runSheetDecisions });
  await bench.journal.record({ kind: 'planned', plan });
  return bench;
}

const pours = (bench: TestBench) =>
  bench.state().timed.flatMap((event) => (event.kind === 'poured' ? [`${event.value} ${event.settled}`] : []));

test('a wrong pour is asked about aloud even with read-back off, and "yes" keeps it', async () => {
  const bench = await day();
  await bench.say('poured five of peroxide', 10);
  expect(bench.said.at(-1)).toBe(
    'Plan says 10 millilitres of peroxide; you said 5. Say yes to keep 5, or the right volume.',
  );
  expect(bench.cues.at(-1)?.cue).toBe('doubtful');
  await bench.say('affirm', 15);
  expect(pours(bench)).toEqual(['5 open', '5 accepted']);
  // Both calls are known by the moments at which they were said.
  expect(bench.state().timed.map((event) => [event.timeMs, event.call !== null])).toEqual([
    [10_000, true],
    [15_000, true],
  ]);
});

test.each([
  'ten',
  'no, ten',
  'correction ten',
  'make that ten',
  'I said ten',
  'that was ten',
  'poured ten of peroxide',
])('after a wrong pour, "%s" is the right volume', async (words) => {
  const bench = await day();
  await bench.say('poured five of peroxide', 10);
  await bench.say(words, 15);
  expect(bench.session.view().exchange?.answer).toMatch(/^peroxide 10, as planned/);
  expect(pours(bench).at(-1)).toBe('10 as-planned');
});

test.each(['disregard', 'scratch that'])(
  '"%s" after a pour takes the pour back, not a reading of an earlier run',
  async (words) => {
    const bench = await day();
    await bench.say('start run one', 10);
    await bench.say('thirty', 20);
    await bench.say('end run', 30);
    await bench.say('poured twenty of water', 40);
    await bench.say(words, 50);
    expect(pours(bench)).toEqual([]);
    expect(bench.run('1').readings.map((reading) => reading.struck)).toEqual([false]);
    expect(bench.session.view().exchange?.answer).toBe('Taken back: water 20.');
  },
);

test('"no, forty one" after a baseline puts the baseline right, not the last reading of the run before', async () => {
  const bench = await day();
  await bench.say('start run one', 10);
  await bench.say('thirty', 20);
  await bench.say('end run', 30);
  await bench.say('baseline forty', 40);
  await bench.say('no, forty one', 45);
  await bench.say('temperature twelve', 50);
  await bench.say('correction twenty', 55);
  await bench.say('start run two', 60);
  expect(bench.run('1').readings[0]?.value).toBe('30');
  expect(bench.run('2').baseline).toBe('41');
  expect(bench.run('2').timed.map((event) => [event.kind, 'value' in event && event.value, event.timeMs])).toEqual([
    ['baseline', '41', 40_000],
    ['temperature', '20', 50_000],
  ]);
});

test('a pour as planned is shown and cued; it is not said when read-back is off', async () => {
  const bench = await day();
  await bench.say('poured twenty of water', 10);
  expect(bench.session.view().exchange?.answer).toMatch(/water 20, as planned\. Next: iodide 20/);
  expect(bench.said).toEqual([]);
});

test('a baseline put right after the run was started, before its first reading, is that run’s baseline', async () => {
  const bench = await day();
  await bench.say('baseline forty', 40);
  await bench.say('start run one', 50);
  await bench.say('no, forty one', 55);
  await bench.say('forty two', 60);
  expect(bench.run('1').baseline).toBe('41');
  expect(bench.run('1').readings.map((reading) => reading.value)).toEqual(['42']);
});

test('"next step" is read aloud and remembered', async () => {
  const bench = await day();
  await bench.say('next step', 10);
  await bench.say('next step', 20);
  expect(bench.said).toHaveLength(2);
  expect(bench.said[0]).toMatch(/^Before you begin\. Goggles on/);
  expect(bench.state().step).toBe(2);
});

test('"affirm" when nothing was asked changes nothing', async () => {
  const bench = await day();
  const before = bench.state().timed.length;
  await bench.say('affirm', 10);
  expect(bench.state().timed).toHaveLength(before);
});

test('without a plan pours are noted and there is no step to read', async () => {
  const bench = await testBench({ decisions: runSheetDecisions });
  await bench.say('poured five of peroxide', 10);
  expect(bench.state().timed).toMatchObject([{ kind: 'poured', value: '5', settled: 'accepted' }]);
  await bench.say('read step', 20);
  expect(bench.said.at(-1)).toMatch(/no run sheet/);
});
