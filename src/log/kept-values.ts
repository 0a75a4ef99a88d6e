import { promisifyRequest } from 'idb-keyval';
import { completed, strictDatabase } from './database.ts';

/**
 * Single values that this device keeps beside the notebooks: preferences and learnt voices. The names of the database and
 * its store are those that idb-keyval gives by itself, since earlier versions kept them there.
 */
const database = strictDatabase('keyval-store', 1, ['keyval']);

/** What was kept under a name; undefined where nothing was. Rejects where the browser keeps nothing. */
export const keptValue = (key: string): Promise<unknown> =>
  database('readonly', (store) => promisifyRequest(store('keyval').get(key)));

/** Keeps values, all or none; what was `undefined` is kept no longer. Resolves once they are on disk. */
export const keepValues = (values: Readonly<Record<string, unknown>>): Promise<void> =>
  database('readwrite', (store, transaction) => {
    for (const [key, value] of Object.entries(values)) {
      if (value === undefined) store('keyval').delete(key);
      else store('keyval').put(value, key);
    }
    return completed(transaction);
  });
