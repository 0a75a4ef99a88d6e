import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { type Launched, type LaunchOptions, launch } from './browser.ts';
import { notebookOnDisk } from './notebook-in-page.ts';
import { openMenu } from './report-page.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function start(options: LaunchOptions = {}): Promise<Launched & { errors: string[] }> {
  const launched = await launch({ permissions: ['clipboard-read', 'clipboard-write'], ...options });
  open.push(launched.close);
  const errors: string[] = [];
  launched.page.on('pageerror', (error) => errors.push(error.message));
  await launched.page.goto(inject('address'));
  return { ...launched, errors };
}

/** Three runs with decimal commas, as a German spreadsheet copies them (invented figures). */
const rows = [1, 2, 3].flatMap((run) =>
  Array.from({ length: 11 }, (_, i) => [run, (i * (17 + 4 * run) + 0.3 * (i % 3)).toFixed(1), 14 + 2 * i]),
);
const pasted = [['Lauf', 'Zeit (s)', 'Volumen (mL)'], ...rows]
  .map((row) => row.join('\t').replaceAll('.', ','))
  .join('\n');

test('a pasted spreadsheet of three runs is shown before it is taken, and gives three rates', async () => {
  const { page, errors } = await start();
  await page.getByText('From paper or a spreadsheet').click();
  await page.getByLabel('Paste columns of times and volumes').fill(pasted);
  await page.getByRole('button', { name: 'Look at it' }).click();
  await page.getByText(/Run 3: 11 readings, 14 mL \(0:00\) to 34 mL/).waitFor();
  await page.getByRole('button', { name: 'Take these 3 runs' }).click();
  await page.waitForFunction(() => location.hash === '#/rates');
  const state = await notebookOnDisk(page);
  expect(state.runs.map((run) => [run.label, run.readings.length, run.entered?.timing])).toEqual([
    ['1', 11, 'file'],
    ['2', 11, 'file'],
    ['3', 11, 'file'],
  ]);
  expect(errors).toEqual([]);
});

test('a file with columns is opened on Start as a paste is', async () => {
  const { page } = await start();
  await page
    .locator('.open-file input[type=file]')
    .setInputFiles({ name: 'runs.csv', mimeType: 'text/csv', buffer: Buffer.from(pasted.replaceAll('\t', ';')) });
  await page.getByRole('button', { name: 'Take these 3 runs' }).waitFor();
});

test('a run on paper is typed by keys alone in under a minute', async () => {
  const { page } = await start();
  await page.getByText('From paper or a spreadsheet').click();
  await page.getByRole('button', { name: 'Type a run' }).click();
  const began = Date.now();
  const keys = page.keyboard;
  await page.getByLabel('Reading 1: Time (s or m:ss)').waitFor();
  await page.getByLabel('Reading 1: Time (s or m:ss)').focus();
  for (let i = 0; i < 11; i++) {
    await keys.type(i === 3 ? '1:05,5' : String(i * 21));
    await keys.press('Enter');
    // The first two volumes are typed; the others carry on at the same step.
    if (i < 2) {
      await keys.type(String(14 + 2 * i));
      await keys.press('Enter');
    }
  }
  await keys.press('Enter');
  await page.waitForFunction(() => location.hash === '#/rates');
  expect(Date.now() - began).toBeLessThan(60_000);
  const [run] = (await notebookOnDisk(page)).runs;
  expect(run?.readings.map(({ volumeMl }) => volumeMl)).toEqual(Array.from({ length: 11 }, (_, i) => 14 + 2 * i));
  expect(run?.readings.map(({ enteredS }) => enteredS)[3]).toBe('65.5');
  expect(run?.readings[0]).toMatchObject({ timing: 'hand', uTimeMs: 500 });
});

test('what is typed into the setup is in the hand-out, and all of it opens ready in one press', async () => {
  const { page, errors } = await start();
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('link', { name: 'Run sheet' }).click();
  await page.getByRole('button', { name: /Peroxide and iodide, three runs/ }).click();
  await page.getByText('Cylinder, marks and conditions').click();
  await page.getByRole('textbox', { name: 'A mark every (mL)' }).fill('4');
  await page.getByRole('textbox', { name: 'A run is complete after (mL)' }).fill('16');
  await page.getByRole('link', { name: 'Runs' }).click();
  await page.getByRole('textbox', { name: /^Temperature/ }).fill('21.5');
  await page.getByRole('link', { name: 'Print', exact: true }).click();
  await page.getByText('Groups and questions').click();
  await page.getByLabel('Names of the groups (one a line)').fill('Otters\nHerons');
  await page.getByLabel('Questions of the work sheet (one a line)').fill('What is the order?');
  await page.getByRole('button', { name: 'Copy the link' }).click();
  await page.getByRole('button', { name: 'Show the QR code' }).click();
  await page.locator('.hand-out .qr svg').waitFor();
  const link = await page.getByLabel('The link', { exact: true }).inputValue();
  const other = await start();
  await other.page.goto(`${link}.`);
  const shown = other.page.getByRole('article', { name: 'Run sheet' });
  await shown.getByText('A mark every 4 mL, a run of 16 mL').waitFor();
  await shown.getByText('Temperature 21.5 °C').waitFor();
  await shown.getByText('Air pressure: not given').waitFor();
  await other.page.getByLabel('Your group').fill('Otters');
  await other.page.getByRole('button', { name: 'Start with this run sheet' }).click();
  await other.page.waitForFunction(() => location.hash === '#/bench');
  const state = await notebookOnDisk(other.page);
  expect(state).toMatchObject({ group: 'Otters', setup: { stepMl: 4, spanMl: 16, temperatureC: 21.5 } });
  expect(state.classPlan).toEqual({ groups: ['Otters', 'Herons'], questions: 'What is the order?' });
  expect([...errors, ...other.errors]).toEqual([]);
});

