import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { notebookFromJson } from '../../src/log/file.ts';
import { reduce } from '../../src/log/reduce.ts';
import { type Launched, launch } from './browser.ts';

/**
 * Storage or a network that never answers on the way to the first screen: after some seconds that is said, with ways
 * out, and what answers after all does not take the place of what a person opened meanwhile.
 */

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

/** Parts of the browser that stop answering at the next load of the page, named in its session storage. */
const silentParts = `(() => {
  const silent = (sessionStorage.getItem('silent') ?? '').split(' ');
  const never = () => new EventTarget();
  const open = IDBFactory.prototype.open;
  IDBFactory.prototype.open = function (...given) {
    return silent.includes('database') ? never() : open.apply(this, given);
  };
  const getAll = IDBObjectStore.prototype.getAll;
  IDBObjectStore.prototype.getAll = function (range, count) {
    if (this.name === 'all' && count !== undefined && silent.includes('load')) {
      window.answerLate = () => {};
      const late = never();
      window.answerLate = () => {
        const names = [...this.transaction.objectStoreNames];
        const store = this.transaction.db.transaction(names).objectStore('all');
        const asked = getAll.call(store, range, count);
        asked.onsuccess = () => { late.result = asked.result; late.onsuccess(); };
      };
      return late;
    }
    if (this.name === 'all' && silent.includes('raw')) return never();
    return getAll.call(this, range, count);
  };
  const caches = CacheStorage.prototype.open;
  CacheStorage.prototype.open = function (name) {
    return silent.includes('copy') && name.startsWith('second') ? new Promise(() => {}) : caches.call(this, name);
  };
})();`;

declare global {
  interface Window {
    answerLate: () => void;
  }
}

/** A notebook with 0 and 2 mL, then a page whose parts are silent. */
async function withSilent(parts: string): Promise<Launched> {
  const launched = await launch({ initScripts: [silentParts] });
  open.push(launched.close);
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByLabel('Name', { exact: false }).first().fill('Peroxide, Tuesday');
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  const heard = page.getByRole('region', { name: 'Last heard' });
  await page.keyboard.press('s');
  await heard.getByText('Run 1 started').waitFor();
  for (const keys of [['0', 'Enter'], ['Space']]) for (const key of keys) await page.keyboard.press(key);
  await heard.getByText(/^. 2 mL at/).waitFor();
  // The second copy is written after the first, and nobody waits for it.
  await page.waitForTimeout(1000);
  await page.evaluate((value) => sessionStorage.setItem('silent', value), parts);
  await page.reload();
  return launched;
}

async function rescuedValues(page: Page): Promise<string[]> {
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save what can be read as a file' }).click();
  const read = notebookFromJson(await readFile(await (await coming).path(), 'utf8'));
  if (!read.ok) throw new Error(read.cause);
  await page.getByText('1 notebook was saved as a file.').waitFor();
  return reduce(read.value.events).runs.flatMap((run) => run.readings.map(({ value }) => value));
}

test('a notebook that the browser does not return: said, saved as a file, and left for a new one that stays', async () => {
  const { page } = await withSilent('load');
  await page.getByText('The browser has not returned “Peroxide, Tuesday” yet.').waitFor({ timeout: 20_000 });
  expect(await rescuedValues(page)).toEqual(['0', '2']);
  await page.getByRole('button', { name: 'Go on without waiting' }).click();
  await page.getByLabel('Name', { exact: false }).first().fill('Kept apart');
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  await page.evaluate(() => window.answerLate());
  await page.waitForTimeout(1500);
  expect(await page.title()).toContain('Kept apart');
  expect(await page.getByText('has not returned').count()).toBe(0);
});

test('a notebook that comes after all opens, and the sentence goes', async () => {
  const { page } = await withSilent('load');
  await page.getByText('The browser has not returned “Peroxide, Tuesday” yet.').waitFor({ timeout: 20_000 });
  await page.evaluate(() => window.answerLate());
  await page.getByRole('img', { name: /after 2 readings/ }).waitFor();
  expect(await page.getByText('has not returned').count()).toBe(0);
});

test('a notebook that neither answers: it comes out of the second copy', async () => {
  const { page } = await withSilent('load raw');
  await page.getByText('The browser has not returned “Peroxide, Tuesday” yet.').waitFor({ timeout: 20_000 });
  expect(await rescuedValues(page)).toEqual(['0', '2']);
});

test('a database that never opens: the notebooks come out of the second copy, and a new one can be begun', async () => {
  const { page } = await withSilent('database');
  await page.getByText('The browser has not returned the stored notebooks yet.').waitFor({ timeout: 20_000 });
  expect(await rescuedValues(page)).toEqual(['0', '2']);
  await page.getByRole('button', { name: 'Go on without waiting' }).click();
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByText('The browser does not answer when asked to store.').waitFor({ timeout: 30_000 });
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
});

test('nothing answers at all: that is said too', async () => {
  const { page } = await withSilent('database copy');
  await page.getByText('The browser has not returned the stored notebooks yet.').waitFor({ timeout: 20_000 });
  await page.getByRole('button', { name: 'Save what can be read as a file' }).click();
  await page.getByText('Nothing could be read.').waitFor({ timeout: 20_000 });
});

test('the code of a screen never comes: said, with a way out', async () => {
  const withoutWorker = `navigator.serviceWorker.register = () => Promise.reject(new Error('none'));`;
  const { page, close } = await launch({ initScripts: [withoutWorker] });
  open.push(close);
  await page.route(/assets\/Help-.*\.js/, () => {});
  await page.goto(`${inject('address')}#/help`);
  await page.getByText('This screen is long in coming').waitFor({ timeout: 20_000 });
  await page.getByRole('button', { name: 'Load the page again' }).waitFor();
});
