import { expect, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { cellText } from '../../src/files/table-text.ts';
import type { EventBody } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { Notebook, NotebookState } from '../../src/log/state.ts';
import { pouredLawRemark, pourRemarks, poursTable } from '../../src/results/pours-table.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { the } from '../the.ts';

const remarksOf = (state: NotebookState): string[] => state.runs.flatMap((run) => pourRemarks(state, run, run.label));

const lawRemarkOf = (state: NotebookState): string | null => {
  const { experiment, runs } = analysisOf(state);
  return pouredLawRemark(state, experiment, runs);
};

/** A notebook with one more call at its end: of peroxide, about run 3. */
function withPour(
  pour: Partial<Extract<EventBody, { kind: 'poured' }>>,
  notebook: Notebook = groupNotebook(4),
  solution: string | null = 'peroxide',
): NotebookState {
  const last = the(notebook.events.at(-1));
  const run = the(notebook.events.flatMap(({ body }) => (body.kind === 'run-started' ? [body.run] : [])).at(-1));
  const body: EventBody = {
    kind: 'poured',
    value: '12',
    reagent: 'peroxide',
    ...(solution === null ? {} : { solution }),
    timeMs: last.atMs,
    run,
    forRun: '3',
    settled: 'accepted',
    ...pour,
  };
  return reduce([...notebook.events, { ...last, id: 'pour', seq: last.seq + 1, body }]);
}

test('a run poured as planned has no remark, and neither has the rate law', () => {
  const state = reduce(groupNotebook(4).events);
  expect(remarksOf(state)).toEqual([]);
  expect(lawRemarkOf(state)).toBe(null);
  expect(remarksOf(withPour({ value: '10', settled: 'as-planned' }))).toEqual([]);
});

test('a run poured otherwise is named with what was planned and what was poured', () => {
  const state = reduce(groupNotebook(4, { iodideInRun2: 5 }).events);
  expect(remarksOf(state)).toEqual([
    'Run 2, iodide: 5 mL was poured where 10 mL was planned (called, taken as poured).',
  ]);
  expect(lawRemarkOf(state)).toBe(
    'Run 2 was poured otherwise than planned; concentrations, orders and k use what was poured.',
  );
  expect(poursTable(state, analysisOf(state))?.notes).toEqual(
    expect.arrayContaining([...remarksOf(state), lawRemarkOf(state)]),
  );
  const two = withPour({ settled: 'open' }, groupNotebook(4, { iodideInRun2: 5 }));
  expect(remarksOf(two)[1]).toBe(
    'Run 3, peroxide: 12 mL was poured where 10 mL was planned (called, difference not settled).',
  );
  expect(lawRemarkOf(two)).toMatch(/^Runs 2 and 3 were poured otherwise/);
});

test('a solution left out and one that nobody knows are each said', () => {
  expect(remarksOf(withPour({ value: '0' }))).toEqual([
    'Run 3, peroxide: none was poured where 10 mL was planned (called, taken as poured).',
  ]);
  const unnamed = withPour({ value: '3', reagent: 'ink' }, groupNotebook(4), null);
  expect(remarksOf(unnamed)).toEqual([expect.stringContaining('3 mL of “ink” was called as poured')]);
  expect(lawRemarkOf(unnamed)).toBe(null);
});

test('a solution that was not planned for the run is said', () => {
  const notebook = groupNotebook(4);
  const events = notebook.events.map((event) => {
    if (event.body.kind !== 'planned') return event;
    const runs = event.body.plan.runs.map((run) => ({
      ...run,
      pours: run.pours.filter(({ solution }) => run.label !== '3' || solution !== 'water'),
    }));
    return { ...event, body: { ...event.body, plan: { ...event.body.plan, runs } } };
  });
  expect(remarksOf(withPour({ value: '20', reagent: 'water' }, { ...notebook, events }, 'water'))).toEqual([
    'Run 3, water: 20 mL was poured where none was planned (called, taken as poured).',
  ]);
});

test('a run that the run sheet does not have differs from no plan', () => {
  const notebook = groupNotebook(4, { iodideInRun2: 5 });
  const events = notebook.events.map((event) =>
    event.body.kind === 'planned'
      ? { ...event, body: { ...event.body, plan: { ...event.body.plan, runs: event.body.plan.runs.slice(0, 1) } } }
      : event,
  );
  expect(remarksOf(reduce(events))).toEqual([]);
});

test('the rate law uses what was poured: concentrations, orders and k', () => {
  const poured = reduce(groupNotebook(4, { iodideInRun2: 5 }).events);
  const { experiment, law } = analysisOf(poured).analysis;
  // 5 mL of 0.12 mol/L in 45 mL, and 20 mL of 0.9 mol/L: by hand.
  expect(experiment.runs[1]?.concentrations?.['I-']?.value).toBeCloseTo((0.12 * 5 * 1000) / 45, 9);
  expect(experiment.runs[1]?.concentrations?.H2O2?.value).toBeCloseTo((0.9 * 20 * 1000) / 45, 9);
  expect(experiment.runs[1]?.gas?.solutionM3.value).toBeCloseTo(45e-6, 12);
  const order = (found: typeof law): number => (found.ok ? (found.orders['I-']?.value ?? Number.NaN) : Number.NaN);
  // The readings were made with what was poured: first order in iodide. By the plan it would be near two.
  expect(Math.abs(order(law) - 1)).toBeLessThan(0.1);
  const asPlanned = groupNotebook(4, { iodideInRun2: 5 }).events.filter(({ body }) => body.kind !== 'poured');
  expect(order(analysisOf(reduce(asPlanned)).analysis.law)).toBeGreaterThan(1.5);
});

test('the table says the plan beside what was poured, under the name that the other tables give a run', () => {
  const state = reduce(groupNotebook(4, { iodideInRun2: 5 }).events);
  const rows = the(poursTable(state, analysisOf(state))).rows.map((row) => row.map(cellText));
  expect(rows.map((row) => row[0])).toEqual(['1', '2', '3']);
  expect(rows[1]).toContain('5 (plan 10; called, taken as poured)');
  expect(the(rows[1]).at(-1)).toBe('45');
});
