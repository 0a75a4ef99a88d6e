import { type NotebookEvent, schemaVersion } from './event.ts';
import { notebookFromRaw } from './file.ts';
import type { Notebook } from './state.ts';
import type { NotebookStore } from './store.ts';

/**
 * A second copy of every notebook, in the browser's cache storage, which lies in files of its own. A browser that finds
 * its database damaged deletes it and tells nobody. Chromium does so after a kill between the head and the body of an
 * entry of its log: the next session writes on behind the stump, the one after that finds a log that does not add up
 * (seen twice in its files, after some hundreds of kills, half of them in the middle of a write). The copy is written
 * after the first one and nobody waits for it; it is read only when the database is empty. Sounds are not in it.
 */
export interface SecondCopy {
  /** Adds events that are stored. */
  note(id: string, events: readonly NotebookEvent[]): Promise<void>;
  /** Puts the whole log in place of what is there, where that is needed: many pieces, a gap, an earlier schema. */
  tidy(id: string, events: readonly NotebookEvent[]): Promise<void>;
  forget(id: string): Promise<void>;
  /** What the copy holds; of a notebook with a gap what comes before it. */
  notebooks(): Promise<Notebook[]>;
}

/** Not of the names that the service worker clears away. */
const cacheName = 'second-copy-of-notebooks';
/** So many pieces of a notebook are put together when it is opened. */
const manyPieces = 200;

interface Piece {
  readonly id: string;
  readonly schema: number;
  readonly first: number;
  readonly last: number;
  readonly request: Request;
}

/** The copy of this browser; one that does nothing where there is no cache storage. */
export function makeSecondCopy(storage: CacheStorage | undefined = globalThis.caches): SecondCopy {
  const open = async (): Promise<Cache | null> => (storage ? storage.open(cacheName).catch(() => null) : null);
  const addressOf = (id: string, events: readonly NotebookEvent[]): string => {
    const [first, last] = [events[0]?.seq ?? 0, events.at(-1)?.seq ?? 0];
    return new URL(`second-copy/${encodeURIComponent(id)}/${schemaVersion}/${first}/${last}`, document.baseURI).href;
  };
  const piecesOf = async (cache: Cache): Promise<Piece[]> =>
    (await cache.keys()).flatMap((request) => {
      const [, id = '', schema, first, last] = /\/second-copy\/([^/]+)\/(\d+)\/(\d+)\/(\d+)$/.exec(request.url) ?? [];
      return id === ''
        ? []
        : [{ id: decodeURIComponent(id), schema: Number(schema), first: Number(first), last: Number(last), request }];
    });
  const put = (cache: Cache, id: string, events: readonly NotebookEvent[]): Promise<void> =>
    cache.put(addressOf(id, events), new Response(JSON.stringify(events)));

  return {
    async note(id, events) {
      const cache = await open();
      if (cache && events.length > 0) await put(cache, id, events);
    },
    async tidy(id, events) {
      const cache = await open();
      if (!cache || events.length === 0) return;
      const pieces = (await piecesOf(cache)).filter((piece) => piece.id === id);
      const whole =
        pieces.length < manyPieces &&
        pieces.every(({ schema }) => schema === schemaVersion) &&
        coveredTo(pieces) === events.at(-1)?.seq;
      if (whole) return;
      await put(cache, id, events);
      const kept = addressOf(id, events);
      for (const { request } of pieces) if (request.url !== kept) await cache.delete(request);
    },
    async forget(id) {
      const cache = await open();
      if (!cache) return;
      for (const piece of await piecesOf(cache)) if (piece.id === id) await cache.delete(piece.request);
    },
    async notebooks() {
      const cache = await open();
      if (!cache) return [];
      const pieces = await piecesOf(cache);
      const found: Notebook[] = [];
      for (const id of new Set(pieces.map((piece) => piece.id))) {
        const notebook = await together(
          cache,
          id,
          pieces.filter((piece) => piece.id === id),
        );
        if (notebook) found.push(notebook);
      }
      return found;
    },
  };
}

/** In the order of their beginnings; of those that begin alike the longest first. */
const inOrder = (pieces: readonly Piece[]): Piece[] => [...pieces].sort((a, b) => a.first - b.first || b.last - a.last);

/** Number of the last event up to which there is no gap. */
function coveredTo(pieces: readonly Piece[]): number {
  let to = 0;
  for (const { first, last } of inOrder(pieces)) if (first <= to + 1) to = Math.max(to, last);
  return to;
}

async function together(cache: Cache, id: string, pieces: readonly Piece[]): Promise<Notebook | null> {
  const events: unknown[] = [];
  const { schema } = inOrder(pieces)[0] ?? {};
  for (const piece of inOrder(pieces)) {
    if (piece.schema !== schema || piece.first > events.length + 1) break;
    if (piece.last <= events.length) continue;
    const kept: unknown = await (await cache.match(piece.request))?.json().catch(() => null);
    if (!Array.isArray(kept)) break;
    // One by one: a call with 150,000 arguments overflows the stack.
    for (const event of kept.slice(events.length + 1 - piece.first)) events.push(event);
  }
  const read = notebookFromRaw({ format: 'meniscall-notebook', schema, id, events });
  return read.ok ? read.value : null;
}

/**
 * A store that keeps the second copy beside it and, when it is found empty, is filled again from it.
 * @param onRestored told how many notebooks came back
 */
export function withSecondCopy(
  store: NotebookStore,
  copy: SecondCopy,
  onRestored: (notebooks: number) => void,
): NotebookStore {
  const beside = (work: Promise<void>): void => {
    work.catch(() => {
      // The first copy stands; the second is made whole when the notebook is opened again.
    });
  };
  const restore = async (): Promise<number> => {
    let restored = 0;
    for (const { id, events } of await copy.notebooks()) {
      await store.append(id, events);
      restored++;
    }
    return restored;
  };
  return {
    ...store,
    async list() {
      const found = await store.list();
      if (found.length > 0) return found;
      const restored = await restore().catch(() => 0);
      if (restored === 0) return found;
      onRestored(restored);
      return store.list();
    },
    async load(id) {
      const loaded = await store.load(id);
      if (loaded.damaged.length === 0) beside(copy.tidy(id, loaded.events));
      return loaded;
    },
    async append(id, events, after) {
      await store.append(id, events, after);
      beside(copy.note(id, events));
    },
    async graft(id, after, events) {
      await store.graft(id, after, events);
      beside(
        copy.forget(id).then(async () => {
          const { events: all } = await store.load(id);
          await copy.tidy(id, all);
        }),
      );
    },
    async remove(id) {
      // First: what is deleted must not come back.
      await copy.forget(id).catch(() => {});
      await store.remove(id);
    },
  };
}
