import { expect, test } from 'vitest';
import { notebookFromJson } from '../../src/log/file.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { the } from '../the.ts';

test('the demo is a valid notebook that says its figures are invented', () => {
  const demo = demoNotebook(1.7e12);
  const back = notebookFromJson(notebookToJson(demo));
  expect(back).toMatchObject({ ok: true });
  expect(reduce(demo.events).invented).toBe(true);
});

test('the demo has three runs of eleven readings with a doubt, a correction and one set aside', () => {
  const state = reduce(demoNotebook(1.7e12).events);
  expect(state.runs.map((run) => [run.label, run.readings.length, run.baseline])).toEqual([
    ['1', 11, '4'],
    ['2', 11, '4'],
    ['3', 11, '4'],
  ]);
  const readings = state.runs.flatMap((run) => run.readings);
  expect(readings.filter((reading) => reading.outcome === 'doubtful')).toHaveLength(1);
  expect(readings.filter((reading) => reading.history.some((change) => change.what === 'corrected'))).toHaveLength(1);
  expect(readings.filter((reading) => reading.setAside)).toHaveLength(1);
});

test('in the demo every reading is higher and later than the one before it', () => {
  for (const run of reduce(demoNotebook(1.7e12).events).runs) {
    for (let i = 1; i < run.readings.length; i++) {
      expect(the(run.readings[i]).volumeMl).toBeGreaterThan(the(run.readings[i - 1]).volumeMl);
      expect(the(run.readings[i]).timeMs).toBeGreaterThan(the(run.readings[i - 1]).timeMs);
    }
  }
});

test('the demo is the same each time but for the wall clock', () => {
  const strip = (wallMs: number) => demoNotebook(wallMs).events.map(({ wallMs: _, ...event }) => event);
  expect(strip(1.7e12)).toEqual(strip(1.8e12));
});
