import { nth } from '../../src/numerics/nth.ts';

/**
 * Chromium, seen in the browser tests: who begins a transaction between the closing of a connection by the browser and
 * its notice of it hears nothing of that transaction, neither its end nor its abort.
 */
export function dieAtNextTransaction({ stored = true } = {}): void {
  const real = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (...given) {
    IDBDatabase.prototype.transaction = real;
    const transaction = real.apply(this, given);
    setTimeout(() => this.onclose?.(new Event('close')), 20);
    for (const handler of ['oncomplete', 'onabort'])
      Object.defineProperty(transaction, handler, { set: () => {}, configurable: true });
    const silent = new Proxy(transaction.objectStore(nth([...transaction.objectStoreNames], 0)), {
      get: () => () => ({}),
    });
    if (!stored) Object.defineProperty(transaction, 'objectStore', { value: () => silent });
    return transaction;
  };
}

/** Chromium, where a database is closed for good while it opens: the opening ends with `AbortError`. */
export function dieAtNextOpening(times = 1): void {
  const real = IDBFactory.prototype.open;
  IDBFactory.prototype.open = function (...given) {
    IDBFactory.prototype.open = real;
    const request = real.apply(this, given);
    if (times > 1) dieAtNextOpening(times - 1);
    Object.defineProperty(request, 'error', { value: new DOMException('The connection was closed.', 'AbortError') });
    Object.defineProperty(request, 'onsuccess', {
      set: () => setTimeout(() => request.onerror?.(new Event('error'))),
      configurable: true,
    });
    request.addEventListener('success', () => request.result.close());
    return request;
  };
}
