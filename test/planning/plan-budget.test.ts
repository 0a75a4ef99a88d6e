import { expect, test } from 'vitest';
import type { Plan } from '../../src/log/plan.ts';
import { budgetOf } from '../../src/planning/plan-budget.ts';

const pours = (peroxide: number, iodide: number, half = 0) => [
  { solution: 'p', volumeMl: peroxide },
  { solution: 'i', volumeMl: iodide },
  { solution: 'h', volumeMl: half },
];

/** Peroxide 10 + 10 + 5 = 25 mL. Iodide 10 + 5 in the flasks and 20 into the dilution = 35 mL. Half iodide 10 of 40. */
function plan(peroxideMl: number | undefined, iodideMl: number | undefined): Plan {
  return {
    reaction: 'peroxide-iodide',
    stocks: [
      {
        id: 'p',
        name: 'peroxide',
        species: 'H2O2',
        strength: { value: 3, unit: '%w/v' },
        ...(peroxideMl === undefined ? {} : { availableMl: peroxideMl }),
      },
      {
        id: 'i',
        name: 'iodide',
        species: 'I-',
        strength: { value: 0.5, unit: 'mol/L' },
        ...(iodideMl === undefined ? {} : { availableMl: iodideMl }),
      },
    ],
    dilutions: [{ id: 'h', name: 'half iodide', from: 'i', takeMl: 20, addWaterMl: 20 }],
    runs: [
      { label: '1', pours: pours(10, 10) },
      { label: '2', pours: pours(10, 0, 10) },
      { label: '3', pours: pours(5, 5) },
    ],
  };
}

test('what the runs pour and what dilutions take is added up', () => {
  expect(budgetOf(plan(100, 100)).lines.map((line) => [line.name, line.neededMl, line.availableMl])).toEqual([
    ['peroxide', 25, 100],
    ['iodide', 35, 100],
    ['half iodide', 10, 40],
  ]);
});

test('with plenty left any run can be repeated', () => {
  expect(budgetOf(plan(100, 100)).repeats).toBe('After all runs a repeat of any one of them is still possible.');
});

test('with 7 mL of peroxide left only run 3 can be repeated', () => {
  // 32 - 25 = 7 mL: runs 1 and 2 take 10, run 3 takes 5.
  expect(budgetOf(plan(32, 100)).repeats).toBe('After all runs a repeat of run 3 is still possible.');
});

test('run 2 lives on what is left of the dilution even when the bottle it came from is empty', () => {
  // Iodide 35 of 35: nothing left for runs 1 and 3; half iodide 40 - 10 = 30 mL left, run 2 takes 10.
  expect(budgetOf(plan(100, 35)).repeats).toBe('After all runs a repeat of run 2 is still possible.');
});

test('nothing left is said', () => {
  expect(budgetOf(plan(25, 100)).repeats).toBe('Nothing is left for a repeat of any run.');
});

test('what is short is named with both figures', () => {
  const short = budgetOf(plan(20, 30));
  expect(short.shortages).toEqual([
    'The plan needs 25 mL of peroxide, but there are 20 mL.',
    'The plan needs 35 mL of iodide, but there are 30 mL.',
  ]);
  expect(short.repeats).toBe('');
});

test('a dilution that makes less than the runs pour is named', () => {
  const base = plan(100, 100);
  const more = { ...base, runs: [...base.runs, { label: '4', pours: pours(1, 0, 35) }] };
  expect(budgetOf(more).shortages).toEqual(['The runs need 45 mL of half iodide, but its dilution makes 40 mL.']);
});

test('bottles whose content is not stated: nothing is promised', () => {
  expect(budgetOf(plan(undefined, undefined)).repeats).toMatch(/not stated/);
  expect(budgetOf(plan(100, undefined)).repeats).toMatch(/any one of them/);
});
