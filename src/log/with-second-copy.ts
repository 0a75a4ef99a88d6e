import type { SecondCopy } from './second-copy.ts';
import type { LoadedNotebook, NotebookStore } from './store.ts';

/** Without damaged records and without gaps. */
export const isWhole = ({ damaged, events }: LoadedNotebook): boolean =>
  damaged.length === 0 && events.at(-1)?.seq === events.length;

/**
 * A store that keeps the second copy beside it. Nobody waits for the copy.
 * @param onUnwritten the copy of a notebook could not be written
 */
export function withSecondCopy(store: NotebookStore, copy: SecondCopy, onUnwritten: () => void): NotebookStore {
  const beside = (work: Promise<void>): void => {
    work.catch(onUnwritten);
  };
  return {
    ...store,
    async load(id) {
      const loaded = await store.load(id);
      if (isWhole(loaded)) beside(copy.complete(id, loaded.events));
      return loaded;
    },
    async append(id, events, after) {
      await store.append(id, events, after);
      beside(copy.note(id, events));
    },
    async adopt(id, events) {
      const revived = await store.adopt(id, events);
      beside(copy.welcome(id).then(() => copy.complete(id, events)));
      return revived;
    },
    async graft(id, after, events) {
      // First: events that give way must not come back. The database has the whole log until the copy is made anew.
      await copy.drop(id).catch(() => {});
      await store.graft(id, after, events);
      beside(store.load(id).then((loaded) => copy.complete(id, loaded.events, true)));
    },
    async remove(id) {
      // First: what is deleted must not come back.
      await copy.forget(id).catch(() => {});
      await store.remove(id);
    },
  };
}

/** The second copy of this browser; its code is fetched when it is first wanted, since no screen waits for it. */
export function secondCopyLater(): SecondCopy {
  let loading: Promise<SecondCopy> | undefined;
  const copy = async (): Promise<SecondCopy> => {
    loading ??= import('./second-copy.ts').then(({ makeSecondCopy }) => makeSecondCopy());
    loading.catch(() => {
      loading = undefined;
    });
    return loading;
  };
  return {
    kept: async () => (await copy()).kept(),
    note: async (id, events) => (await copy()).note(id, events),
    complete: async (id, events, rewrite) => (await copy()).complete(id, events, rewrite),
    drop: async (id) => (await copy()).drop(id),
    forget: async (id) => (await copy()).forget(id),
    welcome: async (id) => (await copy()).welcome(id),
    held: async () => (await copy()).held(),
    notebook: async (id) => (await copy()).notebook(id),
  };
}
