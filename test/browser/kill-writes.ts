import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import type { NotebookEvent } from '../../src/log/event.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { reduce } from '../../src/log/reduce.ts';
import { calledRun } from '../benchmarks/called-run.ts';
import { largeEvents } from '../benchmarks/large-events.ts';
import { eventsInPage } from './events-in-page.ts';
import { type Killable, startKillable } from './killable-browser.ts';
import { callsEvery, makeChance, speechFile } from './speech-sound.ts';

/**
 * The browser is killed in the middle of a spoken run, an import, a deletion, the writing of the second copy and the restoring from it.
 * Afterwards a notebook is there whole or not at all, and what was acknowledged holds.
 */
export interface KillTally {
  kills: number;
  /** Kills that fell before the act was done: proof that they hit it. */
  inTheMiddle: number;
  /** Spoken readings whose cue had been given. */
  acknowledged: number;
  readonly wrong: string[];
}

type Act = (bench: KillBench) => Promise<void>;

interface KillBench {
  readonly address: string;
  readonly chance: () => number;
  readonly tally: KillTally;
  page(): Page;
  /** Kills all of the browser and starts it again on the same data, at the first screen. */
  killAndStart(): Promise<void>;
}

const wait = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

async function toStart(page: Page, address: string): Promise<void> {
  await page.goto(`${address}#/start`);
  await page.getByRole('button', { name: 'Begin a notebook' }).waitFor();
}

const titled = (events: readonly NotebookEvent[], title: string): NotebookEvent[] =>
  events.map((event) => (event.body.kind === 'created' ? { ...event, body: { ...event.body, title } } : event));

const large = largeEvents(4, 500);

/** Notes every value that the page answers as taken; takes the browser's own recogniser away. */
const noteTaken = `(() => {
  delete window.SpeechRecognition;
  delete window.webkitSpeechRecognition;
  window.takenValues = [];
  new MutationObserver(() => {
    const answer = document.querySelector('.last-heard .answer')?.textContent ?? '';
    const value = /^ ?(\\d+(?:\\.\\d+)?) mL at/.exec(answer)?.[1];
    if (value && !/not stored/.test(answer) && !window.takenValues.includes(value)) window.takenValues.push(value);
  }).observe(document, { subtree: true, childList: true, characterData: true });
})();`;

declare global {
  interface Window {
    takenValues: string[];
  }
}

const acts: Readonly<Record<string, Act>> = {
  /** A run spoken into the microphone, heard by the embedded ear; what was cued as taken is there. */
  async voice({ address, chance, tally, page, killAndStart }) {
    const title = `Voice ${tally.kills}`;
    await page().addInitScript(noteTaken);
    // A new document: the scripts above come before its code.
    await page().goto('about:blank');
    await toStart(page(), address);
    await page().getByLabel('Name of the new notebook').fill(title);
    await page().getByRole('button', { name: 'Begin a notebook' }).click();
    await page().getByRole('button', { name: 'Open the microphone' }).click();
    await page().waitForFunction(() => window.takenValues.length > 0, null, { timeout: 60_000 });
    await wait(5000 * chance());
    const acknowledged = await page().evaluate(() => [...window.takenValues]);
    await killAndStart();
    const values = reduce(await eventsInPage(page(), title)).runs.flatMap(({ readings }) =>
      readings.map(({ value }) => value),
    );
    tally.inTheMiddle++;
    tally.acknowledged += acknowledged.length;
    const lost = acknowledged.filter((value) => !values.includes(value));
    if (lost.length > 0) tally.wrong.push(`voice: acknowledged ${lost.join(' ')} mL lost`);
  },

  async import({ address, chance, tally, page, killAndStart }) {
    const title = `Import ${tally.kills}`;
    await toStart(page(), address);
    const json = notebookToJson({ id: `import-${tally.kills}`, events: titled(large, title) });
    await page()
      .locator('input[type=file]')
      .first()
      .setInputFiles({ name: 'large.json', mimeType: 'application/json', buffer: Buffer.from(json) });
    await wait(1200 * chance());
    await killAndStart();
    const found = await eventsInPage(page(), title);
    if (found.length === 0) tally.inTheMiddle++;
    // Opening adds an event or two of its own.
    else if (found.length < large.length) tally.wrong.push(`import: ${found.length} of ${large.length} events`);
  },

  async delete({ address, chance, tally, page, killAndStart }) {
    const title = `Delete ${tally.kills}`;
    await toStart(page(), address);
    await page().getByLabel('Name of the new notebook').fill(title);
    await page().getByRole('button', { name: 'Begin a notebook' }).click();
    await page().getByRole('button', { name: 'Open the microphone' }).waitFor();
    await toStart(page(), address);
    const before = (await eventsInPage(page(), title)).length;
    await page()
      .getByRole('button', { name: `Delete ${title}…` })
      .click();
    page()
      .getByRole('button', { name: `Delete ${title} for good` })
      .click()
      .catch(() => {});
    await wait(400 * chance());
    const acknowledged = (await page().getByText(`${title} is deleted`).count()) > 0;
    await killAndStart();
    await wait(1500);
    const found = (await eventsInPage(page(), title)).length;
    if (found > 0) tally.inTheMiddle++;
    if (acknowledged && found > 0) tally.wrong.push('delete: an acknowledged deletion came back');
    if (found > 0 && found < before) tally.wrong.push(`delete: ${found} of ${before} events`);
    await page().reload();
    await wait(1000);
    if (found === 0 && (await eventsInPage(page(), title)).length > 0) tally.wrong.push('delete: came back later');
  },

  async 'second copy'({ address, chance, tally, page, killAndStart }) {
    const title = `Copy ${tally.kills}`;
    const id = `copy-${tally.kills}`;
    await toStart(page(), address);
    await page().goto(`${address}licences.txt`);
    await putEvents(page(), id, titled(large, title));
    await page().goto(`${address}#/start`);
    await wait(900 * chance());
    await killAndStart();
    const covered = async (): Promise<number> => (await copied(page(), id)).to;
    if ((await covered()) < large.length) tally.inTheMiddle++;
    for (let waited = 0; waited < 20_000 && (await covered()) < large.length; waited += 500) await wait(500);
    if ((await covered()) < large.length) {
      tally.wrong.push(`second copy: ${await covered()} of ${large.length} events`);
      return;
    }
    // The database goes; the restore is killed as well.
    await page().goto('about:blank');
    const session = await page().context().newCDPSession(page());
    await session.send('Storage.clearDataForOrigin', { origin: new URL(address).origin, storageTypes: 'indexeddb' });
    await page().goto(`${address}#/start`);
    await wait(900 * chance());
    await killAndStart();
    const restored = async (): Promise<number> => (await eventsInPage(page(), title)).length;
    if ((await restored()) < large.length) tally.inTheMiddle++;
    for (let waited = 0; waited < 20_000 && (await restored()) < large.length; waited += 500) await wait(500);
    if ((await restored()) < large.length) tally.wrong.push(`restore: ${await restored()} of ${large.length} events`);
  },
};

