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

/** The browser closed the connection while a transaction was under way: whether it was stored is not known. */
class ConnectionLost extends Error {
  override readonly name = 'ConnectionLost';
}

/** Whether an error is about the database as a whole: it would meet any notebook in it. */
export const isStorageFailure = (error: unknown): boolean =>
  error instanceof DOMException || error instanceof NewerDatabase || error instanceof ConnectionLost;

interface Connection {
  readonly database: IDBDatabase;
  /** Runs work that ends with `ConnectionLost` where the browser closes the connection first. */
  readonly untilLost: <T>(work: T | PromiseLike<T>) => Promise<T>;
}

/**
 * As idb-keyval's `createStore`, with strict durability (the write is flushed before the transaction completes, as
 * far as the system can tell), several stores in one transaction, and a connection that is opened anew after the browser
 * closed it. What was under way then is done once more: work that writes must bear being done twice.
 * @param stores names; those that a database of an earlier version lacks are made. Raise `version` with a new one.
 */
export function strictDatabase(name: string, version: number, stores: readonly string[]): Transact {
  let open: Promise<Connection> | undefined;
  const connect = async (): Promise<Connection> => {
    const request = indexedDB.open(name, version);
    request.onupgradeneeded = () => {
      for (const store of stores)
        if (!request.result.objectStoreNames.contains(store)) request.result.createObjectStore(store);
    };
    const database = await promisifyRequest(request).catch((error) => {
      const why = error instanceof DOMException ? error.name : '';
      if (why === 'VersionError') throw new NewerDatabase(name, { cause: error });
      // The browser closed it while it opened.
      throw why === 'AbortError' ? new ConnectionLost(name) : error;
    });
    const waiting = new Set<(lost: ConnectionLost) => void>();
    database.onclose = () => {
      open = undefined;
      for (const reject of waiting) reject(new ConnectionLost(name));
    };
    database.onversionchange = () => {
      database.close();
      open = undefined;
    };
    return {
      database,
      untilLost: (work) =>
        new Promise((resolve, reject) => {
          waiting.add(reject);
          Promise.resolve(work)
            .then(resolve, reject)
            .finally(() => waiting.delete(reject));
        }),
    };
  };
  const connection = (): Promise<Connection> => {
    open ??= connect();
    open.catch(() => {
      open = undefined;
    });
    return open;
  };
  return async (mode, work) => {
    const once = async () => {
      const { database, untilLost } = await connection();
      const transaction = database.transaction([...stores], mode, { durability: 'strict' });
      return untilLost(work((store) => transaction.objectStore(store), transaction));
    };
    try {
      return await once();
    } catch (error) {
      // Some browsers close the connection of a page in the background, or with the data that they clear. A transaction
      // begun between that and its notice never ends by itself (Chromium). One more try with a new connection.
      const closed = error instanceof DOMException && error.name === 'InvalidStateError';
      if (!closed && !(error instanceof ConnectionLost)) throw error;
      if (closed) open = undefined;
      return once();
    }
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
