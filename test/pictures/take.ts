import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { build } from 'vite';
import { serve } from '../../src/commands/serve.ts';
import { launch } from '../browser/browser.ts';

/**
 * `npm run pictures`: takes the README's pictures anew, from the built app and its invented demo notebook, into
 * `.github/pictures/`. To be run after a change of look, and looked at.
 */
const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = join(root, '.github', 'pictures');

interface Picture {
  readonly file: string;
  readonly width: number;
  readonly height: number;
  /** Brings the page, which shows the results of the demo notebook, to where the picture is taken. */
  readonly show: (page: Page) => Promise<void>;
}

const pictures: readonly Picture[] = [
  { file: 'bench.png', width: 390, height: 844, show: runUnderWay },
  { file: 'readings.png', width: 1200, height: 800, show: (page) => goTo(page, 'readings') },
  { file: 'rates.png', width: 1200, height: 800, show: (page) => goTo(page, 'rates') },
  { file: 'report.png', width: 1200, height: 800, show: reportWithTable },
];

async function goTo(page: Page, screen: string): Promise<void> {
  await page.evaluate((hash) => {
    location.hash = hash;
  }, `#/${screen}`);
  await page.waitForTimeout(1500);
}

/** The report from its bar on: the page to hand in begins below it. */
async function reportWithTable(page: Page): Promise<void> {
  await goTo(page, 'report');
  await page.locator('.one-page').waitFor();
}

/**
 * In a copy of the example, whose own Bench takes no readings: the first volume by key, then marks by the key of the marks,
 * two seconds apart, as a hurried caller would have them.
 */
async function runUnderWay(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Keep a copy to work on' }).click();
  await page.getByRole('button', { name: /My copy of the example/ }).waitFor();
  await goTo(page, 'bench');
  for (const key of ['s', '3', 'Enter']) await page.keyboard.press(key);
  await page.waitForTimeout(2000);
  for (let mark = 0; mark < 6; mark += 1) {
    await page.keyboard.press('Space');
    await page.waitForTimeout(2000);
  }
  await page.locator('.bench.running .big-number').first().waitFor();
}

const dist = await mkdtemp(join(tmpdir(), 'meniscall-pictures-'));
await build({ root, mode: 'production', logLevel: 'warn', build: { outDir: dist, emptyOutDir: true } });
const served = await serve(dist, 0);
await mkdir(folder, { recursive: true });
for (const picture of pictures) {
  const launched = await launch({ viewport: { width: picture.width, height: picture.height } });
  try {
    await launched.page.goto(served.address);
    await launched.page.getByRole('button', { name: /example/ }).click();
    await launched.page.waitForURL(/#\/rates/);
    await picture.show(launched.page);
    await launched.page.screenshot({ path: join(folder, picture.file) });
    console.log(`.github/pictures/${picture.file}`);
  } finally {
    await launched.close();
  }
}
await served.close();
await rm(dist, { recursive: true, force: true });
