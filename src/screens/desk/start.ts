import type { Differences } from '../../log/reconcile.ts';
import type { SecondCopy } from '../../log/second-copy.ts';
import type { NotebookStore } from '../../log/store.ts';
import { pageLanguage } from '../texts.ts';
import type { Troubles } from './troubles.ts';

/** What the beginning of the page does at the desk. */
export interface StartOptions {
  /** The database alone, without the second copy beside it. */
  readonly database: NotebookStore;
  readonly copy: SecondCopy;
  readonly troubles: Troubles;
  /** Reads the list of notebooks. */
  refresh(): Promise<void>;
  /** Opens the notebook that was open last, where nothing else is open yet. */
  openLast(): Promise<void>;
  /** The second copy of a notebook could not be written. */
  onUnwritten(): void;
}

/** So long the second copy may take until the page goes on without it, ms. By judgement. */
const copyPatienceMs = 3000;

/**
 * Opens the notebook that was open last, so that a reload in the middle of a run goes on, and makes the database and
 * its second copy agree: what the database lost comes back first, what the copy lacks is written last.
 */
export async function startDesk(options: StartOptions): Promise<void> {
  const { database, copy, troubles, refresh, openLast } = options;
  const comparing = import('../../log/reconcile.ts')
    .then(({ differencesOf }) => differencesOf(database, copy))
    .catch(() => null);
  const found = await troubles.watched({ id: null, title: '' }, async () => {
    await refresh();
    // Cache storage that does not answer must not keep the page waiting.
    const late = new Promise<null>((stop) => setTimeout(stop, copyPatienceMs, null));
    const differences = await Promise.race([comparing, late]);
    if (differences && differences.restore.length > 0) await agree({ ...differences, copy: [] }, options);
    return differences;
  });
  await openLast();
  if (found && found.copy.length > 0) await agree({ restore: [], purge: [], copy: found.copy }, options);
  else if (found && found.restore.length === 0 && found.purge.length > 0) await agree(found, options);
}

/** Makes the database and the second copy agree, in a worker; says what came of it. */
async function agree(found: Differences, options: StartOptions): Promise<void> {
  const { database, copy, troubles, refresh, onUnwritten } = options;
  const { reconcileBeside, reconcileTexts } = await import('../reconcile-beside.ts');
  const { restored, unreadable, unwritten } = await reconcileBeside(found, database, copy);
  const t = reconcileTexts[pageLanguage()];
  if (restored > 0) await troubles.guarded(refresh);
  if (unwritten > 0) onUnwritten();
  if (restored > 0) troubles.say(t.restored(restored));
  else if (unreadable > 0) troubles.say(t.unreadable(unreadable));
}
