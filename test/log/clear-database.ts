import { promisifyRequest } from 'idb-keyval';

/** Empties the database under a store, as a browser does that finds it damaged: tombstones go as well. */
export async function clearDatabase(prefix: string, keep: (id: unknown) => boolean = () => false): Promise<void> {
  const database = await promisifyRequest(indexedDB.open(`${prefix}-events`));
  const transaction = database.transaction([...database.objectStoreNames], 'readwrite');
  for (const name of database.objectStoreNames) {
    const store = transaction.objectStore(name);
    for (const key of await promisifyRequest(store.getAllKeys()))
      if (!keep(Array.isArray(key) ? key[0] : key)) store.delete(key);
  }
  await promisifyRequest(transaction);
  database.close();
}