test('a notebook and its group are renamed where the name stands', async () => {
  const { page } = await start();
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: /^Name and group/ }).click();
  await page.getByRole('textbox', { name: 'Name of the notebook' }).fill('Iodide, Friday');
  await page.getByRole('combobox', { name: 'Group' }).fill('Herons');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByRole('button', { name: 'Name and group: Iodide, Friday, Herons' }).waitFor();
  await expect.poll(async () => (await notebookOnDisk(page)).group).toBe('Herons');
});

/** The answer of `npm run --silent rates -- FILE`, which is a process of its own. */
async function ratesOf(file: string): Promise<{ runs: Record<string, unknown>[] }> {
  const root = fileURLToPath(new URL('../..', import.meta.url));
  const { stdout } = await promisify(execFile)('npm', ['run', '--silent', 'rates', '--', file], { cwd: root });
  return JSON.parse(stdout);
}

test('a pasted spreadsheet gives the numbers of the command line, digit for digit', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'meniscall-paste-'));
  try {
    // The same figures with the names that the command knows.
    await writeFile(
      join(folder, 'table.csv'),
      ['run,time_s,volume_mL', ...rows.map((row) => row.join(','))].join('\n'),
    );
    const wanted = await ratesOf(join(folder, 'table.csv'));
    const { page } = await start();
    await page.getByText('From paper or a spreadsheet').click();
    await page.getByLabel('Paste columns of times and volumes').fill(pasted);
    await page.getByRole('button', { name: 'Look at it' }).click();
    await page.getByRole('button', { name: 'Take these 3 runs' }).click();
    await page.waitForFunction(() => location.hash === '#/rates');
    // What the screen shows: the rates rounded as their uncertainty allows.
    for (const run of wanted.runs) {
      const { rate_mL_per_s: rate } = run.line as { rate_mL_per_s: number };
      const shown = await page.locator('.rates-run .rate-figure').nth(wanted.runs.indexOf(run)).textContent();
      const [text = ''] = /0[.]\d+/.exec(shown ?? '') ?? [];
      expect(Math.abs(Number(text) - rate), shown ?? '').toBeLessThanOrEqual(
        0.5 * 10 ** -(text.split('.')[1] ?? '').length + 1e-12,
      );
    }
    // What it computes with, to the last digit: the notebook it keeps, by the same command.
    await page.getByRole('link', { name: 'Report', exact: true }).click();
    await openMenu(page, 'Save');
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'notebook (JSON)' }).click(),
    ]);
    await download.saveAs(join(folder, 'notebook.json'));
    const { runs } = await ratesOf(join(folder, 'notebook.json'));
    expect(runs).toEqual(wanted.runs);
    expect(JSON.parse(await readFile(join(folder, 'notebook.json'), 'utf8')).format).toBe('meniscall-notebook');
  } finally {
    await rm(folder, { recursive: true });
  }
});

/** Moves the focus to a control by its name, as a keyboard does it in the end, and presses it. */
async function press(page: Page, role: 'button' | 'combobox' | 'textbox', name: string | RegExp): Promise<void> {
  await page.getByRole(role, { name, exact: true }).first().focus();
  await page.keyboard.press('Enter');
}

