import type { NotebookStore } from '../log/store.ts';
import { fileStem, saveFile } from './report/save-file.ts';

/** Saves a notebook as it is stored, whatever is wrong with it; a later version may read it. */
export async function saveRaw(store: NotebookStore, id: string, title: string): Promise<void> {
  const { schema, events } = await store.raw(id);
  const text = JSON.stringify({ format: 'meniscall-notebook', schema, id, events }, null, 1);
  saveFile(`${fileStem(title)}.json`, text, 'application/json');
}
