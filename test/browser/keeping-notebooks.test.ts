import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { type Launched, launch } from './browser.ts';

/** Which notebooks are there after windows, deletions, imports and lost databases. */

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function start(): Promise<Launched> {
  const launched = await launch();
  open.push(launched.close);
  await launched.page.goto(inject('address'));
  return launched;
}

async function begin(page: Page, name: string): Promise<void> {
  await page.goto(`${inject('address')}#/start`);
  await page.getByLabel('Name of the new notebook').fill(name);
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
}

const listed = (page: Page): Promise<string[]> => page.locator('.notebooks strong').allTextContents();

async function clearDatabase({ page, context }: Launched): Promise<void> {
  const session = await context.newCDPSession(page);
  const { origin } = new URL(inject('address'));
  await session.send('Storage.clearDataForOrigin', { origin, storageTypes: 'indexeddb' });
}

test('a notebook deleted in one window does not come back from another that has it open, and that window says so', async () => {
  const { page, context } = await start();
  await begin(page, 'First');
  await begin(page, 'Second');
  const other = await context.newPage();
  await other.goto(inject('address'));
  await other.getByRole('button', { name: 'Delete Second…' }).click();
  await other.getByRole('button', { name: 'Delete Second for good' }).click();
  await expect.poll(() => listed(other)).toEqual(['First']);
  await page.bringToFront();
  await page.getByText('This notebook was deleted in another window.').waitFor();
  await page.keyboard.press('s');
  await other.reload();
  await other.getByRole('heading', { name: 'Notebooks on this device' }).waitFor();
  expect(await listed(other)).toEqual(['First']);
});

test('a database lost with several notebooks in it: all of them come back', async () => {
  const launched = await start();
  const { page } = launched;
  for (const name of ['One', 'Two', 'Three']) await begin(page, name);
  await page.goto('about:blank');
  await clearDatabase(launched);
  await page.goto(inject('address'));
  await page.getByText('3 notebooks came back from the second copy, without sounds').waitFor();
  expect((await listed(page)).sort()).toEqual(['One', 'Three', 'Two']);
  // Under an open page: it writes its own again, and the next start brings the others back.
  await clearDatabase(launched);
  await page.goto(`${inject('address')}#/bench`);
  await page.getByRole('heading', { name: 'Before you mix' }).waitFor();
  await page.keyboard.press('s');
  await page.getByText('The browser had cleared this page’s storage.').waitFor();
  await page.goto('about:blank');
  await page.goto(inject('address'));
  await page.getByText('2 notebooks came back from the second copy').waitFor();
  expect((await listed(page)).sort()).toEqual(['One', 'Three', 'Two']);
});

test('a notebook from a file that is dated 9999 does not open in place of the run in progress', async () => {
  const { page } = await start();
  const notebook = demoNotebook(Date.UTC(9999, 11, 31));
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({
      name: 'future.json',
      mimeType: 'application/json',
      buffer: Buffer.from(notebookToJson({ ...notebook, id: 'future' })),
    });
  await page.getByRole('heading', { level: 1, name: 'Report' }).waitFor();
  await begin(page, 'Today');
  await page.keyboard.press('s');
  await page.getByText('Run 1 started').first().waitFor();
  await page.reload();
  await page.waitForFunction(() => document.title.includes('Today'));
});

test('the file of a deleted notebook, opened again, brings it back', async () => {
  const { page } = await start();
  const file = {
    name: 'demo.json',
    mimeType: 'application/json',
    buffer: Buffer.from(notebookToJson({ ...demoNotebook(1.7e12), id: 'wanted' })),
  };
  await page.locator('input[type=file]').first().setInputFiles(file);
  await page.getByRole('heading', { level: 1, name: 'Report' }).waitFor();
  await page.goto(`${inject('address')}#/start`);
  await page.getByRole('button', { name: /^Delete .*…/ }).click();
  await page.getByRole('button', { name: /for good$/ }).click();
  await expect.poll(() => listed(page)).toEqual([]);
  await page.locator('input[type=file]').first().setInputFiles(file);
  await page.getByRole('heading', { level: 1, name: 'Report' }).waitFor();
  await page.reload();
  await page.goto(`${inject('address')}#/start`);
  await expect.poll(async () => (await listed(page)).length).toBe(1);
});
