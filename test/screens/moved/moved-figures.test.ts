import { expect, test } from 'vitest';
import { analysisOf } from '../../../src/analysis/notebook-analysis.ts';
import { reduce } from '../../../src/log/reduce.ts';
import type { NotebookState } from '../../../src/log/state.ts';
import { demoNotebook } from '../../../src/rehearsal/demo.ts';
import { canMove, finishedRuns, movedFigures } from '../../../src/screens/moved/moved-figures.ts';
import { texts } from '../../../src/screens/moved/texts.ts';

const state = reduce(demoNotebook(1.7e12).events);
const said = (after: NotebookState): readonly string[] =>
  movedFigures(analysisOf(state), analysisOf(after), finishedRuns(state), texts.en);

test('a bottle twice as strong halves k, and that is said', () => {
  const { plan } = state;
  if (!plan) throw new Error('the example has a plan');
  const stocks = plan.stocks.map((stock) =>
    stock.id === 'iodide' ? { ...stock, strength: { ...stock.strength, value: 2 * stock.strength.value } } : stock,
  );
  const constant = said({ ...state, plan: { ...plan, stocks } }).find((sentence) => sentence.startsWith('k '));
  const [was, is] = [...(constant ?? '').matchAll(/(\d+\.\d+) ±/g)].map(([, value]) => Number(value));
  expect(is).toBeCloseTo((was ?? 0) / 2, 3);
});

test('a reading struck in one run names that run alone', () => {
  const runs = state.runs.map((run, index) =>
    index === 0 ? { ...run, readings: run.readings.map((one, i) => (i === 10 ? { ...one, struck: true } : one)) } : run,
  );
  const rates = said({ ...state, runs }).filter((sentence) => sentence.startsWith('Run'));
  expect(rates[0]).toMatch(/^Run 1’s rate changed from \S+ ± \S+ to \S+ ± \S+ mL\/s\.$/);
});

test('a change of the name of the group moves nothing, and a correction within a run is not looked at', () => {
  expect(said({ ...state, group: 'Herons' })).toEqual([]);
  const corrected = { kind: 'corrected', reading: 'r', value: '1', by: 'voice' } as const;
  expect([canMove(corrected, true), canMove(corrected, false)]).toEqual([false, true]);
});
