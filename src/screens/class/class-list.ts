import { createSignal } from 'solid-js';
import type { ClassEntry } from '../../class/class-entry.ts';
import { addEntries } from '../../class/class-import.ts';
import type { ClassSource, ImportOrder, ImportResult } from './import.worker.ts';

/** What can be brought: files, or notebooks of this device by their ids. */
export type Brought =
  | { readonly kind: 'files'; readonly files: readonly { readonly name: string; readonly blob: Blob }[] }
  | { readonly kind: 'device'; readonly ids: readonly string[] };

export interface Skipped {
  readonly name: string;
  readonly sentence: string;
}

/**
 * The groups of the class, and the import that brings more. Kept for as long as the page is open, whatever screen is
 * shown; nothing of it is stored.
 */
const [entries, setEntries] = createSignal<readonly ClassEntry[]>([]);
const [skipped, setSkipped] = createSignal<readonly Skipped[]>([]);
const [progress, setProgress] = createSignal<{ done: number; total: number } | null>(null);
/** How many of the last import were in the class already. */
const [again, setAgain] = createSignal(0);
/** What files came to, by the sum of their content: the same folder with three more files costs three. */
const known = new Map<string, readonly ClassEntry[]>();
let workers: readonly Worker[] = [];
/** Shows what came so far, when an import is stopped. */
let show = (): void => {};

export const classList = { entries, skipped, progress, again, bring, cancel, clear };

/** Fewer files than this are not worth the start of another worker. */
const worthAWorker = 20;
const mostWorkers = 8;

function bring(order: Brought): void {
  cancel();
  const sources: ClassSource[] =
    order.kind === 'files'
      ? order.files.map(({ name, blob }, index) => ({ index, kind: 'file', name, blob }))
      : order.ids.map((id, index) => ({ index, kind: 'device', id }));
  const total = sources.length;
  if (total === 0) return;
  const before = entries();
  const results: ImportResult[] = [];
  let done = 0;
  let shownAt = performance.now();
  let showMs = 0;
  setProgress({ done, total });
  setSkipped([]);
  setAgain(0);
  const count = Math.max(1, Math.min(navigator.hardwareConcurrency || 1, Math.ceil(total / worthAWorker), mostWorkers));
  const own = Array.from(
    { length: count },
    () => new Worker(new URL('./import.worker.ts', import.meta.url), { type: 'module' }),
  );
  workers = own;
  show = () => {
    // In the order in which they were brought, whoever read them first.
    const arrived = results.flatMap((result) =>
      result.kind === 'read' ? result.entries : result.kind === 'known' ? (known.get(result.sum ?? '') ?? []) : [],
    );
    const together = addEntries(before, arrived);
    setAgain(before.length + arrived.length - together.length);
    setSkipped(results.flatMap((result) => (result.kind === 'refused' ? [result] : [])));
    setEntries(together);
  };
  const take = ({ data }: MessageEvent<readonly ImportResult[]>): void => {
    if (workers !== own) return;
    for (const result of data) {
      results[result.index] = result;
      if (result.kind === 'read' && result.sum !== null) known.set(result.sum, result.entries);
    }
    done += data.length;
    if (done === total) {
      cancel();
      return;
    }
    setProgress({ done, total });
    // Drawing a thousand groups takes its time: a tenth of the import's at most.
    const now = performance.now();
    if (now - shownAt < 10 * showMs) return;
    show();
    shownAt = performance.now();
    showMs = shownAt - now;
  };
  const fail = (): void => {
    if (workers !== own) return;
    cancel();
    const sentence = 'It stopped: this browser may have too little memory.';
    setSkipped([...skipped(), { name: 'the import', sentence }]);
  };
  for (const [i, worker] of own.entries()) {
    worker.onmessage = take;
    worker.onerror = fail;
    const share = sources.filter(({ index }) => index % count === i);
    worker.postMessage({ sources: share, known: new Set(known.keys()) } satisfies ImportOrder);
  }
}

/** Stops an import; what came so far stays. */
function cancel(): void {
  for (const worker of workers) worker.terminate();
  workers = [];
  show();
  show = () => {};
  setProgress(null);
}

function clear(): void {
  show = () => {};
  cancel();
  known.clear();
  setEntries([]);
  setSkipped([]);
  setAgain(0);
}
