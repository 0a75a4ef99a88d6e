import { z } from 'zod/mini';
import { type Differences, type Reconciled, reconcile } from './reconcile.ts';
import { makeSecondCopy } from './second-copy.ts';
import { makeNotebookStore } from './store.ts';

/** What the worker is asked for. `base`: address of the app. */
export interface ReconcileOrder {
  readonly base: string;
  readonly found: Differences;
}

// As in main.tsx: nothing is compiled from text here.
z.config({ jitless: true });

addEventListener('message', async ({ data: { base, found } }: MessageEvent<ReconcileOrder>) => {
  postMessage(
    (await reconcile(makeNotebookStore(), makeSecondCopy(globalThis.caches, base), found)) satisfies Reconciled,
  );
});
