import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { notebookFromJson } from '../../src/log/file.ts';
import { reduce } from '../../src/log/reduce.ts';
import { launch } from './browser.ts';
import { notebookOnDisk } from './notebook-in-page.ts';

/** What a disk that is truly full did to a run of marks by key. */
export interface FullDisk {
  /** Marks that the page answered as taken, mL, while the disk filled and after it was full. */
  readonly acknowledged: readonly number[];
  /** Marks that it answered as being in the page only. */
  readonly onlyInPage: readonly number[];
  /** What the page says about it. */
  readonly said: string;
  /** What must not be. */
  readonly wrong: readonly string[];
}

const chunk = Buffer.alloc(64 * 1024);

/** Writes until the disk has no room for one byte more. */
function fill(file: string): void {
  const handle = openSync(file, 'a');
  try {
    for (let size = chunk.length; size >= 1; )
      try {
        writeSync(handle, chunk, 0, size);
      } catch (error) {
        if (!(error instanceof Error && 'code' in error && error.code === 'ENOSPC')) throw error;
        size = Math.floor(size / 2);
      }
  } finally {
    closeSync(handle);
  }
}

const lastHeard = (page: Page) => page.getByRole('region', { name: 'Last heard' });

/** Marks the next one and gives the page's answer to it. */
async function mark(page: Page, ml: number): Promise<string> {
  for (const key of ml === 0 ? ['0', 'Enter'] : ['Space']) await page.keyboard.press(key);
  const answer = lastHeard(page).getByText(new RegExp(`^. ${ml} mL at`));
  await answer.waitFor({ timeout: 30_000 });
  return (await answer.textContent()) ?? '';
}

const valuesIn = (events: Parameters<typeof reduce>[0]): number[] =>
  reduce(events).runs.flatMap(({ readings }) => readings.map(({ volumeMl }) => volumeMl));

/**
 * A run in a browser whose data lie on a small disk that is then filled to the last byte; after some marks there is room
 * again, the browser is closed and opened anew on the same data.
 * @param disk a folder on a disk of some 64 MB that nothing else writes to
 */
export async function fullDisk(address: string, disk: string): Promise<FullDisk> {
  const profile = mkdtempSync(join(disk, 'profile-'));
  const filler = join(disk, 'filler');
  const options = { profile, args: ['--disk-cache-size=1', '--disable-gpu-shader-disk-cache'] };
  const acknowledged: number[] = [];
  const onlyInPage: number[] = [];
  const wrong: string[] = [];
  let said = '';
  const expectAll = (found: readonly number[], wanted: readonly number[], where: string): void => {
    const lost = wanted.filter((ml) => !found.includes(ml));
    if (lost.length > 0) wrong.push(`${where}: ${lost.join(' ')} mL missing`);
    if (new Set(found).size < found.length) wrong.push(`${where}: doubled, ${found.join(' ')}`);
  };
  const first = await launch(options);
  try {
    const { page } = first;
    await page.goto(address);
    await page.getByRole('button', { name: 'Begin a notebook' }).click();
    await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
    await page.keyboard.press('s');
    await lastHeard(page).getByText('Run 1 started').waitFor();
    for (const ml of [0, 2]) {
      await mark(page, ml);
      acknowledged.push(ml);
    }
    // What the browser does beside it takes some room for a while.
    await page.waitForTimeout(3000);
    fill(filler);
    for (let ml = 4; ml <= 60 && onlyInPage.length < 3; ml += 2) {
      const answer = await mark(page, ml);
      (/not stored/.test(answer) ? onlyInPage : acknowledged).push(ml);
      fill(filler);
    }
    if (onlyInPage.length === 0) wrong.push('the browser refused no write: the disk was not full');
    const banner = page.getByRole('button', { name: 'Save the notebook as a file' }).first();
    if ((await banner.count()) === 0) wrong.push('nothing was said');
    else {
      said = (await page.locator('.unsaved, .problem').allTextContents()).join(' | ');
      const coming = page.waitForEvent('download');
      await banner.click();
      const read = notebookFromJson(await readFile(await (await coming).path(), 'utf8'));
      if (!read.ok) wrong.push(`the file does not open: ${read.sentence}`);
      else expectAll(valuesIn(read.value.events), [...acknowledged, ...onlyInPage], 'saved file');
    }
    rmSync(filler);
    const again = page.getByRole('button', { name: 'Try to store it again' });
    for (let waited = 0; waited < 60 && (await again.count()) > 0; waited++) {
      await again
        .first()
        .click({ timeout: 1000 })
        .catch(() => {});
      await page.waitForTimeout(1000);
    }
    if ((await again.count()) > 0) wrong.push('not stored a minute after there was room again');
    const state = await notebookOnDisk(page);
    expectAll(
      state.runs.flatMap(({ readings }) => readings.map(({ volumeMl }) => volumeMl)),
      [...acknowledged, ...onlyInPage],
      'on disk',
    );
  } finally {
    await first.close();
  }
  const second = await launch(options);
  try {
    await second.page.goto(`${address}#/bench`);
    const count = acknowledged.length + onlyInPage.length;
    await second.page
      .getByRole('img', { name: new RegExp(`after ${count} readings`) })
      .waitFor({ timeout: 30_000 })
      .catch(() => wrong.push('not all readings are there after a start of the browser'));
  } finally {
    await second.close();
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  }
  return { acknowledged, onlyInPage, said, wrong };
}
