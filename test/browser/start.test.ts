import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { launch } from './browser.ts';

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
  const page = await start('#/benhc');
  await page.getByRole('alert').getByText('This page has no screen by that address.').waitFor();
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  expect(await page.getByText('no screen by that address').count()).toBe(0);
  await page.goto(`${inject('address')}#/readings/%E0%A4`);
  await page.getByText('This notebook has no call by that address.').waitFor();
});
