import { promisifyRequest } from 'idb-keyval';
import { nth } from '../numerics/nth.ts';
import { completed, strictDatabase } from './database.ts';
import { NotebookEvent, schemaVersion } from './event.ts';
import { type Head, headAfter, headFrom, schemaWithoutHead, tombstone } from './head.ts';
import { type Migrations, migrate, NewerNotebook, schemaOf } from './migrate.ts';
import { eventsIn, type Piece, pieceOf, recordsOf, type Stored, storedIn } from './records.ts';
import { eventsBetweenRests, rest } from './rest.ts';
import type { Notebook } from './state.ts';

/**
 * Where notebooks are kept: one record an event under [notebook, seq] (see `records.ts` for many at once), one clip a
 * record under [notebook, call], and of each notebook a head (see `head.ts`).
 * A promise resolves when the transaction is complete, with strict durability: only then may a cue sound.
 */
export interface NotebookStore {
  list(): Promise<NotebookSummary[]>;
  /** Rejects with `NewerNotebook` for one that a later version of the program wrote. */
  load(id: string): Promise<LoadedNotebook>;
  /** A notebook as it is stored, checked by nobody: for a file of one that does not open here. */
  raw(id: string): Promise<{ readonly schema: number; readonly events: readonly unknown[] }>;
  /**
   * Appends events in one transaction: all or none. Rejects when a number is already taken (another tab wrote), with
   * `StorageEmptied` when event number `after` should be there and is not, and with `NotebookDeleted` when a person
   * deleted the notebook, in this window or another.
   */
  append(id: string, events: readonly NotebookEvent[], after?: number): Promise<void>;
  /**
   * Stores a whole notebook that a person brings in. As `append`, but a notebook deleted before is welcome again:
   * whoever opens its file wants it back. Resolves with whether it had been deleted.
   */
  adopt(id: string, events: readonly NotebookEvent[]): Promise<boolean>;
  /**
   * Puts events after number `after` in one transaction, in place of any that stand there. For a log that comes in
   * and carries this one on; `files/merge.ts` decides when that loses nothing.
   */
  graft(id: string, after: number, events: readonly NotebookEvent[]): Promise<void>;
  /** Deletes a notebook and its clips, and leaves a tombstone that `append` and the second copy respect. */
  remove(id: string): Promise<void>;
  /** Ids of the notebooks that a person deleted. */
  deleted(): Promise<ReadonlySet<string>>;
  /** Rejects with `NotebookDeleted` as `append` does. */
  putClip(id: string, call: string, clip: Blob): Promise<void>;
  getClip(id: string, call: string): Promise<Blob | undefined>;
  clipCalls(id: string): Promise<string[]>;
  deleteClips(id: string): Promise<void>;
}

/** The browser cleared the storage of a notebook that is open: what follows would stand there without a beginning. */
export class StorageEmptied extends Error {
  override readonly name = 'StorageEmptied';
}

/** A person deleted this notebook: nothing is added to it unless its file is opened again. */
export class NotebookDeleted extends Error {
  override readonly name = 'NotebookDeleted';
}

export interface NotebookSummary {
  readonly id: string;
  readonly title: string;
  readonly events: number;
  /** The latest date in its events; a file may bring any. */
  readonly changedWallMs: number;
}

export interface LoadedNotebook extends Notebook {
  /** Records that could not be read and were left out. */
  readonly damaged: readonly { readonly seq: number; readonly cause: string }[];
}

const of = (id: string): IDBKeyRange => IDBKeyRange.bound([id], [id, []]);

