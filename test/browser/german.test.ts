import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { groupNotebook, type Odd } from '../class/class-notebooks.ts';
import { englishIn } from '../language/english-words.ts';
import { atDoubleText } from './axe.ts';
import { type Launched, launch } from './browser.ts';
import { fakeVoice } from './fake-voice.ts';
import { wordsSeen } from './words-seen.ts';

// A browser that asks for German gets a German page, on every screen, with everything opened.
let launched: Launched;
let page: Page;
beforeAll(async () => {
  launched = await launch({ viewport: { width: 390, height: 844 }, locale: 'de-AT' });
  page = launched.page;
  await page.goto(inject('address'));
});
afterAll(() => launched?.close());

/** Every text and every label of the page, what is folded away included; not what is marked as English. */
async function shown(): Promise<string[]> {
  return page.evaluate(() => {
    const texts = new Set<string>();
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT);
    for (let node = walk.nextNode(); node; node = walk.nextNode()) {
      const element = node instanceof Element ? node : node.parentElement;
      if (!element || element.closest('script, style, noscript, .wordmark, [lang^=en]')) continue;
      if (node instanceof Element)
        for (const name of ['aria-label', 'title', 'placeholder', 'alt']) texts.add(node.getAttribute(name) ?? '');
      else texts.add(node.textContent?.trim() ?? '');
    }
    return [...texts].filter((text) => text !== '');
  });
}

async function show(hash: string): Promise<void> {
  await page.goto(`${inject('address')}#/${hash}`);
  await page.getByRole('heading', { level: 1 }).first().waitFor({ state: 'attached' });
  await page.waitForTimeout(300);
}

async function open(hash: string): Promise<void> {
  await show(hash);
  await unfold();
}

/** What is folded away may be made only when it is opened. */
async function unfold(): Promise<void> {
  for (let i = 0; i < 2; i++) {
    await page.evaluate(() => {
      for (const details of document.querySelectorAll('details')) details.open = true;
    });
    await page.waitForTimeout(250);
  }
}

async function english(): Promise<string[]> {
  const texts = await shown();
  expect(texts.length).toBeGreaterThan(5);
  return texts.flatMap((text) => (englishIn(text).length > 0 ? [text] : []));
}

test('the first page is German at once, and nothing of the example is English', async () => {
  await page.getByRole('heading', { name: 'Gasvolumen freihändig ansagen' }).waitFor();
  expect(await page.evaluate(() => document.documentElement.lang)).toBe('de');
  await page.getByRole('button', { name: 'Beispiel ansehen' }).click();
  await page.getByRole('region', { name: 'Ergebnis' }).first().waitFor();
  for (const screen of ['', 'rates', 'readings', 'report', 'bench']) {
    await open(screen);
    expect(await english(), screen).toEqual([]);
  }
});

const screens = [
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
  'voice/twenty',
  'help',
  'help/settings',
] as const;

test.each(screens)('nothing of %s is English in a notebook of one’s own', async (screen) => {
  const copy = page.getByRole('button', { name: 'Kopie behalten und bearbeiten' }).first();
  if (screen === 'run-sheet') {
    await copy.click();
    await copy.waitFor({ state: 'detached' });
  }
  await open(screen);
  expect(await english()).toEqual([]);
});

test('nothing of a class with groups that do not fit is English', async () => {
  const file = (number: number, group: string, odd: Odd = {}) => ({
    name: `${group}.json`,
    mimeType: 'application/json',
    buffer: Buffer.from(notebookToJson(groupNotebook(number, { title: 'Jod', invented: false, ...odd, group }))),
  });
  await page.goto(`${inject('address')}#/class`);
  await page
    .locator('input[type=file]')
    .setInputFiles([
      file(1, 'Otter'),
      file(2, 'Reiher'),
      file(3, 'Molche'),
      file(8, 'Dachse', { peroxideStrength: 0.5 }),
      file(6, 'Luchse', { withoutPressure: true }),
      file(7, 'Elche', { catalase: true }),
    ]);
  await page.getByText('Luchse: Der Luftdruck fehlt.').waitFor();
  await unfold();
  expect(await english()).toEqual([]);
});

test.each(screens)(
  '%s at twice the text size keeps its German within the width and without a fault',
  async (screen) => {
    await show(screen);
    const { overflow, found } = await atDoubleText(page);
    expect(found).toEqual([]);
    expect(overflow).toBeLessThanOrEqual(1);
  },
);

test('the word budgets of the screens hold in German', async () => {
  const fresh = await launch({ viewport: { width: 390, height: 844 }, locale: 'de-DE' });
  const { page: own } = fresh;
  const showOwn = async (hash: string): Promise<void> => {
    await own.goto(`${inject('address')}#/${hash}`);
    await own.getByRole('heading', { level: 1 }).first().waitFor({ state: 'attached' });
    await own.waitForTimeout(700);
  };
  try {
    await own.goto(inject('address'));
    await own.getByRole('button', { name: 'Heft beginnen' }).click();
    await own
      .getByText('Zwanzig Wörter sagen', { exact: true })
      .or(own.getByText('Von Hand', { exact: true }))
      .first()
      .waitFor();
    const most = { bench: 60, class: 60, help: 300, 'run-sheet': 120 };
    for (const [screen, words] of Object.entries(most)) {
      await showOwn(screen);
      expect(await wordsSeen(own), screen).toBeLessThanOrEqual(words);
    }
    await own.goto(inject('address'));
    await own.getByRole('button', { name: 'Beispiel ansehen' }).click();
    await own.getByRole('region', { name: 'Ergebnis' }).first().waitFor();
    await own.waitForTimeout(700);
    expect(await wordsSeen(own), 'rates').toBeLessThanOrEqual(150);
    // The copy of the example has a longer sheet: the budget is for one that was just begun.
    await own.goto(inject('address'));
    await own.getByRole('button', { name: 'Heft beginnen' }).click();
    await own.getByRole('button', { name: 'Mikrofon öffnen' }).waitFor();
    await showOwn('run-sheet');
    await own
      .getByRole('button', { name: /drei Läufe/ })
      .first()
      .click();
    for (const step of ['', '/bottles', '/runs', '/hand-out']) {
      await showOwn(`run-sheet${step}`);
      expect(await wordsSeen(own), step).toBeLessThanOrEqual(120);
    }
  } finally {
    await fresh.close();
  }
});

