import { browserClocks, type Clocks, makeClock, makeDriftWatch } from './clock.ts';
import type { EventBody, NotebookEvent } from './event.ts';
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
   * Adds events in one piece. Resolves with them once they are on disk. When storage fails the events are kept in
   * memory and shown all the same, `unsaved` counts them, every later `record` tries them again, and the promise
   * rejects with `NotStored` so that no cue claims more than is true.
   */
  record(...bodies: EventBody[]): Promise<readonly NotebookEvent[]>;
  /** Tries again to store what could not be stored. */
  retry(): Promise<void>;
  /** Events that are only in memory. */
  unsaved(): number;
  subscribe(listener: () => void): () => void;
}

export class NotStored extends Error {
  override readonly name = 'NotStored';
  constructor(
    /** What a person can do about it. */
    readonly sentence: string,
    cause: unknown,
  ) {
    super(sentence, { cause });
  }
}

export interface JournalOptions {
  readonly store: NotebookStore;
  readonly clocks?: Clocks;
  readonly app?: string;
}

/** Makes a new notebook and opens it. */
export async function createNotebook(title: string, options: JournalOptions): Promise<Journal> {
  const id = crypto.randomUUID();
  const journal = openJournal({ id, events: [], damaged: [] }, options);
  const seed = crypto.getRandomValues(new Uint32Array(1))[0] ?? 1;
  await journal.record(
    { kind: 'created', title, seed, invented: false, app: options.app ?? '' },
    { kind: 'opened', joined: 'first' },
  );
  return journal;
}

/** Opens a stored notebook and records that it was opened. */
export async function openNotebook(id: string, options: JournalOptions): Promise<Journal> {
  const loaded = await options.store.load(id);
  const last = loaded.events.at(-1);
  const journal = openJournal(loaded, options);
  if (last) {
    const { joined } = makeClock(last, options.clocks);
    await journal.record({ kind: 'opened', joined }).catch(() => {});
  }
  return journal;
}

/** Stores a notebook that came from a file, a link or the demo. Its events keep their times. */
export async function keepNotebook(notebook: Notebook, store: NotebookStore): Promise<void> {
  await store.append(notebook.id, notebook.events);
}

function openJournal(loaded: LoadedNotebook, options: JournalOptions): Journal {
  const { store, clocks = browserClocks } = options;
  const { id } = loaded;
  const log: NotebookEvent[] = [...loaded.events];
  const clock = makeClock(log.at(-1), clocks);
  const drift = makeDriftWatch(clocks);
  const fold = makeFold();
  fold.append(log);
  let state = fold.state();
  let seq = Math.max(log.at(-1)?.seq ?? 0, ...loaded.damaged.map((entry) => entry.seq));
  let lastMs = log.at(-1)?.atMs ?? 0;
  let unsaved: NotebookEvent[] = [];
  let queue: Promise<void> = Promise.resolve();
  const listeners = new Set<() => void>();
  const tell = (): void => {
    for (const listener of listeners) listener();
  };

  const stamp = (body: EventBody): NotebookEvent => {
    seq += 1;
    lastMs = Math.max(lastMs, Math.round(clock.now() * 10) / 10);
    return { id: `${id.slice(0, 8)}-${seq}`, seq, atMs: lastMs, wallMs: clocks.wallNow(), page: clock.page, body };
  };

  const show = (added: readonly NotebookEvent[]): void => {
    log.push(...added);
    fold.append(added);
    state = fold.state();
    tell();
  };

  /** Writes in order, one batch after the other; what failed before goes first. */
  const write = (added: readonly NotebookEvent[]): Promise<void> => {
    const attempt = queue.then(async () => {
      const batch = [...unsaved, ...added];
      if (batch.length === 0) return;
      try {
        await store.append(id, batch);
        unsaved = [];
      } catch (error) {
        unsaved = batch;
        throw new NotStored(whyNotStored(error), error);
      }
    });
    queue = attempt.catch(() => {});
    return attempt;
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
      const added = bodies.map(stamp);
      if (gapMs !== null) added.push(stamp({ kind: 'clock-doubted', gapMs: Math.round(gapMs) }));
      try {
        await write(added);
      } finally {
        show(added);
      }
      return added;
    },
    async retry() {
      try {
        await write([]);
      } finally {
        tell();
      }
    },
    unsaved: () => unsaved.length,
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

function whyNotStored(error: unknown): string {
  const name = error instanceof Error || error instanceof DOMException ? error.name : '';
  if (name === 'QuotaExceededError')
    return 'The device has no room left. Nothing is lost yet: save the notebook as a file now, then free some space.';
  if (name === 'ConstraintError')
    return 'This notebook was changed in another window. Save what is here as a file, then reload the page.';
  return 'The browser did not store the last entries. Nothing is lost yet: save the notebook as a file before you close this page.';
}
