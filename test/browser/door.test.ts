import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { zipSync } from 'fflate';
import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { notebookLink } from '../../src/files/link.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { largeEvents } from '../benchmarks/large-events.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { type Launched, type LaunchOptions, launch } from './browser.ts';

/** Whatever arrives is read in a worker: the page goes on, it can be stopped, and a refusal changes nothing. */

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

/** Notes every task of the page that took longer than 50 ms. */
const noteLongTasks = `(() => {
  window.longTasks = [];
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) window.longTasks.push(entry.duration);
  }).observe({ type: 'longtask' });
})();`;

declare global {
  interface Window {
    longTasks: number[];
  }
}

async function start(options: LaunchOptions = {}): Promise<Launched> {
  const launched = await launch({ initScripts: [noteLongTasks], ...options });
  open.push(launched.close);
  await launched.page.goto(inject('address'));
  await launched.page.getByRole('heading', { name: 'Open a file or link' }).waitFor();
  return launched;
}

const bring = (page: Page, name: string, content: string | Uint8Array): Promise<void> =>
  page
    .locator('input[type=file]')
    .first()
    .setInputFiles({ name, mimeType: 'application/octet-stream', buffer: Buffer.from(content) });

test('a small archive that unpacks to a hundred times its size is refused at once, and the page is not held up', {
  retry: 1,
}, async () => {
  const { page } = await start();
  const bomb = zipSync({ 'notebook.json': new Uint8Array(50_000_000).fill(32) }, { level: 9 });
  expect(bomb.length).toBeLessThan(100_000);
  await page.evaluate(() => window.longTasks.splice(0));
  await bring(page, 'bomb.zip', bomb);
  await page
    .getByText('This archive unpacks to far more than a notebook can hold')
    .first()
    .waitFor({ timeout: 15_000 });
  expect(Math.max(0, ...(await page.evaluate(() => window.longTasks)))).toBeLessThan(100);
});

test('reading can be stopped, says so, and leaves what is kept as it was', async () => {
  const { page } = await start();
  await bring(page, 'large.json', notebookToJson({ id: 'large', events: largeEvents(60, 500) }));
  await page.getByRole('button', { name: 'Stop' }).click();
  await page.getByText('Stopped; nothing was changed.').first().waitFor();
  expect(await page.locator('.notebooks li').count()).toBe(0);
  await bring(page, 'demo.json', notebookToJson(demoNotebook(1.7e12)));
  await page.getByRole('heading', { level: 1, name: 'Report' }).waitFor();
});

test('a refusal names the part and the reason in one sentence, in the page’s language', async () => {
  const { page } = await start();
  const damaged = notebookToJson(demoNotebook(1.7e12))
    .replace(/"uOnsetMs":[\d.]+/, '"uOnsetMs":1e9')
    .replace(/^ "check".*\n/m, '');
  await bring(page, 'damaged.json', damaged);
  await page
    .getByText(/damaged and was not opened: entry \d+: body\.uOnsetMs is too large\./)
    .first()
    .waitFor();
  await page.evaluate(
    (key) =>
      new Promise<void>((resolve) => {
        const opening = indexedDB.open('keyval-store');
        opening.onupgradeneeded = () => opening.result.createObjectStore('keyval');
        opening.onsuccess = () => {
          const transaction = opening.result.transaction('keyval', 'readwrite');
          transaction.objectStore('keyval').put({ pageLanguage: 'de' }, key);
          transaction.oncomplete = () => resolve();
        };
      }),
    'meniscall-preferences',
  );
  await page.reload();
  await page.getByRole('heading', { name: 'Datei oder Link öffnen' }).waitFor();
  await bring(page, 'damaged.json', damaged);
  await page
    .getByText(/beschädigt und wurde nicht geöffnet: Eintrag \d+: body\.uOnsetMs ist zu groß\./)
    .first()
    .waitFor();
});

test('a link is read in the worker, shown with its report, and kept when asked', async () => {
  const { page } = await start();
  await page.goto(notebookLink(inject('address'), { ...demoNotebook(1.7e12), id: 'by-link' }));
  await page.getByText('This notebook is in the link itself.').waitFor();
  await page.getByRole('heading', { name: 'Rates' }).first().waitFor();
  await page.getByRole('button', { name: 'Keep a copy' }).click();
  await page.getByRole('heading', { level: 1, name: 'Report' }).waitFor();
});

test('a browser that starts no workers says so instead of waiting', async () => {
  const noWorkers = `(() => {
    const Real = window.Worker;
    window.Worker = class extends Real {
      constructor(address, options) {
        super(options?.name === 'door' ? new URL('nowhere.js', location.href) : address, options);
      }
    };
  })();`;
  const { page } = await start({ initScripts: [noWorkers] });
  await bring(page, 'demo.json', notebookToJson(demoNotebook(1.7e12)));
  await page.getByText('Reading this failed').first().waitFor();
});

/** Holds back what is asked of a worker, so that the file on the disk can change meanwhile. */
const slowToAsk = `(() => {
  const post = Worker.prototype.postMessage;
  Worker.prototype.postMessage = function (order, ...rest) {
    const file = order && (order.source instanceof File || order.kind === 'file');
    if (file) setTimeout(() => post.call(this, order, ...rest), 1500);
    else post.call(this, order, ...rest);
  };
})();`;

test('files that vanish while they are read, empty ones and folders: each said, and the others come in', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'meniscall-door-'));
  open.push(() => rm(folder, { recursive: true, force: true }));
  const pathOf = (name: string): string => join(folder, name);
  const write = (name: string, text: string): Promise<void> => writeFile(pathOf(name), text);
  await write('vanished.json', notebookToJson(groupNotebook(1)));
  await write('empty.json', '');
  await write('good.json', notebookToJson(groupNotebook(3, { invented: false })));
  const { page } = await start({ initScripts: [slowToAsk] });
  const file = page.locator('input[type=file]').first();
  await file.setInputFiles(pathOf('vanished.json'));
  await rm(pathOf('vanished.json'));
  await page.getByText('it was changed, moved or deleted after you chose it').first().waitFor();
  expect(await page.locator('.notebooks li').count()).toBe(0);
  await file.setInputFiles(pathOf('empty.json'));
  await page.getByText('This file is empty.').first().waitFor();
  await page.evaluate(() => {
    const dropped = new DataTransfer();
    dropped.items.add(new File([''], 'results of the class'));
    // What a browser says of a folder; a script cannot make one.
    DataTransferItem.prototype.webkitGetAsEntry = () =>
      Object.assign(new EventTarget(), { isDirectory: true }) as never;
    document
      .querySelector('.open-file')
      ?.dispatchEvent(new DragEvent('drop', { dataTransfer: dropped, bubbles: true }));
  });
  await page.getByText('This is a folder.').first().waitFor();

  await page.goto(`${inject('address')}#/class`);
  await write('vanished.json', notebookToJson(groupNotebook(1)));
  await page
    .locator('.bring-in input[type=file]')
    .setInputFiles(['vanished.json', 'empty.json', 'good.json'].map(pathOf));
  await rm(pathOf('vanished.json'));
  const left = page.locator('.bring-in .problem');
  await left.getByText('vanished.json: This file could not be read: it was changed').waitFor();
  await left.getByText('empty.json: This file is empty.').waitFor();
  await page.locator('.class-sentence').waitFor();
});
