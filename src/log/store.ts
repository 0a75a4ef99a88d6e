import { promisifyRequest } from 'idb-keyval';
import { completed, strictDatabase } from './database.ts';
import { NotebookEvent, schemaVersion } from './event.ts';
import { type Head, headAfter, headFrom, schemaWithoutHead } from './head.ts';
import { type Migrations, migrate, NewerNotebook, schemaOf } from './migrate.ts';
import type { Notebook } from './state.ts';

/**
 * Where notebooks are kept: one record an event under [notebook, seq], one clip a record under [notebook, call], and of
 * each notebook a head (see `head.ts`).
 * A promise resolves when the transaction is complete, with strict durability: only then may a cue sound.
 */
export interface NotebookStore {
  list(): Promise<NotebookSummary[]>;
  /** Rejects with `NewerNotebook` for one that a later version of the program wrote. */
  load(id: string): Promise<LoadedNotebook>;
  /**
   * Appends events in one transaction: all or none. Rejects when a number is already taken (another tab wrote), and with
   * `StorageEmptied` when event number `after` should be there and is not.
   */
  append(id: string, events: readonly NotebookEvent[], after?: number): Promise<void>;
  /**
   * Puts events after number `after` in one transaction, in place of any that stand there. For a log that comes in
   * and carries this one on; `files/merge.ts` decides when that loses nothing.
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

const of = (id: string): IDBKeyRange => IDBKeyRange.bound([id], [id, []]);

/** The store of this browser (IndexedDB). `prefix` keeps tests apart, `migrations` are those of `migrate.ts`. */
export function makeNotebookStore(prefix = 'meniscall', migrations?: Migrations): NotebookStore {
  const notebooks = strictDatabase(`${prefix}-events`, 2, ['all', 'heads']);
  const clips = strictDatabase(`${prefix}-clips`, 1, ['all']);

  /** Summary of a notebook that has no head, and a head for the next time unless one came meanwhile. */
  const headOf = (id: string): Promise<Head> =>
    notebooks('readwrite', async (store, transaction) => {
      const [known, values] = await Promise.all([
        promisifyRequest(store('heads').get(id)),
        promisifyRequest(store('all').getAll(of(id))),
      ]);
      const head = headFrom(known) ?? { ...headAfter(null, values), schema: schemaWithoutHead };
      if (values.length > 0) store('heads').put(head, id);
      await completed(transaction);
      return head;
    });

  /** Events of an earlier schema are written anew in the present one, all or none. */
  const migrated = async (id: string, schema: number, values: readonly unknown[]): Promise<readonly unknown[]> => {
    const raw = migrate({ schema, id, events: values }, migrations);
    const events = schemaOf(raw) === schemaVersion && 'events' in raw && Array.isArray(raw.events) ? raw.events : null;
    if (!events) throw new Error(`no way from schema ${schema} to ${schemaVersion}`);
    await notebooks('readwrite', async (store, transaction) => {
      store('all').delete(of(id));
      for (const [i, event] of events.entries()) store('all').add(event, [id, i + 1]);
      store('heads').put(headAfter(null, events), id);
      await completed(transaction);
    });
    return events;
  };

  return {
    async list() {
      const { ids, heads } = await notebooks('readonly', async (store) => {
        const [keys, values] = await Promise.all([
          promisifyRequest(store('heads').getAllKeys()),
          promisifyRequest(store('heads').getAll()),
        ]);
        const known = keys.flatMap((key) => (typeof key === 'string' ? [key] : []));
        const found = (await notebooksBesides(store('all'), known))
          ? await notebookIds(store('all'))
          : await withEvents(store('all'), known);
        return { ids: found, heads: new Map(keys.map((key, i) => [key, headFrom(values[i])])) };
      });
      const summaries: NotebookSummary[] = [];
      for (const id of ids) {
        const { title, events, changedWallMs } = heads.get(id) ?? (await headOf(id));
        summaries.push({ id, title, events, changedWallMs });
      }
      return summaries.sort((a, b) => b.changedWallMs - a.changedWallMs);
    },
    async load(id) {
      const [head, keys, stored] = await notebooks('readonly', async (store) =>
        Promise.all([
          promisifyRequest(store('heads').get(id)),
          promisifyRequest(store('all').getAllKeys(of(id))),
          promisifyRequest(store('all').getAll(of(id))),
        ]),
      );
      const schema = headFrom(head)?.schema ?? schemaWithoutHead;
      if (schema > schemaVersion) throw new NewerNotebook();
      const values = schema < schemaVersion && stored.length > 0 ? await migrated(id, schema, stored) : stored;
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
      notebooks('readwrite', async (store, transaction) => {
        let emptied = false;
        if (after > 0) {
          const before = store('all').getKey([id, after]);
          before.onsuccess = () => {
            if (before.result !== undefined) return;
            emptied = true;
            transaction.abort();
          };
        }
        // `add`, not `put`: a number that is taken means another tab wrote, and nothing may be overwritten.
        for (const event of added) store('all').add(event, [id, event.seq]);
        const known = store('heads').get(id);
        known.onsuccess = () => {
          const head = headFrom(known.result);
          // Without a head there may be events that this one does not know of: it is made when the notebook is listed.
          if (head || added[0]?.seq === 1) store('heads').put(headAfter(head, added), id);
        };
        await completed(transaction).catch((error) => {
          throw emptied ? new StorageEmptied(id, { cause: error }) : error;
        });
      }),
    graft: (id, after, added) =>
      notebooks('readwrite', async (store, transaction) => {
        store('all').delete(IDBKeyRange.bound([id, after], [id, []], true));
        for (const event of added) store('all').add(event, [id, event.seq]);
        const all = store('all').getAll(of(id));
        all.onsuccess = () => store('heads').put(headAfter(null, all.result), id);
        await completed(transaction);
      }),
    async remove(id) {
      await clips('readwrite', (store, transaction) => {
        store('all').delete(of(id));
        return completed(transaction);
      });
      await notebooks('readwrite', (store, transaction) => {
        store('all').delete(of(id));
        store('heads').delete(id);
        return completed(transaction);
      });
    },
    async putClip(id, call, clip) {
      // Bytes, not a Blob: WebKit keeps no Blobs in a private window.
      const kept: KeptClip = { type: clip.type, bytes: await clip.arrayBuffer() };
      await clips('readwrite', async (store, transaction) => {
        store('all').put(kept, [id, call]);
        await completed(transaction);
      });
    },
    getClip: (id, call) =>
      clips('readonly', async (store) => {
        const value: unknown = await promisifyRequest(store('all').get([id, call]));
        return clipFrom(value);
      }),
    clipCalls: (id) =>
      clips('readonly', async (store) => {
        const keys = await promisifyRequest(store('all').getAllKeys(of(id)));
        return keys.flatMap((key) => (Array.isArray(key) && typeof key[1] === 'string' ? [key[1]] : []));
      }),
    deleteClips: (id) =>
      clips('readwrite', async (store, transaction) => {
        store('all').delete(of(id));
        await completed(transaction);
      }),
  };
}

interface KeptClip {
  readonly type: string;
  readonly bytes: ArrayBuffer;
}

/** A clip as it was kept, or as an earlier version kept it; undefined for anything else. */
function clipFrom(value: unknown): Blob | undefined {
  if (value instanceof Blob) return value;
  if (typeof value !== 'object' || value === null || !('type' in value) || !('bytes' in value)) return undefined;
  const { type, bytes } = value;
  return typeof type === 'string' && bytes instanceof ArrayBuffer ? new Blob([bytes], { type }) : undefined;
}

/** Those of the notebooks that have events. */
async function withEvents(store: IDBObjectStore, ids: readonly string[]): Promise<string[]> {
  const first = await Promise.all(ids.map((id) => promisifyRequest(store.getKey(of(id)))));
  return ids.filter((_, i) => first[i] !== undefined);
}

/**
 * Whether there are events of notebooks that are not among these, in order of their ids: a look into every gap between
 * two, all asked for at once. (An earlier version of the page, still open somewhere, writes no heads.)
 */
async function notebooksBesides(store: IDBObjectStore, ids: readonly string[]): Promise<boolean> {
  const gaps = ids.map((id, i) =>
    i === 0 ? IDBKeyRange.upperBound([id], true) : IDBKeyRange.bound([ids[i - 1]!, []], [id], true, true),
  );
  const last = ids.at(-1);
  const rest = last === undefined ? undefined : IDBKeyRange.lowerBound([last, []], true);
  const keys = await Promise.all([
    ...gaps.map((gap) => promisifyRequest(store.getKey(gap))),
    promisifyRequest(rest ? store.getKey(rest) : store.getKey(IDBKeyRange.lowerBound([]))),
  ]);
  return keys.some((key) => key !== undefined);
}

/** The notebooks that have events, by a step from one to the next: not by reading every key. */
function notebookIds(store: IDBObjectStore): Promise<string[]> {
  return new Promise((resolve, reject) => {
    const ids: string[] = [];
    const request = store.openKeyCursor();
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const cursor = request.result;
      if (!cursor) return resolve(ids);
      const [id] = Array.isArray(cursor.key) ? cursor.key : [];
      if (typeof id === 'string') {
        ids.push(id);
        cursor.continue([id, []]);
      } else cursor.continue();
    };
  });
}
