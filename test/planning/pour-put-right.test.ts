import { expect, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { countingPours, type PouredEvent, pouredVolumes, replacedBy, unknownPours } from '../../src/analysis/poured.ts';
import { undoSentence } from '../../src/bench/undo.ts';
import { cellText } from '../../src/files/table-text.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import type { Plan } from '../../src/log/plan.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { NotebookState } from '../../src/log/state.ts';
import { openPour, pourTakenBack } from '../../src/planning/pour-check.ts';
import { putPourRight } from '../../src/planning/pour-put-right.ts';
import { poursTable } from '../../src/results/pours-table.ts';
import { happeningsOf } from '../../src/results/report-remarks.ts';
import { the } from '../the.ts';

const plan: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    { id: 'p', name: 'peroxide', species: 'H2O2', strength: { value: 0.9, unit: 'mol/L' } },
    { id: 'i', name: 'iodide', species: 'I-', strength: { value: 0.12, unit: 'mol/L' } },
  ],
  dilutions: [],
  runs: ['1', '2'].map((label) => ({
    label,
    pours: [
      { solution: 'p', volumeMl: 10 },
      { solution: 'i', volumeMl: 15 },
    ],
  })),
};

/** A notebook that can be told things; `put` puts the latest call of a solution right. */
function bench() {
  const events: NotebookEvent[] = [];
  const record = (...bodies: readonly EventBody[]): void => {
    for (const body of bodies) {
      const seq = events.length + 1;
      events.push({ id: `e${seq}`, seq, atMs: seq * 1000, wallMs: seq * 1000, page: 1, body });
    }
  };
  record({ kind: 'created', title: 't', seed: 1, invented: false, app: '' }, { kind: 'planned', plan });
  const state = (): NotebookState => reduce(events);
  const run = (index = 0) => the(state().runs[index]);
  return {
    record,
    state,
    run,
    called(value: string, solution: string | null, settled: PouredEvent['settled'] = 'accepted', forRun = '1') {
      const timeMs = (events.length + 1) * 1000;
      const named = solution === null ? {} : { solution };
      record({ kind: 'poured', value, reagent: solution ?? 'ink', ...named, timeMs, run: null, forRun, settled });
    },
    pour: (solution: string | null, index = 0) =>
      the(countingPours(state(), run(index)).find((one) => one.solution === solution)),
    put(pour: PouredEvent, value: string | null, solution: string, index = 0): string {
      const found = putPourRight(state(), run(index), pour, { value, solution });
      if (found.ok) record(found.event);
      return found.ok ? '' : found.sentences.en;
    },
    volumes: (index = 0) => Object.fromEntries(pouredVolumes(state(), run(index)).map((v) => [v.solution, v.volumeMl])),
  };
}

const start = (run: string, label: string): EventBody => ({ kind: 'run-started', run, label });

test('a misheard volume is put right, what was understood stays in the log, and undo takes the correction back', () => {
  const day = bench();
  day.called('50', 'i');
  day.record(start('a', '1'));
  expect(day.volumes()).toEqual({ p: 10, i: 50 });
  expect(day.put(day.pour('i'), '15', 'i')).toBe('');
  expect(day.volumes()).toEqual({ p: 10, i: 15 });
  expect(day.pour('i')).toMatchObject({ settled: 'as-planned', run: 'a', forRun: '1', timeMs: 3000 });
  expect(undoSentence(day.state())).toBe('the putting right of 50 mL of i to 15 mL of iodide');
  const [latest] = day.state().undoable.slice(-1);
  day.record({ kind: 'undone', event: the(latest) });
  expect(day.volumes()).toEqual({ p: 10, i: 50 });
});

test('it is put right again and again: the last word stands, and the first call is still known', () => {
  const day = bench();
  day.called('50', 'i');
  day.record(start('a', '1'));
  day.put(day.pour('i'), '15', 'i');
  day.put(day.pour('i'), '14.5', 'i');
  expect(day.volumes()).toEqual({ p: 10, i: 14.5 });
  expect(replacedBy(day.state(), day.pour('i')).map(({ value }) => value)).toEqual(['15', '50']);
});

test('a misheard name leaves the solution it was taken for as planned, and the other as poured', () => {
  const day = bench();
  day.called('9', 'i');
  day.record(start('a', '1'));
  expect(day.put(day.pour('i'), '9', 'p')).toBe('');
  expect(day.volumes()).toEqual({ p: 9, i: 15 });
});