test('by keys alone, in German: a run is taken, its numbers have commas, and the result and the page are reached', async () => {
  const fresh = await launch({ viewport: { width: 390, height: 844 }, locale: 'de-DE' });
  const { page: own } = fresh;
  /** Presses Tab until the focus is on what is called so. */
  const tabTo = async (name: RegExp): Promise<void> => {
    for (let presses = 0; presses < 60; presses++) {
      await own.keyboard.press('Tab');
      const focused = await own.evaluate(() => document.activeElement?.textContent?.trim() ?? '');
      if (name.test(focused)) return;
    }
    throw new Error(`Tab does not lead to ${name}`);
  };
  try {
    await own.goto(inject('address'));
    await own.getByRole('button', { name: 'Heft beginnen' }).waitFor();
    await tabTo(/^Heft beginnen$/);
    await own.keyboard.press('Enter');
    await own.getByRole('button', { name: 'Mikrofon öffnen' }).waitFor();
    const type = async (...keys: string[]): Promise<void> => {
      for (const key of keys) await own.keyboard.press(key);
    };
    await type('s', '1', '0', ',', '5');
    await own.getByRole('status').getByText('10,5|').waitFor();
    await type('Enter');
    await own
      .getByRole('region', { name: 'Zuletzt gehört' })
      .getByText(/10[,.]5 mL/)
      .waitFor();
    const last = own.locator('.figures .last').getByRole('img', { name: '10,5', exact: true });
    await last.waitFor();
    await own.waitForTimeout(1200);
    await type('1', '2', ',', '5', 'Enter');
    await own.locator('.figures .last').getByRole('img', { name: '12,5', exact: true }).waitFor();
    // Nothing on the Bench writes a number in the English way, but for the answers to English calls, marked as English.
    const texts = await own.evaluate(() => {
      const bench = document.querySelector('main')?.cloneNode(true);
      if (!(bench instanceof Element)) return '';
      for (const english of bench.querySelectorAll('[lang^=en]')) english.remove();
      return bench.textContent ?? '';
    });
    expect(texts).toMatch(/\d,\d/);
    expect(texts).not.toMatch(/\d\.\d/);
    await own.waitForTimeout(1200);
    await type('1', '4', ',', '5', 'Enter', 'e');
    // Calls are English where nobody chose otherwise; what is shown is in the language of the page.
    await own.getByText('Lauf 1 beendet, mit 3 Ablesungen').first().waitFor();
    await tabTo(/^Ergebnis$/);
    await own.keyboard.press('Enter');
    await own.getByRole('region', { name: 'Ergebnis' }).first().waitFor();
    await tabTo(/^Bericht$/);
    await own.keyboard.press('Enter');
    await own.getByRole('article').waitFor();
    await tabTo(/^Drucken/);
  } finally {
    await fresh.close();
  }
});

test('the settings say which ear knows English only, and bring the English page', async () => {
  await open('help/settings');
  await page.getByText('Die Spracherkennung dieser Seite kennt nur englische Zahlen und Befehle.').first().waitFor();
  await page.getByLabel('Sprache der Seite').selectOption('en');
  await page.getByLabel('Language of the page').waitFor();
  expect(await page.evaluate(() => document.documentElement.lang)).toBe('en');
});

test('on an English page with calls in German, the first answer aloud is German', async () => {
  const voice = fakeVoice.replace('en-US', 'de-DE');
  const own = await launch({ locale: 'en-GB', initScripts: [voice] });
  try {
    await own.page.goto(`${inject('address')}#/help/settings`);
    await own.page.getByLabel('Language of the calls').selectOption('de-DE');
    await own.page.getByLabel('Read back aloud').selectOption('always');
    await own.page.waitForTimeout(300);
    // The German texts are gone again with the page that fetched them.
    await own.page.goto(`${inject('address')}#/`);
    await own.page.reload();
    await own.page.getByRole('button', { name: 'Begin a notebook' }).click();
    await own.page.getByRole('heading', { level: 1, name: /Bench/ }).waitFor();
    await own.page.waitForTimeout(1500);
    await own.page.keyboard.press('1');
    await own.page.keyboard.press('2');
    await own.page.keyboard.press('Enter');
    await own.page.getByText('No run is open: say “Start Lauf”').first().waitFor();
    await own.page.waitForFunction('window.spoken.length > 0');
    expect(await own.page.evaluate('window.spoken[0]')).toMatch(/^Kein Lauf ist offen/);
  } finally {
    await own.close();
  }
});
