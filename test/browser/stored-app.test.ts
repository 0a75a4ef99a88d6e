import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { serve } from '../../src/commands/serve.ts';
import { type Launched, launch } from './browser.ts';

/** The app as the service worker keeps it: damaged, partly deleted, and with newer data than it knows. */

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

/** The app, stored; from a host of its own, so that the host can go away. */
async function stored(): Promise<Launched & { address: string; stopHost: () => Promise<void> }> {
  const served = await serve(inject('dist'), 0);
  let gone = false;
  const stopHost = async (): Promise<void> => {
    if (!gone) await served.close();
    gone = true;
  };
  open.push(stopHost);
  const launched = await launch();
  open.push(launched.close);
  await launched.page.goto(served.address);
  await launched.page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await launched.page.reload();
  await launched.page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  return { ...launched, address: served.address, stopHost };
}

/** Puts something else in place of the stored entry script, and of the page itself. */
const poison = (page: Page): Promise<void> =>
  page.evaluate(async () => {
    const name = (await caches.keys()).find((key) => key.startsWith('meniscall-'));
    const cache = await caches.open(name ?? '');
    for (const request of await cache.keys()) {
      if (/assets\/index-[^/]*\.js$/.test(request.url))
        await cache.put(
          request,
          new Response('window.poisoned = true', { headers: { 'content-type': 'text/javascript' } }),
        );
      else if (request.url.endsWith('/'))
        await cache.put(request, new Response('<h1>poisoned</h1>', { headers: { 'content-type': 'text/html' } }));
    }
  });

test('poisoned files in the store are not served: fetched again with a network, refused without one', async () => {
  const { page, stopHost, address } = await stored();
  await poison(page);
  await page.goto(address);
  await page.getByRole('button', { name: 'Begin a notebook' }).waitFor();
  expect(await page.evaluate(() => 'poisoned' in window)).toBe(false);
  // Healed: the next start needs no host.
  await stopHost();
  await page.goto(address);
  await page.getByRole('button', { name: 'Begin a notebook' }).waitFor();
  await poison(page);
  await page.goto(address).catch(() => {});
  expect(await page.getByText('poisoned').count()).toBe(0);
});

test('files deleted from the store come back by themselves while there is a network', async () => {
  const { page, stopHost, address } = await stored();
  const left = () =>
    page.evaluate(async () => {
      const name = (await caches.keys()).find((key) => key.startsWith('meniscall-'));
      return (await (await caches.open(name ?? '')).keys()).length;
    });
  const all = await left();
  await page.evaluate(async () => {
    const name = (await caches.keys()).find((key) => key.startsWith('meniscall-'));
    const cache = await caches.open(name ?? '');
    for (const [i, request] of (await cache.keys()).entries()) if (i % 2 === 0) await cache.delete(request);
  });
  expect(await left()).toBeLessThan(all);
  await page.goto(address);
  await expect.poll(left, { timeout: 20_000 }).toBe(all);
  await stopHost();
  await page.goto(`${address}#/class`);
  await page.reload();
  await page.getByRole('heading', { level: 1 }).first().waitFor();
});

test('a database of a newer version is called that, and not a private window', async () => {
  const { page, address } = await stored();
  await page.goto(`${address}licences.txt`);
  await page.evaluate(
    () =>
      new Promise<void>((resolve) => {
        const opening = indexedDB.open('meniscall-events', 99);
        opening.onsuccess = () => {
          opening.result.close();
          resolve();
        };
      }),
  );
  await page.goto(address);
  await page.getByText('A newer version of Meniscall was used in this browser').waitFor();
  expect(await page.getByText('a private window').count()).toBe(0);
});

test('text becomes markup, and an address a worker, only where nothing foreign can run', async () => {
  const { page } = await stored();
  const outcome = await page.evaluate(() => {
    const tried = (work: () => void): string => {
      try {
        work();
        return 'done';
      } catch (error) {
        return error instanceof Error ? error.name : String(error);
      }
    };
    const element = document.createElement('div');
    return {
      known: 'trustedTypes' in window,
      image: tried(() => {
        element.innerHTML = '<img src=x onerror="window.ran = 1">';
      }),
      plain: tried(() => {
        element.innerHTML = '<p>plain</p>';
      }),
      worker: tried(() => void new Worker('https://elsewhere.example/x.js')),
      script: tried(() => {
        document.createElement('script').text = 'window.ran = 1';
      }),
      ran: 'ran' in window,
    };
  });
  expect(outcome).toEqual({
    known: true,
    image: 'TypeError',
    plain: 'done',
    worker: 'TypeError',
    script: 'TypeError',
    ran: false,
  });
});
