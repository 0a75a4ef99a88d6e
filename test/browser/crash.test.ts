import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { browserArguments, findBrowser } from './browser.ts';

/**
 * The browser dies in the middle of a run: a reading whose cue was given must be there afterwards. localStorage,
 * written at the same moments, is the control: it loses its last writes, which proves that the kill is real.
 */
const cycles = 20;
const cleanUps: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const clean of cleanUps.splice(0).reverse()) await clean();
});

interface Killable {
  readonly browser: Browser;
  readonly page: Page;
  /** SIGKILL to the whole process tree, and the end of it. */
  kill(): Promise<void>;
}

/** A browser in a process group of its own, so that all of it can be killed at once. */
async function startKillable(profile: string): Promise<Killable> {
  const found = await findBrowser();
  const child = spawn(
    found.executable,
    [...browserArguments(), '--headless=new', '--remote-debugging-port=0', `--user-data-dir=${profile}`, 'about:blank'],
    { detached: true, stdio: 'ignore', env: { ...process.env, ...found.environment } },
  );
  const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  const browser = await chromium.connectOverCDP(`http://127.0.0.1:${await portOf(profile, child)}`);
  const context = browser.contexts()[0];
  if (!context) throw new Error('the browser has no context');
  const page = context.pages()[0] ?? (await context.newPage());
  return {
    browser,
    page,
    async kill() {
      if (child.pid === undefined) throw new Error('the browser did not start');
      process.kill(-child.pid, 'SIGKILL');
      await gone;
      await browser.close().catch(() => {});
      await rm(join(profile, 'DevToolsActivePort'), { force: true });
    },
  };
}

async function portOf(profile: string, child: ChildProcess): Promise<number> {
  for (let waited = 0; waited < 20_000; waited += 50) {
    if (child.exitCode !== null) throw new Error(`the browser ended with ${child.exitCode}`);
    const text = await readFile(join(profile, 'DevToolsActivePort'), 'utf8').catch(() => '');
    const port = Number(text.split('\n')[0]);
    if (port > 0) return port;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error('the browser did not open its port');
}

/** Counts what is on the cylinder: the reading's times hung at their marks. */
const readingsOf = async (page: Page): Promise<number> => {
  const label = await page.getByRole('img', { name: /^Cylinder with water/ }).getAttribute('aria-label');
  return Number(/after (\d+) reading/.exec(label ?? '')?.[1]);
};

test(`${cycles} times killed or reloaded in the middle of a run, every acknowledged reading is there`, async () => {
  const profile = await mkdtemp(join(tmpdir(), 'meniscall-crash-'));
  cleanUps.push(() => rm(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 }));
  const address = inject('address');

  let current = await startKillable(profile);
  cleanUps.push(() => current.kill().catch(() => {}));
  await current.page.goto(address);
  await current.page.getByRole('button', { name: 'Begin a notebook' }).click();
  await current.page.getByText('“start run 1”').waitFor();
  await current.page.keyboard.press('s');
  await current.page.getByText('Run 1 started').first().waitFor();

  let acknowledged = 0;
  let controlWritten = 0;
  let controlLost = 0;
  for (let cycle = 0; cycle < cycles; cycle++) {
    const { page } = current;
    for (let mark = 0; mark < 2; mark++) {
      await page.keyboard.press('Space');
      await page
        .getByText(`${2 * acknowledged} mL at`)
        .first()
        .waitFor();
      acknowledged++;
      await page.evaluate((value) => localStorage.setItem('control', String(value)), ++controlWritten);
    }
    // One more that nobody waits for: it may be there afterwards or not, but nothing may break.
    const unawaited = cycle % 4 === 2;
    if (unawaited) await page.keyboard.press('Space');
    if (cycle % 4 === 3) {
      await page.reload();
    } else {
      await current.kill();
      current = await startKillable(profile);
      await current.page.goto(`${address}#/bench`);
    }
    await current.page.getByRole('img', { name: /^Cylinder with water/ }).waitFor();
    const found = await readingsOf(current.page);
    expect(found).toBeGreaterThanOrEqual(acknowledged);
    expect(found).toBeLessThanOrEqual(acknowledged + (unawaited ? 1 : 0));
    acknowledged = found;
    const kept = await current.page.evaluate(() => Number(localStorage.getItem('control') ?? 0));
    if (kept < controlWritten) controlLost++;
    controlWritten = kept;
  }
  expect(acknowledged).toBeGreaterThanOrEqual(2 * cycles);
  expect(controlLost).toBeGreaterThan(0);
}, 180_000);
