import type { Page } from 'playwright-core';
import { NotebookEvent } from '../../src/log/event.ts';
import { eventsIn } from '../../src/log/records.ts';

/** Events on disk of the notebook with that title, in order; none where there is no such notebook. */
export async function eventsInPage(page: Page, title: string): Promise<NotebookEvent[]> {
  const raw = await page.evaluate(
    () =>
      new Promise<{ keys: IDBValidKey[]; values: unknown[] }>((resolve, reject) => {
        const request = indexedDB.open('meniscall-events');
        request.onerror = () => reject(request.error);
        request.onsuccess = () => {
          const database = request.result;
          if (!database.objectStoreNames.contains('all')) {
            database.close();
            return resolve({ keys: [], values: [] });
          }
          const store = database.transaction('all').objectStore('all');
          const keys = store.getAllKeys();
          const values = store.getAll();
          values.onerror = () => reject(values.error);
          values.onsuccess = () => {
            database.close();
            resolve({ keys: keys.result, values: values.result });
          };
        };
      }),
  );
  const byId = new Map<string, NotebookEvent[]>();
  for (const [i, key] of raw.keys.entries()) {
    const id = Array.isArray(key) ? String(key[0]) : '';
    const events = byId.get(id) ?? [];
    byId.set(id, events);
    for (const event of eventsIn([raw.values[i]])) events.push(NotebookEvent.parse(event));
  }
  const named = [...byId.values()].find((events) =>
    events.some(({ body }) => body.kind === 'created' && body.title === title),
  );
  return (named ?? []).sort((a, b) => a.seq - b.seq);
}
