import 'fake-indexeddb/auto';
import fc from 'fast-check';
import { promisifyRequest } from 'idb-keyval';
import { expect, test } from 'vitest';
import { type NotebookEvent, schemaVersion } from '../../src/log/event.ts';
import { NewerNotebook } from '../../src/log/migrate.ts';
import { makeNotebookStore, NotebookDeleted, type NotebookStore } from '../../src/log/store.ts';
import { anyEvents, created, stamped } from './events.ts';
import { downgraded, olderMigrations } from './older-schemas.ts';

let stores = 0;
const fresh = (): string => `store-${++stores}`;

/** What the list must say, from the events alone. */
function summaryOf(id: string, events: readonly NotebookEvent[]) {
  const titles = events.flatMap(({ body }) => (body.kind === 'created' || body.kind === 'titled' ? [body.title] : []));
  return {
    id,
    title: titles.at(-1) ?? '',
    events: events.length,
    changedWallMs: Math.max(0, ...events.map(({ wallMs }) => wallMs)),
  };
}

async function expectTrueList(store: NotebookStore): Promise<void> {
  for (const summary of await store.list())
    expect(summary).toEqual(summaryOf(summary.id, (await store.load(summary.id)).events));
}

/** Opens the database as it stands, under no store. */
async function raw(prefix: string, work: (transaction: IDBTransaction) => void, version?: number): Promise<void> {
  const request = indexedDB.open(`${prefix}-events`, version);
  request.onupgradeneeded = () => request.result.createObjectStore('all');
  const database = await promisifyRequest(request);
  const transaction = database.transaction([...database.objectStoreNames], 'readwrite');
  work(transaction);
  await promisifyRequest(transaction);
  database.close();
}

test('the list says of every notebook what its events say, whatever was appended, grafted and removed', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.tuple(fc.constantFrom('a', 'b', 'c'), anyEvents, fc.nat(6)), { minLength: 1, maxLength: 6 }),
      async (acts) => {
        const store = makeNotebookStore(fresh());
        for (const [id, events, what] of acts) {
          const known = (await store.load(id)).events.length;
          const titled = events.map(
            (event): NotebookEvent =>
              event.seq % 5 === 0 ? { ...event, body: { kind: 'titled', title: `T${event.seq}` } } : event,
          );
          if (what === 0) await store.remove(id);
          else if (known === 0) await store.adopt(id, titled);
          else if (what === 1) await store.graft(id, 1, titled.slice(1));
          else await store.append(id, titled.slice(known));
          await expectTrueList(store);
        }
      },
    ),
    { numRuns: 40 },
  );
}, 60_000);

test('a store of the version without heads is listed, carried on, and listed from its heads', async () => {
  const prefix = fresh();
  const events = stamped(created, { kind: 'paused' }, { kind: 'titled', title: 'Second' });
  await raw(
    prefix,
    (transaction) => {
      for (const event of events.slice(0, 2)) transaction.objectStore('all').add(event, ['old', event.seq]);
      for (const event of events) transaction.objectStore('all').add(event, ['other', event.seq]);
    },
    1,
  );
  const store = makeNotebookStore(prefix);
  // Carried on before it is ever listed: the head must not begin in the middle.
  await store.append('old', events.slice(2), 2);
  expect(await store.list()).toEqual([summaryOf('old', events), summaryOf('other', events)]);
  expect((await store.load('old')).events).toEqual(events);
  // The events gone from under the heads: what has none is no notebook.
  await raw(prefix, (transaction) => transaction.objectStore('all').clear());
  expect(await store.list()).toEqual([]);
});

test('a notebook that an older page writes beside those with heads is listed, wherever its id stands', async () => {
  const prefix = fresh();
  const store = makeNotebookStore(prefix);
  const events = stamped(created, { kind: 'paused' });
  for (const id of ['d', 'h', 'm']) await store.append(id, events);
  for (const id of ['a', 'e', 'f', 'z']) {
    await raw(prefix, (transaction) => {
      for (const event of events) transaction.objectStore('all').add(event, [id, event.seq]);
    });
    expect((await store.list()).map((summary) => summary.id)).toContain(id);
  }
  expect((await store.list()).map((summary) => summary.id).sort()).toEqual(['a', 'd', 'e', 'f', 'h', 'm', 'z']);
});

test('a damaged head is made anew', async () => {
  const prefix = fresh();
  const store = makeNotebookStore(prefix);
  const events = stamped(created, { kind: 'paused' });
  await store.append('nb', events);
  await raw(prefix, (transaction) => transaction.objectStore('heads').put({ title: 7 }, 'nb'));
  expect(await store.list()).toEqual([summaryOf('nb', events)]);
});

