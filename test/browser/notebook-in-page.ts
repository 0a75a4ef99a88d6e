import type { Page } from 'playwright-core';
import { NotebookEvent } from '../../src/log/event.ts';
import { eventsIn } from '../../src/log/records.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { NotebookState } from '../../src/log/state.ts';

/** The notebook that the page has on disk: what a reload would bring back. The page has one notebook in these tests. */
export async function notebookOnDisk(page: Page): Promise<NotebookState> {
  return reduce(await eventsOnDisk(page));
}

/** The events that the page has on disk, in order. */
export async function eventsOnDisk(page: Page): Promise<NotebookEvent[]> {
  const raw = await page.evaluate(
    () =>
      new Promise<unknown[]>((resolve, reject) => {
        const request = indexedDB.open('meniscall-events');
        request.onerror = () => reject(request.error);
        request.onsuccess = () => {
          const database = request.result;
          const all = database.transaction('all').objectStore('all').getAll();
          all.onerror = () => reject(all.error);
          all.onsuccess = () => {
            database.close();
            resolve(all.result);
          };
        };
      }),
  );
  return eventsIn(raw)
    .map((event) => NotebookEvent.parse(event))
    .sort((a, b) => a.seq - b.seq);
}

/** How many clips the page keeps. */
export function clipsOnDisk(page: Page): Promise<number> {
  return page.evaluate(
    () =>
      new Promise<number>((resolve, reject) => {
        const request = indexedDB.open('meniscall-clips');
        request.onerror = () => reject(request.error);
        request.onsuccess = () => {
          const database = request.result;
          const count = database.transaction('all').objectStore('all').count();
          count.onsuccess = () => {
            database.close();
            resolve(count.result);
          };
        };
      }),
  );
}
