import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import { serve } from '../../src/commands/serve.ts';
import { orderFault } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import { launch } from './browser.ts';
import { eventsInPage } from './events-in-page.ts';
import { fakeRecogniser } from './fake-recogniser.ts';
import { callsEvery, makeChance, speechFile } from './speech-sound.ts';

/**
 * A spoken run in the real browser during which one to three parts fail, each at a moment and in an order that a seed
 * decides; then the parts work again. What is checked is what a person relies on: see `FaultRun`.
 */
export interface FaultRun {
  readonly seed: number;
  readonly faults: readonly string[];
  /** Readings whose cue said that they are taken. */
  readonly acknowledged: number;
  /** What must not be. */
  readonly wrong: readonly string[];
}

/** Handles by which the page's own parts are broken; put in before any code of the page. */
const handles = `(() => {
  const faults = (window.faults = { storage: 'good', shiftMs: 0, tracks: [], contexts: [], workers: [], answers: [] });
  const now = Date.now.bind(Date);
  Date.now = () => now() + faults.shiftMs;
  for (const name of ['add', 'put']) {
    const write = IDBObjectStore.prototype[name];
    IDBObjectStore.prototype[name] = function (...given) {
      if (faults.storage === 'throws') throw new DOMException('a fault of the disk', 'UnknownError');
      const request = write.apply(this, given);
      if (faults.storage === 'full') {
        const { transaction } = this;
        Object.defineProperty(transaction, 'error', {
          value: new DOMException('no room', 'QuotaExceededError'),
          configurable: true,
        });
        request.onsuccess = () => transaction.abort();
      }
      return request;
    };
  }
  const complete = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, 'oncomplete');
  Object.defineProperty(IDBTransaction.prototype, 'oncomplete', {
    ...complete,
    set(handler) {
      complete.set.call(this, handler && ((event) =>
        faults.storage === 'slow' ? setTimeout(() => handler.call(this, event), 2500) : handler.call(this, event)));
    },
  });
  const media = navigator.mediaDevices;
  const open = media.getUserMedia.bind(media);
  media.getUserMedia = async (wanted) => {
    const stream = await open(wanted);
    faults.tracks.push(...stream.getTracks());
    return stream;
  };
  const RealContext = window.AudioContext;
  window.AudioContext = class extends RealContext {
    constructor(...given) {
      super(...given);
      faults.contexts.push(this);
    }
  };
  const RealWorker = window.Worker;
  window.Worker = class extends RealWorker {
    constructor(...given) {
      super(...given);
      faults.workers.push(this);
    }
  };
  const note = () => {
    const answer = document.querySelector('.last-heard .answer')?.textContent ?? '';
    if (answer !== faults.answers.at(-1)) faults.answers.push(answer);
  };
  new MutationObserver(note).observe(document, { subtree: true, childList: true, characterData: true });
})();`;

declare global {
  interface Window {
    faults: {
      storage: 'good' | 'throws' | 'full' | 'slow';
      shiftMs: number;
      tracks: MediaStreamTrack[];
      contexts: AudioContext[];
      workers: Worker[];
      answers: string[];
    };
  }
}

interface Bench {
  readonly page: Page;
  readonly context: BrowserContext;
  readonly address: string;
  readonly dist: string;
  readonly chance: () => number;
}

const wait = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
const during =
  (storage: 'throws' | 'full' | 'slow') =>
  async ({ page, chance }: Bench) => {
    await page.evaluate((state) => {
      window.faults.storage = state;
    }, storage);
    await wait(1500 + 2500 * chance());
    await page.evaluate(() => {
      window.faults.storage = 'good';
    });
  };

