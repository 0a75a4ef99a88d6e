import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { notebookLink } from '../../src/files/link.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { groupNotebook, type Odd } from '../class/class-notebooks.ts';
import { type Launched, type LaunchOptions, launch } from './browser.ts';
import { shadedEdges } from './edge-shade.ts';
import { wordsSeen } from './words-seen.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function classPage(options: LaunchOptions = {}): Promise<Launched & { errors: string[] }> {
  const launched = await launch({ permissions: ['clipboard-read', 'clipboard-write'], ...options });
  open.push(launched.close);
  const errors: string[] = [];
  launched.page.on('pageerror', (error) => errors.push(error.message));
  launched.page.on('console', (message) => {
    if (message.type() === 'error') errors.push(message.text());
  });
  await launched.page.goto(`${inject('address')}#/class`);
  return { ...launched, errors };
}

const file = (name: string, content: string) => ({ name, mimeType: 'application/json', buffer: Buffer.from(content) });
const group = (number: number, name: string, odd: Odd = {}) =>
  groupNotebook(number, { title: 'Year 12 iodide set', invented: false, ...odd, group: name });
const groupFile = (number: number, name: string, odd: Odd = {}) =>
  file(`${name}.json`, notebookToJson(group(number, name, odd)));

const bring = (page: Page, files: readonly { name: string; mimeType: string; buffer: Buffer }[]): Promise<void> =>
  page.getByLabel(/tables of values/).setInputFiles([...files]);
const sentence = (page: Page) => page.locator('.class-sentence');
/** Opens one of the folds. */
const unfold = (page: Page, name: string | RegExp): Promise<void> =>
  page.locator('.class-folds summary', { hasText: name }).click();

async function paste(page: Page, text: string): Promise<void> {
  const field = page.getByLabel(/Links, one a line/);
  if (!(await field.isVisible())) await page.getByRole('button', { name: 'Paste links or a table' }).click();
  await field.fill(text);
  await page.getByRole('button', { name: 'Add these' }).click();
}

test('a fresh Class has at most 60 words', async () => {
  const { page } = await classPage({ viewport: { width: 390, height: 844 } });
  await page.getByRole('button', { name: 'Scan their codes' }).waitFor();
  expect(await wordsSeen(page)).toBeLessThanOrEqual(60);
});

test('six groups of which one poured wrongly, one gave no pressure and one had another reaction', async () => {
  const { page, errors } = await classPage();
  await bring(page, [
    groupFile(1, 'Otters'),
    groupFile(2, 'Herons'),
    groupFile(3, 'Newts'),
    groupFile(5, 'Badgers', { peroxideInRun1: 10 }),
    groupFile(6, 'Foxes', { withoutPressure: true }),
    groupFile(7, 'Crows', { catalase: true }),
    groupFile(1, 'Otters'),
    file('damaged.json', notebookToJson(group(4, 'Voles')).slice(0, 3000)),
  ]);
  await page.getByText(/^Three of four groups agree; Badgers stands apart: run 1 went at 0\.5\d times/).waitFor();
  await page.getByText('Otters is in the class already and counts once.').waitFor();
  await page.getByText('damaged.json').waitFor();
  const left = page.getByRole('region', { name: 'Not combined' });
  await left.getByText(/Crows: Another reaction: Hydrogen peroxide and catalase/).waitFor();
  // The pressure is added where it is missed; the other groups' barometer is proposed.
  await left.getByText('Foxes: It gave no air pressure.').waitFor();
  expect(await left.getByLabel('Air pressure (hPa)').inputValue()).toBe('1004');
  await left.getByLabel('Air pressure (hPa)').fill('12');
  await left.getByRole('button', { name: 'Add to Foxes' }).click();
  await left.getByText('An air pressure is between 500 and 1100 hPa.').waitFor();
  await left.getByLabel('Air pressure (hPa)').fill('1004');
  await left.getByRole('button', { name: 'Add to Foxes' }).click();
  await page.getByText(/^Four of five groups agree; Badgers stands apart/).waitFor();
  // The changed figure is said.
  await page.getByText(/^Class value now 0\.00.*Four of five groups agree/).waitFor({ state: 'attached' });
  expect(errors).toEqual([]);
});

