import 'fake-indexeddb/auto';
import { expect, test, vi } from 'vitest';
import type { Clocks } from '../../src/log/clock.ts';
import { NotStored } from '../../src/log/durable-writes.ts';
import { createNotebook, openNotebook, openUnstored } from '../../src/log/journal.ts';
import { makeNotebookStore, NotebookDeleted, type NotebookStore } from '../../src/log/store.ts';
import { largeEvents } from '../benchmarks/large-events.ts';
import { clearDatabase } from './clear-database.ts';
import { reading, startRun } from './events.ts';

let stores = 0;
const newStore = () => makeNotebookStore(`test-${++stores}`);

/** Clocks the test moves by hand. */
function handClocks(start = { page: 100, wall: 1_700_000_000_000 }) {
  const at = { ...start };
  const clocks: Clocks = { pageNow: () => at.page, wallNow: () => at.wall };
  const pass = (ms: number) => {
    at.page += ms;
    at.wall += ms;
  };
  return { at, clocks, pass };
}

test('what was recorded is there after reopening, a run in progress included', async () => {
  const store = newStore();
  const { clocks, pass } = handClocks();
  const journal = await createNotebook('Trial', { store, clocks });
  await journal.record(startRun('r1', '1'));
  pass(5000);
  await journal.record(...reading('a', 5, '7.5'));
  const again = await openNotebook(journal.id, { store, clocks });
  expect(again.state().openRun).toBe('r1');
  expect(again.state().runs[0]?.readings[0]?.value).toBe('7.5');
  expect(again.state().title).toBe('Trial');
});

test('notebook time goes on over a reload by the wall clock, and the joint is recorded', async () => {
  const store = newStore();
  const first = handClocks();
  const journal = await createNotebook('Trial', { store, clocks: first.clocks });
  first.pass(60_000);
  await journal.record({ kind: 'paused' });
  const second = handClocks({ page: 3, wall: first.at.wall + 20_000 });
  const again = await openNotebook(journal.id, { store, clocks: second.clocks });
  expect(again.now()).toBe(80_000);
  expect(again.state().joints).toMatchObject([{ atMs: 80_000, why: 'reload' }]);
});

test('a wall clock set back does not turn notebook time back', async () => {
  const store = newStore();
  const first = handClocks();
  const journal = await createNotebook('Trial', { store, clocks: first.clocks });
  first.pass(60_000);
  await journal.record({ kind: 'paused' });
  const second = handClocks({ page: 3, wall: first.at.wall - 3_600_000 });
  const again = await openNotebook(journal.id, { store, clocks: second.clocks });
  expect(again.now()).toBeGreaterThan(60_000);
  expect(again.state().joints[0]?.why).toBe('unknown-gap');
});

test('a wall clock moved while the page is open leaves the times alone and is noted', async () => {
  const { at, clocks, pass } = handClocks();
  const journal = await createNotebook('Trial', { store: newStore(), clocks });
  pass(1000);
  at.wall += 3_600_000;
  await journal.record({ kind: 'paused' });
  expect(journal.now()).toBe(1000);
  // Just after the event before it: what was recorded with it came after the gap.
  expect(journal.state().joints).toMatchObject([{ atMs: 0.1, fromMs: 0, why: 'clock-doubted' }]);
});

test('when storage fails the entry is shown, counted as unsaved, and stored with the next', async () => {
  const good = newStore();
  let full = false;
  const store: NotebookStore = {
    ...good,
    append: (id, events) =>
      full ? Promise.reject(new DOMException('full', 'QuotaExceededError')) : good.append(id, events),
  };
  const { clocks } = handClocks();
  const journal = await createNotebook('Trial', { store, clocks });
  full = true;
  await expect(journal.record(startRun('r1'))).rejects.toThrowError(NotStored);
  expect(journal.unsaved()).toBe(1);
  expect(journal.state().openRun).toBe('r1');
  full = false;
  await journal.record({ kind: 'paused' });
  expect(journal.unsaved()).toBe(0);
  expect((await good.load(journal.id)).events.map((event) => event.body.kind)).toEqual([
    'created',
    'opened',
    'run-started',
    'paused',
  ]);
});

test('storage that does not answer is not waited for; what lands late counts, and the rest follows', async () => {
  const written: number[] = [];
  let answer = (): void => {};
  let slow = false;
  const store: NotebookStore = {
    ...newStore(),
    append: async (_, events) => {
      if (slow) await new Promise<void>((resolve) => (answer = resolve));
      written.push(...events.map((event) => event.seq));
    },
  };
  const journal = await createNotebook('Trial', { store, clocks: handClocks().clocks });
  vi.useFakeTimers();
  try {
    slow = true;
    const first = expect(journal.record(startRun('r1'))).rejects.toMatchObject({ why: 'no-answer' });
    await vi.advanceTimersByTimeAsync(10_000);
    await first;
    await expect(journal.record({ kind: 'paused' })).rejects.toThrowError(NotStored);
    expect(journal.unsaved()).toBe(2);
    slow = false;
    answer();
    await vi.advanceTimersByTimeAsync(0);
    expect(journal.unsaved()).toBe(1);
    await journal.retry();
    expect(journal.unsaved()).toBe(0);
    expect(journal.whyUnsaved()).toBeNull();
    expect(written).toEqual([1, 2, 3, 4]);
  } finally {
    vi.useRealTimers();
  }
});

