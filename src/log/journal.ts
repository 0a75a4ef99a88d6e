import { browserClocks, type Clocks, makeClock, makeDriftWatch } from './clock.ts';
import { makeDurableWrites, NotStored, type WhyNotStored } from './durable-writes.ts';
import type { EventBody, NotebookEvent } from './event.ts';
import { newId } from './new-id.ts';
import { makeFold } from './reduce.ts';
import type { Notebook, NotebookState } from './state.ts';
import type { LoadedNotebook, NotebookStore } from './store.ts';

/**
 * One open notebook: its events, the state they amount to, and the one way to add to it. `record` numbers and
 * stamps events at once, in order of call, and resolves when they are durable.
 */
export interface Journal {
  readonly id: string;
  readonly damaged: LoadedNotebook['damaged'];
  state(): NotebookState;
  events(): readonly NotebookEvent[];
  /** Notebook time of a page time, ms. */
  timeOf(pageMs: number): number;
  now(): number;
  /**
   * Adds events in one piece. Resolves with them (without a doubt about the clock that is recorded before them) once they
   * are on disk. When storage fails the events stay in memory and are shown all the same, `unsaved` counts them, every
   * later `record` tries them again, and the promise rejects with `NotStored` so that no cue claims more than is true.
   */
  record(...bodies: EventBody[]): Promise<readonly NotebookEvent[]>;
  /** Tries again to store what could not be stored. */
  retry(): Promise<void>;
  /** Events that are only in memory. */
  unsaved(): number;
  /** Why they are; null when all are stored. */
  whyUnsaved(): WhyNotStored | null;
  subscribe(listener: () => void): () => void;
}

export interface JournalOptions {
  readonly store: NotebookStore;
  readonly clocks?: Clocks;
  readonly app?: string;
  /** The browser cleared the storage under the open notebook; its entries were written again from memory. */
  readonly onRewritten?: () => void;
}

/** Makes a new notebook and opens it; in memory only where the browser stores nothing (see `unsaved`). */
export async function createNotebook(title: string, options: JournalOptions): Promise<Journal> {
  const id = newId();
  const journal = await openJournal({ id, events: [], damaged: [] }, options);
  const seed = crypto.getRandomValues(new Uint32Array(1))[0] ?? 1;
  await journal
    .record(
      { kind: 'created', title, seed, invented: false, app: options.app ?? '' },
      { kind: 'opened', joined: 'first' },
    )
    .catch(unlessNotStored);
  return journal;
}

/** Opens a stored notebook and records that it was opened. */
export async function openNotebook(id: string, options: JournalOptions): Promise<Journal> {
  const loaded = await options.store.load(id);
  const last = loaded.events.at(-1);
  const journal = await openJournal(loaded, options);
  if (last) {
    const { joined } = makeClock(last, options.clocks);
    await journal.record({ kind: 'opened', joined }).catch(unlessNotStored);
  }
  return journal;
}

/** Opens a notebook from outside that the browser would not store: it is in memory, to look at and to save as a file. */
export async function openUnstored(notebook: Notebook, options: JournalOptions): Promise<Journal> {
  const journal = await openJournal({ ...notebook, damaged: [] }, options, notebook.events);
  await journal.retry().catch(unlessNotStored);
  return journal;
}

/** What is not stored is in memory, counted and said: no reason not to open. */
function unlessNotStored(error: unknown): void {
  if (!(error instanceof NotStored)) throw error;
}

/**
 * What ids of new events begin with. Events that were numbered anew, after a damaged one was taken out, keep their ids, and
 * a file may bring any: where an id numbers further than its event, the next ones get a letter more.
 */
function freePrefix(id: string, events: readonly NotebookEvent[]): string {
  let prefix = id.slice(0, 8);
  const isTaken = (event: NotebookEvent): boolean =>
    event.id.startsWith(`${prefix}-`) && Number(event.id.slice(prefix.length + 1)) > event.seq;
  while (events.some(isTaken)) prefix += 'x';
  return prefix;
}

async function openJournal(
  loaded: LoadedNotebook,
  options: JournalOptions,
  notStored: readonly NotebookEvent[] = [],
): Promise<Journal> {
  const { store, clocks = browserClocks } = options;
  const { id } = loaded;
  const log: NotebookEvent[] = [...loaded.events];
  const clock = makeClock(log.at(-1), clocks);
  const drift = makeDriftWatch(clocks);
  const fold = makeFold();
  await fold.appendSlowly(log);
  let state = fold.state();
  let seq = log.at(-1)?.seq ?? 0;
  const prefix = freePrefix(id, log);
  for (const entry of loaded.damaged) seq = Math.max(seq, entry.seq);
  let lastMs = log.at(-1)?.atMs ?? 0;
  /** Every event there is, those on their way to the disk included. */
  const all: NotebookEvent[] = [...log];
  const listeners = new Set<() => void>();
  const tell = (): void => {
    for (const listener of listeners) listener();
  };
  const writes = makeDurableWrites({
    id,
    store,
    all,
    storedTo: notStored.length > 0 ? 0 : seq,
    notStored,
    onLate: tell,
    onRewritten: () => options.onRewritten?.(),
  });

  const stamp = (body: EventBody): NotebookEvent => {
    seq += 1;
    lastMs = Math.max(lastMs, Math.round(clock.now() * 10) / 10);
    const event = {
      id: `${prefix}-${seq}`,
      seq,
      atMs: lastMs,
      wallMs: clocks.wallNow(),
      page: clock.page,
      body,
    };
    all.push(event);
    return event;
  };

  const show = (added: readonly NotebookEvent[]): void => {
    for (const event of added) log.push(event);
    fold.append(added);
    state = fold.state();
    tell();
  };

  return {
    id,
    damaged: loaded.damaged,
    state: () => state,
    events: () => log,
    timeOf: (pageMs) => Math.round(clock.of(pageMs) * 10) / 10,
    now: () => Math.max(lastMs, Math.round(clock.now() * 10) / 10),
    async record(...bodies) {
      const gapMs = drift();
      // First: the clocks agreed at the event before, so what is recorded now came after the gap.
      const doubted = gapMs === null ? [] : [stamp({ kind: 'clock-doubted', gapMs: Math.round(gapMs) })];
      const added = bodies.map(stamp);
      try {
        await writes.write([...doubted, ...added]);
      } finally {
        show([...doubted, ...added]);
      }
      return added;
    },
    async retry() {
      try {
        await writes.write([]);
      } finally {
        tell();
      }
    },
    unsaved: writes.unsaved,
    whyUnsaved: writes.why,
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}