test('what is compared stays chosen when groups are added and over a reload, with the class itself', async () => {
  const { page, errors } = await classPage();
  await bring(page, [groupFile(1, 'Otters'), groupFile(2, 'Herons')]);
  await page.getByText('Both groups agree.', { exact: true }).waitFor();
  expect(await page.getByLabel('Compare').inputValue()).toBe('k');
  await page.getByLabel('Compare').selectOption('order in I⁻');
  await bring(page, [groupFile(3, 'Newts', { withoutPressure: true }), groupFile(4, 'Voles', { runs: 2 })]);
  await page.getByText(/^All (three|four) groups agree\.$/).waitFor();
  expect(await page.getByLabel('Compare').inputValue()).toBe('order in I⁻');
  await page.reload();
  await page.locator('.class-value', { hasText: 'order in I' }).waitFor();
  await page.locator('.forest text', { hasText: 'Otters' }).waitFor();
  // Emptied is emptied, also over a reload, and not by one slip.
  await page.getByRole('button', { name: 'Empty the class' }).click();
  await page.getByRole('button', { name: 'Keep it' }).click();
  await page.getByRole('button', { name: 'Empty the class' }).click();
  await page.getByRole('button', { name: 'Yes, empty it' }).click();
  await page.getByText('Put the results of all groups side by side.').waitFor();
  await page.reload();
  await page.getByText('Put the results of all groups side by side.').waitFor();
  expect(errors).toEqual([]);
});

test('a class of files and a link is combined; one bad file is named and skipped', async () => {
  const { page, errors } = await classPage();
  const groups = Array.from({ length: 9 }, (_, i) => file(`bench-${i + 1}.json`, notebookToJson(groupNotebook(i + 1))));
  const odd = file('odd.json', notebookToJson(groupNotebook(50, { iodideInRun2: 5, factor: 1.6 })));
  await bring(page, [...groups, odd, file('shopping.txt', 'milk, eggs')]);
  await page.locator('.class-folds summary', { hasText: '10 groups' }).waitFor({ timeout: 60_000 });
  await page.getByText('shopping.txt').waitFor();
  await page
    .getByText(/run 2 got 5\smL of iodide where most poured 10\smL/)
    .first()
    .waitFor();
  await paste(page, notebookLink(inject('address'), groupNotebook(60)));
  await page.locator('.class-folds summary', { hasText: '11 groups' }).waitFor({ timeout: 60_000 });
  await page.getByLabel('Numbers in place of names').check();
  expect(await page.getByText('Bench 3').count()).toBe(0);
  expect(errors).toEqual([]);
});

test('on a phone the edges beyond which the groups of a class go on are shaded', async () => {
  const { page } = await classPage({ viewport: { width: 390, height: 844 }, colorScheme: 'light' });
  await bring(
    page,
    Array.from({ length: 12 }, (_, i) => file(`${i}.json`, notebookToJson(groupNotebook(i + 1)))),
  );
  await unfold(page, '12 groups');
  const list = page.locator('.group-list');
  const ground = 'rgb(255, 255, 255)';
  expect(await shadedEdges(list, ground)).toEqual({ left: false, right: true });
  await list.evaluate((element) => element.scrollTo(element.scrollWidth, 0));
  expect(await shadedEdges(list, ground)).toEqual({ left: true, right: false });
});