test('a name that none of the solutions has gets one, and is no longer left out', () => {
  const day = bench();
  day.called('12', null, 'open');
  day.record(start('a', '1'));
  expect(unknownPours(day.state(), day.run())).toHaveLength(1);
  expect(day.put(day.pour(null), '12', '')).toBe('Say which solution it was.');
  expect(day.put(day.pour(null), '12', 'i')).toBe('');
  expect(unknownPours(day.state(), day.run())).toEqual([]);
  expect(day.volumes()).toEqual({ p: 10, i: 12 });
});

test('of a call that an earlier one was replaced by, the earlier counts again once it is given to another solution', () => {
  const day = bench();
  day.called('14', 'i');
  day.called('11', 'i');
  day.record(start('a', '1'));
  expect(countingPours(day.state(), day.run()).map(({ value }) => value)).toEqual(['11']);
  day.put(day.pour('i'), '11', 'p');
  expect(day.volumes()).toEqual({ p: 11, i: 14 });
});

test('the flask of another run is not touched, a repeat of the same run included', () => {
  const day = bench();
  day.called('50', 'i', 'accepted', '1');
  day.record(start('a', '1'), { kind: 'run-ended', run: 'a' });
  day.called('13', 'i', 'accepted', '1');
  day.record(start('b', '1 again'), { kind: 'run-ended', run: 'b' }, start('c', '2'));
  day.put(day.pour('i'), '16', 'i');
  expect([0, 1, 2].map((index) => day.volumes(index).i)).toEqual([16, 13, 15]);
});

test('what is no volume, cannot be, or stands already is refused in words', () => {
  const day = bench();
  day.called('50', 'i');
  day.record(start('a', '1'));
  const pour = day.pour('i');
  expect(day.put(pour, null, 'i')).toMatch(/^A number such as/);
  expect(day.put(pour, '99999', 'i')).toMatch(/No flask holds 99999 mL/);
  expect(day.put(pour, '50.0', 'i')).toBe('It stands at 50 mL of iodide already.');
  expect(day.put(pour, '10', 'z')).toBe('Say which solution it was.');
  expect(day.put(pour, '0', 'i')).toBe('');
  expect(day.volumes()).toEqual({ p: 10, i: 0 });
});

test('a correction keeps the place of its call: a question asked after it stays open, and one taken back leaves no earlier call', () => {
  const day = bench();
  day.called('50', 'i');
  day.record(start('a', '1'));
  day.called('12', 'p', 'open');
  day.put(day.pour('i'), '14', 'i');
  expect(openPour(day.state())?.solution.id).toBe('p');
  // "Disregard" takes a pour back with the call that it put right.
  for (const solution of ['p', 'i']) day.record(...pourTakenBack(day.state(), day.pour(solution)));
  expect(countingPours(day.state(), day.run())).toEqual([]);
  expect(day.volumes()).toEqual({ p: 10, i: 15 });
});

test('table and report say that it was put right by hand, and what had been understood, in one line', () => {
  const day = bench();
  day.called('50', 'i');
  day.record(start('a', '1'));
  day.put(day.pour('i'), '14', 'i');
  const state = day.state();
  const table = the(poursTable(state, analysisOf(state)));
  expect(the(table.rows[0]).map(cellText)).toContain('14 (plan 15; put right by hand)');
  expect(table.notes).toContain('Run 1, iodide: 14 mL was poured where 15 mL was planned (put right by hand).');
  const lines = happeningsOf(state, the(state.runs[0]));
  expect(lines).toHaveLength(1);
  expect(lines[0]).toMatch(/: poured 14 mL of iodide \(put right by hand; 50 mL of iodide was understood\)\.$/);
});

test('a file whose pours put one another right in a circle is read all the same', () => {
  const circle = (id: string, replaces: string, seq: number): NotebookEvent => ({
    id,
    seq,
    atMs: seq,
    wallMs: seq,
    page: 1,
    body: { kind: 'poured', value: '1', reagent: 'i', solution: 'i', timeMs: 1, run: 'a', settled: 'open', replaces },
  });
  const state = reduce([
    {
      id: 's',
      seq: 1,
      atMs: 0,
      wallMs: 0,
      page: 1,
      body: { kind: 'created', title: '', seed: 1, invented: false, app: '' },
    },
    { id: 'q', seq: 2, atMs: 0, wallMs: 0, page: 1, body: start('a', '1') },
    circle('x', 'y', 3),
    circle('y', 'x', 4),
    circle('z', 'z', 5),
  ]);
  const [run] = state.runs;
  expect(pouredVolumes(state, the(run))).toHaveLength(1);
  expect(happeningsOf(state, the(run)).length).toBeLessThan(4);
});
