import { type NotebookEvent, schemaVersion } from './event.ts';
import { notebookFromRaw } from './file.ts';
import type { Notebook } from './state.ts';

/**
 * A second copy of every notebook, in the browser's cache storage, which lies in files of its own. A browser that finds
 * its database damaged deletes it and tells nobody. Chromium does so after a kill between the head and the body of an
 * entry of its log: the next session writes on behind the stump, the one after that finds a log that does not add up
 * (seen twice in its files, after some hundreds of kills, half of them in the middle of a write). The copy is written
 * after the first one and nobody waits for it. `reconcile.ts` compares the two at every start. Sounds are not in it.
 */
export interface SecondCopy {
  /** False where the browser has no cache storage for this page: then there is no second copy. */
  kept(): Promise<boolean>;
  /** Adds events that are stored. */
  note(id: string, events: readonly NotebookEvent[]): Promise<void>;
  /**
   * Writes what the copy lacks of a whole log, piece by piece, so that a write cut short goes on where it stopped. Puts
   * many small pieces together. `rewrite`: whatever is there is of another log.
   */
  complete(id: string, events: readonly NotebookEvent[], rewrite?: boolean): Promise<void>;
  /** Deletes the copy: what it has is about to become untrue. */
  drop(id: string): Promise<void>;
  /** Deletes the copy and leaves a tombstone, so that nothing brings it back. */
  forget(id: string): Promise<void>;
  /** Takes the tombstone away: a person opened the file of a deleted notebook. */
  welcome(id: string): Promise<void>;
  /** What the copy has of each notebook, told without reading any of it. */
  held(): Promise<ReadonlyMap<string, Held>>;
  /** A notebook out of the copy, of one with a gap what comes before it; null for none and for one that cannot be read. */
  notebook(id: string): Promise<Notebook | null>;
}

export interface Held {
  /** Number of the last event up to which there is no gap; 0 for pieces of another schema. */
  readonly to: number;
  readonly pieces: number;
  readonly deleted: boolean;
}

/** Not of the names that the service worker clears away. */
const cacheName = 'second-copy-of-notebooks';
/** So many pieces of a notebook are put together when it is opened. */
const manyPieces = 200;
/** Events of one piece of a whole log: some 10 ms of work each, so that nothing else waits. */
const eventsOfAPiece = 4000;

interface Piece {
  readonly id: string;
  readonly schema: number;
  readonly first: number;
  readonly last: number;
  readonly request: Request;
}

/**
 * The copy of this browser; one that does nothing where there is no cache storage.
 * @param base address of the app
 */
export function makeSecondCopy(
  storage: CacheStorage | undefined = globalThis.caches,
  base: string = globalThis.document?.baseURI ?? globalThis.location?.href,
): SecondCopy {
  const open = async (): Promise<Cache | null> => (storage ? storage.open(cacheName).catch(() => null) : null);
  const addressOf = (id: string, rest: string): string =>
    new URL(`second-copy/${encodeURIComponent(id)}/${rest}`, base).href;
  const found = async (cache: Cache): Promise<{ pieces: Piece[]; tombstones: Set<string> }> => {
    const pieces: Piece[] = [];
    const tombstones = new Set<string>();
    for (const request of await cache.keys()) {
      const [, id = '', deleted, schema, first, last] =
        /\/second-copy\/([^/]+)\/(?:(deleted)|(\d+)\/(\d+)\/(\d+))$/.exec(request.url) ?? [];
      if (id === '') continue;
      if (deleted) tombstones.add(decodeURIComponent(id));
      else
        pieces.push({
          id: decodeURIComponent(id),
          schema: Number(schema),
          first: Number(first),
          last: Number(last),
          request,
        });
    }
    return { pieces, tombstones };
  };
  const put = (cache: Cache, id: string, events: readonly NotebookEvent[]): Promise<void> => {
    const [first, last] = [events[0]?.seq ?? 0, events.at(-1)?.seq ?? 0];
    return cache.put(addressOf(id, `${schemaVersion}/${first}/${last}`), new Response(JSON.stringify(events)));
  };
  const piecesOf = async (cache: Cache, id: string): Promise<Piece[]> =>
    (await found(cache)).pieces.filter((piece) => piece.id === id);

  return {
    kept: async () => (await open()) !== null,
    async note(id, events) {
      const cache = await open();
      if (cache && events.length > 0) await put(cache, id, events);
    },
    async complete(id, events, rewrite = false) {
      const cache = await open();
      const end = events.at(-1)?.seq ?? 0;
      if (!cache || end === 0) return;
      const pieces = await piecesOf(cache, id);
      const own = rewrite ? [] : pieces.filter(({ schema }) => schema === schemaVersion);
      // Whole pieces stay; small ones are put together with what follows once there are many of them.
      const small = own.filter(({ first, last }) => last - first + 1 < eventsOfAPiece);
      const kept = small.length < manyPieces ? own : own.filter((piece) => !small.includes(piece));
      const written = new Set<string>(kept.map(({ request }) => request.url));
      for (let from = coveredTo(kept) + 1; from <= end; from += eventsOfAPiece) {
        const piece = events.slice(from - 1, from - 1 + eventsOfAPiece);
        await put(cache, id, piece);
        written.add(addressOf(id, `${schemaVersion}/${piece[0]?.seq}/${piece.at(-1)?.seq}`));
      }
      // Only now: a kill before this leaves more than is needed, never less. What was noted meanwhile was not listed.
      for (const { request } of pieces) if (!written.has(request.url)) await cache.delete(request);
    },
    async drop(id) {
      const cache = await open();
      if (cache) for (const { request } of await piecesOf(cache, id)) await cache.delete(request);
    },
    async forget(id) {
      const cache = await open();
      if (!cache) return;
      // The tombstone first: a kill in between must not leave pieces that come back.
      await cache.put(addressOf(id, 'deleted'), new Response(''));
      for (const { request } of await piecesOf(cache, id)) await cache.delete(request);
    },
    async welcome(id) {
      const cache = await open();
      await cache?.delete(new Request(addressOf(id, 'deleted')));
    },
    async held() {
      const cache = await open();
      const held = new Map<string, Held>();
      if (!cache) return held;
      const { pieces, tombstones } = await found(cache);
      const byId = new Map<string, Piece[]>([...tombstones].map((id) => [id, []]));
      for (const piece of pieces) {
        const own = byId.get(piece.id);
        if (own) own.push(piece);
        else byId.set(piece.id, [piece]);
      }
      for (const [id, own] of byId)
        held.set(id, {
          to: coveredTo(own.filter(({ schema }) => schema === schemaVersion)),
          pieces: own.length,
          deleted: tombstones.has(id),
        });
      return held;
    },
    async notebook(id) {
      const cache = await open();
      return cache && together(cache, id, await piecesOf(cache, id));
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
