/** What the database and its second copy disagree about, and how writes end, each against a store of a few lines. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { makeDurableWrites, NotStored } from '../../src/log/durable-writes.ts';
import { differencesOf } from '../../src/log/reconcile.ts';
import { reduce } from '../../src/log/reduce.ts';
import { latestCallOf } from '../../src/log/runs.ts';
import type { Held } from '../../src/log/second-copy.ts';
import { type NotebookStore, StorageEmptied } from '../../src/log/store.ts';
import { the } from '../the.ts';
import { created, judged, reading, stamped, startRun } from './events.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

/** Events in the database (null: it does not know the notebook; 'deleted': its tombstone), what the copy has, and what is due. */
type Case = readonly [number | null | 'deleted', Held | null, 'restore' | 'copy' | 'purge' | null];
const has = (to: number, pieces = 1): Held => ({ to, pieces, deleted: false });
const tombstone = (pieces = 0): Held => ({ to: 0, pieces, deleted: true });

test.each<Case>([
  [5, has(5), null],
  [5, has(3), 'copy'],
  [5, null, 'copy'],
  [5, has(8), 'restore'],
  // Pieces of another schema have no number: a database that has the notebook is right, one that has not is given them.
  [5, has(0), 'copy'],
  [null, has(0), 'restore'],
  [null, has(0, 0), null],
  [null, has(4), 'restore'],
  // Opened again from its file: it lives in the database, and the copy must be written.
  [5, tombstone(), 'copy'],
  [null, tombstone(), null],
  [null, tombstone(2), 'purge'],
  ['deleted', has(4), 'purge'],
  ['deleted', has(4, 0), 'purge'],
  ['deleted', tombstone(2), 'purge'],
  ['deleted', tombstone(), null],
  ['deleted', null, 'purge'],
])('%j in the database and %j in the copy: %s', async (events, held, due) => {
  const store = {
    list: async () => (typeof events === 'number' ? [{ id: 'a', events }] : []),
    deleted: async () => new Set(events === 'deleted' ? ['a'] : []),
  };
  const copy = (kept: boolean) => ({ kept: async () => kept, held: async () => new Map(held ? [['a', held]] : []) });
  const found = await differencesOf(store as never, copy(true) as never);
  expect(found).toEqual({ restore: [], copy: [], purge: [], ...(due ? { [due]: ['a'] } : {}) });
  // Without cache storage there is nothing to copy to.
  expect((await differencesOf(store as never, copy(false) as never)).copy).toEqual([]);
});

const events = stamped(created, startRun('r1'), { kind: 'paused' });

/** Writes over a store that answers as `append` says. */
function writes(append: NotebookStore['append'], more = {}) {
  const on = { late: vi.fn(), rewritten: vi.fn() };
  const made = makeDurableWrites({
    id: 'nb',
    store: { append } as NotebookStore,
    all: events,
    storedTo: 1,
    notStored: [],
    onLate: on.late,
    onRewritten: on.rewritten,
    ...more,
  });
  return { ...made, on };
}

test('a write that is stored in time is over: nobody hears of it later', async () => {
  const { write, unsaved, why, on } = writes(async () => {});
  await write(events.slice(1));
  await vi.advanceTimersByTimeAsync(60_000);
  expect([unsaved(), why()]).toEqual([0, null]);
  expect(on.late).not.toHaveBeenCalled();
  expect(on.rewritten).not.toHaveBeenCalled();
});

test('storage that answers late is said to be late, takes no other write meanwhile, and is up to date then', async () => {
  let answer = (): void => {};
  const asked: number[][] = [];
  const { write, unsaved, why, on } = writes((_, batch, after) => {
    asked.push([...batch.map(({ seq }) => seq), the(after)]);
    return new Promise((resolve) => (answer = resolve));
  });
  const first = write(events.slice(1, 2)).catch((error: unknown) => error);
  await vi.advanceTimersByTimeAsync(60_000);
  expect(await first).toBeInstanceOf(NotStored);
  expect([unsaved(), why()]).toEqual([1, 'no-answer']);
  const second = write(events.slice(2)).catch((error: unknown) => error);
  expect(await second).toBeInstanceOf(NotStored);
  expect([unsaved(), asked]).toEqual([2, [[2, 1]]]);
  answer();
  await vi.advanceTimersByTimeAsync(0);
  expect(on.late).toHaveBeenCalledTimes(1);
  expect([unsaved(), why()]).toEqual([1, 'no-answer']);
  const third = write([]);
  await vi.advanceTimersByTimeAsync(0);
  answer();
  await third;
  expect(asked[1]).toEqual([3, 2]);
  expect([unsaved(), why()]).toEqual([0, null]);
});

test('storage that was emptied is written again from the first event, once that is known', async () => {
  const asked: number[][] = [];
  const { write, on } = writes(async (_, batch, after) => {
    asked.push(batch.map(({ seq }) => seq));
    if (after !== undefined) throw new StorageEmptied('nb');
  });
  await write(events.slice(1, 2));
  expect(asked).toEqual([[2], [1, 2]]);
  expect(on.rewritten).toHaveBeenCalledTimes(1);
});

test('the latest call of a run passes over commands, other runs and what was no reading', () => {
  const state = reduce(
    stamped(
      created,
      startRun('r1'),
      ...reading('c1', 5, '12'),
      ...reading('c2', 6, '14'),
      judged('c2', '', { outcome: 'not-a-reading', meaning: null }),
      ...reading('c3', 7, '3', 'r2'),
    ),
  );
  expect(latestCallOf(state, the(state.runs[0]))?.id).toBe('c1');
  const none = reduce(stamped(created, startRun('r1')));
  expect(latestCallOf(none, the(none.runs[0]))).toBeNull();
});
