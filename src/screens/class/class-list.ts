import { createSignal } from 'solid-js';
import type { ClassEntry } from '../../share/class-entry.ts';
import { addEntries } from '../../share/class-import.ts';
import type { ImportNews, ImportOrder } from './import.worker.ts';

/**
 * The groups of the class, and the import that brings more. Kept for as long as the page is open, whatever screen is
 * shown; nothing of it is stored.
 */
const [entries, setEntries] = createSignal<readonly ClassEntry[]>([]);
const [skipped, setSkipped] = createSignal<ImportNews['skipped']>([]);
const [progress, setProgress] = createSignal<{ done: number; total: number } | null>(null);
let worker: Worker | null = null;

export const classList = { entries, skipped, progress, bring, cancel, clear };

function bring(order: ImportOrder): void {
  cancel();
  const total = order.kind === 'files' ? order.files.length : order.ids.length;
  if (total === 0) return;
  setProgress({ done: 0, total });
  setSkipped([]);
  const own = new Worker(new URL('./import.worker.ts', import.meta.url), { type: 'module' });
  worker = own;
  own.onmessage = ({ data }: MessageEvent<ImportNews>) => {
    if (worker !== own) return;
    setEntries(addEntries(entries(), data.entries));
    setSkipped([...skipped(), ...data.skipped]);
    if (data.done < data.total) setProgress({ done: data.done, total: data.total });
    else cancel();
  };
  own.onerror = () => {
    if (worker !== own) return;
    setSkipped([
      ...skipped(),
      { name: 'the import', sentence: 'It stopped: this browser may have too little memory.' },
    ]);
    cancel();
  };
  own.postMessage(order);
}

/** Stops an import; what came so far stays. */
function cancel(): void {
  worker?.terminate();
  worker = null;
  setProgress(null);
}

function clear(): void {
  cancel();
  setEntries([]);
  setSkipped([]);
}