export const killKinds = Object.keys(acts);

/** A notebook in the database, and nowhere else. */
const putEvents = (page: Page, id: string, events: readonly NotebookEvent[]): Promise<void> =>
  page.evaluate(
    ({ id, events }) =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open('meniscall-events');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const transaction = opening.result.transaction('all', 'readwrite');
          for (const event of events) transaction.objectStore('all').put(event, [id, event.seq]);
          transaction.oncomplete = () => {
            opening.result.close();
            resolve();
          };
        };
      }),
    { id, events: [...events] },
  );

/** How far the second copy of a notebook goes without a gap. */
const copied = (page: Page, id: string): Promise<{ to: number }> =>
  page.evaluate(async (id) => {
    const cache = await caches.open('second-copy-of-notebooks');
    const pieces = (await cache.keys()).flatMap(({ url }) => {
      const [, own, first, last] = /second-copy\/([^/]+)\/\d+\/(\d+)\/(\d+)$/.exec(url) ?? [];
      return own === id ? [[Number(first), Number(last)] as const] : [];
    });
    let to = 0;
    for (const [first, last] of pieces.sort((a, b) => a[0] - b[0])) if (first <= to + 1) to = Math.max(to, last);
    return { to };
  }, id);

/** `kills` kills in acts of one kind; a second copy takes two each. */
export async function killWrites(address: string, kind: string, kills: number, seed = 20): Promise<KillTally> {
  const act = acts[kind];
  if (!act) throw new Error(`no act called ${kind}`);
  const profile = await mkdtemp(join(tmpdir(), 'meniscall-kills-'));
  const sound = await speechFile(callsEvery(1.7, calledRun), { tailS: 1.5 });
  const spoken = [`--use-file-for-fake-audio-capture=${sound.path}`];
  let current: Killable = await startKillable(profile, spoken);
  const tally: KillTally = { kills: 0, inTheMiddle: 0, acknowledged: 0, wrong: [] };
  const bench: KillBench = {
    address,
    tally,
    chance: makeChance(seed),
    page: () => current.page,
    async killAndStart() {
      await current.kill();
      tally.kills++;
      current = await startKillable(profile, spoken);
      await toStart(current.page, address);
    },
  };
  try {
    while (tally.kills < kills) await act(bench);
    return tally;
  } finally {
    await current.kill().catch(() => {});
    await rm(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 }).catch(() => {});
  }
}
