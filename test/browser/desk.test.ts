import { afterEach, expect, inject, test } from 'vitest';
import { type Launched, type LaunchOptions, launch } from './browser.ts';
import { notebookOnDisk } from './notebook-in-page.ts';

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
