import { afterEach, expect, inject, test } from 'vitest';
import type { NotebookEvent } from '../../src/log/event.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { launch } from './browser.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

/** The longest names that a file may bring, without a place to break them; one from right to left, one that others inherit. */
function renamed({ body, ...stamp }: NotebookEvent): NotebookEvent {
  if (body.kind === 'run-started') {
    const label = body.label === '1' ? 'X'.repeat(40) : body.label === '2' ? '__proto__' : 'constructor';
    return { ...stamp, body: { ...body, label } };
  }
  if (body.kind !== 'planned') return { ...stamp, body };
  const stocks = body.plan.stocks.map((stock) => ({ ...stock, name: 'N'.repeat(60) }));
  return { ...stamp, body: { ...body, plan: { ...body.plan, stocks } } };
}

test('the longest names of a file push no screen aside on a phone, and none breaks it', async () => {
  const { page, close } = await launch({ viewport: { width: 390, height: 844 } });
  open.push(close);
  const failed: string[] = [];
  page.on('pageerror', ({ message }) => failed.push(message));
  const { events } = groupNotebook(1, { title: `\u202e${'W'.repeat(199)}`, group: 'M'.repeat(80) });
  const buffer = Buffer.from(notebookToJson({ id: 'long', events: events.map(renamed) }));
  await page.goto(`${inject('address')}#/start`);
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({ name: 'long.json', mimeType: 'application/json', buffer });
  await page.getByRole('link', { name: 'Readings' }).waitFor();
  for (const screen of ['bench', 'readings', 'rates', 'report', 'run-sheet', 'class', 'start']) {
    await page.goto(`${inject('address')}#/${screen}`);
    await page.getByRole('heading', { level: 1 }).first().waitFor();
    await page.waitForTimeout(700);
    const wide = await page.evaluate(() =>
      document.documentElement.scrollWidth > innerWidth
        ? [...document.querySelectorAll('body *')]
            .filter((one) => one.getBoundingClientRect().right > innerWidth + 1)
            .map((one) => `${one.parentElement?.className} > ${one.tagName}.${one.className}`)
        : [],
    );
    expect(wide, screen).toEqual([]);
    expect(await page.locator('body').textContent()).not.toContain('\u202e');
  }
  expect(failed).toEqual([]);
});
