import { expect, test } from 'vitest';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';
import { nextFlaskOf } from '../../src/planning/next-flask.ts';
import { planTemplates } from '../../src/planning/plan-templates.ts';
import { the } from '../the.ts';

const plan = the(planTemplates.find((template) => template.id === 'three-runs')).plan;

function stateOf(...bodies: EventBody[]) {
  const all: EventBody[] = [{ kind: 'created', title: 't', seed: 1, invented: false, app: '' }, ...bodies];
  return reduce(
    all.map((body, i): NotebookEvent => ({ id: `e${i + 1}`, seq: i + 1, atMs: i, wallMs: i, page: 1, body })),
  );
}
const poured = (value: string, forRun: string): EventBody => ({
  kind: 'poured',
  value,
  reagent: 'iodide',
  solution: 'iodide',
  timeMs: 1,
  run: null,
  forRun,
  settled: 'accepted',
});

test('before anything is poured the first flask stands there as planned', () => {
  const next = nextFlaskOf(stateOf({ kind: 'planned', plan }));
  expect(next?.label).toBe('1');
  expect(next?.lines.map((line) => [line.name, line.plannedMl, line.pouredMl])).toEqual([
    ['water', '20', null],
    ['iodide', '20', null],
    ['peroxide', '10', null],
  ]);
});

test('what was called is ticked, and marked where it differs', () => {
  const same = nextFlaskOf(stateOf({ kind: 'planned', plan }, poured('20', '1')));
  expect(same?.lines[1]).toMatchObject({ pouredMl: '20', differs: false });
  const other = nextFlaskOf(stateOf({ kind: 'planned', plan }, poured('18', '1')));
  expect(other?.lines[1]).toMatchObject({ pouredMl: '18', differs: true });
});

test('without a plan there is no flask', () => {
  expect(nextFlaskOf(stateOf())).toBeNull();
});