test('any notebook stored under an earlier schema is brought up when it is opened, once', async () => {
  await fc.assert(
    fc.asyncProperty(anyEvents, fc.constantFrom(1, 2), async (events, back) => {
      const prefix = fresh();
      await makeNotebookStore(prefix).append('nb', events);
      const old = downgraded({ id: 'nb', events }, schemaVersion - back);
      await raw(prefix, (transaction) => {
        for (const [i, event] of old.events.entries()) transaction.objectStore('all').put(event, ['nb', i + 1]);
        transaction
          .objectStore('heads')
          .put({ title: 'x', events: events.length, changedWallMs: 1, schema: old.schema }, 'nb');
      });
      expect(await makeNotebookStore(prefix, olderMigrations).load('nb')).toEqual({ id: 'nb', events, damaged: [] });
      // Stored in the present schema now: a program that knows no migration reads it.
      expect((await makeNotebookStore(prefix).load('nb')).events).toEqual(events);
      await expectTrueList(makeNotebookStore(prefix));
    }),
    { numRuns: 30 },
  );
}, 60_000);

test('a notebook of a newer schema is not opened, and stays as it is', async () => {
  const prefix = fresh();
  const store = makeNotebookStore(prefix);
  await store.append('nb', stamped(created));
  await raw(prefix, (transaction) =>
    transaction
      .objectStore('heads')
      .put({ title: 'New', events: 1, changedWallMs: 5, schema: schemaVersion + 1 }, 'nb'),
  );
  await expect(store.load('nb')).rejects.toBeInstanceOf(NewerNotebook);
  await expect(store.load('nb')).rejects.toThrow(/newer version of Meniscall/);
  expect((await store.list()).map(({ title }) => title)).toEqual(['New']);
});

test('what was deleted does not come back by an append, and does when its file is opened', async () => {
  const store = makeNotebookStore(fresh());
  const events = stamped(created, { kind: 'paused' });
  await store.append('nb', events);
  await store.remove('nb');
  await expect(store.append('nb', events)).rejects.toBeInstanceOf(NotebookDeleted);
  await expect(store.graft('nb', 0, events)).rejects.toBeInstanceOf(NotebookDeleted);
  expect(await store.list()).toEqual([]);
  expect(await store.deleted()).toEqual(new Set(['nb']));
  expect(await store.adopt('nb', events)).toBe(true);
  expect(await store.list()).toEqual([summaryOf('nb', events)]);
  expect(await store.deleted()).toEqual(new Set());
});

test('the notebook added to last is first in the list, whatever year a file is dated', async () => {
  const store = makeNotebookStore(fresh());
  const future = stamped(created).map((event) => ({ ...event, wallMs: Date.UTC(9999, 11, 31) }));
  await store.adopt('from-a-file', future);
  await new Promise((resolve) => setTimeout(resolve, 5));
  await store.append('in-progress', stamped(created));
  expect((await store.list()).map(({ id }) => id)).toEqual(['in-progress', 'from-a-file']);
});

test('a large log with a damaged entry and a hole, wherever they stand, keeps all others in their places', async () => {
  const prefix = fresh();
  const store = makeNotebookStore(prefix);
  const [first] = stamped(created);
  if (!first) throw new Error('no event');
  const events: NotebookEvent[] = Array.from({ length: 4500 }, (_, i) => ({
    ...first,
    id: `nb-${i + 1}`,
    seq: i + 1,
    atMs: i,
    body: i === 0 ? created : { kind: 'paused' },
  }));
  await store.adopt('nb', events);
  const bad = [1000, 2000, 2001, 4000];
  await raw(prefix, (transaction) => {
    // A number that would skip the rest of the log.
    for (const seq of bad) transaction.objectStore('all').put({ ...first, seq: 4400, wallMs: 'x' }, ['nb', seq]);
    transaction.objectStore('all').delete(['nb', 3000]);
  });
  const loaded = await store.load('nb');
  expect(loaded.damaged.map(({ seq }) => seq)).toEqual(bad);
  expect(loaded.events.map(({ seq }) => seq)).toEqual(
    events.map(({ seq }) => seq).filter((seq) => seq !== 3000 && !bad.includes(seq)),
  );
});

test('a migration cut short at any entry leaves the old log whole, and the next opening does it', async () => {
  const events = stamped(created, { kind: 'paused' }, { kind: 'resumed' }, { kind: 'titled', title: 'Old' });
  const old = downgraded({ id: 'nb', events }, schemaVersion - 2);
  for (let cut = 0; cut <= events.length; cut++) {
    const prefix = fresh();
    await makeNotebookStore(prefix).list();
    await raw(prefix, (transaction) => {
      for (const [i, event] of old.events.entries()) transaction.objectStore('all').put(event, ['nb', i + 1]);
      transaction.objectStore('heads').put({ title: 'x', events: 4, changedWallMs: 1, schema: old.schema }, 'nb');
    });
    const real = IDBObjectStore.prototype.add;
    let added = 0;
    IDBObjectStore.prototype.add = function (...given) {
      if (added++ === cut) this.transaction.abort();
      return real.apply(this, given);
    };
    const first = await makeNotebookStore(prefix, olderMigrations)
      .load('nb')
      .catch(() => null)
      .finally(() => {
        IDBObjectStore.prototype.add = real;
      });
    expect(first === null).toBe(cut < events.length);
    expect(await makeNotebookStore(prefix, olderMigrations).load('nb')).toEqual({ id: 'nb', events, damaged: [] });
    await expectTrueList(makeNotebookStore(prefix));
  }
});
