import 'fake-indexeddb/auto';
import { expect, test } from 'vitest';
import { createNotebook } from '../../src/log/journal.ts';
import { reduce } from '../../src/log/reduce.ts';
import { makeNotebookStore } from '../../src/log/store.ts';
import { clearDatabase } from './clear-database.ts';

/**
 * Chromium, seen in the browser tests: who begins a transaction between the closing of a connection by the browser and
 * its notice of it hears nothing of that transaction, neither its end nor its abort.
 */
function dieAtNextTransaction({ stored = true } = {}): void {
  const real = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (...given) {
    IDBDatabase.prototype.transaction = real;
    const transaction = real.apply(this, given);
    setTimeout(() => this.onclose?.(new Event('close')), 20);
    for (const handler of ['oncomplete', 'onabort'])
      Object.defineProperty(transaction, handler, { set: () => {}, configurable: true });
    const silent = new Proxy(transaction.objectStore('all'), { get: () => () => ({}) });
    if (!stored) Object.defineProperty(transaction, 'objectStore', { value: () => silent });
    return transaction;
  };
}

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
