import { cp, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { serve } from '../../src/commands/serve.ts';
import { firstLoadBudget, measureSizes } from '../benchmarks/size.ts';
import { type Launched, type LaunchOptions, launch } from './browser.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function start(options: LaunchOptions = {}): Promise<Launched> {
  const launched = await launch(options);
  open.push(launched.close);
  return launched;
}

/** Addresses a page asks for, as they come. */
function requestsOf(page: Page): string[] {
  const asked: string[] = [];
  page.on('request', (request) => asked.push(request.url()));
  return asked;
}

const workerReady = (page: Page): Promise<unknown> =>
  page.evaluate(async () => (await navigator.serviceWorker.ready).active?.state);

const readyFor = (page: Page, screen: string): Promise<void> =>
  page
    .getByRole('heading', { level: 1 })
    .first()
    .waitFor({ timeout: 10_000 })
    .catch(() => {
      throw new Error(`${screen} shows no heading`);
    });

test('the first load keeps to its budget', () => {
  const sizes = measureSizes(inject('dist'));
  expect(sizes.start).toBeLessThan(firstLoadBudget);
  expect(sizes.bench).toBeLessThan(firstLoadBudget);
});

test('after one visit the app opens, and every screen with it, without a network', async () => {
  const address = inject('address');
  const { page, context } = await start();
  await page.goto(address);
  await workerReady(page);
  await page.reload();
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await context.setOffline(true);
  await page.goto(address);
  for (const screen of ['start', 'help', 'class']) {
    await page.goto(`${address}#/${screen}`);
    await page.reload();
    await readyFor(page, screen);
  }
  await page.goto(`${address}licences.txt`);
  await page.getByText('solid-js').waitFor();
  await page.goto(`${address}no-such-page`);
  await readyFor(page, 'an address that does not exist');
});

test('the app asks its own host only, and nothing more once it is stored', async () => {
  const address = inject('address');
  const { page } = await start();
  const asked = requestsOf(page);
  await page.goto(address);
  await workerReady(page);
  expect(asked.filter((url) => !url.startsWith(address))).toEqual([]);
  await page.reload();
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await page.waitForLoadState('networkidle');
  const before = asked.length;
  for (const screen of ['help', 'class', 'start']) {
    await page.goto(`${address}#/${screen}`);
    await readyFor(page, screen);
  }
  expect(asked.slice(before).filter((url) => !url.startsWith(address))).toEqual([]);
});

test('the policy stops code that did not come with the app', async () => {
  const { page } = await start();
  await page.goto(inject('address'));
  const stopped = await page.evaluate(async () => {
    const refused: string[] = [];
    document.addEventListener('securitypolicyviolation', (event) => refused.push(event.effectiveDirective));
    const script = document.createElement('script');
    // As a text node: text set by a property is refused before it is there.
    script.append(document.createTextNode('window.intruder = true'));
    document.body.append(script);
    const image = document.createElement('img');
    image.src = 'http://127.0.0.1:9/x.png';
    document.body.append(image);
    // A string timer, since the driver's own evaluation is exempt from the policy.
    try {
      setTimeout('window.evaluated = true', 0);
    } catch {
      // Refused at once where text must go through the page's policy for scripts: it has none.
    }
    await new Promise((resolve) => setTimeout(resolve, 200));
    return { refused, evaluated: 'evaluated' in window, intruder: 'intruder' in window };
  });
  expect(stopped.intruder).toBe(false);
  expect(stopped.evaluated).toBe(false);
  expect(stopped.refused).toContain('img-src');
});

test('it works from a sub-path of any static host', async () => {
  const host = await mkdtemp(join(tmpdir(), 'meniscall-host-'));
  open.push(() => rm(host, { recursive: true, force: true }));
  await cp(inject('dist'), join(host, 'chem', 'tools'), { recursive: true });
  const served = await serve(host, 0);
  open.push(served.close);
  const { page } = await start();
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('response', (response) => {
    if (response.status() >= 400) faults.push(response.url());
  });
  await page.goto(`${served.address}chem/tools/`);
  await readyFor(page, 'start');
  await workerReady(page);
  expect(faults).toEqual([]);
});

test('a notebook is held by one window; another says so and can take it over', async () => {
  const { page, context } = await start();
  await page.goto(inject('address'));
  await makeNotebook(page);
  const second = await context.newPage();
  await second.goto(inject('address'));
  const takeOver = second.getByRole('button', { name: 'Go on in this window' });
  await takeOver.waitFor();
  await takeOver.click();
  await takeOver.waitFor({ state: 'detached' });
  await page.getByRole('button', { name: 'Go on in this window' }).waitFor();
});

async function makeNotebook(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('link', { name: 'Bench' }).waitFor();
}
