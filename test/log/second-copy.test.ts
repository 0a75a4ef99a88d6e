import 'fake-indexeddb/auto';
import { beforeAll, expect, test, vi } from 'vitest';
import { createNotebook, openNotebook } from '../../src/log/journal.ts';
import { makeSecondCopy, type SecondCopy, withSecondCopy } from '../../src/log/second-copy.ts';
import { makeNotebookStore } from '../../src/log/store.ts';
import { reading, startRun } from './events.ts';

beforeAll(() => vi.stubGlobal('document', { baseURI: 'https://bench.example/tool/' }));

/** Cache storage in memory: what of it the second copy uses. */
function memoryCaches() {
  const kept = new Map<string, string>();
  const cache = {
    put: async (address: string, response: Response) => void kept.set(address, await response.text()),
    keys: async () => [...kept.keys()].map((url) => new Request(url)),
    delete: async (request: Request) => kept.delete(request.url),
    match: async (request: Request) => {
      const text = kept.get(request.url);
      return text === undefined ? undefined : new Response(text);
    },
  };
  return { kept, storage: { open: async () => cache } as unknown as CacheStorage };
}

let stores = 0;
function bench() {
  const { kept, storage } = memoryCaches();
  const copy = makeSecondCopy(storage);
  const onRestored = vi.fn();
  const first = makeNotebookStore(`second-${++stores}`);
  return { kept, copy, first, onRestored, store: withSecondCopy(first, copy, onRestored) };
}
const settled = (copy: SecondCopy, events: number) =>
  vi.waitFor(async () => expect((await copy.notebooks())[0]?.events).toHaveLength(events));

test('a database that was emptied is filled again from the second copy, and that is told', async () => {
  const { store, first, copy, onRestored } = bench();
  const journal = await createNotebook('Trial', { store });
  await journal.record(startRun('r1', '1'));
  await journal.record(...reading('a', 5, '7'));
  await settled(copy, journal.events().length);
  await first.remove(journal.id);
  expect((await store.list()).map((summary) => summary.id)).toEqual([journal.id]);
  expect(onRestored).toHaveBeenCalledWith(1);
  const again = await openNotebook(journal.id, { store });
  expect(again.events().slice(0, -1)).toEqual(journal.events());
});

test('a notebook that a person deleted does not come back', async () => {
  const { store, copy, onRestored } = bench();
  const journal = await createNotebook('Trial', { store });
  await settled(copy, 2);
  await store.remove(journal.id);
  expect(await store.list()).toEqual([]);
  expect(onRestored).not.toHaveBeenCalled();
});

test('opening puts many pieces together, and gives a copy to a notebook that had none', async () => {
  const { store, first, copy, kept } = bench();
  const journal = await createNotebook('Trial', { store });
  for (let i = 0; i < 210; i++) await journal.record({ kind: i % 2 ? 'resumed' : 'paused' });
  await settled(copy, 212);
  expect(kept.size).toBe(211);
  await store.load(journal.id);
  await vi.waitFor(() => expect(kept.size).toBe(1));
  await settled(copy, 212);
  const older = await createNotebook('Before', { store: first });
  await store.load(older.id);
  await vi.waitFor(async () => expect(await copy.notebooks()).toHaveLength(2));
});

test('a piece that is missing or damaged ends the copy there; what comes before it is kept', async () => {
  const { store, copy, kept } = bench();
  const journal = await createNotebook('Trial', { store });
  for (const kind of ['paused', 'resumed', 'paused'] as const) await journal.record({ kind });
  await settled(copy, 5);
  const third = [...kept.keys()].find((url) => url.endsWith('/4/4')) ?? '';
  kept.set(third, '{"not":"events"}');
  expect((await copy.notebooks())[0]?.events.map((event) => event.seq)).toEqual([1, 2, 3]);
  kept.delete(third);
  expect((await copy.notebooks())[0]?.events.map((event) => event.seq)).toEqual([1, 2, 3]);
  await store.load(journal.id);
  await settled(copy, 5);
});

test('where there is no cache storage everything else goes on', async () => {
  const store = withSecondCopy(makeNotebookStore(`second-${++stores}`), makeSecondCopy(undefined), () => {});
  const journal = await createNotebook('Trial', { store });
  await journal.record({ kind: 'paused' });
  expect((await store.list()).map((summary) => summary.id)).toEqual([journal.id]);
  await store.remove(journal.id);
  expect(await store.list()).toEqual([]);
});
