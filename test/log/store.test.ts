import 'fake-indexeddb/auto';
import fc from 'fast-check';
import { promisifyRequest } from 'idb-keyval';
import { expect, test } from 'vitest';
import { type NotebookEvent, schemaVersion } from '../../src/log/event.ts';
import { NewerNotebook } from '../../src/log/migrate.ts';
import { type Piece, pieceOf } from '../../src/log/records.ts';
import { makeNotebookStore, NotebookDeleted, type NotebookStore } from '../../src/log/store.ts';
import { the } from '../the.ts';
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

/** A log of that many events. */
function longLog(count: number): NotebookEvent[] {
  const [first] = stamped(created);
  return Array.from({ length: count }, (_, i) => ({
    ...the(first),
    id: `nb-${i + 1}`,
    seq: i + 1,
    atMs: i,
    body: i === 0 ? created : { kind: 'paused' },
  }));
}

const damagedEvent = { ...the(longLog(1)[0]), seq: 4400, wallMs: 'x' };

test('a large log with a damaged entry and a hole, wherever they stand, keeps all others in their places', async () => {
  const prefix = fresh();
  const store = makeNotebookStore(prefix);
  const events = longLog(4500);
  // One record an event, as they are called.
  for (let from = 0; from < 4500; from += 400) await store.append('nb', events.slice(from, from + 400), from);
  const bad = [1000, 2000, 2001, 4000];
  await raw(prefix, (transaction) => {
    // A number that would skip the rest of the log.
    for (const seq of bad) transaction.objectStore('all').put(damagedEvent, ['nb', seq]);
    transaction.objectStore('all').delete(['nb', 3000]);
  });
  const loaded = await store.load('nb');
  expect(loaded.damaged.map(({ seq }) => seq)).toEqual(bad);
  expect(loaded.events.map(({ seq }) => seq)).toEqual(
    events.map(({ seq }) => seq).filter((seq) => seq !== 3000 && !bad.includes(seq)),
  );
});

/** What stands in the database, in order. */
async function recordsIn(prefix: string): Promise<{ keys: IDBValidKey[]; values: unknown[] }> {
  let keys: IDBRequest<IDBValidKey[]> | undefined;
  let values: IDBRequest<unknown[]> | undefined;
  await raw(prefix, (transaction) => {
    keys = transaction.objectStore('all').getAllKeys();
    values = transaction.objectStore('all').getAll();
  });
  return { keys: the(keys).result, values: the(values).result };
}

test('a large file is few records, is read as it was, and goes on event by event', async () => {
  const prefix = fresh();
  const store = makeNotebookStore(prefix);
  const events = longLog(5206);
  await store.append('mb', longLog(3));
  await store.adopt('nb', events.slice(0, 5203));
  expect((await recordsIn(prefix)).keys.length).toBe(3 + 11);
  for (const event of events.slice(5203)) await store.append('nb', [event], event.seq - 1);
  expect(await makeNotebookStore(prefix).load('nb')).toEqual({ id: 'nb', events, damaged: [] });
  expect((await store.raw('nb')).events).toEqual(events);
  expect((await store.list()).find(({ id }) => id === 'nb')).toEqual(summaryOf('nb', events));
  // Without its head as well.
  await raw(prefix, (transaction) => transaction.objectStore('heads').delete('nb'));
  expect((await store.list()).find(({ id }) => id === 'nb')).toEqual(summaryOf('nb', events));
  await store.remove('nb');
  expect((await recordsIn(prefix)).keys.length).toBe(3);
});

test('a damaged event within a record of many is left out, and no other', async () => {
  const prefix = fresh();
  const store = makeNotebookStore(prefix);
  const events = longLog(1200);
  await store.adopt('nb', events);
  const { keys, values } = await recordsIn(prefix);
  const second = structuredClone(values[1]) as { many: unknown[] };
  second.many[7] = damagedEvent;
  await raw(prefix, (transaction) => transaction.objectStore('all').put(second, keys[1]));
  const loaded = await store.load('nb');
  expect(loaded.damaged.map(({ seq }) => seq)).toEqual([508]);
  expect(loaded.events).toEqual(events.filter(({ seq }) => seq !== 508));
});

test('two windows that bring in the same log, or go on within it, never store an event twice', async () => {
  const store = makeNotebookStore(fresh());
  const events = longLog(1300);
  await store.adopt('nb', events.slice(0, 700));
  // Another window knows of fewer events: the next one stands within a record.
  await expect(store.append('nb', [the(events[620])], 620)).rejects.toThrow();
  await expect(store.append('nb', [the(events[620])])).rejects.toMatchObject({ name: 'ConstraintError' });
  await expect(store.append('nb', events.slice(200), 200)).rejects.toThrow();
  await expect(store.append('nb', events.slice(600))).rejects.toMatchObject({ name: 'ConstraintError' });
  expect((await store.load('nb')).events).toEqual(events.slice(0, 700));
  await store.append('nb', events.slice(700), 700);
  expect((await store.load('nb')).events).toEqual(events);
});

test('a log carried on from within a record of many keeps what stands before', async () => {
  const store = makeNotebookStore(fresh());
  const events = longLog(1300);
  const others = longLog(2400).map((event) => (event.seq > 730 ? { ...event, id: `other-${event.seq}` } : event));
  for (const to of [0, 1, 499, 500, 501, 730]) {
    await store.remove('nb');
    await store.adopt('nb', events);
    await store.graft('nb', to, others.slice(to));
    const whole = [...events.slice(0, to), ...others.slice(to)];
    expect(await store.load('nb')).toEqual({ id: 'nb', events: whole, damaged: [] });
    expect(await store.list()).toEqual([summaryOf('nb', whole)]);
  }
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

test('a graft between two pieces that are read doubles no event', async () => {
  const prefix = fresh();
  const store = makeNotebookStore(prefix);
  const events = stamped(created, ...Array.from({ length: 2999 }, () => ({ kind: 'paused' }) as const));
  // So few at once stand one by one.
  await store.adopt('nb', events.slice(0, 400));
  for (let from = 400; from < events.length; from += 400) await store.append('nb', events.slice(from, from + 400));
  const read = async (after: IDBValidKey): Promise<Piece> => {
    let piece: Promise<Piece> | null = null;
    await raw(prefix, (transaction) => {
      piece = pieceOf(transaction.objectStore('all'), 'nb', after);
    });
    return (await piece) ?? { stored: [], next: null };
  };
  const first = await read(['nb']);
  await store.graft('nb', 1700, events.slice(1700));
  const second = await read(first.next ?? []);
  const seqs = [...first.stored, ...second.stored].map(({ seq }) => seq);
  expect(new Set(seqs).size).toBe(seqs.length);
  expect(seqs).toEqual(events.map(({ seq }) => seq));
});