test('runs are renamed, moved, split, joined, set aside and deleted by keys alone, and every act is taken back', async () => {
  const { page, errors } = await start();
  await page.getByText('From paper or a spreadsheet').click();
  await page.getByLabel('Paste columns of times and volumes').fill(pasted);
  await page.getByRole('button', { name: 'Look at it' }).click();
  await page.getByRole('button', { name: 'Take these 3 runs' }).click();
  await page.waitForFunction(() => location.hash === '#/rates');
  await page.goto(`${inject('address')}#/readings`);
  const runsNow = async () => (await notebookOnDisk(page)).runs.map(({ label, readings }) => [label, readings.length]);
  const before = (await notebookOnDisk(page)).runs;
  const keys = page.keyboard;
  const menu = (run: string) => press(page, 'button', `Run ${run}: rename, add, set aside and more`);
  const undo = async (what: RegExp) => {
    await press(page, 'button', what);
    await expect.poll(async () => (await notebookOnDisk(page)).runs).toEqual(before);
  };

  await menu('2');
  await press(page, 'button', 'Rename');
  await keys.press('Control+A');
  await keys.type('half iodide');
  await keys.press('Enter');
  await expect.poll(runsNow).toEqual([
    ['1', 11],
    ['half iodide', 11],
    ['3', 11],
  ]);
  await undo(/^Take back the name/);

  await menu('3');
  await press(page, 'button', 'Move up');
  await expect.poll(async () => (await runsNow()).map(([label]) => label)).toEqual(['1', '3', '2']);
  await undo(/^Take back the new order/);

  await menu('1');
  await press(page, 'button', 'Set aside');
  await keys.type('the tube slipped off');
  await keys.press('Enter');
  await page.getByText('Run 1, set aside: the tube slipped off').waitFor();
  await press(page, 'button', 'Bring run 1 back');
  await expect.poll(async () => (await notebookOnDisk(page)).runs).toEqual(before);

  await menu('1');
  await press(page, 'button', 'Delete');
  await page.getByText('Run 1, deleted').waitFor();
  expect(await runsNow()).toHaveLength(2);
  await undo(/^Take back the deletion/);

  await menu('3');
  await press(page, 'button', 'Join');
  await keys.press('ArrowDown');
  await keys.press('Tab');
  await keys.press('Enter');
  await expect.poll(runsNow).toEqual([
    ['1', 11],
    ['2', 22],
  ]);
  await undo(/^Take back the joining/);

  // The fifth reading of run 3 begins a run of its own.
  await page.getByRole('button', { name: /^Run 3 / }).focus();
  for (let i = 0; i < 2; i++) await keys.press('ArrowDown');
  await page.locator('section[aria-label="Run 3"] .call-row').nth(4).focus();
  await keys.press('Enter');
  await press(page, 'button', 'Start a new run here');
  await expect.poll(runsNow).toEqual([
    ['1', 11],
    ['2', 11],
    ['3', 4],
    ['3b', 7],
  ]);
  await undo(/^Take back the split/);

  // A forgotten reading, with its own uncertainty; the list says that it was typed.
  await menu('1');
  await press(page, 'button', 'Add a reading');
  await keys.type('1:05,5');
  await keys.press('Tab');
  await keys.type('20.3');
  await keys.press('Enter');
  await expect.poll(async () => (await runsNow())[0]).toEqual(['1', 12]);
  const added = (await notebookOnDisk(page)).runs[0]?.readings.find(({ timing }) => timing === 'hand');
  expect(added).toMatchObject({ value: '20.3', uTimeMs: 500 });
  await press(page, 'button', /^Run 1 /);
  await page.locator('section[aria-label="Run 1"]').getByText('typed', { exact: true }).waitFor();
  await page.locator('section[aria-label="Run 1"]').getByText('from a file', { exact: true }).first().waitFor();
  await undo(/^Take back 1 reading of run 1/);
  expect(errors).toEqual([]);
});

test('pasted columns are added to the open notebook on Readings', async () => {
  const { page } = await start();
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('link', { name: 'Readings' }).click();
  await page.getByText('From paper or a spreadsheet').click();
  await page.getByLabel('Paste columns of times and volumes').fill(pasted);
  await page.getByRole('button', { name: 'Look at it' }).click();
  await page.getByRole('button', { name: 'Take these 3 runs' }).click();
  await page.getByRole('region', { name: 'Run 3' }).waitFor();
});

test('a change that moves a finished run’s figures says which and by how much, and is undone at once', async () => {
  const { page, errors } = await start();
  await page.getByRole('button', { name: /See an example/ }).click();
  await page.getByRole('button', { name: 'Keep a copy to work on' }).click();
  await page.getByRole('button', { name: /My copy of the example/ }).waitFor();
  await page.waitForTimeout(1500);
  // Readings first: run 1's rate.
  await page.goto(`${inject('address')}#/readings`);
  await page
    .getByRole('button', { name: /^Run 1 / })
    .first()
    .click();
  // The last reading: without it the rate moves by more than its last digit.
  await page.locator('section[aria-label="Run 1"] .call-row').last().click();
  await page.getByRole('button', { name: /^Strike / }).click();
  const notice = page.getByRole('status').filter({ hasText: 'changed from' });
  await notice.getByText(/^Run 1’s rate changed from 0\.\d+ ± 0\.\d+ to 0\.\d+ ± 0\.\d+ mL\/s\.$/).waitFor();
  await notice.getByRole('button', { name: 'Undo' }).click();
  await notice.waitFor({ state: 'detached' });
  await page.getByRole('button', { name: /^Strike / }).waitFor();
  expect(errors).toEqual([]);
});
