import { expect, test } from 'vitest';
import { runSheetDecisions } from '../../src/bench/decisions.ts';
import { planTemplates } from '../../src/planning/plan-templates.ts';
import { testBench } from './bench.ts';

const plan = planTemplates.find((template) => template.id === 'three-runs')!.plan;

async function day() {
  const bench = await testBench({ decisions: runSheetDecisions });
  await bench.journal.record({ kind: 'planned', plan });
  return bench;
}

test('a wrong pour is asked about aloud even with read-back off, and "affirm" settles it', async () => {
  const bench = await day();
  await bench.say('poured five of peroxide', 10);
  expect(bench.said.at(-1)).toMatch(/Plan says 10: pour 5 more\?/);
  expect(bench.cues.at(-1)?.cue).toBe('doubtful');
  await bench.say('affirm', 15);
  const pours = bench
    .state()
    .timed.flatMap((event) => (event.kind === 'poured' ? [`${event.value} ${event.settled}`] : []));
  expect(pours).toEqual(['5 open', '10 topped-up']);
  // Both calls are known by the moments at which they were said.
  expect(bench.state().timed.map((event) => [event.timeMs, event.call !== null])).toEqual([
    [10_000, true],
    [15_000, true],
  ]);
});

test('a pour as planned is shown and cued; it is not said when read-back is off', async () => {
  const bench = await day();
  await bench.say('poured twenty of water', 10);
  expect(bench.session.view().exchange?.answer).toMatch(/water 20, as planned\. Next: iodide 20/);
  expect(bench.said).toEqual([]);
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
