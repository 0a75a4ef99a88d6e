import 'fake-indexeddb/auto';
import { beforeAll, expect, test, vi } from 'vitest';
import { createNotebook, openNotebook } from '../../src/log/journal.ts';
import { differencesOf, reconcile } from '../../src/log/reconcile.ts';
import { makeSecondCopy, type SecondCopy } from '../../src/log/second-copy.ts';
import { makeNotebookStore } from '../../src/log/store.ts';
import { withSecondCopy } from '../../src/log/with-second-copy.ts';
import { clearDatabase } from './clear-database.ts';
import { created, reading, stamped, startRun } from './events.ts';

beforeAll(() => vi.stubGlobal('document', { baseURI: 'https://bench.example/tool/' }));

/** Cache storage in memory: what of it the second copy uses. */
function memoryCaches() {
  const kept = new Map<string, string>();
  /** How many more writes go through. */
  const left = { puts: Number.POSITIVE_INFINITY };
  const cache = {
    put: async (address: string, response: Response) => {
      if (left.puts-- <= 0) throw new DOMException('no room', 'QuotaExceededError');
      kept.set(address, await response.text());
    },
    keys: async () => [...kept.keys()].map((url) => new Request(url)),
    delete: async (request: Request) => kept.delete(request.url),
    match: async (request: Request) => {
      const text = kept.get(request.url);
      return text === undefined ? undefined : new Response(text);
    },
  };
  return { kept, left, storage: { open: async () => cache } as unknown as CacheStorage };
}

let stores = 0;
function bench() {
  const { kept, left, storage } = memoryCaches();
  const copy = makeSecondCopy(storage);
  const onUnwritten = vi.fn();
  const prefix = `second-${++stores}`;
  const first = makeNotebookStore(prefix);
  /** What a start of the page does. */
  const start = async () => reconcile(first, copy, await differencesOf(first, copy));
  return { kept, left, copy, first, prefix, start, onUnwritten, store: withSecondCopy(first, copy, onUnwritten) };
}
const settled = (copy: SecondCopy, id: string, events: number) =>
  vi.waitFor(async () => expect((await copy.notebook(id))?.events).toHaveLength(events));
const idsOf = async (list: Promise<readonly { id: string }[]>) => (await list).map(({ id }) => id).sort();

test('a database that was emptied is filled again from the second copy, and the page says so', async () => {
  const { store, prefix, copy, start } = bench();
  const journal = await createNotebook('Trial', { store });
  await journal.record(startRun('r1', '1'));
  await journal.record(...reading('a', 5, '7'));
  await settled(copy, journal.id, journal.events().length);
  await clearDatabase(prefix);
  expect(await start()).toMatchObject({ restored: 1 });
  expect((await store.list()).map((summary) => summary.id)).toEqual([journal.id]);
  const again = await openNotebook(journal.id, { store });
  expect(again.events().slice(0, -1)).toEqual(journal.events());
});

test('all notebooks come back, also when one of them was written again meanwhile', async () => {
  const { store, prefix, copy, start } = bench();
  for (const id of ['a', 'b', 'c']) {
    await store.adopt(id, stamped(created, { kind: 'paused' }));
    await settled(copy, id, 2);
  }
  await clearDatabase(prefix, (id) => id === 'b');
  expect(await start()).toMatchObject({ restored: 2 });
  expect(await idsOf(store.list())).toEqual(['a', 'b', 'c']);
  expect(await start()).toMatchObject({ restored: 0 });
});

test('a restore that was cut short goes on at the next start, inside a notebook as well', async () => {
  const { store, prefix, copy, first, start } = bench();
  const events = stamped(created, ...Array.from({ length: 9000 }, () => ({ kind: 'paused' as const })));
  await store.adopt('large', events);
  await store.adopt('small', stamped(created));
  await settled(copy, 'large', events.length);
  await settled(copy, 'small', 1);
  await clearDatabase(prefix);
  let appends = 0;
  const dying = {
    ...first,
    append: async (...given: Parameters<typeof first.append>) => {
      if (++appends > 1) throw new Error('killed');
      await first.append(...given);
    },
  };
  await reconcile(dying, copy, await differencesOf(dying, copy));
  expect((await first.load('large')).events.length).toBeLessThan(events.length);
  await start();
  expect((await first.load('large')).events).toEqual(events);
  expect(await idsOf(first.list())).toEqual(['large', 'small']);
});

test('a notebook that a person deleted does not come back', async () => {
  const { store, prefix, copy, kept, start } = bench();
  const journal = await createNotebook('Trial', { store });
  await settled(copy, journal.id, 2);
  await store.remove(journal.id);
  expect(await start()).toMatchObject({ restored: 0 });
  expect(await store.list()).toEqual([]);
  // Another window that has it open: not in the database, and a late piece of the copy changes nothing.
  await expect(journal.record({ kind: 'paused' })).rejects.toMatchObject({ why: 'deleted' });
  await copy.note(journal.id, journal.events());
  await start();
  expect([...kept.keys()].filter((url) => !url.endsWith('/deleted'))).toEqual([]);
  // Even where the browser then loses the database, tombstones included.
  await copy.note(journal.id, journal.events());
  await clearDatabase(prefix);
  await start();
  expect(await store.list()).toEqual([]);
});