test('where nothing can be stored a notebook begins, and one from outside opens, in memory', async () => {
  const nothing = () => Promise.reject(new DOMException('insecure', 'SecurityError'));
  const store: NotebookStore = { ...newStore(), append: nothing };
  const { clocks } = handClocks();
  const journal = await createNotebook('Trial', { store, clocks });
  await expect(journal.record(startRun('r1'))).rejects.toThrowError(NotStored);
  expect(journal.state().openRun).toBe('r1');
  expect(journal.unsaved()).toBe(3);
  expect(journal.whyUnsaved()).toBe('refused');
  const opened = await openUnstored({ id: journal.id, events: journal.events() }, { store, clocks });
  expect(opened.state().openRun).toBe('r1');
  expect(opened.unsaved()).toBe(3);
});

test('storage cleared under an open notebook: the next entry brings the whole log back, and the page says so', async () => {
  const store = newStore();
  const onRewritten = vi.fn();
  const journal = await createNotebook('Trial', { store, clocks: handClocks().clocks, onRewritten });
  await journal.record(startRun('r1'));
  await clearDatabase(`test-${stores}`);
  await Promise.all([journal.record({ kind: 'paused' }), journal.record({ kind: 'resumed' })]);
  expect((await store.load(journal.id)).events).toEqual(journal.events());
  expect(onRewritten).toHaveBeenCalledTimes(1);
});

test('a large notebook whose storage the browser clears is written again whole, and goes on', async () => {
  const store = newStore();
  const { clocks } = handClocks();
  await store.adopt('large', largeEvents(2, 400));
  const onRewritten = vi.fn();
  const journal = await openNotebook('large', { store, clocks, onRewritten });
  await clearDatabase(`test-${stores}`);
  await journal.record({ kind: 'paused' });
  expect(onRewritten).toHaveBeenCalledTimes(1);
  await journal.record({ kind: 'resumed' });
  const loaded = await store.load('large');
  expect(loaded.damaged).toEqual([]);
  expect(loaded.events).toEqual(journal.events());
});

test('a batch is stored whole or not at all when another window took its number', async () => {
  const store = newStore();
  const { clocks } = handClocks();
  const one = await createNotebook('Trial', { store, clocks });
  const other = await openNotebook(one.id, { store, clocks });
  await other.record({ kind: 'paused' });
  await expect(one.record(startRun('r1'), { kind: 'resumed' })).rejects.toMatchObject({ why: 'other-window' });
  expect((await store.load(one.id)).events.map((event) => event.body.kind)).not.toContain('resumed');
});

test('a damaged record is left out and named; the rest opens and goes on', async () => {
  const store = newStore();
  const { clocks } = handClocks();
  const journal = await createNotebook('Trial', { store, clocks });
  await journal.record(startRun('r1', '1'));
  await journal.record(...reading('a', 5, '7'));
  const open = indexedDB.open(`test-${stores}-events`);
  const db = await new Promise<IDBDatabase>((resolve) => {
    open.onsuccess = () => resolve(open.result);
  });
  await new Promise<void>((resolve) => {
    const transaction = db.transaction('all', 'readwrite');
    transaction.objectStore('all').put({ nonsense: true }, [journal.id, 5]);
    transaction.oncomplete = () => resolve();
  });
  const again = await openNotebook(journal.id, { store, clocks });
  expect(again.damaged.map((entry) => entry.seq)).toEqual([5]);
  expect(again.state().calls).toHaveLength(1);
  await again.record({ kind: 'paused' });
  expect((await store.load(journal.id)).events.at(-1)?.body.kind).toBe('paused');
});

test('listeners hear of every change until they leave', async () => {
  const journal = await createNotebook('Trial', { store: newStore(), clocks: handClocks().clocks });
  const listener = vi.fn();
  const leave = journal.subscribe(listener);
  await journal.record({ kind: 'paused' });
  leave();
  await journal.record({ kind: 'resumed' });
  expect(listener).toHaveBeenCalledTimes(1);
});

test('clips are kept beside their notebook and go with it', async () => {
  const store = newStore();
  await store.putClip('n1', 'c1', new Blob(['sound'], { type: 'audio/wav' }));
  expect((await store.getClip('n1', 'c1'))?.type).toBe('audio/wav');
  await store.putClip('n2', 'c1', new Blob(['other']));
  expect(await store.clipCalls('n1')).toEqual(['c1']);
  await store.deleteClips('n1');
  expect(await store.getClip('n1', 'c1')).toBeUndefined();
  expect(await (await store.getClip('n2', 'c1'))?.text()).toBe('other');
});

test('a notebook that was deleted in another window takes no more entries, and its journal says why', async () => {
  const store = newStore();
  const { clocks } = handClocks();
  const journal = await createNotebook('Trial', { store, clocks });
  await store.remove(journal.id);
  await expect(journal.record(startRun('r1'))).rejects.toMatchObject({ why: 'deleted' });
  await expect(journal.retry()).rejects.toMatchObject({ why: 'deleted' });
  expect(await store.list()).toEqual([]);
  await expect(store.putClip(journal.id, 'c1', new Blob(['x']))).rejects.toThrowError(NotebookDeleted);
  expect(journal.state().openRun).toBe('r1');
});
