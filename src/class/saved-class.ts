import { createStore, del, get, set } from 'idb-keyval';
import type { ClassEntry } from './class-entry.ts';

/** The class as it is kept on the device. */
export interface SavedClass {
  readonly entries: readonly ClassEntry[];
  /** What is compared; null: k where there is one. */
  readonly quantity: string | null;
  /** Numbers in place of names. */
  readonly anonymous: boolean;
}

/** Raise it when an entry changes its meaning: an older class is then not shown, since it would mislead. */
const version = 1;
const key = 'class';
const store = createStore('meniscall-class', 'all');

/** Keeps the class; without entries nothing is kept. Rejects where the browser keeps nothing. */
export const saveClass = (saved: SavedClass): Promise<void> =>
  saved.entries.length === 0 ? del(key, store) : set(key, { version, ...saved }, store);

/** The class that was kept last; null without one. Rejects where the browser keeps nothing. */
export async function loadClass(): Promise<SavedClass | null> {
  const found: unknown = await get(key, store);
  if (typeof found !== 'object' || found === null || !('version' in found) || found.version !== version) return null;
  // Written by `saveClass` of this version alone.
  const { entries, quantity, anonymous } = found as unknown as SavedClass;
  return { entries, quantity, anonymous };
}