/** Each breaks one part; the run goes on. */
const faults: Readonly<Record<string, (bench: Bench) => Promise<void>>> = {
  'storage throws': during('throws'),
  'storage full': during('full'),
  'storage slow': during('slow'),
  'storage vanishes': async ({ page, context, address }) => {
    const session = await context.newCDPSession(page);
    await session.send('Storage.clearDataForOrigin', { origin: new URL(address).origin, storageTypes: 'indexeddb' });
  },
  'storage newer': async ({ context, address }) => {
    const other = await context.newPage();
    await other.goto(`${address}licences.txt`);
    await other.evaluate(
      () =>
        new Promise<void>((resolve) => {
          const opening = indexedDB.open('meniscall-events', 99);
          opening.onsuccess = () => {
            opening.result.close();
            resolve();
          };
          opening.onblocked = () => resolve();
        }),
    );
    await other.close();
  },
  'worker killed': ({ page }) => page.evaluate(() => window.faults.workers.at(-1)?.terminate()),
  'microphone ended': ({ page }) =>
    page.evaluate(() => {
      for (const track of window.faults.tracks) {
        track.stop();
        track.dispatchEvent(new Event('ended'));
      }
    }),
  'sound suspended': ({ page }) =>
    page.evaluate(async () => {
      await Promise.all(window.faults.contexts.map((one) => one.suspend().catch(() => {})));
    }),
  'permission withdrawn': async ({ page, context, chance }) => {
    await context.clearPermissions();
    await page.evaluate(() => {
      for (const track of window.faults.tracks) {
        track.stop();
        track.dispatchEvent(new Event('ended'));
      }
    });
    await wait(1000 + 2000 * chance());
    await context.grantPermissions(['microphone']);
  },
  'second window': async ({ context, address, chance }) => {
    const other = await context.newPage();
    await other.goto(`${address}#/bench`);
    await wait(1000 + 1500 * chance());
    await other.close();
  },
  'frozen and resumed': async ({ page, context, chance }) => {
    const session = await context.newCDPSession(page);
    await session.send('Page.setWebLifecycleState', { state: 'frozen' });
    await wait(500 + 2000 * chance());
    await session.send('Page.setWebLifecycleState', { state: 'active' });
  },
  'clock jumps': ({ page, chance }) =>
    page.evaluate(
      (ms) => {
        window.faults.shiftMs += ms;
      },
      (chance() - 0.5) * 4e9,
    ),
  'service worker replaced': async ({ page, dist, chance }) => {
    const file = join(dist, 'service-worker.js');
    await writeFile(file, `${await readFile(file, 'utf8')}\n// ${chance()}`);
    await page.evaluate(async () => {
      const registration = await navigator.serviceWorker.getRegistration();
      await registration?.update().catch(() => {});
      registration?.waiting?.postMessage('take over');
    });
  },
  reloaded: async ({ page }) => {
    await page.reload();
    // With a database of a newer version there is no notebook to open, and the page says that.
    await page
      .getByRole('img', { name: /^Cylinder/ })
      .or(page.getByText('newer version').first())
      .first()
      .waitFor();
  },
};

/** Values of answers such as "4 mL at 0:03", but for those that say they are not stored. */
const takenIn = (answers: readonly string[]): number[] =>
  answers.flatMap((answer) => {
    const value = /^ ?(\d+) mL at/.exec(answer)?.[1];
    return value === undefined || /not stored/.test(answer) ? [] : [Number(value)];
  });

/** Sentences by which a loss is said. */
const lossSaid = /in this page only|had lost|had cleared|could not be read|newer version|changed in another window/;

/** For how long the screen may be wrong about hearing while a part has just failed, ms. */
const graceMs = 6000;

/** Looks four times a second at what the page claims; gives the longest false claim to hear, ms. */
function watchClaims(page: Page): { readonly longest: () => number; stop: () => void } {
  let since: number | null = null;
  let longest = 0;
  const timer = setInterval(async () => {
    const claim = await page
      .evaluate(() => {
        const { tracks, contexts } = window.faults;
        const live =
          tracks.some((track) => track.readyState === 'live') && contexts.some((one) => one.state === 'running');
        return /^Hears/.test(document.querySelector('.ear-state')?.textContent?.trim() ?? '') && !live;
      })
      .catch(() => false);
    if (!claim) since = null;
    else {
      since ??= Date.now();
      longest = Math.max(longest, Date.now() - since);
    }
  }, 250);
  return { longest: () => longest, stop: () => clearInterval(timer) };
}

/** A folder of the built app that a fault may change, served. */
export async function faultHost(dist: string): Promise<{ address: string; dist: string; close: () => Promise<void> }> {
  const copy = await mkdtemp(join(tmpdir(), 'meniscall-faults-'));
  await cp(dist, copy, { recursive: true });
  const served = await serve(copy, 0);
  return {
    address: served.address,
    dist: copy,
    close: async () => {
      await served.close();
      await rm(copy, { recursive: true, force: true });
    },
  };
}

/** Reads what there is on disk, whatever version the database has. */
async function onDisk(page: Page): Promise<{ values: number[]; order: string | null }> {
  const events = await eventsInPage(page, 'Faults');
  const readings = reduce(events).runs.flatMap((run) => run.readings);
  return { values: readings.map(({ volumeMl }) => volumeMl), order: events.length > 0 ? orderFault(events) : null };
}

