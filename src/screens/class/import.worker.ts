import { z } from 'zod/mini';
import { type ClassEntry, classNameOf, entryOf } from '../../class/class-entry.ts';
import { classArrival, classEntries } from '../../class/class-import.ts';
import { readFile } from '../../files/read-file.ts';
import { refusals, type Sentences } from '../../log/refusal.ts';
import { makeNotebookStore } from '../../log/store.ts';

/**
 * What a worker is asked for first: sums of contents that need not be computed again, and whether it computes results or
 * only says whose notebook it is (a fiftieth of the time). Then it gets sources.
 */
export type ImportOrder = { readonly known: ReadonlySet<string>; readonly look: Look } | ClassSource;
export type Look = 'names' | 'results';

/** `index`: where it stands among all that are brought, whichever worker reads it. */
export type ClassSource = { readonly index: number } & (
  | { readonly kind: 'file'; readonly name: string; readonly blob: Blob }
  | { readonly kind: 'device'; readonly id: string }
);

/** What became of one source. `sum`: of its content, where the browser can compute it. */
export type ImportResult = { readonly index: number; readonly sum: string | null } & (
  | { readonly kind: 'read'; readonly entries: readonly ClassEntry[] }
  /** A notebook that can be read; its result is still to be computed. */
  | { readonly kind: 'named'; readonly name: string }
  | { readonly kind: 'known' }
  | { readonly kind: 'refused'; readonly name: string; readonly sentences: Sentences }
);

// As in main.tsx: nothing is compiled from text here.
z.config({ jitless: true });

const store = makeNotebookStore();

let known: ReadonlySet<string> = new Set();
let look: Look = 'results';
/** One after the other: a source that comes while another is read waits. */
let queue: Promise<void> = Promise.resolve();

addEventListener('message', ({ data: order }: MessageEvent<ImportOrder>) => {
  if ('known' in order) {
    ({ known, look } = order);
    return;
  }
  queue = queue.then(async () => postMessage(order.kind === 'file' ? await fromFile(order) : await fromDevice(order)));
});

async function fromFile({ index, name, blob }: ClassSource & { kind: 'file' }): Promise<ImportResult> {
  const refused = (sentences: Sentences): ImportResult => ({ index, sum: null, kind: 'refused', name, sentences });
  try {
    const file = await readFile(blob);
    if (!file.ok) return refused(file.sentences);
    const bytes = file.value;
    const sum = await sumOf(bytes);
    if (sum !== null && known.has(sum)) return { index, sum, kind: 'known' };
    const arrived = classArrival(bytes);
    if (look === 'names' && arrived.ok && 'notebook' in arrived.value)
      return { index, sum: null, kind: 'named', name: classNameOf(arrived.value.notebook) };
    const read = classEntries(arrived);
    return read.ok
      ? { index, sum, kind: 'read', entries: read.value }
      : { index, sum, kind: 'refused', name, sentences: read.sentences };
  } catch {
    return refused(refusals.fileUnread);
  }
}

async function fromDevice({ index, id }: ClassSource & { kind: 'device' }): Promise<ImportResult> {
  try {
    const { events } = await store.load(id);
    if (look === 'names') return { index, sum: null, kind: 'named', name: classNameOf({ id, events }) };
    return { index, sum: null, kind: 'read', entries: [entryOf({ id, events })] };
  } catch {
    return { index, sum: null, kind: 'refused', name: id, sentences: refusals.notFromDevice };
  }
}

/** SHA-256; null where the page was not served safely enough for the browser to have it. */
async function sumOf(bytes: Uint8Array<ArrayBuffer>): Promise<string | null> {
  if (typeof crypto.subtle === 'undefined') return null;
  const sum = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return Array.from(sum, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
