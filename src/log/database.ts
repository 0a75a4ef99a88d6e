import { promisifyRequest } from 'idb-keyval';

/** The database was written by a newer version of the program, which may keep things that this one does not know. */
export class NewerDatabase extends Error {
  override readonly name = 'NewerDatabase';
}

/** Runs something in one transaction over the stores of a database. */
export type Transact = <T>(
  mode: IDBTransactionMode,
  work: (store: (name: string) => IDBObjectStore, transaction: IDBTransaction) => T | PromiseLike<T>,
) => Promise<T>;

/**
 * As idb-keyval's `createStore`, with strict durability (the write is flushed before the transaction completes, as
 * far as the system can tell), several stores in one transaction, and a connection that is opened anew after the browser
 * closed it.
 * @param stores names; those that a database of an earlier version lacks are made. Raise `version` with a new one.
 */
export function strictDatabase(name: string, version: number, stores: readonly string[]): Transact {
  let open: Promise<IDBDatabase> | undefined;
  const database = (): Promise<IDBDatabase> => {
    open ??= (async () => {
      const request = indexedDB.open(name, version);
      request.onupgradeneeded = () => {
        for (const store of stores)
          if (!request.result.objectStoreNames.contains(store)) request.result.createObjectStore(store);
      };
      const db = await promisifyRequest(request).catch((error) => {
        throw error instanceof DOMException && error.name === 'VersionError'
          ? new NewerDatabase(name, { cause: error })
          : error;
      });
      db.onclose = () => {
        open = undefined;
      };
      db.onversionchange = () => {
        db.close();
        open = undefined;
      };
      return db;
    })();
    open.catch(() => {
      open = undefined;
    });
    return open;
  };
  return async (mode, work) => {
    const begin = async (): Promise<IDBTransaction> =>
      (await database()).transaction([...stores], mode, { durability: 'strict' });
    let transaction: IDBTransaction;
    try {
      transaction = await begin();
    } catch (error) {
      // Some browsers close the connection of a page in the background; one more try with a new one.
      if (!(error instanceof DOMException) || error.name !== 'InvalidStateError') throw error;
      open = undefined;
      transaction = await begin();
    }
    return work((store) => transaction.objectStore(store), transaction);
  };
}

/**
 * Resolves when the transaction is on disk. Not idb-keyval's `promisifyRequest`: that one rejects at the request's
 * error, which bubbles before the transaction knows its own, and so loses the reason.
 */
export function completed(transaction: IDBTransaction): Promise<void> {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error ?? new DOMException('The transaction stopped', 'AbortError'));
  });
}
