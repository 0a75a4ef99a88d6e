import type { Locator, Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { type Launched, launch } from './browser.ts';
import { notebookOnDisk } from './notebook-in-page.ts';

// What a newcomer comes for, on a phone, by pressing what can be read on the screen and nothing else. Taps are counted;
// times are the page's own waiting, so that a person has the rest of the minute to read.
let launched: Launched | null = null;
afterEach(async () => {
  await launched?.close();
  launched = null;
});

let taps = 0;
async function tap(what: Locator): Promise<void> {
  await what.click();
  taps += 1;
}

async function opened(): Promise<Page> {
  launched = await launch({ viewport: { width: 390, height: 844 } });
  taps = 0;
  await launched.page.goto(inject('address'));
  return launched.page;
}

const button = (page: Page, name: string | RegExp): Locator => page.getByRole('button', { name });

/** Whether all of it is on the first screen, nothing scrolled. */
const onFirstScreen = async (what: Locator): Promise<boolean> => {
  const box = await what.boundingBox();
  const scrolled = await what.page().evaluate(() => scrollY);
  return box !== null && scrolled === 0 && box.y >= 0 && box.y + box.height <= 844;
};

test('a first reading by taps alone: six taps from the opened page, and few seconds of waiting', async () => {
  const page = await opened();
  const begun = Date.now();
  await tap(button(page, 'Begin a notebook'));
  await tap(page.getByText('By hand', { exact: true }).first());
  await tap(button(page, /^Start run 1/));
  const field = page.getByLabel('in mL or °C');
  await field.fill('10');
  await tap(button(page, 'Take the number'));
  await page
    .getByRole('region', { name: 'Last heard' })
    .getByText(/10 mL at/)
    .waitFor();
  expect(taps).toBeLessThanOrEqual(6);
  expect(Date.now() - begun).toBeLessThan(30_000);
  expect((await notebookOnDisk(page)).runs[0]?.readings.map(({ value }) => value)).toEqual(['10']);
});

test('k, its uncertainty and whether to trust it stand on the first screen of Rates', async () => {
  const page = await opened();
  await tap(button(page, /See an example/));
  const answer = page.getByRole('region', { name: 'Result' });
  await answer
    .getByText(/L\/\(mol s\)/)
    .first()
    .waitFor();
  expect(await answer.locator('.constant').textContent()).toMatch(/0\.00\d+ ± 0\.00\d+/);
  expect(await onFirstScreen(answer.locator('.constant'))).toBe(true);
  expect(await onFirstScreen(answer.locator('.verdict').first())).toBe(true);
  expect(taps).toBe(1);
});

test('one page to hand in: two taps from Rates, and it prints as one page', async () => {
  const page = await opened();
  await tap(button(page, /See an example/));
  await page.getByRole('region', { name: 'Result' }).waitFor();
  taps = 0;
  await tap(page.getByRole('link', { name: 'Go to the Report' }));
  await page.getByRole('article').waitFor();
  await page.evaluate(() => {
    window.print = () => document.documentElement.setAttribute('data-printed', '');
  });
  await tap(button(page, /^Print/));
  await page.locator('html[data-printed]').waitFor({ state: 'attached' });
  expect(taps).toBe(2);
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
  expect(pdf.match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(1);
});
