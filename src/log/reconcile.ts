import { canonicalJson } from './checksum.ts';
import type { SecondCopy } from './second-copy.ts';
import { NotebookDeleted, type NotebookStore } from './store.ts';
import { isWhole } from './with-second-copy.ts';

/**
 * What the database and the second copy disagree about, notebook by notebook. The database is right wherever it knows
 * a notebook, alive or deleted; the copy is asked only where the database has lost something.
 */
export interface Differences {
  /** Notebooks of which the copy has more than the database. */
  readonly restore: readonly string[];
  /** Notebooks of which the copy has less. */
  readonly copy: readonly string[];
  /** Deleted notebooks of which something is left in the copy. */
  readonly purge: readonly string[];
}

/** What came of it, in notebooks. */
export interface Reconciled {
  readonly restored: number;
  /** Copies that could not be read. */
  readonly unreadable: number;
  /** Copies that could not be written. */
  readonly unwritten: number;
}

/** Compares the two by their keys alone: some milliseconds, however much there is. */
export async function differencesOf(store: NotebookStore, copy: SecondCopy): Promise<Differences> {
  const [listed, deleted, held] = await Promise.all([store.list(), store.deleted(), copy.held()]);
  const restore: string[] = [];
  const purge: string[] = [];
  const here = new Map(listed.map(({ id, events }) => [id, events]));
  for (const [id, copied] of held) {
    const events = here.get(id) ?? 0;
    if (deleted.has(id) || (copied.deleted && events === 0)) {
      if (copied.pieces > 0 || !copied.deleted) purge.push(id);
    } else if (copied.to > events || (events === 0 && copied.pieces > 0)) restore.push(id);
  }
  for (const id of deleted) if (!held.has(id)) purge.push(id);
  const copies = (await copy.kept())
    ? listed.filter(({ id, events }) => (held.get(id)?.to ?? 0) < events || held.get(id)?.deleted)
    : [];
  return { restore, purge, copy: copies.map(({ id }) => id) };
}

/**
 * Makes the two agree. A notebook is brought back, and copied, in pieces; what a kill cuts short is a difference again
 * at the next start and goes on where it stopped.
 */
export async function reconcile(store: NotebookStore, copy: SecondCopy, found: Differences): Promise<Reconciled> {
  let restored = 0;
  let unreadable = 0;
  let unwritten = 0;
  for (const id of found.restore) {
    const outcome = await bringBack(id, store, copy).catch(() => 'unreadable' as const);
    if (outcome === 'restored') restored++;
    else if (outcome === 'unreadable') unreadable++;
  }
  for (const id of found.purge) {
    await copy.forget(id).catch(() => {});
    // Sounds that a kill in the middle of a deletion left behind.
    await store.deleteClips(id).catch(() => {});
  }
  for (const id of found.copy) {
    const loaded = await store.load(id).catch(() => null);
    // A notebook that does not open here is shown as such where it is listed.
    if (!loaded || !isWhole(loaded)) continue;
    await copy
      .welcome(id)
      .then(() => copy.complete(id, loaded.events))
      .catch(() => unwritten++);
  }
  return { restored, unreadable, unwritten };
}

/** Events of one transaction: a kill loses at most the work on these. */
const eventsAtOnce = 4000;

async function bringBack(
  id: string,
  store: NotebookStore,
  copy: SecondCopy,
): Promise<'restored' | 'unreadable' | 'kept'> {
  const [kept, here] = await Promise.all([copy.notebook(id), store.load(id)]);
  if (!kept) return here.events.length > 0 ? 'kept' : 'unreadable';
  if (here.events.length > 0 && !isWhole(here)) return 'kept';
  const last = here.events.at(-1);
  if (last && canonicalJson(kept.events[last.seq - 1]) !== canonicalJson(last)) {
    // Another log under the same id: the database is right.
    await copy.complete(id, here.events, true);
    return 'kept';
  }
  try {
    for (let from = here.events.length; from < kept.events.length; from += eventsAtOnce)
      await store.append(id, kept.events.slice(from, from + eventsAtOnce), from);
  } catch (error) {
    // Deleted meanwhile, or another window is bringing it back.
    if (error instanceof NotebookDeleted || (error instanceof DOMException && error.name === 'ConstraintError'))
      return 'kept';
    throw error;
  }
  return kept.events.length > here.events.length ? 'restored' : 'kept';
}