/** The store of this browser (IndexedDB). `prefix` keeps tests apart, `migrations` are those of `migrate.ts`. */
export function makeNotebookStore(prefix = 'meniscall', migrations?: Migrations): NotebookStore {
  // 2: heads. 3: records of many events, which an earlier version would take for damaged ones.
  const notebooks = strictDatabase(`${prefix}-events`, 3, ['all', 'heads']);
  const clips = strictDatabase(`${prefix}-clips`, 1, ['all']);
  return {
    list: () => listed(notebooks),
    load: (id) => loaded(notebooks, id, migrations),
    raw: (id) =>
      notebooks('readonly', async (store) => {
        const [head, records] = await Promise.all([
          promisifyRequest(store('heads').get(id)),
          promisifyRequest(store('all').getAll(of(id))),
        ]);
        return { schema: headFrom(head)?.schema ?? schemaWithoutHead, events: eventsIn(records) };
      }),
    async append(id, added, after = 0) {
      await add(notebooks, id, added, { after, revive: false });
    },
    adopt: (id, added) => add(notebooks, id, added, { after: 0, revive: true }),
    graft: (id, after, added) => graft(notebooks, id, after, added),
    async remove(id) {
      // The tombstone and the end of the events are one transaction; clips that a kill leaves behind go at the next start.
      await notebooks('readwrite', (store, transaction) => {
        store('all').delete(of(id));
        store('heads').put(tombstone(Date.now()), id);
        return completed(transaction);
      });
      await deleteClips(clips, id);
    },
    deleted: () =>
      notebooks('readonly', async (store) => {
        const [keys, values] = await Promise.all([
          promisifyRequest(store('heads').getAllKeys()),
          promisifyRequest(store('heads').getAll()),
        ]);
        return new Set(
          keys.flatMap((key, i) => (typeof key === 'string' && headFrom(values[i])?.deleted ? [key] : [])),
        );
      }),
    async putClip(id, call, clip) {
      // Bytes, not a Blob: WebKit keeps no Blobs in a private window.
      const kept: KeptClip = { type: clip.type, bytes: await clip.arrayBuffer() };
      const head = await notebooks('readonly', (store) => promisifyRequest(store('heads').get(id)));
      if (headFrom(head)?.deleted) throw new NotebookDeleted(id);
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
    deleteClips: (id) => deleteClips(clips, id),
  };
}

type Database = ReturnType<typeof strictDatabase>;

const deleteClips = (clips: Database, id: string): Promise<void> =>
  clips('readwrite', async (store, transaction) => {
    store('all').delete(of(id));
    await completed(transaction);
  });

/** Summary of a notebook that has no head, and a head for the next time unless one came meanwhile. */
const headOf = (notebooks: Database, id: string): Promise<Head> =>
  notebooks('readwrite', async (store, transaction) => {
    const [known, records] = await Promise.all([
      promisifyRequest(store('heads').get(id)),
      promisifyRequest(store('all').getAll(of(id))),
    ]);
    const head = headFrom(known) ?? { ...headAfter(null, eventsIn(records)), schema: schemaWithoutHead };
    if (records.length > 0) store('heads').put(head, id);
    await completed(transaction);
    return head;
  });

async function listed(notebooks: Database): Promise<NotebookSummary[]> {
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
  const found: { touchedMs: number; summary: NotebookSummary }[] = [];
  for (const id of ids) {
    const head = heads.get(id) ?? (await headOf(notebooks, id));
    const { title, events, changedWallMs } = head;
    // Without a note of this device: what its events say, as far as that is not in the future.
    const touchedMs = head.touchedMs ?? Math.min(changedWallMs, Date.now());
    if (!head.deleted) found.push({ touchedMs, summary: { id, title, events, changedWallMs } });
  }
  return found.sort((a, b) => b.touchedMs - a.touchedMs).map(({ summary }) => summary);
}

/** Events of an earlier schema are written anew in the present one, all or none. */
async function migrated(
  notebooks: Database,
  id: string,
  schema: number,
  values: readonly unknown[],
  migrations: Migrations | undefined,
): Promise<readonly unknown[]> {
  const raw = migrate({ schema, id, events: values }, migrations);
  const events = schemaOf(raw) === schemaVersion && 'events' in raw && Array.isArray(raw.events) ? raw.events : null;
  if (!events) throw new Error(`no way from schema ${schema} to ${schemaVersion}`);
  await notebooks('readwrite', async (store, transaction) => {
    store('all').delete(of(id));
    put(store('all'), id, numbered(events));
    store('heads').put(headAfter(null, events), id);
    await completed(transaction);
  });
  return events;
}

async function loaded(notebooks: Database, id: string, migrations: Migrations | undefined): Promise<LoadedNotebook> {
  const head = await notebooks('readonly', (store) => promisifyRequest(store('heads').get(id)));
  const schema = headFrom(head)?.schema ?? schemaWithoutHead;
  if (schema > schemaVersion) throw new NewerNotebook();
  const good: NotebookEvent[] = [];
  const damaged: { seq: number; cause: string }[] = [];
  const check = ({ seq, value }: Stored): void => {
    const parsed = NotebookEvent.safeParse(value);
    if (parsed.success) good.push(parsed.data);
    else damaged.push({ seq, cause: parsed.error.issues[0]?.message ?? 'unreadable' });
  };
  if (schema < schemaVersion) {
    const records = await notebooks('readonly', (store) => promisifyRequest(store('all').getAll(of(id))));
    const values = records.length > 0 ? await migrated(notebooks, id, schema, eventsIn(records), migrations) : [];
    for (const one of numbered(values)) check(one);
    return { id, events: good, damaged };
  }
  // Piece by piece: a large notebook must not hold the page up while it opens. The browser reads the next piece
  // while this one is checked.
  const read = (after: IDBValidKey): Promise<Piece> =>
    notebooks('readonly', (store) => pieceOf(store('all'), id, after));
  for (let coming: Promise<Piece> | null = read([id]); coming; ) {
    const { stored, next }: Piece = await coming;
    coming = next === null ? null : read(next);
    // Its failure is met when it is awaited.
    coming?.catch(() => {});
    for (const [i, one] of stored.entries()) {
      if (i > 0 && i % eventsBetweenRests === 0) await rest();
      check(one);
    }
    await rest();
  }
  return { id, events: good, damaged };
}

const withSeq = (event: NotebookEvent): Stored => ({ seq: event.seq, value: event });
const numbered = (events: readonly unknown[]): Stored[] => events.map((value, i) => ({ seq: i + 1, value }));

const put = (all: IDBObjectStore, id: string, events: readonly Stored[]): void => {
  for (const { seq, value } of recordsOf(events)) all.add(value, [id, seq]);
};

/** Adds events; what stands against it ends the whole transaction. Resolves with whether there was a tombstone. */
const add = (
  notebooks: Database,
  id: string,
  added: readonly NotebookEvent[],
  { after, revive }: { readonly after: number; readonly revive: boolean },
): Promise<boolean> =>
  notebooks('readwrite', async (store, transaction) => {
    let revived = false;
    let against: Error | null = null;
    const refuse = (error: Error): void => {
      if (against) return;
      against = error;
      transaction.abort();
    };
    const known = store('heads').get(id);
    known.onsuccess = () => {
      const head = headFrom(known.result);
      if (head?.deleted && !revive) return refuse(new NotebookDeleted(id));
      revived = head?.deleted === true;
      const before = revived ? null : head;
      // Without a head there may be events that this one does not know of: it is made when the notebook is listed.
      if (before || added[0]?.seq === 1) store('heads').put({ ...headAfter(before, added), touchedMs: Date.now() }, id);
    };
    if (after > 0) {
      const last = store('all').getKey([id, after]);
      last.onsuccess = () => {
        if (last.result === undefined) refuse(new StorageEmptied(id));
      };
    }
    // Done twice, after a lost connection, these very events may be there: all of them, as they go in all or none.
    let there = false;
    const [first, end] = [added[0], added.at(-1)];
    if (first && end) {
      const stored = store('all').get([id, end.seq]);
      stored.onsuccess = () => {
        there = JSON.stringify(eventsIn([stored.result]).at(-1)) === JSON.stringify(end);
        if (there) transaction.abort();
      };
      // A number that is taken means another tab wrote, and nothing may be overwritten. It may be within a record.
      const beyond = store('all').getKey(IDBKeyRange.bound([id, first.seq - 1], [id, []], true));
      beyond.onsuccess = () => {
        if (!there && beyond.result !== undefined) refuse(new DOMException(`${id} goes on`, 'ConstraintError'));
      };
      put(store('all'), id, added.map(withSeq));
    }
    await completed(transaction).catch((error) => {
      if (!there) throw against ?? error;
    });
    return revived;
  });

/** Puts events in the place of those after a number. */
const graft = (notebooks: Database, id: string, to: number, added: readonly NotebookEvent[]): Promise<void> =>
  notebooks('readwrite', async (store, transaction) => {
    let deleted = false;
    const known = store('heads').get(id);
    known.onsuccess = () => {
      deleted = headFrom(known.result)?.deleted === true;
      if (deleted) transaction.abort();
    };
    const all = store('all');
    const after = IDBKeyRange.bound([id, to], [id, []], true);
    const next = all.get(after);
    const key = all.getKey(after);
    key.onsuccess = () => {
      all.delete(after);
      // The record may hold events of both sides.
      const before = key.result ? storedIn(key.result, next.result).filter(({ seq }) => seq <= to) : [];
      put(all, id, [...before, ...added.map(withSeq)]);
      const now = all.getAll(of(id));
      now.onsuccess = () => store('heads').put({ ...headAfter(null, eventsIn(now.result)), touchedMs: Date.now() }, id);
    };
    await completed(transaction).catch((error) => {
      throw deleted ? new NotebookDeleted(id) : error;
    });
  });

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
    i === 0 ? IDBKeyRange.upperBound([id], true) : IDBKeyRange.bound([nth(ids, i - 1), []], [id], true, true),
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
