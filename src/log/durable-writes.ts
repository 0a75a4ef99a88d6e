import type { NotebookEvent } from './event.ts';
import { NotebookDeleted, type NotebookStore, StorageEmptied } from './store.ts';

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

/** Stores the events of one notebook in order, one batch after the other. */
export interface DurableWrites {
  /** Resolves when these and all events before them are on disk; rejects with `NotStored`, and tries again next time. */
  write(added: readonly NotebookEvent[]): Promise<void>;
  /** Events that are only in memory. */
  unsaved(): number;
  /** Why they are; null when all are stored. */
  why(): WhyNotStored | null;
}

/** What the writes need to know of the notebook. */
export interface WritesOf {
  readonly id: string;
  readonly store: NotebookStore;
  /** Every event there is, those on their way to the disk included. */
  readonly all: readonly NotebookEvent[];
  /** Number of the last event known to be on disk. */
  readonly storedTo: number;
  /** Events that the notebook brings along and that no storage has. */
  readonly notStored: readonly NotebookEvent[];
  /** Storage that had been given up answered after all. */
  readonly onLate: () => void;
  /** The browser had cleared the storage, and everything was written again from memory. */
  readonly onRewritten: () => void;
}

export function makeDurableWrites({
  id,
  store,
  all,
  storedTo,
  notStored,
  onLate,
  onRewritten,
}: WritesOf): DurableWrites {
  let onDisk = storedTo;
  let unsaved = notStored;
  let why: WhyNotStored | null = null;
  /** A write is under way that nobody waits for any more; another would collide with it. */
  let stuck = false;
  let queue: Promise<void> = Promise.resolve();

  /** Stores a batch; all of the log where the browser has cleared what was stored. */
  const put = async (batch: readonly NotebookEvent[]): Promise<void> => {
    try {
      await store.append(id, batch, onDisk);
    } catch (error) {
      if (!(error instanceof StorageEmptied)) throw error;
      const last = batch.at(-1)?.seq ?? 0;
      await store.append(
        id,
        all.filter((event) => event.seq <= last),
      );
      onRewritten();
    }
  };

  const landed = (batch: readonly NotebookEvent[]): void => {
    onDisk = batch.at(-1)?.seq ?? onDisk;
    unsaved = unsaved.filter((event) => event.seq > onDisk);
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
            onLate();
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

  /** What failed before goes first. */
  const attempt = async (added: readonly NotebookEvent[]): Promise<void> => {
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
  };

  return {
    write(added) {
      const mine = queue.then(() => attempt(added));
      queue = mine.catch(() => {});
      return mine;
    },
    unsaved: () => unsaved.length,
    why: () => why,
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
