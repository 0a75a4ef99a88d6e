import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { NotebookEvent } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';
import { launch } from './browser.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

/** Every notebook on disk, by id. */
async function notebooksOnDisk(page: Page) {
  const rows = await page.evaluate(
    () =>
      new Promise<[unknown, unknown][]>((resolve, reject) => {
        const request = indexedDB.open('meniscall-events');
        request.onerror = () => reject(request.error);
        request.onsuccess = () => {
          const database = request.result;
          const store = database.transaction('all').objectStore('all');
          const keys = store.getAllKeys();
          const values = store.getAll();
          store.transaction.oncomplete = () => {
            database.close();
            resolve(keys.result.map((key, index) => [Array.isArray(key) ? key[0] : key, values.result[index]]));
          };
        };
      }),
  );
  const found = new Map<string, NotebookEvent[]>();
  for (const [id, event] of rows) found.set(String(id), [...(found.get(String(id)) ?? []), NotebookEvent.parse(event)]);
  return [...found.values()].map((events) => reduce(events.sort((a, b) => a.seq - b.seq)));
}

test('a first look without a microphone: the simulated caller runs the real Bench, and the result tells its delay', async () => {
  const launched = await launch({ permissions: [] });
  open.push(launched.close);
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();

  await page.goto(`${inject('address')}#/rehearsal`);
  await page.getByLabel('How fast').selectOption({ label: 'four times as fast' });
  await page.getByRole('button', { name: 'Show me', exact: true }).click();
  await page.getByRole('img', { name: /Simulated cylinder/ }).waitFor();
  const heard = page.getByRole('region', { name: 'Last heard' });
  await heard.getByText(/10 calls: on average \d+ ms late/).waitFor({ timeout: 100_000 });

  await page.getByRole('link', { name: 'How the calls were' }).click();
  const section = page.getByRole('region', { name: 'How the simulated caller called' });
  const words = (await section.textContent()) ?? '';
  const mean = Number(/On average they came (\d+) ms after/.exec(words)?.[1]);
  // The caller's own delay is 400 ms, 80 ms from call to call: the mean of ten is good to 25 ms, and may be 4 of these off.
  expect(Math.abs(mean - 400)).toBeLessThan(100);

  const [real, rehearsed, ...others] = (await notebooksOnDisk(page)).sort((a, b) => a.runs.length - b.runs.length);
  expect(others).toEqual([]);
  expect(real).toMatchObject({ invented: false, runs: [], calls: [] });
  expect(rehearsed?.invented).toBe(true);
  expect(rehearsed?.runs[0]?.readings.map((reading) => reading.value)).toEqual([
    '2',
    '4',
    '6',
    '8',
    '10',
    '12',
    '14',
    '16',
    '18',
    '20',
  ]);
  expect(rehearsed?.calls.every((call) => call.heard.every((answer) => answer.ear === 'rehearsal'))).toBe(true);
}, 180_000);

