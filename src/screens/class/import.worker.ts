import { z } from 'zod/mini';
import { makeNotebookStore } from '../../notebook/store.ts';
import { type ClassEntry, entryOf } from '../../share/class-entry.ts';
import { classEntries } from '../../share/class-import.ts';

/** What the worker is asked for. Files keep their bytes on disk until their turn comes. */
export type ImportOrder =
  | { readonly kind: 'files'; readonly files: readonly { readonly name: string; readonly blob: Blob }[] }
  | { readonly kind: 'device'; readonly ids: readonly string[] };

/** What it answers, in pieces. */
export interface ImportNews {
  readonly entries: readonly ClassEntry[];
  readonly skipped: readonly { readonly name: string; readonly sentence: string }[];
  readonly done: number;
  readonly total: number;
}

// As in main.tsx: nothing is compiled from text here.
z.config({ jitless: true });

const store = makeNotebookStore();

addEventListener('message', async ({ data }: MessageEvent<ImportOrder>) => {
  const total = data.kind === 'files' ? data.files.length : data.ids.length;
  let entries: ClassEntry[] = [];
  let skipped: { name: string; sentence: string }[] = [];
  let told = performance.now();
  for (let i = 0; i < total; i++) {
    const result = data.kind === 'files' ? await fromFile(data.files[i]!) : await fromDevice(data.ids[i]!);
    if (result.ok) entries.push(...result.entries);
    else skipped.push({ name: result.name, sentence: result.sentence });
    // Several times a second is progress enough.
    if (performance.now() - told > 150 || i === total - 1) {
      postMessage({ entries, skipped, done: i + 1, total } satisfies ImportNews);
      entries = [];
      skipped = [];
      told = performance.now();
    }
  }
});

type Result = { ok: true; entries: readonly ClassEntry[] } | { ok: false; name: string; sentence: string };

async function fromFile({ name, blob }: { name: string; blob: Blob }): Promise<Result> {
  try {
    const read = classEntries(new Uint8Array(await blob.arrayBuffer()));
    return read.ok ? { ok: true, entries: read.value } : { ok: false, name, sentence: read.sentence };
  } catch {
    return { ok: false, name, sentence: 'The browser could not read this file.' };
  }
}

async function fromDevice(id: string): Promise<Result> {
  try {
    const { events } = await store.load(id);
    return { ok: true, entries: [entryOf({ id, events })] };
  } catch {
    return { ok: false, name: id, sentence: 'This notebook could not be read from the device.' };
  }
}
