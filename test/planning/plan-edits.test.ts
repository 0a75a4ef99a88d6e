import { expect, test } from 'vitest';
import { Plan } from '../../src/log/plan.ts';
import {
  addDilution,
  addRun,
  addStock,
  changeRun,
  changeStock,
  removeRun,
  removeSolution,
  setPour,
  setVessel,
  sourcesFor,
  vesselOf,
} from '../../src/screens/run-sheet/plan-edits.ts';
import { the } from '../the.ts';

const empty: Plan = { reaction: 'own', stocks: [], dilutions: [], runs: [] };
const built = addDilution(addStock(addStock(empty, 'H2O2'), 'I-'));

test('every change gives a plan that can be stored', () => {
  let plan = addRun(addRun(built));
  plan = changeRun(plan, 0, (run) => setPour(run, 'stock-1', 10));
  plan = changeStock(plan, 'stock-1', { name: 'peroxide' });
  for (const next of [plan, removeRun(plan, 0), removeSolution(plan, 'stock-2')])
    expect(Plan.safeParse(next).success).toBe(true);
});

test('new bottles and runs get ids, names and labels of their own', () => {
  const plan = addRun(addRun(removeRun(addRun(addRun(built)), 0)));
  expect(new Set(plan.runs.map((run) => run.label)).size).toBe(3);
  const twice = addStock(addStock(empty, 'I-'), 'I-');
  expect(new Set(twice.stocks.map((stock) => stock.id)).size).toBe(2);
  expect(new Set(twice.stocks.map((stock) => stock.name)).size).toBe(2);
});

test('a new run starts as the last one', () => {
  const plan = addRun(changeRun(addRun(built), 0, (run) => setPour(run, 'stock-1', 7)));
  expect(plan.runs[1]).toEqual({ label: '2', pours: [{ solution: 'stock-1', volumeMl: 7 }] });
});

test('a bottle that is taken out takes its dilutions and pours with it', () => {
  const chain = {
    ...built,
    dilutions: [
      ...built.dilutions,
      { id: 'dilution-2', name: 'quarter', from: 'dilution-1', takeMl: 1, addWaterMl: 1 },
    ],
    runs: [
      {
        label: '1',
        pours: ['stock-1', 'stock-2', 'dilution-2', 'water'].map((solution) => ({ solution, volumeMl: 5 })),
      },
    ],
  };
  const plan = removeSolution(chain, 'stock-2');
  expect(plan.dilutions).toEqual([]);
  expect(plan.runs[0]?.pours.map((pour) => pour.solution)).toEqual(['stock-1', 'water']);
});

test('pouring none of a solution takes it out, pouring more keeps the order', () => {
  const run = {
    label: '1',
    pours: [
      { solution: 'a', volumeMl: 1 },
      { solution: 'b', volumeMl: 2 },
    ],
  };
  expect(setPour(run, 'a', 3).pours.map((pour) => [pour.solution, pour.volumeMl])).toEqual([
    ['a', 3],
    ['b', 2],
  ]);
  expect(setPour(run, 'a', 0).pours.map((pour) => pour.solution)).toEqual(['b']);
  expect(setPour(run, 'c', 4).pours.map((pour) => pour.solution)).toEqual(['a', 'b', 'c']);
  expect(setPour(run, 'water', 4).pours.map((pour) => pour.solution)).toEqual(['water', 'a', 'b']);
});

test('a solution is measured with one vessel in all runs, also where it is poured later', () => {
  let plan = changeRun(addRun(built), 0, (run) => setPour(run, 'stock-1', 10));
  plan = setVessel(addRun(plan), 'stock-1', 25);
  expect(plan.runs.map((run) => run.pours[0]?.vesselMl)).toEqual([25, 25]);
  expect(vesselOf(plan, 'stock-1')).toBe(25);
  const without = changeRun(plan, 1, (run) => setPour(run, 'stock-1', 0));
  const again = changeRun(without, 1, (run) => setPour(run, 'stock-1', 5, vesselOf(without, 'stock-1')));
  expect(again.runs[1]?.pours[0]).toEqual({ solution: 'stock-1', volumeMl: 5, vesselMl: 25 });
  expect(setVessel(plan, 'stock-1', undefined).runs[0]?.pours[0]).toEqual({ solution: 'stock-1', volumeMl: 10 });
});

test('a dilution cannot be made from itself or from what is made of it', () => {
  const chain = {
    ...built,
    dilutions: [
      ...built.dilutions,
      { id: 'dilution-2', name: 'quarter', from: 'dilution-1', takeMl: 1, addWaterMl: 1 },
    ],
  };
  expect(sourcesFor(chain, the(chain.dilutions[0])).map((entry) => entry.id)).toEqual(['stock-1', 'stock-2']);
  expect(sourcesFor(chain, the(chain.dilutions[1])).map((entry) => entry.id)).toEqual([
    'stock-1',
    'stock-2',
    'dilution-1',
  ]);
});
