import { promisifyRequest, type UseStore } from 'idb-keyval';
import { z } from 'zod/mini';
import { NotebookEvent } from './event.ts';
import type { Notebook } from './state.ts';

/**
 * Where notebooks are kept: one record an event under [notebook, seq], one clip a record under [notebook, call].
 * A promise resolves when the transaction is complete, with strict durability: only then may a cue sound.
 */
export interface NotebookStore {
  list(): Promise<NotebookSummary[]>;
  load(id: string): Promise<LoadedNotebook>;
  /**
   * Appends events in one transaction: all or none. Rejects when a number is already taken (another tab wrote), and with
   * `StorageEmptied` when event number `after` should be there and is not.
   */
  append(id: string, events: readonly NotebookEvent[], after?: number): Promise<void>;
  /**
   * Puts events after number `after` in one transaction, in place of any that stand there. For a log that comes in
   * and carries this one on; `share/merge.ts` decides when that loses nothing.
   */
  graft(id: string, after: number, events: readonly NotebookEvent[]): Promise<void>;
  remove(id: string): Promise<void>;
  putClip(id: string, call: string, clip: Blob): Promise<void>;
  getClip(id: string, call: string): Promise<Blob | undefined>;
  clipCalls(id: string): Promise<string[]>;
  deleteClips(id: string): Promise<void>;
}

/** The browser cleared the storage of a notebook that is open: what follows would stand there without a beginning. */
export class StorageEmptied extends Error {
  override readonly name = 'StorageEmptied';
}

export interface NotebookSummary {
  readonly id: string;
  readonly title: string;
  readonly events: number;
  readonly changedWallMs: number;
}

export interface LoadedNotebook extends Notebook {
  /** Records that could not be read and were left out. */
  readonly damaged: readonly { readonly seq: number; readonly cause: string }[];
}

/**
 * As idb-keyval's `createStore`, with strict durability (the write is flushed before the transaction completes, as
 * far as the system can tell) and a connection that is opened anew after the browser closed it.
 */
function strictStore(name: string): UseStore {
  let open: Promise<IDBDatabase> | undefined;
  const database = (): Promise<IDBDatabase> => {
    open ??= (async () => {
      const request = indexedDB.open(name);
      request.onupgradeneeded = () => request.result.createObjectStore('all');
      const db = await promisifyRequest(request);
      db.onclose = () => {
        open = undefined;
      };
      db.onversionchange = () => db.close();
      return db;
    })();
    open.catch(() => {
      open = undefined;
    });
    return open;
  };
  return async (mode, callback) => {
    const run = async (): Promise<IDBObjectStore> =>
      (await database()).transaction('all', mode, { durability: 'strict' }).objectStore('all');
    let store: IDBObjectStore;
    try {
      store = await run();
    } catch (error) {
      // Some browsers close the connection of a page in the background; one more try with a new one.
      if (!(error instanceof DOMException) || error.name !== 'InvalidStateError') throw error;
      open = undefined;
      store = await run();
    }
    return callback(store);
  };
}

/**
 * Resolves when the transaction is on disk. Not idb-keyval's `promisifyRequest`: that one rejects at the request's
 * error, which bubbles before the transaction knows its own, and so loses the reason.
 */
function completed(transaction: IDBTransaction): Promise<void> {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error ?? new DOMException('The transaction stopped', 'AbortError'));
  });
}

const of = (id: string): IDBKeyRange => IDBKeyRange.bound([id], [id, []]);