export async function faultRun(host: { address: string; dist: string }, seed: number): Promise<FaultRun> {
  const chance = makeChance(seed);
  const sound = await speechFile(callsEvery(1.7), { tailS: 1.5 });
  const { page, context, close } = await launch({
    args: [`--use-file-for-fake-audio-capture=${sound.path}`],
    initScripts: [handles, fakeRecogniser({ none: true })],
  });
  const chosen: string[] = [];
  const wrong: string[] = [];
  const acknowledged = new Set<number>();
  const collect = async (): Promise<void> => {
    const answers = await page.evaluate(() => window.faults.answers.splice(0)).catch(() => []);
    for (const value of takenIn(answers)) acknowledged.add(value);
  };
  const bench: Bench = { page, context, chance, ...host };
  let said = '';
  const listen = async (): Promise<void> => {
    said += (
      await page
        .locator('body')
        .textContent({ timeout: 5000 })
        .catch(() => '')
    )?.slice(0, 8000);
  };
  try {
    await beginRun(page, host.address);
    const claims = watchClaims(page);
    const count = 1 + Math.floor(3 * chance());
    for (let i = 0; i < count; i++) {
      await wait(1500 + 2500 * chance());
      await collect();
      const names = Object.keys(faults);
      const name = names[Math.floor(chance() * names.length)] ?? '';
      chosen.push(name);
      await faults[name]?.(bench);
      await listen();
      await collect();
    }
    await wait(2500);
    await collect();
    // The keys work whatever became of the sound.
    const again = page.getByRole('button', { name: /Open the microphone/ });
    if (await again.count())
      await again
        .first()
        .click({ timeout: 2000 })
        .catch(() => {});
    await wait(2500);
    // Quiet first: a key and a sound at the same moment would be two marks, in either order.
    await page.evaluate(() => {
      for (const track of window.faults.tracks) track.enabled = false;
    });
    await wait(2500);
    await page.keyboard.press('Space');
    await wait(1500);
    await page
      .getByRole('button', { name: 'Try to store it again' })
      .click({ timeout: 500 })
      .catch(() => {});
    await wait(1000);
    await collect();
    await listen();
    claims.stop();
    if (claims.longest() > graceMs) wrong.push(`claimed to hear for ${claims.longest()} ms while it did not`);
    await judge(page, host.address, [...acknowledged], () => said, wrong);
  } catch (error) {
    wrong.push(`stopped: ${String(error).slice(0, 400)}`);
  } finally {
    await close();
  }
  return { seed, faults: chosen, acknowledged: acknowledged.size, wrong };
}

/** A notebook that is deleted, then the one of the run, with sound marks and an open microphone. */
async function beginRun(page: Page, address: string): Promise<void> {
  for (const name of ['Gone', 'Faults']) {
    await page.goto(`${address}#/start`);
    await page.getByLabel('Name of the new notebook').fill(name);
    await page.getByRole('button', { name: 'Begin a notebook' }).click();
    await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  }
  await page.goto(`${address}#/start`);
  await page.getByRole('button', { name: 'Delete Gone…' }).click();
  await page.getByRole('button', { name: 'Delete Gone for good' }).click();
  await page.getByRole('button', { name: 'Delete Gone…' }).waitFor({ state: 'detached' });
  await page.goto(`${address}#/bench`);
  await page.getByText('How it hears and answers').click();
  await page.getByRole('radio', { name: /^Sound marks/ }).check();
  await page.keyboard.press('s');
  await page.getByText('Run 1 started').first().waitFor();
  for (const key of ['0', 'Enter']) await page.keyboard.press(key);
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page.getByText('Hears sounds').first().waitFor();
}

/** What a person relies on, after everything works again. */
async function judge(
  page: Page,
  address: string,
  acknowledged: readonly number[],
  said: () => string,
  wrong: string[],
): Promise<void> {
  const { values, order } = await onDisk(page);
  if (order) wrong.push(`order: ${order}`);
  if (new Set(values).size < values.length) wrong.push(`doubled: ${values.join(' ')}`);
  if (process.env.FAULTS_DEBUG && wrong.length > 0)
    for (const { id, body } of await eventsInPage(page, 'Faults')) console.log(id, JSON.stringify(body).slice(0, 260));
  const lost = acknowledged.filter((value) => !values.includes(value));
  if (lost.length > 0 && !lossSaid.test(said())) wrong.push(`lost in silence: ${lost.join(' ')} mL`);
  // What is deleted stays deleted over a start and its second copy.
  page.on('dialog', (dialog) => void dialog.accept().catch(() => {}));
  await page.goto('about:blank');
  await page.goto(`${address}#/start`);
  await page.getByRole('button', { name: 'Begin a notebook' }).waitFor();
  await wait(1000);
  if (await page.getByText('Gone', { exact: true }).count()) wrong.push('a deleted notebook came back');
}
