import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { launch } from './browser.ts';
import { wordsSeen } from './words-seen.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function start(rest = ''): Promise<Page> {
  const launched = await launch({ viewport: { width: 390, height: 844 } });
  open.push(launched.close);
  await launched.page.goto(`${inject('address')}${rest}`);
  await launched.page.getByRole('button', { name: 'Begin a notebook' }).waitFor();
  return launched.page;
}

test('a double click begins one notebook, not two', async () => {
  const page = await start();
  await page.getByRole('button', { name: 'Begin a notebook' }).dblclick();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  await page.getByRole('link', { name: 'Notebooks' }).click();
  await page.getByRole('heading', { name: 'Notebooks on this device' }).waitFor();
  await page.waitForTimeout(300);
  expect(await page.getByRole('button', { name: /^Delete / }).count()).toBe(1);
});

test('a name that is too long is said at its field, nothing is cut and nothing is made', async () => {
  const page = await start();
  const name = page.getByLabel('Name of the new notebook');
  await name.fill('a'.repeat(243));
  await page.getByText('A name has at most 200 characters; this one has 243.').waitFor();
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  expect(await name.inputValue()).toHaveLength(243);
  expect(await page.getByRole('heading', { name: 'Notebooks on this device' }).count()).toBe(0);
  await name.fill('a'.repeat(200));
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
});

test('an address that names no screen is said in words', async () => {
  const none = await start('#/bench');
  await none.getByText('Bench needs an open notebook: begin or open one here.').waitFor();
  const page = await start('#/benhc');
  await page.getByRole('alert').getByText('This page has no screen by that address.').waitFor();
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  expect(await page.getByText('no screen by that address').count()).toBe(0);
  await page.goto(`${inject('address')}#/readings/%E0%A4`);
  await page.getByText('This notebook has no call by that address.').waitFor();
});

test('a language that Intl refuses takes no screen down, and the curve is drawn in the colours of the theme', async () => {
  const launched = await launch({
    viewport: { width: 1280, height: 900 },
    colorScheme: 'dark',
    initScripts: [`Object.defineProperty(Navigator.prototype, 'language', { get: () => 'en-US@posix' });`],
  });
  open.push(launched.close);
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByRole('button', { name: /example/ }).click();
  await page.waitForURL(/#\/rates/);
  await page.goto(`${inject('address')}#/readings`);
  const curve = page.getByRole('img', { name: /^Volume against time/ });
  /** Share of the pixels drawn that are light. */
  const light = () =>
    curve.locator('canvas').evaluate((canvas) => {
      if (!(canvas instanceof HTMLCanvasElement)) return Number.NaN;
      const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
      let drawn = 0;
      let bright = 0;
      for (let i = 0; i < data.length; i += 4) {
        if (data[i + 3]! < 200) continue;
        drawn += 1;
        if (data[i]! + data[i + 1]! + data[i + 2]! > 450) bright += 1;
      }
      return drawn === 0 ? Number.NaN : bright / drawn;
    });
  await expect.poll(light).toBeGreaterThan(0.3);
  const inDark = await light();
  await page.emulateMedia({ colorScheme: 'light' });
  // Ink instead of chalk; the grid stays light in the light.
  await expect.poll(light).not.toBeCloseTo(inDark, 3);
});

test('where nothing can be kept it is said once, with the ways out', async () => {
  const refuse = `IDBFactory.prototype.open = () => { throw new DOMException('The operation is insecure.', 'SecurityError'); };`;
  const launched = await launch({ initScripts: [refuse] });
  open.push(launched.close);
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByRole('alert').getByText('This browser does not let the page keep data').waitFor();
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Save the notebook as a file' }).waitFor();
  await expect.poll(() => page.getByRole('alert').count()).toBe(1);
});

test('a fresh Start has at most 60 words, in English and in German', async () => {
  const page = await start();
  await page.getByRole('button', { name: 'Open the link' }).waitFor();
  await page.getByText('Nothing leaves this device, unless you allow your browser’s recogniser.').waitFor();
  expect(await wordsSeen(page)).toBeLessThanOrEqual(60);
  await page.goto(`${inject('address')}#/help/settings`);
  await page.getByLabel('Language of the page').selectOption('de');
  await page.goto(inject('address'));
  await page.getByRole('heading', { name: 'Gasvolumen freihändig ansagen' }).waitFor();
  await page.getByRole('button', { name: 'Link öffnen' }).waitFor();
  await page.getByText('außer du erlaubst die Spracherkennung deines Browsers.').waitFor();
  expect(await wordsSeen(page)).toBeLessThanOrEqual(60);
});

test('Help says the words of the language that was chosen, where it has its own', async () => {
  const page = await start();
  await page.getByRole('link', { name: 'Help' }).click();
  for (const part of ['More words', 'Settings of this device'])
    await page.locator('summary', { hasText: part }).click();
  const language = page.getByLabel('Language of the calls');
  await language.selectOption({ label: 'Deutsch' });
  const said = page.getByRole('region', { name: 'What is said in Deutsch' });
  await said.getByRole('row', { name: /“start run” “start lauf”/ }).waitFor();
  expect(await said.getByRole('row', { name: /“disregard” “streichen”/ }).count()).toBe(1);
  // Procedure words are English there.
  await language.selectOption({ label: 'Français (numbers)' });
  await said.waitFor({ state: 'detached' });
  expect(await page.getByRole('columnheader', { name: 'In place of' }).count()).toBe(0);
});
