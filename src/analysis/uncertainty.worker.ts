import { type ChainResult, type ChainTask, propagateByDraws } from './uncertainty.ts';

/** What the page says to the worker and what it answers; one task at a time. */
export type ToWorker = { readonly kind: 'start'; readonly task: ChainTask } | { readonly kind: 'cancel' };
export type FromWorker =
  | { readonly kind: 'progress'; readonly share: number }
  | { readonly kind: 'result'; readonly result: ChainResult }
  | { readonly kind: 'failed'; readonly why: string };

let running: AbortController | null = null;

self.addEventListener('message', (event: MessageEvent<ToWorker>) => {
  if (event.data.kind === 'cancel') {
    running?.abort();
    return;
  }
  running?.abort();
  const controller = new AbortController();
  running = controller;
  const say = (message: FromWorker): void => {
    if (running === controller) self.postMessage(message);
  };
  propagateByDraws(event.data.task, (share) => say({ kind: 'progress', share }), controller.signal).then(
    (result) => say({ kind: 'result', result }),
    (error: unknown) => {
      if (controller.signal.aborted) return;
      say({ kind: 'failed', why: error instanceof Error ? error.message : 'unknown' });
    },
  );
});
