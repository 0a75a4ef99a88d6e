import { browserClocks, type Clocks, makeClock, makeDriftWatch } from './clock.ts';
import type { EventBody, NotebookEvent } from './event.ts';
import { makeFold } from './reduce.ts';
import type { Notebook, NotebookState } from './state.ts';
import { type LoadedNotebook, NotebookDeleted, type NotebookStore, StorageEmptied } from './store.ts';

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
   * Adds events in one piece. Resolves with them (not with a doubt about the clock that goes before) once they are on disk. When storage fails the events are kept in
   * memory and shown all the same, `unsaved` counts them, every later `record` tries them again, and the promise
   * rejects with `NotStored` so that no cue claims more than is true.
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

/**
 * Why entries are only in memory: storage does not answer, has no room, was written to by another window, the notebook
 * was deleted in another window, or the browser refuses for another reason. `screens/desk-texts.ts` has the sentences.
 */
export type WhyNotStored = 'no-answer' | 'full' | 'other-window' | 'deleted' | 'refused';

export class NotStored extends Error {
  override readonly name = 'NotStored';
  constructor(
    readonly why: WhyNotStored,
    cause: unknown,
  ) {
    super(`not stored: ${why}`, { cause });
  }
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
  const id = crypto.randomUUID();
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
  for (const entry of loaded.damaged) seq = Math.max(seq, entry.seq);
  let lastMs = log.at(-1)?.atMs ?? 0;
  let unsaved: readonly NotebookEvent[] = notStored;
  let why: WhyNotStored | null = null;
  /** Every event there is, those on their way to the disk included. */
  const all: NotebookEvent[] = [...log];
  /** Number of the last event known to be on disk. */
  let storedTo = notStored.length > 0 ? 0 : seq;
  /** A write is under way that nobody waits for any more; another would collide with it. */
  let stuck = false;
  let queue: Promise<void> = Promise.resolve();
  const listeners = new Set<() => void>();
  const tell = (): void => {
    for (const listener of listeners) listener();
  };

  const stamp = (body: EventBody): NotebookEvent => {
    seq += 1;
    lastMs = Math.max(lastMs, Math.round(clock.now() * 10) / 10);
    const event = {
      id: `${id.slice(0, 8)}-${seq}`,
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

  /** Stores a batch; all of the log where the browser has cleared what was stored. */
  const put = async (batch: readonly NotebookEvent[]): Promise<void> => {
    try {
      await store.append(id, batch, storedTo);
    } catch (error) {
      if (!(error instanceof StorageEmptied)) throw error;
      const last = batch.at(-1)?.seq ?? 0;
      await store.append(
        id,
        all.filter((event) => event.seq <= last),
      );
      options.onRewritten?.();
    }
  };

  const landed = (batch: readonly NotebookEvent[]): void => {
    storedTo = batch.at(-1)?.seq ?? storedTo;
    unsaved = unsaved.filter((event) => event.seq > storedTo);
    if (unsaved.length === 0) why = null;
  };

  /** Waits for storage no longer than is fair to who waits for a cue. What comes later is welcome all the same. */
  const inTime = async (work: Promise<void>, late: () => void): Promise<void> => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const tooLong = new Promise<never>((_, reject) => {
      timer = setTimeout(() => {
        stuck = true;
        work
          .then(late, () => {})
          .finally(() => {
            stuck = false;
            tell();
          });
        reject(new NoAnswer());
      }, answerMs);
    });
    try {
      await Promise.race([work, tooLong]);
    } finally {
      clearTimeout(timer);
    }
  };

  /** Writes in order, one batch after the other; what failed before goes first. */
  const write = (added: readonly NotebookEvent[]): Promise<void> => {
    const attempt = queue.then(async () => {
      const batch = [...unsaved, ...added];
      if (batch.length === 0) return;
      try {
        if (stuck) throw new NoAnswer();
        await inTime(put(batch), () => landed(batch));
        landed(batch);
      } catch (error) {
        unsaved = batch;
        why = whyNotStored(error);
        throw new NotStored(why, error);
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
      // First: the clocks agreed at the event before, so what is recorded now came after the gap.
      const doubted = gapMs === null ? [] : [stamp({ kind: 'clock-doubted', gapMs: Math.round(gapMs) })];
      const added = bodies.map(stamp);
      try {
        await write([...doubted, ...added]);
      } finally {
        show([...doubted, ...added]);
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
    whyUnsaved: () => why,
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

/** Storage that has not answered for so long is not waited for, ms. */
const answerMs = 10_000;

class NoAnswer extends Error {
  override readonly name = 'NoAnswer';
}

function whyNotStored(error: unknown): WhyNotStored {
  if (error instanceof NoAnswer) return 'no-answer';
  if (error instanceof NotebookDeleted) return 'deleted';
  const name = error instanceof Error || error instanceof DOMException ? error.name : '';
  if (name === 'QuotaExceededError') return 'full';
  return name === 'ConstraintError' ? 'other-window' : 'refused';
}
