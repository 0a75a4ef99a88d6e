import type { Clip } from '../../files/archive.ts';
import type { Notebook } from '../../log/state.ts';
import type { NotebookStore } from '../../log/store.ts';

/**
 * The notebook with its clips as one file; without them where the browser does not give them out. The packing code is
 * loaded when it is wanted.
 */
export async function archiveOf(store: NotebookStore, notebook: Notebook): Promise<Uint8Array> {
  const { writeArchive } = await import('../../files/archive.ts');
  const clips: Clip[] = [];
  for (const call of await store.clipCalls(notebook.id).catch(() => [])) {
    const clip = await store.getClip(notebook.id, call).catch(() => undefined);
    if (clip) clips.push({ call, type: clip.type || 'audio/wav', bytes: new Uint8Array(await clip.arrayBuffer()) });
  }
  return writeArchive(notebook, clips, notebook.events.at(-1)?.wallMs ?? 0);
}