test('groups without a result are an empty class that says what is missing', async () => {
  const { page, errors } = await classPage();
  const { id, events } = groupNotebook(3);
  const unread = { id, events: events.slice(0, 2) };
  await bring(page, [file('empty.json', notebookToJson(unread))]);
  await page.getByText('No group has a result to compare yet').waitFor();
  await page.getByRole('heading', { name: 'Not combined' }).waitFor();
  await page.getByText('No run with two readings or more.').waitFor();
  expect(await page.locator('.forest').count()).toBe(0);
  // The same file again is said to be there already; a longer log takes its place.
  await bring(page, [file('again.json', notebookToJson(unread))]);
  await page.getByText('Bench 3 is in the class already and counts once.').waitFor();
  await bring(page, [file('3.json', notebookToJson(groupNotebook(3)))]);
  await page.getByText('Bench 3 came again with more in it: the newer notebook counts.').waitFor();
  // Another notebook of the same name is another group.
  const namesake = groupNotebook(4, { title: 'Bench 3' });
  await bring(page, [file('4.json', notebookToJson(namesake))]);
  await page.getByText(/numbered as they came: Bench 3/).waitFor();
  await unfold(page, '2 groups');
  await page.getByRole('cell', { name: /^Bench 3 \(1\)/ }).waitFor();
  await page.getByRole('cell', { name: /^Bench 3 \(2\)/ }).waitFor();
  expect(errors).toEqual([]);
});

test('published values pasted on the Class screen give their published pooled values', async () => {
  const { page, errors } = await classPage();
  // Sixteen values of G, 1e-11 m3 kg-1 s-2, as CODATA 2018 combined them: 6.67430(15) with an expansion factor of 3.9.
  const values =
    '6.67248,0.00043 6.6729,0.0005 6.67398,0.0007 6.674255,0.000092 6.67559,0.00027 6.67422,0.00098 6.67387,0.00027 6.67222,0.00087 6.67425,0.00012 6.67349,0.00018 6.6726,0.00025 6.67554,0.00016 6.67191,0.00099 6.67435,0.00013 6.674184,0.000078 6.674484,0.000078';
  const table = `name,value,u\n${values
    .split(' ')
    .map((pair, i) => `G${i + 1},${pair}`)
    .join('\n')}\n`;
  await paste(page, table);
  await page.locator('.class-folds summary', { hasText: '16 groups' }).waitFor();
  await unfold(page, 'How this was combined');
  await page.getByText('6.67429 ± 0.00014').first().waitFor();
  await page.getByText(/Birge ratio 3\.630/).waitFor();
  expect(errors).toEqual([]);
});

test('the table holds every quantity, the class values, the methods, and who was left out and why', async () => {
  const { page } = await classPage();
  await bring(page, [
    ...[1, 2, 3].map((n) => groupFile(n, `G${n}`)),
    groupFile(6, 'Foxes', { withoutPressure: true }),
    groupFile(7, 'Crows', { catalase: true }),
  ]);
  // Files arrive one by one: wait for all of them.
  await sentence(page)
    .filter({ hasText: /three groups agree/ })
    .waitFor();
  for (const name of ['Foxes', 'Crows']) await page.getByText(name).first().waitFor({ state: 'attached' });
  await page.locator('.ways summary', { hasText: 'Save' }).click();
  const csv = await download(page, 'all results (CSV)');
  const lines = csv.replace('\ufeff', '').trim().split(/\r?\n/);
  expect(lines[0]).toMatch(/^row,name,quantity,unit,value,u,low95,high95,in_class_value,why_or_how,reaction,rate_law/);
  for (const quantity of ['k', 'order in H₂O₂', 'order in I⁻'])
    expect(lines.some((line) => line.startsWith(`class,class value,${quantity},`))).toBe(true);
  expect(csv).toMatch(/^group,Foxes,k,.*not combined,It gave no air pressure\./m);
  expect(csv).toMatch(/^group,Crows,k,.*not combined,Another reaction/m);
  expect(csv).toMatch(/^method,Mandel-Paule,k,L\/\(mol s\),0\.00/m);
  expect(csv).toMatch(/^published,"Liebhafsky/m);
  expect(csv).toMatch(/^pooled law,one law from all runs,k,L\/\(mol s\),0\.00/m);
  const grades = await download(page, 'grade book (CSV)');
  expect(grades).toMatch(/^G1,,2023-11-14,k,L\/\(mol s\),0\.\d+,0\.\d+,-?\d.*,yes,.*,3,33,0,/m);
  const json = JSON.parse(await download(page, 'everything (JSON)'));
  expect(json.results[0]).toMatchObject({ quantity: 'k', unit: 'L/(mol s)', agree: true });
  expect(json.results[0].notCombined.map(({ name }: { name: string }) => name)).toEqual(['Foxes', 'Crows']);
});

async function download(page: Page, name: string): Promise<string> {
  const [saved] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name }).click()]);
  return readFile(await saved.path(), 'utf8');
}

