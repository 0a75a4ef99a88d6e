import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { notebookLink } from '../../src/files/link.ts';
import type { Notebook } from '../../src/log/state.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { voicedNotebook } from '../files/voiced-notebook.ts';
import { type Launched, launch } from './browser.ts';
import { writeFilm } from './code-video.ts';
import { shownCodes } from './shown-codes.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function start(options: Parameters<typeof launch>[0] = {}): Promise<Launched> {
  const launched = await launch(options);
  open.push(launched.close);
  return launched;
}

const group = (number: number, name: string): Notebook =>
  groupNotebook(number, { title: 'Year 12 iodide set', invented: false, group: name });

/** A student's phone that shows its code: screenshots of every code it shows in turn. */
async function codesOf(page: Page, notebook: Notebook): Promise<Buffer[]> {
  await page.goto(inject('address'));
  await page.goto(notebookLink(inject('address'), notebook));
  await page.getByRole('button', { name: 'Keep a copy' }).click();
  await page.waitForURL(/#\/report/);
  return shownCodes(page);
}

test('the camera collects groups from the codes on their phones, refuses doubles, and says what is no result', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'meniscall-scan-'));
  open.push(() => rm(folder, { recursive: true, force: true }));
  const phone = await start({ viewport: { width: 390, height: 700 } });
  const otters = await codesOf(phone.page, group(1, 'Otters'));
  const herons = await codesOf(phone.page, group(2, 'Herons'));
  const voiced = await codesOf(
    phone.page,
    voicedNotebook(11, (n) => `4be20c-${n}`),
  );
  expect([otters.length, herons.length]).toEqual([1, 1]);
  expect(voiced.length).toBeGreaterThan(1);
  const film = join(folder, 'phones.y4m');
  const each = (pictures: readonly Buffer[], frames: number) => pictures.map((png) => ({ png, frames }));
  await writeFilm(phone.page, film, [
    ...each(otters, 6),
    ...each(herons, 6),
    ...each(voiced, 3),
    // The phone goes on showing its codes in turn, and a group comes again.
    ...each(voiced, 3),
    ...each(otters, 6),
  ]);
  await phone.close();
  const { page } = await start({
    permissions: ['camera'],
    viewport: { width: 1440, height: 900 },
    args: [`--use-file-for-fake-video-capture=${film}`],
  });
  await page.goto(`${inject('address')}#/class`);
  await page.getByRole('button', { name: 'Scan their codes' }).click();
  const log = page.getByRole('log');
  await log.getByText('Otters is in.').waitFor({ timeout: 60_000 });
  await log.getByText('Herons is in.').waitFor({ timeout: 60_000 });
  await page.getByText('3 groups in the class').waitFor({ timeout: 60_000 });
  await log.getByText('Otters is in the class already and counts once.').waitFor({ timeout: 60_000 });
  expect(await page.getByText('3 groups in the class').count()).toBe(1);
  await page.getByRole('button', { name: 'Close the camera' }).click();
  await page.locator('.forest text', { hasText: 'Herons' }).waitFor();
  expect(await page.locator('.scan').count()).toBe(0);
});

test('without a camera, or without leave to use it, a sentence says what to do instead', async () => {
  const { page } = await start({ permissions: [], args: ['--deny-permission-prompts'] });
  await page.addInitScript(() => {
    navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('no', 'NotAllowedError'));
  });
  await page.goto(`${inject('address')}#/class`);
  await page.getByRole('button', { name: 'Scan their codes' }).click();
  await page.getByText(/does not let this page use the camera/).waitFor();
  await page.getByRole('button', { name: 'Close the camera' }).click();
});

test('a camera that is busy or goes away in mid-scan: said, with a way to start it again; groups that are in stay', async () => {
  const { page } = await start({ permissions: ['camera'] });
  await page.addInitScript(() => {
    const ask = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
    let first = true;
    navigator.mediaDevices.getUserMedia = async (wanted) => {
      if (!first) return ask(wanted);
      first = false;
      throw new DOMException('in use', 'NotReadableError');
    };
  });
  await page.goto(`${inject('address')}#/class`);
  await page.getByRole('button', { name: 'Scan their codes' }).click();
  await page.getByText('another program may be using it').waitFor();
  await page.getByRole('button', { name: 'Start the camera again' }).click();
  await page.getByText('Looking for a code').waitFor();
  await page.evaluate(() => {
    const { srcObject } = document.querySelector('video') ?? {};
    if (srcObject instanceof MediaStream)
      for (const track of srcObject.getTracks()) track.dispatchEvent(new Event('ended'));
  });
  await page.getByText('The camera stopped').waitFor();
  await page.getByRole('button', { name: 'Start the camera again' }).click();
  await page.getByText('Looking for a code').waitFor();
});
