import 'fake-indexeddb/auto';
import { expect, test } from 'vitest';
import { isStorageFailure } from '../../src/log/database.ts';
import { createNotebook } from '../../src/log/journal.ts';
import { reduce } from '../../src/log/reduce.ts';
import { makeNotebookStore, NotebookDeleted } from '../../src/log/store.ts';
import { clearDatabase } from './clear-database.ts';
import { dieAtNextOpening, dieAtNextTransaction } from './dying-connection.ts';

test.each([true, false])(
  'a write whose end the browser keeps to itself (stored: %s) is done once more, and is there once',
  async (stored) => {
    const store = makeNotebookStore(`lost-1-${stored}`);
    const journal = await createNotebook('Lost', { store });
    dieAtNextTransaction({ stored });
    await journal.record({ kind: 'titled', title: 'Kept' });
    await journal.record({ kind: 'grouped', group: 'Blue' });
    const { events } = await store.load(journal.id);
    expect(events.map(({ seq }) => seq)).toEqual([1, 2, 3, 4]);
    expect(reduce(events)).toMatchObject({ title: 'Kept', group: 'Blue' });
    expect((await store.list())[0]?.events).toBe(4);
    expect(journal.unsaved()).toBe(0);
  },
);

test('a database cleared under a write in flight: the notebook is written again whole, and that is said', async () => {
  let rewritten = 0;
  const store = makeNotebookStore('lost-2');
  const journal = await createNotebook('Cleared', { store, onRewritten: () => rewritten++ });
  await clearDatabase('lost-2');
  dieAtNextTransaction();
  await journal.record({ kind: 'titled', title: 'Kept' });
  expect(rewritten).toBe(1);
  expect((await store.load(journal.id)).events).toHaveLength(3);
});

test('a read on a connection that the browser closes under it is done once more', async () => {
  const store = makeNotebookStore('lost-3');
  const journal = await createNotebook('Read', { store });
  dieAtNextTransaction({ stored: false });
  expect((await store.load(journal.id)).events).toHaveLength(2);
});

test('a database whose opening the browser ends is opened once more', async () => {
  dieAtNextOpening();
  const store = makeNotebookStore('lost-4');
  expect(await store.list()).toEqual([]);
});

test('an opening that the browser ends twice is a failure of storage, not of the notebook that was to be read', async () => {
  dieAtNextOpening(2);
  const failed = await makeNotebookStore('lost-5')
    .load('a')
    .catch((error: unknown) => error);
  expect(failed).toMatchObject({ name: 'ConnectionLost' });
  expect(isStorageFailure(failed)).toBe(true);
  expect(isStorageFailure(new DOMException('full', 'QuotaExceededError'))).toBe(true);
  expect(isStorageFailure(new NotebookDeleted('a'))).toBe(false);
});
