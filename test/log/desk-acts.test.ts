import fc from 'fast-check';
import { expect, test } from 'vitest';
import { latestUndo } from '../../src/bench/undo.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { NotebookState } from '../../src/log/state.ts';
import { anyBody, anyDeskAct, created, reading, stamped, startRun } from './events.ts';

const session = stamped(
  created,
  startRun('r1', '1'),
  ...reading('c1', 10, '12', 'r1'),
  ...reading('c2', 45, '14', 'r1'),
  ...reading('c3', 80, '16', 'r1'),
  { kind: 'run-ended', run: 'r1' },
  startRun('r2', '2'),
  ...reading('c4', 200, '30', 'r2'),
);
const more = (events: readonly NotebookEvent[], ...bodies: EventBody[]): NotebookEvent[] => [
  ...events,
  ...bodies.map((body, i) => {
    const seq = events.length + i + 1;
    return { id: `nb-${seq}`, seq, atMs: 300_000 + seq, wallMs: 1_700_000_300_000 + seq, page: 1, body };
  }),
];
const after = (...bodies: EventBody[]): NotebookState => reduce(more(session, ...bodies));
/** All that a person sees: how often something was done and taken back does not count. */
const seen = ({ events: _, lastMs: __, ...rest }: NotebookState) => rest;
const runsOf = (state: NotebookState) =>
  state.runs.map(({ label, readings }) => `${label}: ${readings.map(({ value }) => value).join(' ')}`);

test('any sequence of acts at the desk, each taken back, gives the notebook before', () => {
  fc.assert(
    fc.property(
      fc.array(anyBody, { maxLength: 12 }),
      fc.array(anyDeskAct, { minLength: 1, maxLength: 12 }),
      (first, acts) => {
        const before = more(session, ...first);
        const done = more(before, ...acts);
        const back = acts.map((_, i): EventBody => ({ kind: 'undone', event: `nb-${done.length - i}` }));
        expect(seen(reduce(more(done, ...back)))).toEqual(seen(reduce(before)));
      },
    ),
    { numRuns: 300 },
  );
});

test('no act loses a reading, and none is in two runs', () => {
  fc.assert(
    fc.property(fc.array(anyDeskAct, { maxLength: 14 }), (acts) => {
      const state = after(...acts);
      const entered = acts.flatMap((act) => (act.kind === 'readings-entered' ? act.readings : [])).length;
      const ids = [...state.runs, ...state.removedRuns.map(({ run }) => run)].flatMap(({ id, readings }) =>
        readings.map((one) => {
          expect(one.run).toBe(id);
          return one.id;
        }),
      );
      expect(new Set(ids).size).toBe(ids.length);
      expect(ids).toHaveLength(4 + entered);
    }),
    { numRuns: 300 },
  );
});

test('a run is renamed, set aside whole, deleted and brought back', () => {
  expect(runsOf(after({ kind: 'run-renamed', run: 'r1', label: '3' }))).toEqual(['3: 12 14 16', '2: 30']);
  const aside = after({ kind: 'run-removed', run: 'r1', how: 'set-aside', why: 'the stopper came off' });
  expect(runsOf(aside)).toEqual(['2: 30']);
  expect(aside.removedRuns[0]).toMatchObject({ how: 'set-aside', why: 'the stopper came off', run: { label: '1' } });
  expect(
    runsOf(after({ kind: 'run-removed', run: 'r1', how: 'deleted', why: '' }, { kind: 'run-returned', run: 'r1' })),
  ).toEqual(['1: 12 14 16', '2: 30']);
});

test('a run is split at a reading and joined again', () => {
  const split: EventBody = { kind: 'run-split', run: 'r1', at: 'c2#0', into: 'r1b', label: '1b' };
  expect(runsOf(after(split))).toEqual(['1: 12', '1b: 14 16', '2: 30']);
  expect(runsOf(after(split, { kind: 'run-joined', run: 'r1b', into: 'r1' }))).toEqual(['1: 12 14 16', '2: 30']);
  // The later part can be named by a call that was corrected since.
  expect(runsOf(after(split, { kind: 'corrected', reading: 'c3#0', value: '18', by: 'hand' }))[1]).toBe('1b: 14 18');
});

test('runs are put in another order', () => {
  expect(runsOf(after({ kind: 'runs-ordered', runs: ['r2', 'gone'] }))).toEqual(['2: 30', '1: 12 14 16']);
});

test('a forgotten reading is added at its time, and says that it was typed', () => {
  const state = after({
    kind: 'readings-entered',
    run: 'r1',
    label: '1',
    timing: 'hand',
    stated: true,
    fromMs: 10_000,
    readings: [{ time: '50', value: '15', uTimeMs: 500 }],
  });
  expect(runsOf(state)[0]).toBe('1: 12 14 15 16');
  expect(state.runs[0]?.readings[2]).toMatchObject({ timeMs: 60_000, timing: 'hand', uTimeMs: 500 });
});

test('every act at the desk says what taking it back means', () => {
  const cases: [EventBody, string][] = [
    [{ kind: 'grouped', group: 'Group 4' }, 'the naming of the group as “Group 4”'],
    [{ kind: 'members-named', members: 'A, B' }, 'the names of the group’s members'],
    [{ kind: 'run-renamed', run: 'r1', label: '3' }, 'the name “3” of a run'],
    [{ kind: 'run-removed', run: 'r1', how: 'deleted', why: '' }, 'the deletion of run 1'],
    [{ kind: 'run-removed', run: 'r1', how: 'set-aside', why: '' }, 'the setting aside of run 1'],
    [{ kind: 'run-split', run: 'r1', at: 'c2#0', into: 'x', label: '1b' }, 'the split that made run 1b'],
    [{ kind: 'run-joined', run: 'r2', into: 'r1' }, 'the joining of two runs into run 1'],
    [{ kind: 'runs-ordered', runs: ['r2'] }, 'the new order of the runs'],
  ];
  for (const [body, sentence] of cases) expect(latestUndo(after(body))?.sentence).toBe(sentence);
});