test('printed for the wall, the class is one page across', async () => {
  const { page } = await classPage();
  await bring(
    page,
    [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12].map((n) => groupFile(n, `G${n}`)),
  );
  await sentence(page).waitFor();
  await page.getByText('G12').first().waitFor();
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
  expect(pdf.match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(1);
  // A4 across, in points.
  const [, width, height] = /\/MediaBox\s*\[0 0 (\d+(?:\.\d+)?) (\d+(?:\.\d+)?)/.exec(pdf) ?? [];
  expect(Number(width)).toBeCloseTo(842, -1);
  expect(Number(height)).toBeCloseTo(595, -1);
});

test('the class is read in German throughout', async () => {
  const { page } = await classPage();
  await page.goto(`${inject('address')}#/help/settings`);
  await page.getByLabel('Language of the page').selectOption('de');
  await page.goto(`${inject('address')}#/class`);
  await page.getByRole('button', { name: 'Codes scannen' }).waitFor();
  await page
    .locator('input[type=file]')
    .setInputFiles([
      groupFile(1, 'Otter'),
      groupFile(2, 'Reiher'),
      groupFile(3, 'Molche'),
      groupFile(8, 'Dachse', { peroxideStrength: 0.5 }),
      groupFile(6, 'Füchse', { withoutPressure: true }),
    ]);
  await page
    .getByText(/^Drei von vier Gruppen stimmen überein; Dachse weicht ab: alle Läufe liefen etwa halb so schnell/)
    .waitFor();
  await page.getByText('Füchse: Der Luftdruck fehlt.').waitFor();
  await page.locator('.class-value', { hasText: /k = 0,00\d+ ± 0,000/ }).waitFor();
  for (const fold of await page.locator('.class-folds summary').all()) await fold.click();
  await page.getByText('gewichtetes Mittel', { exact: true }).waitFor();
  // biome-ignore lint/performance/useDomNodeTextContent: only what is shown counts
  const shown = await page.locator('main').innerText();
  expect(shown).not.toMatch(/\b(the|group|groups|agree|class value|weighted|rate)\b/);
});

test('many files: who is there and what cannot be read is said at once, results follow', async () => {
  const { page } = await classPage();
  await page.evaluate(() => {
    const seen: string[] = [];
    Object.assign(window, { seen });
    new MutationObserver(() => {
      const coming = document.querySelectorAll('.groups-in li').length;
      const left = document.querySelectorAll('.bring-in .problem li').length;
      const groups = document.querySelectorAll('.forest text').length;
      if (coming > 0) seen.push(`${coming} coming, ${left} left out, ${groups > 0 ? 'some' : 'no'} results`);
    }).observe(document.body, { childList: true, subtree: true });
  });
  const files = Array.from({ length: 24 }, (_, i) => groupFile(i + 1, `Bench ${i + 1}`));
  await bring(page, [...files, file('shopping.txt', 'milk, eggs')]);
  await sentence(page).waitFor();
  await page.locator('.groups-in').waitFor({ state: 'detached' });
  const seen = await page.evaluate(() => (window as unknown as { seen: string[] }).seen);
  expect(seen[0]).toBe('24 coming, 1 left out, no results');
});
