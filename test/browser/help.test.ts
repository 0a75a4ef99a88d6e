import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { commandNames, spokenCommands } from '../../src/language/spoken-commands.ts';
import { launch } from './browser.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function help(part = '', initScripts: readonly string[] = []): Promise<Page> {
  const launched = await launch({ viewport: { width: 390, height: 844 }, initScripts });
  open.push(launched.close);
  await launched.page.goto(`${inject('address')}#/help${part}`);
  await launched.page.getByRole('searchbox', { name: 'Search Help' }).waitFor();
  return launched.page;
}

async function inGerman(): Promise<Page> {
  const page = await help('/settings');
  await page.getByLabel('Language of the page').selectOption('de');
  await page.getByRole('searchbox', { name: 'Hilfe durchsuchen' }).waitFor();
  return page;
}

/** What a person sees on the whole page, the menu too. */
const shown = (page: Page): Promise<string> =>
  page.evaluate(() => {
    // biome-ignore lint/performance/useDomNodeTextContent: what is folded away is not to be counted
    return document.body.innerText;
  });

const countWords = (text: string): number => text.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word)).length;

const openAll = async (page: Page): Promise<void> => {
  for (const summary of await page.locator('.help details > summary').all())
    if (!(await summary.evaluate((element) => element.parentElement?.hasAttribute('open')))) await summary.click();
};

const openParts = (page: Page): Promise<string[]> => page.locator('.help details[open] > summary').allInnerTexts();

test('a fresh Help has at most 300 words, and what to say comes before all else', async () => {
  const page = await help();
  const text = await shown(page);
  expect(countWords(text)).toBeLessThanOrEqual(300);
  for (const say of ['“25”', '“mark”', '“correction 24”', '“disregard”', '“what now”', '“start run 1”', '“end run”'])
    expect(text).toContain(say);
  expect(await openParts(page)).toEqual([]);
  // With a notebook the menu is longer.
  await page.goto(inject('address'));
  await page.getByRole('button', { name: /example/ }).click();
  await page.waitForURL(/#\/rates/);
  await page.goto(`${inject('address')}#/help`);
  await page.getByRole('searchbox').waitFor();
  expect(countWords(await shown(page))).toBeLessThanOrEqual(300);
  const german = await inGerman();
  await german.locator('summary', { hasText: 'Einstellungen dieses Geräts' }).click();
  expect(countWords(await shown(german))).toBeLessThanOrEqual(300);
});

test('opened, Help has every spoken command, the keys, the cues, privacy, settings, safety and licences', async () => {
  const page = await help();
  await openAll(page);
  await page.getByText('The recogniser in this page: yes.').waitFor();
  const text = await shown(page);
  for (const name of commandNames) {
    const { words, help: line } = spokenCommands[name];
    for (const said of words.en.said.slice(0, 5)) expect(text).toContain(`“${[said, line.example].join(' ').trim()}”`);
    expect(text).toContain(line.does.en);
  }
  for (const said of [
    'forgets the digits typed so far',
    'three quick low tones',
    'begin as the water touches the mark',
    'no readings, no sounds, no statistics',
    'Loudness of the cues',
    'Never close a vessel that makes gas',
    'Free under the MIT licence',
  ])
    expect(text).toContain(said);
});

test('a search shows the rows that match, says how many, and Escape brings everything back', async () => {
  const page = await help();
  const field = page.getByRole('searchbox');
  // By keys alone: the field is the first stop after the link to the Bench.
  await page.getByRole('link', { name: 'Bench' }).focus();
  await page.keyboard.press('Tab');
  await page.keyboard.type('wrong');
  await page.getByRole('row', { name: /“disregard”/ }).waitFor();
  const rows = page.getByRole('row').filter({ has: page.getByRole('rowheader') });
  expect(await page.getByRole('row', { name: /“correction 24”/ }).isVisible()).toBe(true);
  expect(await page.getByRole('row', { name: /“mark”/ }).count()).toBe(0);
  await page
    .getByRole('status')
    .getByText(`${await rows.count()} matches`)
    .waitFor();
  expect(await openParts(page)).toEqual(['More words']);
  await page.keyboard.press('Escape');
  expect(await field.inputValue()).toBe('');
  await expect.poll(() => openParts(page)).toEqual([]);
  await page.getByRole('row', { name: /“mark”/ }).waitFor();

  await field.fill('Disregard');
  await page.getByRole('row', { name: /“disregard”/ }).waitFor();
  expect((await openParts(page)).sort()).toEqual(['Keys']);
  await field.fill('goggles');
  await page.getByText('Goggles and gloves on.').waitFor();
  await page.getByText('1 match', { exact: true }).waitFor();
  expect(await page.getByRole('table').count()).toBe(0);
  await field.fill('loudness');
  await page.getByLabel('Loudness of the cues').waitFor();
  await field.fill('zebra');
  await page.getByText('Nothing found for “zebra”. Try another word.').waitFor();
  await page.getByRole('button', { name: 'Clear' }).click();
  await page.getByRole('row', { name: /“mark”/ }).waitFor();
  await expect.poll(() => page.evaluate(() => document.activeElement?.tagName)).toBe('INPUT');
});

test('in German Help is German, and its search finds German words with or without their dots', async () => {
  const page = await inGerman();
  const field = page.getByRole('searchbox');
  await field.fill('falsch');
  await page.getByRole('row', { name: /„disregard“/ }).waitFor();
  await field.fill('loschen');
  await page.getByRole('row', { name: /„disregard“/ }).waitFor();
  // The words of another language find the row, too.
  await field.fill('streichen');
  await page.getByRole('row', { name: /„disregard“/ }).waitFor();
  await field.press('Escape');
  await page.getByLabel('Sprache der Ansagen').selectOption({ label: 'Deutsch' });
  await page.getByRole('row', { name: /„streichen“/ }).waitFor();
  await page.getByText('deutsche versteht nur die des Browsers').waitFor();
  await page.getByLabel('Sprache der Ansagen').selectOption({ label: 'English (US)' });
  await openAll(page);
  await page.getByText('Die Spracherkennung dieser Seite: ja.').waitFor();
  // What is said is English here, and the settings name languages in their own words.
  await page.getByText('„poured 5 of peroxide“').waitFor();
  const own = (await shown(page)).replace(/„[^“]*“|English \(\w+\)/g, '');
  expect(own.match(/\b(the|and|with|is|of|what|it|you|takes?|reading|key|page|offline|kept)\b/i)?.[0]).toBeUndefined();
});

test('an address names a part of Help: the Bench leads to the keys', async () => {
  const page = await help('/keys');
  await page.getByRole('row', { name: /^Space/ }).waitFor();
  expect(await openParts(page)).toEqual(['Keys']);
  expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('SUMMARY');
  await page.goto(`${inject('address')}#/help/settings`);
  await page.getByLabel('Language of the page').waitFor();
});

test('what the browser can do is tried only when that part is opened', async () => {
  const count = `window.probes = 0; {
    const open = IDBFactory.prototype.open;
    IDBFactory.prototype.open = function (name, ...rest) {
      if (name === 'meniscall-probe') window.probes += 1;
      return open.call(this, name, ...rest);
    };
  }`;
  const page = await help('', [count]);
  const probes = () => page.evaluate(() => (window as unknown as { probes: number }).probes);
  await page.waitForTimeout(500);
  expect(await probes()).toBe(0);
  await page.locator('summary', { hasText: 'What works in this browser' }).click();
  await page.getByText('Keeping notebooks: yes.').waitFor();
  expect(await probes()).toBe(1);
});
