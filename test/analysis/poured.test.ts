import { expect, test } from 'vitest';
import { plannedRunOf, pouredVolumes, poursBefore, unknownPours } from '../../src/analysis/poured.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import type { Plan } from '../../src/log/plan.ts';
import { reduce } from '../../src/log/reduce.ts';
import { the } from '../the.ts';

const plan: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    { id: 'peroxide', name: 'peroxide', species: 'H2O2', strength: { value: 3, unit: '%w/v' } },
    { id: 'iodide', name: 'iodide', species: 'I-', strength: { value: 0.5, unit: 'mol/L' } },
  ],
  dilutions: [],
  runs: [
    {
      label: '1',
      pours: [
        { solution: 'peroxide', volumeMl: 10, vesselMl: 25 },
        { solution: 'iodide', volumeMl: 10 },
      ],
    },
    {
      label: '2',
      pours: [
        { solution: 'peroxide', volumeMl: 5 },
        { solution: 'iodide', volumeMl: 10 },
      ],
    },
  ],
};

function stateOf(bodies: readonly [number, EventBody][]) {
  const all: [number, EventBody][] = [
    [0, { kind: 'created', title: 't', seed: 1, invented: false, app: '' }],
    [0, { kind: 'planned', plan }],
    ...bodies,
  ];
  return reduce(
    all.map(
      ([atMs, body], index): NotebookEvent => ({
        id: `e${index + 1}`,
        seq: index + 1,
        atMs,
        wallMs: atMs,
        page: 1,
        body,
      }),
    ),
  );
}

const pour = (
  timeMs: number,
  value: string,
  solution: string | null,
  extra: { forRun?: string; run?: string; settled?: 'accepted' | 'open' | 'topped-up' } = {},
): [number, EventBody] => [
  timeMs,
  {
    kind: 'poured',
    value,
    reagent: solution ?? 'mystery',
    ...(solution === null ? {} : { solution }),
    timeMs,
    run: extra.run ?? null,
    ...(extra.forRun === undefined ? {} : { forRun: extra.forRun }),
    settled: extra.settled ?? 'accepted',
  },
];
const start = (atMs: number, run: string, label: string): [number, EventBody] => [
  atMs,
  { kind: 'run-started', run, label },
];
const end = (atMs: number, run: string): [number, EventBody] => [atMs, { kind: 'run-ended', run }];
const volumes = (state: ReturnType<typeof stateOf>, index: number) =>
  pouredVolumes(state, the(state.runs[index])).map((entry) => [entry.solution, entry.volumeMl, entry.from]);

test('what nobody called is as the plan says', () => {
  expect(volumes(stateOf([start(10, 'a', '1')]), 0)).toEqual([
    ['peroxide', 10, 'planned'],
    ['iodide', 10, 'planned'],
  ]);
});

test('what was poured wins over the plan, and keeps what was planned beside it', () => {
  const state = stateOf([pour(5, '9', 'peroxide', { forRun: '1' }), start(10, 'a', '1')]);
  expect(pouredVolumes(state, the(state.runs[0]))[0]).toEqual({
    solution: 'peroxide',
    volumeMl: 9,
    plannedMl: 10,
    vesselMl: 25,
    from: 'poured',
    settled: 'accepted',
    putRight: false,
  });
});

test('the latest call of a solution says how much is in the flask in all', () => {
  const state = stateOf([
    pour(5, '5', 'peroxide', { forRun: '1', settled: 'open' }),
    pour(7, '10', 'peroxide', { forRun: '1', settled: 'topped-up' }),
    start(10, 'a', '1'),
  ]);
  expect(volumes(state, 0)[0]).toEqual(['peroxide', 10, 'poured']);
});

test('a pour for the next flask, called while a run is going, belongs to the next run only', () => {
  const state = stateOf([
    start(10, 'a', '1'),
    pour(20, '6', 'peroxide', { forRun: '2', run: 'a' }),
    end(30, 'a'),
    start(40, 'b', '2'),
  ]);
  expect(volumes(state, 0)[0]).toEqual(['peroxide', 10, 'planned']);
  expect(volumes(state, 1)[0]).toEqual(['peroxide', 6, 'poured']);
});

test('a repeat of a run starts from the plan, not from what its first attempt got', () => {
  const state = stateOf([
    pour(5, '9', 'peroxide', { forRun: '1' }),
    start(10, 'a', '1'),
    end(20, 'a'),
    start(30, 'b', '1 again'),
    end(40, 'b'),
    pour(45, '8', 'peroxide', { forRun: '1' }),
    start(50, 'c', '1'),
  ]);
  expect(volumes(state, 0)[0]).toEqual(['peroxide', 9, 'poured']);
  expect(volumes(state, 1)[0]).toEqual(['peroxide', 10, 'planned']);
  expect(volumes(state, 2)[0]).toEqual(['peroxide', 8, 'poured']);
});

test('a repeat that is started before its flask is filled gets its own pours', () => {
  const state = stateOf([
    start(10, 'a', '1'),
    end(20, 'a'),
    start(30, 'b', '1b'),
    pour(35, '7', 'peroxide', { forRun: '1', run: 'b' }),
  ]);
  expect(volumes(state, 0)[0]).toEqual(['peroxide', 10, 'planned']);
  expect(volumes(state, 1)[0]).toEqual(['peroxide', 7, 'poured']);
});

test('a pour called without a run belongs to the run that starts next', () => {
  const state = stateOf([pour(5, '9', 'iodide'), start(10, 'a', '1'), end(20, 'a'), start(30, 'b', '2')]);
  expect(volumes(state, 0)[1]).toEqual(['iodide', 9, 'poured']);
  expect(volumes(state, 1)[1]).toEqual(['iodide', 10, 'planned']);
});

test('a pour put right by hand after the run counts', () => {
  const state = stateOf([start(10, 'a', '1'), end(20, 'a'), pour(60, '8', 'peroxide', { forRun: '1', run: 'a' })]);
  expect(volumes(state, 0)[0]).toEqual(['peroxide', 8, 'poured']);
});

test('a reagent that is none of the plan changes no volume and is named', () => {
  const state = stateOf([pour(5, '9', null, { forRun: '1' }), start(10, 'a', '1')]);
  expect(volumes(state, 0).every(([, , from]) => from === 'planned')).toBe(true);
  expect(unknownPours(state, the(state.runs[0])).map((entry) => entry.reagent)).toEqual(['mystery']);
});

test('pours for a run that has not started are found by its label', () => {
  const state = stateOf([start(10, 'a', '1'), pour(20, '6', 'peroxide', { forRun: '2', run: 'a' })]);
  expect(poursBefore(state, 'run 2').map((entry) => entry.value)).toEqual(['6']);
  expect(poursBefore(state, '1')).toEqual([]);
});

test('a run called "2 again" or "02" carries out planned run 2', () => {
  expect(plannedRunOf(plan, '2 again')?.label).toBe('2');
  expect(plannedRunOf(plan, '2b')?.label).toBe('2');
  expect(plannedRunOf(plan, 'Run 02')?.label).toBe('2');
  expect(plannedRunOf(plan, '7')).toBeNull();
  expect(plannedRunOf(null, '2')).toBeNull();
});