test('a deletion cut short is finished or never begun at the next start', async () => {
  for (const at of ['before the database', 'before the copy'] as const) {
    const { store, first, copy, start } = bench();
    await store.adopt('nb', stamped(created, { kind: 'paused' }));
    await settled(copy, 'nb', 2);
    if (at === 'before the database') await copy.forget('nb');
    else await first.remove('nb');
    await start();
    await start();
    const alive = (await idsOf(first.list())).length === 1;
    expect(alive).toBe(at === 'before the database');
    expect((await copy.notebook('nb'))?.events.length ?? 0).toBe(alive ? 2 : 0);
    expect((await copy.held()).get('nb')?.deleted ?? false).toBe(!alive);
  }
});

test('a deleted notebook whose file is opened again is wanted, and has a second copy again', async () => {
  const { store, prefix, copy, start } = bench();
  const events = stamped(created, { kind: 'paused' });
  await store.adopt('nb', events);
  await store.remove('nb');
  expect(await store.adopt('nb', events)).toBe(true);
  await settled(copy, 'nb', 2);
  await clearDatabase(prefix);
  expect(await start()).toMatchObject({ restored: 1 });
  expect((await store.load('nb')).events).toEqual(events);
});

test('events that gave way to a longer log do not come back from the copy', async () => {
  const { store, first, copy, start } = bench();
  await store.adopt(
    'nb',
    stamped(created, { kind: 'opened', joined: 'first' }, { kind: 'opened', joined: 'wall-clock' }),
  );
  await settled(copy, 'nb', 3);
  const longer = stamped(created, { kind: 'paused' });
  await store.graft('nb', 1, longer.slice(1));
  await start();
  expect((await first.load('nb')).events).toEqual(longer);
  await settled(copy, 'nb', 2);
  // The same where a kill left the pieces of the log before.
  await copy.complete('nb', stamped(created, { kind: 'resumed' }, { kind: 'resumed' }), true);
  await start();
  expect((await first.load('nb')).events).toEqual(longer);
  expect((await copy.notebook('nb'))?.events).toEqual(longer);
});

test('opening puts many pieces together, and a start gives a copy to a notebook that had none', async () => {
  const { store, first, copy, kept, start } = bench();
  const journal = await createNotebook('Trial', { store });
  for (let i = 0; i < 210; i++) await journal.record({ kind: i % 2 ? 'resumed' : 'paused' });
  await settled(copy, journal.id, 212);
  expect(kept.size).toBe(211);
  await store.load(journal.id);
  await vi.waitFor(() => expect(kept.size).toBe(1));
  await settled(copy, journal.id, 212);
  const older = await createNotebook('Before', { store: first });
  await start();
  await settled(copy, older.id, 2);
});

test('a piece that is missing or damaged ends the copy there; what comes before it is kept', async () => {
  const { store, copy, kept } = bench();
  const journal = await createNotebook('Trial', { store });
  for (const kind of ['paused', 'resumed', 'paused'] as const) await journal.record({ kind });
  await settled(copy, journal.id, 5);
  const third = [...kept.keys()].find((url) => url.endsWith('/4/4')) ?? '';
  kept.set(third, '{"not":"events"}');
  const seqs = async () => (await copy.notebook(journal.id))?.events.map((event) => event.seq);
  expect(await seqs()).toEqual([1, 2, 3]);
  kept.delete(third);
  expect(await seqs()).toEqual([1, 2, 3]);
  await store.load(journal.id);
  await settled(copy, journal.id, 5);
});

test('one notebook of 150,000 events does not cost another its copy', async () => {
  const { copy, kept } = bench();
  const [first, second] = stamped(created, { kind: 'paused' });
  const events = Array.from({ length: 150_001 }, (_, i) => {
    const event = i === 0 ? first : second;
    if (!event) throw new Error('no event to repeat');
    return { ...event, id: `nb-${i + 1}`, seq: i + 1 };
  });
  await copy.complete('large', events);
  await copy.note('other', stamped(created));
  // In pieces: none of them holds the page up.
  expect(kept.size).toBeGreaterThan(30);
  expect((await copy.notebook('large'))?.events).toHaveLength(150_001);
  expect((await copy.notebook('other'))?.events).toHaveLength(1);
}, 60_000);

test('a copy that cannot be written is reported, goes on where it stopped, and the notebook stays stored', async () => {
  const { store, first, copy, left, start, onUnwritten } = bench();
  const events = stamped(created, ...Array.from({ length: 9000 }, () => ({ kind: 'paused' as const })));
  left.puts = 1;
  await store.adopt('nb', events);
  await vi.waitFor(() => expect(onUnwritten).toHaveBeenCalled());
  expect((await first.load('nb')).events).toHaveLength(9001);
  expect(await start()).toMatchObject({ unwritten: 1 });
  left.puts = 2;
  expect(await start()).toMatchObject({ unwritten: 0 });
  expect((await copy.notebook('nb'))?.events).toEqual(events);
});

test('where there is no cache storage everything else goes on', async () => {
  const first = makeNotebookStore(`second-${++stores}`);
  const none = makeSecondCopy(undefined);
  const store = withSecondCopy(first, none, () => {});
  const journal = await createNotebook('Trial', { store });
  await journal.record({ kind: 'paused' });
  expect(await differencesOf(first, none)).toEqual({ restore: [], copy: [], purge: [] });
  expect((await store.list()).map((summary) => summary.id)).toEqual([journal.id]);
  await store.remove(journal.id);
  expect(await store.list()).toEqual([]);
});