/** The store of this browser (IndexedDB). `prefix` keeps tests apart. */
export function makeNotebookStore(prefix = 'meniscall'): NotebookStore {
  const events = strictStore(`${prefix}-events`);
  const clips = strictStore(`${prefix}-clips`);
  return {
    async list() {
      const keys = await events('readonly', (store) => promisifyRequest(store.getAllKeys()));
      const ids = new Set(keys.flatMap((key) => (Array.isArray(key) && typeof key[0] === 'string' ? [key[0]] : [])));
      const found: NotebookSummary[] = [];
      // One notebook after the other: all of them at once might not fit in memory.
      for (const id of ids) {
        const values = await events('readonly', (store) => promisifyRequest(store.getAll(of(id))));
        found.push(summaryOf(id, values));
      }
      return found.sort((a, b) => b.changedWallMs - a.changedWallMs);
    },
    async load(id) {
      const [keys, values] = await events('readonly', async (store) =>
        Promise.all([promisifyRequest(store.getAllKeys(of(id))), promisifyRequest(store.getAll(of(id)))]),
      );
      const good: NotebookEvent[] = [];
      const damaged: { seq: number; cause: string }[] = [];
      values.forEach((value, index) => {
        const parsed = NotebookEvent.safeParse(value);
        if (parsed.success) good.push(parsed.data);
        else {
          const key = keys[index];
          const seq = Array.isArray(key) && typeof key[1] === 'number' ? key[1] : 0;
          damaged.push({ seq, cause: parsed.error.issues[0]?.message ?? 'unreadable' });
        }
      });
      return { id, events: good, damaged };
    },
    append: (id, added, after = 0) =>
      events('readwrite', async (store) => {
        let emptied = false;
        if (after > 0) {
          const before = store.getKey([id, after]);
          before.onsuccess = () => {
            if (before.result !== undefined) return;
            emptied = true;
            store.transaction.abort();
          };
        }
        // `add`, not `put`: a number that is taken means another tab wrote, and nothing may be overwritten.
        for (const event of added) store.add(event, [id, event.seq]);
        await completed(store.transaction).catch((error) => {
          throw emptied ? new StorageEmptied(id, { cause: error }) : error;
        });
      }),
    graft: (id, after, added) =>
      events('readwrite', async (store) => {
        store.delete(IDBKeyRange.bound([id, after], [id, []], true));
        for (const event of added) store.add(event, [id, event.seq]);
        await completed(store.transaction);
      }),
    async remove(id) {
      await clips('readwrite', (store) => {
        store.delete(of(id));
        return completed(store.transaction);
      });
      await events('readwrite', (store) => {
        store.delete(of(id));
        return completed(store.transaction);
      });
    },
    putClip: (id, call, clip) =>
      clips('readwrite', async (store) => {
        store.put(clip, [id, call]);
        await completed(store.transaction);
      }),
    getClip: (id, call) =>
      clips('readonly', async (store) => {
        const value: unknown = await promisifyRequest(store.get([id, call]));
        return value instanceof Blob ? value : undefined;
      }),
    clipCalls: (id) =>
      clips('readonly', async (store) => {
        const keys = await promisifyRequest(store.getAllKeys(of(id)));
        return keys.flatMap((key) => (Array.isArray(key) && typeof key[1] === 'string' ? [key[1]] : []));
      }),
    deleteClips: (id) =>
      clips('readwrite', async (store) => {
        store.delete(of(id));
        await completed(store.transaction);
      }),
  };
}

/** What the list of notebooks says of one. Only the events that can name it are checked in full: there are few. */
function summaryOf(id: string, values: readonly unknown[]): NotebookSummary {
  let title = '';
  let changedWallMs = 0;
  for (const value of values) {
    const { wallMs, kind } = stampOf(value);
    changedWallMs = Math.max(changedWallMs, wallMs);
    if (kind !== 'created' && kind !== 'titled') continue;
    const { data } = NotebookEvent.safeParse(value);
    if (data?.body.kind === 'created' || data?.body.kind === 'titled') title = data.body.title;
  }
  return { id, title, events: values.length, changedWallMs };
}

const Stamp = z.object({ wallMs: z.number(), body: z.object({ kind: z.string() }) });

/** Wall time and kind of a stored event; nothing of a damaged one. */
function stampOf(value: unknown): { wallMs: number; kind: string } {
  const { data } = Stamp.safeParse(value);
  return data ? { wallMs: data.wallMs, kind: data.body.kind } : { wallMs: 0, kind: '' };
}
