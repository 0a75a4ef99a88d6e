import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { orderFault } from '../../src/log/notebook-json.ts';
import { browserArguments, findBrowser } from './browser.ts';
import { eventsOnDisk } from './notebook-in-page.ts';
import { makeChance } from './speech-sound.ts';

export interface Killable {
  readonly browser: Browser;
  readonly page: Page;
  /** The whole process tree, at once and without warning (SIGKILL), and the end of it. */
  kill(): Promise<void>;
}

/** A browser in a process group of its own, so that all of it can be killed at once. */
export async function startKillable(profile: string, more: readonly string[] = []): Promise<Killable> {
  const found = await findBrowser();
  const child = spawn(
    found.executable,
    [
      ...browserArguments(),
      '--headless=new',
      '--remote-debugging-port=0',
      `--user-data-dir=${profile}`,
      ...more,
      'about:blank',
    ],
    { detached: process.platform !== 'win32', stdio: 'ignore', env: { ...process.env, ...found.environment } },
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
      if (process.platform === 'win32') execFileSync('taskkill', ['/F', '/T', '/PID', String(child.pid)]);
      else process.kill(-child.pid, 'SIGKILL');
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

export interface CrashTally {
  readonly cycles: number;
  /** Readings whose cue was given. */
  readonly acknowledged: number;
  /** Acknowledged readings that were not there after a kill or a reload. Must be 0. */
  readonly lost: number;
  /** Readings there that nobody made. Must be 0. */
  readonly invented: number;
  /** Openings at which the page left out damaged entries, plus 1 where the whole log does not hold together at the end. Must be 0. */
  readonly corrupted: number;
  /** Openings at which the browser had lost its database and the second copy came in. */
  readonly broughtBack: number;
  /** Marks under way at the kill that nobody waited for, and how many of them were there afterwards. */
  readonly unawaited: number;
  readonly unawaitedKept: number;
  /** Kills after which localStorage, the control, had lost its last write: proof that the kill is real. */
  readonly controlLost: number;
}

/** Notes every answer of the page: a warning may take the place of one before the driver looks. */
const noteAnswers = `(() => {
  window.answers = [];
  new MutationObserver(() => {
    const answer = document.querySelector('.last-heard .answer')?.textContent ?? '';
    if (answer !== window.answers.at(-1)) window.answers.push(answer);
  }).observe(document, { subtree: true, childList: true, characterData: true });
})();`;

declare global {
  interface Window {
    answers: string[];
  }
}

/** What the page said instead goes into the error: a cycle that stops must be explained. */
const explained = async <T>(page: Page, what: string, waiting: Promise<T>): Promise<T> =>
  waiting.catch(async (error) => {
    const said = await page.locator('body').textContent({ timeout: 5000 }).catch(String);
    throw new Error(`${what}; the page says: ${said}`, { cause: error });
  });

/** Resolves once the page has answered a mark as taken: from then on the reading counts as acknowledged. */
async function acknowledged(page: Page, ml: number): Promise<void> {
  const answered = page.waitForFunction(
    (start) => window.answers.some((answer) => answer.trim().startsWith(start)),
    `${ml} mL at`,
  );
  await explained(page, `no answer to ${ml} mL`, answered);
  await page.evaluate(() => window.answers.splice(0));
}

/** Counts what is on the cylinder: the readings' times hung at their marks. */
async function readingsOf(page: Page): Promise<number> {
  const label = await page.getByRole('img', { name: /^Cylinder with water/ }).getAttribute('aria-label');
  return Number(/after (\d+) reading/.exec(label ?? '')?.[1]);
}

/**
 * Marks by key in runs of ten; the browser is killed (three times of four) or the page reloaded (once) after every
 * two. Every other time a mark is under way that nobody waited for, so that the kill falls somewhere into its storing:
 * 0 to 15 ms after the key was sent, by chance (repeatable).
 */
export async function killCycles(
  address: string,
  cycles: number,
  onCycle: (done: number) => void = () => {},
): Promise<CrashTally> {
  const profile = await mkdtemp(join(tmpdir(), 'meniscall-crash-'));
  let current = await startKillable(profile);
  const tally = {
    cycles,
    acknowledged: 0,
    lost: 0,
    invented: 0,
    corrupted: 0,
    broughtBack: 0,
    unawaited: 0,
    unawaitedKept: 0,
    controlLost: 0,
  };
  const chance = makeChance(20);
  try {
    await current.page.addInitScript(noteAnswers);
    await current.page.goto(address);
    await current.page.getByRole('button', { name: 'Begin a notebook' }).click();
    await current.page.getByText('“start run 1”').waitFor();
    let inRun = 0;
    let runs = 0;
    let control = 0;
    for (let cycle = 0; cycle < cycles; cycle++) {
      const { page } = current;
      if (cycle % 5 === 0) {
        if (runs > 0) await page.keyboard.press('e');
        await page.keyboard.press('s');
        runs++;
        inRun = 0;
        await page.getByText(`Run ${runs} started`).first().waitFor();
      }
      for (let mark = 0; mark < 2; mark++) {
        for (const key of inRun === 0 ? ['0', 'Enter'] : ['Space']) await page.keyboard.press(key);
        await acknowledged(page, 2 * inRun);
        inRun++;
        tally.acknowledged++;
        await page.evaluate((value) => localStorage.setItem('control', String(value)), ++control);
      }
      // One more that nobody waits for: it may be there afterwards or not, but nothing may break.
      const unawaited = cycle % 2 === 0;
      if (unawaited) {
        tally.unawaited++;
        page.keyboard.press('Space').catch(() => {});
        await new Promise((resolve) => setTimeout(resolve, 15 * chance()));
      }
      if (cycle % 4 === 3) {
        await page.reload();
      } else {
        await current.kill();
        current = await startKillable(profile);
        await current.page.addInitScript(noteAnswers);
        await current.page.goto(`${address}#/bench`);
      }
      const cylinder = current.page.getByRole('img', { name: /^Cylinder with water/ });
      await explained(current.page, `the notebook did not open after cycle ${cycle}`, cylinder.waitFor());
      const found = await readingsOf(current.page);
      if (await current.page.getByText('could not be read').count()) tally.corrupted++;
      if (await current.page.getByText('came back from the second copy').count()) tally.broughtBack++;
      if (unawaited && found > inRun) tally.unawaitedKept++;
      tally.lost += Math.max(0, inRun - found);
      tally.invented += Math.max(0, found - inRun - (unawaited ? 1 : 0));
      inRun = found;
      const kept = await current.page.evaluate(() => Number(localStorage.getItem('control') ?? 0));
      if (kept < control) tally.controlLost++;
      control = kept;
      onCycle(cycle + 1);
    }
    if (orderFault(await eventsOnDisk(current.page))) tally.corrupted++;
    return tally;
  } finally {
    await current.kill().catch(() => {});
    await rm(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 }).catch(() => {});
  }
}
