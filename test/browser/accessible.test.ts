import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { groupNotebook, type Odd } from '../class/class-notebooks.ts';
import { atDoubleText, violations } from './axe.ts';
import { type Launched, launch } from './browser.ts';

// Every screen with a full notebook open, measured by axe-core against WCAG 2.2 A and AA.
const screens = [
  'start',
  'run-sheet',
  'run-sheet/bottles',
  'run-sheet/runs',
  'run-sheet/hand-out',
  'bench',
  'readings',
  'rates',
  'report',
  'class',
  'rehearsal',
  'voice',
  'help',
] as const;

let launched: Launched;
let page: Page;

beforeAll(async () => {
  launched = await launch({ viewport: { width: 390, height: 844 }, permissions: ['microphone', 'camera'] });
  page = launched.page;
  await page.goto(inject('address'));
  await page.getByRole('button', { name: /example/ }).click();
  await page.waitForURL(/#\/rates/);
  // A notebook of one's own: the example has no Bench to work at.
  await page.getByRole('button', { name: 'Keep a copy to work on' }).click();
  await page.getByRole('button', { name: /My copy of the example/ }).waitFor();
});
afterAll(() => launched?.close());

async function show(screen: string): Promise<void> {
  await page.goto(`${inject('address')}#/${screen}`);
  await page.getByRole('heading', { level: 1 }).first().waitFor({ state: 'attached' });
  await page.waitForTimeout(400);
  if (screen !== 'help') return;
  // With everything open: what is folded away is not measured.
  for (const summary of await page.locator('.help details > summary').all())
    if (!(await summary.evaluate((element) => element.parentElement?.hasAttribute('open')))) await summary.click();
  await page.getByText('Keeping the screen on:').waitFor();
}

for (const theme of ['light', 'dark'] as const) {
  for (const screen of screens) {
    test(`${screen} in the ${theme} theme has no fault that axe-core can find`, async () => {
      await page.emulateMedia({ colorScheme: theme });
      await show(screen);
      expect(await violations(page)).toEqual([]);
    });
  }
}

test.each(['light', 'dark'] as const)(
  'the example in the %s theme has no fault on Rates, Bench and Start',
  async (theme) => {
    const example = await launch({ viewport: { width: 390, height: 844 }, colorScheme: theme });
    const own = page;
    page = example.page;
    try {
      await page.goto(inject('address'));
      await page.getByRole('button', { name: /example/ }).click();
      await page.getByRole('button', { name: 'Leave the example' }).waitFor();
      for (const screen of ['rates', 'bench', 'start']) {
        await show(screen);
        expect(await violations(page), screen).toEqual([]);
      }
    } finally {
      page = own;
      await example.close();
    }
  },
);

test('a class with groups that do not fit, and the camera that collects more, have no fault in either theme', async () => {
  const group = (number: number, name: string, odd: Odd = {}) => ({
    name: `${name}.json`,
    mimeType: 'application/json',
    buffer: Buffer.from(
      notebookToJson(groupNotebook(number, { title: 'Iodide', invented: false, ...odd, group: name })),
    ),
  });
  await show('class');
  await page
    .getByLabel(/tables of values/)
    .setInputFiles([
      group(1, 'Otters'),
      group(2, 'Herons'),
      group(3, 'Newts'),
      group(6, 'Foxes', { withoutPressure: true }),
    ]);
  await page.getByText('Foxes: It gave no air pressure.').waitFor();
  for (const fold of await page.locator('.class-folds summary').all()) await fold.click();
  for (const camera of [false, true]) {
    if (camera) await page.getByRole('button', { name: 'Scan their codes' }).click();
    if (camera) await page.getByRole('button', { name: 'Close the camera' }).waitFor();
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      expect(await violations(page), `${camera ? 'camera' : 'groups'}, ${colorScheme}`).toEqual([]);
    }
  }
  await page.getByRole('button', { name: 'Close the camera' }).click();
});

test.each(screens)('%s at 200 % text keeps everything within the width and without a fault', async (screen) => {
  await page.emulateMedia({ colorScheme: 'light' });
  await show(screen);
  const { overflow, found } = await atDoubleText(page);
  expect(found).toEqual([]);
  expect(overflow).toBeLessThanOrEqual(1);
});

test('every control a finger meets is at least 48 px high and wide, text links aside', async () => {
  for (const screen of screens) {
    await show(screen);
    const small = await page.evaluate(() =>
      [
        ...document.querySelectorAll<HTMLElement>(
          'button, .button, input:not([type=checkbox]):not([type=radio]), select',
        ),
      ]
        .filter((control) => control.checkVisibility() && control.getBoundingClientRect().width > 1)
        .map((control) => ({ control: control.outerHTML.slice(0, 80), ...control.getBoundingClientRect().toJSON() }))
        .filter(({ width, height }) => width < 47.5 || height < 47.5)
        .map(({ control, width, height }) => `${control} ${Math.round(width)}x${Math.round(height)}`),
    );
    expect(small, screen).toEqual([]);
  }
});

test('by keys alone the focus is never lost: a plan is chosen, a bottle taken out, a doubt settled, a notebook deleted', async () => {
  const focused = () =>
    page.evaluate(() => {
      const { activeElement } = document;
      return activeElement === document.body ? 'nowhere' : (activeElement?.textContent ?? '');
    });
  await show('readings');
  await page
    .getByRole('button', { name: /Run 2, .*in doubt/ })
    .first()
    .focus();
  await page.keyboard.press('Enter');
  await page.getByRole('group', { name: 'It was' }).getByRole('button', { name: '14 mL' }).focus();
  await page.keyboard.press('Enter');
  await expect.poll(focused).toMatch(/Nothing is in doubt|One moment|To look at/);

  await show('start');
  await page.getByRole('button', { name: 'Begin a notebook' }).focus();
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  await expect.poll(focused).not.toBe('nowhere');
  expect(await page.title()).toMatch(/^Bench · .+ · Meniscall$/);

  await show('run-sheet');
  await page.getByRole('button', { name: /Peroxide and iodide, three runs/ }).focus();
  await page.keyboard.press('Enter');
  await expect.poll(focused).toBe('Run sheet');
  await page.getByRole('link', { name: 'Bottles', exact: true }).focus();
  await page.keyboard.press('Enter');
  await expect.poll(focused).toBe('In the bottles');
  await page.getByRole('group', { name: 'iodide' }).getByText('0.2 mol/L').click();
  await page.getByRole('button', { name: 'Take out iodide' }).focus();
  await page.keyboard.press('Enter');
  await expect.poll(focused).toBe('In the bottles');

  await show('start');
  await page
    .getByRole('button', { name: /^Delete / })
    .first()
    .focus();
  await page.keyboard.press('Enter');
  await expect.poll(focused).toBe('Keep it');
  await page.keyboard.press('Enter');
  await expect.poll(focused).toBe('Delete…');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: /for good$/ }).focus();
  await page.keyboard.press('Enter');
  await expect.poll(focused).toBe('Notebooks on this device');
});
