import { type Accessor, createSignal, onCleanup } from 'solid-js';
import type { ChainResult, ChainTask } from '../../analysis/uncertainty.ts';
import type { FromWorker, ToWorker } from '../../analysis/uncertainty.worker.ts';
import { ratesTexts as t } from './texts.ts';

export type DrawsState =
  | { readonly kind: 'idle' }
  | { readonly kind: 'running'; readonly share: number; readonly draws: number }
  | { readonly kind: 'cancelled' }
  | { readonly kind: 'failed'; readonly sentence: string }
  | { readonly kind: 'done'; readonly result: ChainResult };

/** The Monte Carlo worker as the screen drives it. It lives only while it draws; cancelling ends it at once. */
export function createDraws(): {
  readonly state: Accessor<DrawsState>;
  start(task: ChainTask): void;
  cancel(): void;
  /** Forgets a result that no longer belongs to the readings, and stops what draws from them. */
  forget(): void;
} {
  const [state, setState] = createSignal<DrawsState>({ kind: 'idle' });
  let worker: Worker | null = null;
  const end = (next: DrawsState): void => {
    worker?.terminate();
    worker = null;
    setState(next);
  };
  onCleanup(() => worker?.terminate());
  return {
    state,
    start(task) {
      end({ kind: 'running', share: 0, draws: task.draws });
      worker = new Worker(new URL('../../analysis/uncertainty.worker.ts', import.meta.url), { type: 'module' });
      worker.addEventListener('message', ({ data }: MessageEvent<FromWorker>) => {
        if (data.kind === 'progress') setState({ kind: 'running', share: data.share, draws: task.draws });
        else if (data.kind === 'result') end({ kind: 'done', result: data.result });
        else end({ kind: 'failed', sentence: t().drawStopped(data.why) });
      });
      worker.addEventListener('error', () => end({ kind: 'failed', sentence: t().drawFailed }));
      worker.postMessage({ kind: 'start', task } satisfies ToWorker);
    },
    cancel: () => end({ kind: 'cancelled' }),
    forget: () => {
      if (state().kind !== 'idle') end({ kind: 'idle' });
    },
  };
}
