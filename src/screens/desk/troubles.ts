import { type Accessor, createSignal } from 'solid-js';
import { NewerDatabase } from '../../log/database.ts';
import { NotStored } from '../../log/durable-writes.ts';
import { NewerNotebook } from '../../log/migrate.ts';
import { NotebookDeleted } from '../../log/store.ts';
import { deskTexts } from '../desk-texts.ts';
import { patienceMs } from '../patience.ts';
import type { Late } from '../rescue.ts';
import { textsOf } from '../texts.ts';

/** The one sentence about trouble that the screen shows, and what the page waits for. */
export interface Troubles {
  readonly problem: Accessor<string | null>;
  /** Shows a sentence; null takes it away. */
  readonly say: (sentence: string | null) => void;
  /** Runs something that touches storage; a failure becomes a sentence on the screen. */
  guarded<T>(work: () => Promise<T>): Promise<T | null>;
  /** What the browser has not returned for eight seconds; null otherwise. */
  readonly late: Accessor<Late | null>;
  /** Says what is being waited for once that takes long. */
  watched<T>(what: Late, work: () => Promise<T>): Promise<T>;
  /** Nobody waits any longer. */
  stopWaiting(): void;
}

export function makeTroubles(): Troubles {
  const [problem, say] = createSignal<string | null>(null);
  const [late, setLate] = createSignal<Late | null>(null);
  const sentences = textsOf(deskTexts);
  return {
    problem,
    say,
    async guarded(work) {
      try {
        return await work();
      } catch (error) {
        const t = sentences();
        // Entries that were not stored stand in `unsaved`, with ways out, for as long as that is so.
        if (error instanceof NewerNotebook) say(t.newerNotebook);
        else if (error instanceof NewerDatabase) say(t.newerDatabase);
        else if (error instanceof NotebookDeleted) say(t.deletedElsewhere);
        else if (!(error instanceof NotStored)) say(t.nothingKept);
        return null;
      }
    },
    late,
    async watched(what, work) {
      const timer = setTimeout(() => setLate(what), patienceMs);
      try {
        return await work();
      } finally {
        clearTimeout(timer);
        if (late() === what) setLate(null);
      }
    },
    stopWaiting: () => setLate(null),
  };
}