test('a person’s own spread is carried to the notebook they came from, and to no other', async () => {
  const launched = await launch({ permissions: [] });
  open.push(launched.close);
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByLabel('Name of the new notebook').fill('Thursday');
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('link', { name: 'Rehearse first' }).click();
  await page.getByLabel('How fast').selectOption({ label: 'four times as fast' });
  await page.getByRole('button', { name: 'I call' }).click();
  await page.getByRole('img', { name: /Simulated cylinder/ }).waitFor();

  // Calls by key: the marks come some 3.3 s apart, and are called at that pace.
  await page.keyboard.press('s');
  await page.waitForTimeout(6500);
  for (const mark of ['2', '4', '6', '8']) {
    await page.keyboard.type(mark);
    await page.keyboard.press('Enter');
    await page.waitForTimeout(3200);
  }
  await page.getByRole('link', { name: 'How the calls were' }).click();
  await page.getByLabel(/Use this spread as the timing uncertainty of/).selectOption({ label: 'Thursday' });
  await page.getByRole('button', { name: /^Use \d+ ms there$/ }).click();
  await page.waitForURL(/#\/bench/);
  await page.getByText('Thursday').first().waitFor();

  const states = await notebooksOnDisk(page);
  const real = states.find((state) => state.title === 'Thursday');
  const rehearsed = states.find((state) => state.title !== 'Thursday');
  expect(real?.setup.uCallMs).toBeGreaterThan(0);
  expect(real?.setup.callDelayMs).toBeDefined();
  expect(real?.runs).toEqual([]);
  expect(rehearsed?.setup.uCallMs).toBeUndefined();
});

test('a rehearsal that was shown takes no key, is left by a button and is not open after a reload', async () => {
  const launched = await launch({ permissions: [] });
  open.push(launched.close);
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByLabel('Name of the new notebook').fill('Thursday');
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('link', { name: 'Rehearse first' }).click();
  await page.getByLabel('How fast').selectOption({ label: 'four times as fast' });
  await page.getByRole('button', { name: 'Show me', exact: true }).click();
  await page
    .getByRole('region', { name: 'Last heard' })
    .getByText(/10 calls/)
    .waitFor({ timeout: 100_000 });

  expect(await page.getByText(/start run 2/i).count()).toBe(0);
  for (const key of ['s', '5', 'Enter', ' ']) await page.keyboard.press(key);
  await page.waitForTimeout(500);
  const rehearsed = (await notebooksOnDisk(page)).find((state) => state.invented);
  expect(rehearsed?.runs).toHaveLength(1);
  for (const screen of ['start', 'run-sheet', 'bench', 'readings', 'rates', 'report', 'class', 'help']) {
    await page.goto(`${inject('address')}#/${screen}`);
    await page.getByRole('button', { name: 'Leave the rehearsal' }).waitFor();
  }
  await page.getByRole('button', { name: 'Leave the rehearsal' }).click();
  await page.getByRole('button', { name: /Name and group: Thursday/ }).waitFor();
  expect(await page.getByRole('region', { name: 'Rehearsal' }).count()).toBe(0);

  // Open again, to be left by a reload.
  await page.goto(`${inject('address')}#/rehearsal`);
  await page.getByRole('button', { name: 'I call' }).click();
  await page.waitForURL(/#\/bench/);
  await page.getByRole('button', { name: 'Leave the rehearsal' }).waitFor();
  await page.reload();
  await page.getByRole('button', { name: /Name and group: Thursday/ }).waitFor();
  await page.getByText('“start run 1”').waitFor();
  const states = await notebooksOnDisk(page);
  expect(states.find((state) => state.title === 'Thursday')?.runs).toEqual([]);
  // In the list, own work stands first and the rehearsals below, under their own heading.
  await page.goto(inject('address'));
  const list = page.getByRole('region', { name: 'Notebooks on this device' });
  await list.getByRole('heading', { name: 'Example and rehearsals' }).waitFor();
  expect(await list.getByRole('list').first().getByRole('listitem').count()).toBe(1);
  await list.getByRole('list').first().getByText('Thursday').waitFor();
  expect(await list.getByRole('list').nth(1).getByRole('listitem').count()).toBe(2);
}, 180_000);

test('the example takes no readings by key or paste; a copy of it does', async () => {
  const launched = await launch({ permissions: [] });
  open.push(launched.close);
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByRole('button', { name: /See an example/ }).click();
  await page.waitForURL(/#\/rates/);
  await page.goto(`${inject('address')}#/bench`);
  await page.getByText('nothing is recorded here').first().waitFor();
  for (const key of ['s', '5', 'Enter', ' ']) await page.keyboard.press(key);
  await page.waitForTimeout(500);
  expect((await notebooksOnDisk(page)).map(({ runs }) => runs.length)).toEqual([3]);
  await page.reload();
  await page.getByRole('button', { name: 'Leave the example' }).waitFor();

  await page.getByRole('region', { name: 'Example' }).getByRole('button', { name: 'Keep a copy to work on' }).click();
  await page.getByText('“start run 4”').waitFor();
  expect(await page.getByRole('region', { name: 'Example' }).count()).toBe(0);
  for (const key of ['s', '5', 'Enter']) await page.keyboard.press(key);
  await page.getByText('Run 4, last reading, mL').waitFor();
  const states = await notebooksOnDisk(page);
  expect(states.map(({ title, runs }) => [title, runs.length]).sort()).toEqual([
    ['A first look', 3],
    ['My copy of the example', 4],
  ]);
  expect(states.every(({ invented }) => invented)).toBe(true);
});
