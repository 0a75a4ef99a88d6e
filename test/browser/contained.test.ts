import { readFile } from 'node:fs/promises';
import { afterEach, expect, inject, test } from 'vitest';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { type Launched, launch } from './browser.ts';

/** One bad item stays one bad item: the rest of the screen works, and the item can be saved or deleted. */

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function start(initScripts: readonly string[]): Promise<Launched> {
  const launched = await launch({ initScripts });
  open.push(launched.close);
  await launched.page.goto(inject('address'));
  return launched;
}

/** Whatever is labelled so fails while it is drawn. */
const failAt = (label: string): string => `(() => {
  const set = Element.prototype.setAttribute;
  Element.prototype.setAttribute = function (name, value) {
    if (name === 'aria-label' && value === ${JSON.stringify(label)}) throw new Error('no such figure');
    return set.call(this, name, value);
  };
})();`;

const file = (id: string, title: string) => ({
  name: `${id}.json`,
  mimeType: 'application/json',
  buffer: Buffer.from(
    notebookToJson({
      id,
      events: demoNotebook(1.7e12).events.map((event) =>
        event.body.kind === 'created' ? { ...event, body: { ...event.body, title } } : event,
      ),
    }),
  ),
});

test('a row of the list that fails is shown as failed, can be saved and deleted; the others open', async () => {
  const { page } = await start([failAt('Open Bad')]);
  for (const [id, title] of [
    ['bad', 'Bad'],
    ['good', 'Good'],
  ] as const) {
    await page.locator('input[type=file]').first().setInputFiles(file(id, title));
    await page.getByRole('heading', { level: 1, name: 'Report' }).waitFor();
    await page.goto(`${inject('address')}#/start`);
  }
  await page.getByText('Bad cannot be shown (no such figure). Everything else works as before.').waitFor();
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save as a file' }).click();
  expect(await readFile(await (await coming).path(), 'utf8')).toContain('"id": "bad"');
  await page.getByRole('button', { name: 'Delete Bad' }).click();
  await expect.poll(() => page.getByText('cannot be shown').count()).toBe(0);
  await page.getByRole('button', { name: 'Open Good' }).click();
  await page.waitForFunction(() => document.title.includes('Good'));
});

test('a run that fails in Readings leaves the other runs, and deleting it mends the screen', async () => {
  const { page } = await start([failAt('Run 2')]);
  await page.locator('input[type=file]').first().setInputFiles(file('nb', 'Trial'));
  await page.getByRole('heading', { level: 1, name: 'Report' }).waitFor();
  await page.goto(`${inject('address')}#/readings`);
  await page.getByText('Run 2 cannot be shown (no such figure).').waitFor();
  await page.getByRole('region', { name: 'Run 1' }).waitFor();
  await page.getByRole('region', { name: 'Run 3' }).waitFor();
  await page.getByRole('button', { name: 'Delete Run 2' }).click();
  await expect.poll(() => page.getByText('cannot be shown').count()).toBe(0);
  await page.getByRole('region', { name: 'Run 3' }).waitFor();
});

test('plots that fail in Rates leave the answer and the runs', async () => {
  const failPlots = `(() => {
    const create = Document.prototype.createElementNS;
    Document.prototype.createElementNS = function (space, name) {
      if (name === 'polyline' || name === 'circle' || name === 'path') throw new Error('no drawing');
      return create.call(this, space, name);
    };
  })();`;
  const { page } = await start([failPlots]);
  await page.locator('input[type=file]').first().setInputFiles(file('nb', 'Trial'));
  await page.waitForFunction(() => location.hash === '#/report');
  await page.goto(`${inject('address')}#/rates`);
  await page.getByText('The plot of all runs cannot be shown (no drawing).').waitFor();
  await page.getByRole('heading', { level: 1 }).first().waitFor();
});

test('a notebook of a newer version is named, can be saved as it is, and the others open', async () => {
  const { page } = await start([]);
  for (const [id, title] of [
    ['newer', 'Newer'],
    ['good', 'Good'],
  ] as const) {
    await page.locator('input[type=file]').first().setInputFiles(file(id, title));
    await page.getByRole('heading', { level: 1, name: 'Report' }).waitFor();
    await page.goto(`${inject('address')}#/start`);
  }
  await page.evaluate(
    () =>
      new Promise<void>((resolve) => {
        const opening = indexedDB.open('meniscall-events');
        opening.onsuccess = () => {
          const transaction = opening.result.transaction('heads', 'readwrite');
          const heads = transaction.objectStore('heads');
          const known = heads.get('newer');
          known.onsuccess = () => heads.put({ ...known.result, schema: 99, touchedMs: Date.now() + 1000 }, 'newer');
          transaction.oncomplete = () => {
            opening.result.close();
            resolve();
          };
        };
      }),
  );
  await page.reload();
  await page.getByText('This notebook was written by a newer version of Meniscall.').first().waitFor();
  await page.getByText('This notebook does not open here.').waitFor();
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save as a file' }).click();
  expect(JSON.parse(await readFile(await (await coming).path(), 'utf8'))).toMatchObject({ id: 'newer', schema: 99 });
  await page.getByRole('button', { name: 'Open Good' }).click();
  await page.waitForFunction(() => document.title.includes('Good'));
});
