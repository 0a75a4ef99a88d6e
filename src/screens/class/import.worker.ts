import { z } from 'zod/mini';
import { type ClassEntry, entryOf } from '../../class/class-entry.ts';
import { classEntries } from '../../class/class-import.ts';
import { makeNotebookStore } from '../../log/store.ts';

/** What a worker is asked for. Files keep their bytes on disk until their turn comes. */
export interface ImportOrder {
  readonly sources: readonly ClassSource[];
  /** Sums of contents that need not be computed again. */
  readonly known: ReadonlySet<string>;
}

/** `index`: where it stands among all that are brought, whichever worker reads it. */
export type ClassSource = { readonly index: number } & (
  | { readonly kind: 'file'; readonly name: string; readonly blob: Blob }
  | { readonly kind: 'device'; readonly id: string }
);

/** What became of one source. `sum`: of its content, where the browser can compute it. */
export type ImportResult = { readonly index: number; readonly sum: string | null } & (
  | { readonly kind: 'read'; readonly entries: readonly ClassEntry[] }
  | { readonly kind: 'known' }
  | { readonly kind: 'refused'; readonly name: string; readonly sentence: string }
);

// As in main.tsx: nothing is compiled from text here.
z.config({ jitless: true });

const store = makeNotebookStore();

addEventListener('message', async ({ data }: MessageEvent<ImportOrder>) => {
  let results: ImportResult[] = [];
  let told = performance.now();
  for (const [i, source] of data.sources.entries()) {
    results.push(source.kind === 'file' ? await fromFile(source, data.known) : await fromDevice(source));
    // Several times a second is progress enough.
    if (performance.now() - told > 150 || i === data.sources.length - 1) {
      postMessage(results);
      results = [];
      told = performance.now();
    }
  }
});

async function fromFile(
  { index, name, blob }: ClassSource & { kind: 'file' },
  known: ReadonlySet<string>,
): Promise<ImportResult> {
  try {
    const bytes = new Uint8Array(await blob.arrayBuffer());
    const sum = await sumOf(bytes);
    if (sum !== null && known.has(sum)) return { index, sum, kind: 'known' };
    const read = classEntries(bytes);
    return read.ok
      ? { index, sum, kind: 'read', entries: read.value }
      : { index, sum, kind: 'refused', name, sentence: read.sentence };
  } catch {
    return { index, sum: null, kind: 'refused', name, sentence: 'The browser could not read this file.' };
  }
}

async function fromDevice({ index, id }: ClassSource & { kind: 'device' }): Promise<ImportResult> {
  try {
    const { events } = await store.load(id);
    return { index, sum: null, kind: 'read', entries: [entryOf({ id, events })] };
  } catch {
    const sentence = 'This notebook could not be read from the device.';
    return { index, sum: null, kind: 'refused', name: id, sentence };
  }
}

/** SHA-256; null where the page was not served safely enough for the browser to have it. */
async function sumOf(bytes: Uint8Array<ArrayBuffer>): Promise<string | null> {
  if (typeof crypto.subtle === 'undefined') return null;
  const sum = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return Array.from(sum, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
