import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { serve } from '../../src/commands/serve.ts';
import type { NotebookEvent } from '../../src/log/event.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { eventsIn } from '../../src/log/records.ts';
import { reduce } from '../../src/log/reduce.ts';
import { calledRun } from '../benchmarks/called-run.ts';
import { largeEvents } from '../benchmarks/large-events.ts';
import { eventsInPage } from './events-in-page.ts';
import { type Killable, startKillable } from './killable-browser.ts';
import { callsEvery, makeChance, speechFile } from './speech-sound.ts';

/**
 * The browser is killed, all of it at once (SIGKILL to its process group), in the middle of a spoken run, an import, a
 * deletion, the writing of the second copy, the restoring from it, and the move from the database of the first version;
 * and a page is closed just after a press on a Bench that is opening. Afterwards a notebook is there whole or not at all,
 * and what was acknowledged holds.
 *
 * Several windows work at the same time in one browser, each on an origin and so in databases of its own: one SIGKILL
 * counts as a kill in each of them.
 */
export interface KillTally {
  /** Windows killed at work. */
  kills: number;
  /** Pages closed, not killed. */
  closed: number;
  /** How often a browser was killed for it. */
  browsers: number;
  /** Kills that fell before the act was done: proof that they hit it. */
  inTheMiddle: number;
  /** Readings whose cue had been given. */
  acknowledged: number;
  readonly wrong: string[];
}

/** An act up to the kill and what is looked at afterwards, in one window. */
type Act = (lane: Lane) => Promise<void>;

interface Lane {
  readonly address: string;
  readonly chance: () => number;
  readonly tally: KillTally;
  page(): Page;
  /**
   * Waits for the other windows, lets all begin at the same time and kills the browser a while later: `mostMs` at most.
   * Resolves at the first screen of the browser that was started again.
   * @param last looks at the page just before
   */
  killed(how: {
    readonly mostMs: number;
    readonly begin?: () => Promise<unknown>;
    readonly last?: () => Promise<void>;
  }): Promise<void>;
}

const wait = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

async function toStart(page: Page, address: string): Promise<void> {
  await page.goto(`${address}#/start`);
  await page.getByRole('button', { name: 'Begin a notebook' }).waitFor();
}

/** On the app's origin without its code: nothing holds the databases. */
const aside = (page: Page, address: string): Promise<unknown> => page.goto(`${address}licences.txt`);

async function begin(page: Page, address: string, title: string): Promise<void> {
  await toStart(page, address);
  await page.getByLabel('Name of the new notebook').fill(title);
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
}

/** Waits until a figure is as large as it must be, and gives it. */
async function reaches(most: number, figure: () => Promise<number>): Promise<number> {
  for (let waited = 0; waited < 20_000; waited += 500) {
    const now = await figure();
    if (now >= most) return now;
    await wait(500);
  }
  return figure();
}

const large = largeEvents(4, 500);
const title = 'Killed';
const titled = large.map((event) =>
  event.body.kind === 'created' ? { ...event, body: { ...event.body, title } } : event,
);

/** Notes every value that the page answers as taken; takes the browser's own recogniser away. */
const noteTaken = `(() => {
  delete window.SpeechRecognition;
  delete window.webkitSpeechRecognition;
  const known = () => JSON.parse(localStorage.getItem('taken') ?? '[]');
  new MutationObserver(() => {
    const answer = document.querySelector('.last-heard .answer')?.textContent ?? '';
    const value = /^ ?(\\d+(?:\\.\\d+)?) mL at/.exec(answer)?.[1];
    if (!value || /not stored/.test(answer) || known().includes(value)) return;
    localStorage.setItem('taken', JSON.stringify([...known(), value]));
    console.log('taken ' + value);
  }).observe(document, { subtree: true, childList: true, characterData: true });
})();`;

/** What the page answers as taken, as it says it: a page that is gone cannot be asked. */
async function hearTaken(page: Page): Promise<Set<string>> {
  const taken = new Set<string>();
  page.on('console', (message) => {
    const [, value] = /^taken (.+)$/.exec(message.text()) ?? [];
    if (value) taken.add(value);
  });
  await page.addInitScript(noteTaken);
  return taken;
}

async function lostOf(page: Page, acknowledged: Iterable<string>): Promise<string[]> {
  const values = reduce(await eventsInPage(page, title)).runs.flatMap(({ readings }) =>
    readings.map(({ value }) => Number(value)),
  );
  return [...acknowledged].filter((value) => !values.includes(Number(value)));
}

const acts: Readonly<Record<string, Act>> = {
  /** A run spoken into the microphone, heard by the embedded ear; what was cued as taken is there. */
  async voice({ address, tally, page, killed }) {
    const taken = await hearTaken(page());
    // A new document: the script comes before its code.
    await page().goto('about:blank');
    await begin(page(), address, title);
    await page().getByRole('button', { name: 'Open the microphone' }).click();
    for (let waited = 0; taken.size === 0; waited += 50) {
      if (waited > 60_000) throw new Error('nothing was heard');
      await wait(50);
    }
    await killed({ mostMs: 5000 });
    tally.inTheMiddle++;
    tally.acknowledged += taken.size;
    const lost = await lostOf(page(), taken);
    if (lost.length > 0) tally.wrong.push(`voice: acknowledged ${lost.join(' ')} mL lost`);
  },

  async import({ address, tally, page, killed }) {
    await toStart(page(), address);
    const json = notebookToJson({ id: 'import', events: titled });
    const file = { name: 'large.json', mimeType: 'application/json', buffer: Buffer.from(json) };
    await killed({
      mostMs: 5000,
      begin: () => page().locator('input[type=file]').first().setInputFiles(file),
    });
    const found = await countOf(page(), 'import');
    if (found === 0) tally.inTheMiddle++;
    // Opening adds an event or two of its own.
    else if (found < large.length) tally.wrong.push(`import: ${found} of ${large.length} events`);
  },

  async delete({ address, tally, page, killed }) {
    await begin(page(), address, title);
    await toStart(page(), address);
    const before = (await eventsInPage(page(), title)).length;
    await page()
      .getByRole('button', { name: `Delete ${title}…` })
      .click();
    let acknowledged = false;
    await killed({
      mostMs: 1500,
      begin: () =>
        page()
          .getByRole('button', { name: `Delete ${title} for good` })
          .click(),
      last: async () => {
        acknowledged = (await page().getByText(`${title} is deleted`).count()) > 0;
      },
    });
    await wait(1000);
    const found = (await eventsInPage(page(), title)).length;
    if (found > 0) tally.inTheMiddle++;
    if (acknowledged && found > 0) tally.wrong.push('delete: an acknowledged deletion came back');
    if (found > 0 && found < before) tally.wrong.push(`delete: ${found} of ${before} events`);
    await page().reload();
    await wait(1000);
    if (found === 0 && (await eventsInPage(page(), title)).length > 0) tally.wrong.push('delete: came back later');
  },

  async 'second copy'({ address, tally, page, killed }) {
    await toStart(page(), address);
    await aside(page(), address);
    await putEvents(page(), 'copied', titled);
    await killed({ mostMs: 1500, begin: () => page().goto(`${address}#/start`) });
    const covered = (): Promise<number> => copiedTo(page(), 'copied');
    if ((await covered()) < large.length) tally.inTheMiddle++;
    const copied = await reaches(large.length, covered);
    if (copied < large.length) tally.wrong.push(`second copy: ${copied} of ${large.length} events`);
  },

  async restore({ address, tally, page, killed }) {
    await toStart(page(), address);
    await aside(page(), address);
    await putEvents(page(), 'copied', titled);
    await toStart(page(), address);
    const copied = await reaches(large.length, () => copiedTo(page(), 'copied'));
    if (copied < large.length) tally.wrong.push(`second copy: ${copied} of ${large.length} events`);
    await forget(page(), address, 'indexeddb');
    await killed({ mostMs: 1500, begin: () => page().goto(`${address}#/start`) });
    const restored = (): Promise<number> => countOf(page(), 'copied');
    if ((await restored()) < large.length) tally.inTheMiddle++;
    const found = await reaches(large.length, restored);
    if (found < large.length) tally.wrong.push(`restore: ${found} of ${large.length} events`);
  },

  /** Sixty notebooks in the database of the first version: one store of events, no heads. */
  async migration({ address, tally, page, killed }) {
    await aside(page(), address);
    const small = titled.slice(0, 24);
    await putFirstVersion(page(), 60, small);
    await killed({ mostMs: 700, begin: () => page().goto(`${address}#/start`) });
    await aside(page(), address);
    const { versions, counts } = await countsOf(page());
    if (versions.heads < 60) tally.inTheMiddle++;
    // The page opens the latest and notes that in it.
    if (counts.length !== 60 || counts.some((count) => count < small.length || count > small.length + 2))
      tally.wrong.push(`migration: ${counts.length} notebooks, of ${[...new Set(counts)].join(' ')} events`);
    await toStart(page(), address);
    await page().getByText('60 notebooks').or(page().getByText(title).nth(59)).first().waitFor();
  },

  /** Space is pressed again and again while the Bench opens; then the page closes, within a fifth of a second of a press. */
  async 'early press'({ address, chance, tally, page, killed }) {
    await begin(page(), address, title);
    for (const key of ['s', '0', 'Enter']) await page().keyboard.press(key);
    await page().getByText('0 mL at').first().waitFor();
    const acknowledged = new Set<string>();
    const context = page().context();
    const pressing = async (last: boolean): Promise<void> => {
      const closing = last ? page() : await context.newPage();
      const taken = await hearTaken(closing);
      if (last) await closing.goto('about:blank');
      await closing.goto(`${address}#/bench`, { waitUntil: 'commit' });
      const presses = 1 + Math.floor(4 * chance());
      const act = async (): Promise<void> => {
        for (let i = 0; i < presses; i++) {
          await wait(400 * chance());
          await closing.keyboard.press('Space');
        }
      };
      if (last) await killed({ mostMs: 1500, begin: act });
      else {
        await act();
        await wait(200 * chance());
        await closing.close();
      }
      for (const value of taken) acknowledged.add(value);
    };
    await page().goto('about:blank');
    for (let i = 0; i < 3; i++) {
      await pressing(false);
      tally.closed++;
    }
    await pressing(true);
    const noted: string[] = await page().evaluate(() => JSON.parse(localStorage.getItem('taken') ?? '[]'));
    for (const value of noted) acknowledged.add(value);
    tally.acknowledged += acknowledged.size;
    if (acknowledged.size > 0) tally.inTheMiddle++;
    const lost = await lostOf(page(), acknowledged);
    if (lost.length > 0) tally.wrong.push(`early press: acknowledged ${lost.join(' ')} mL lost`);
  },
};

export const killKinds = Object.keys(acts);

const forget = async (page: Page, address: string, storageTypes: string): Promise<void> => {
  await page.goto('about:blank');
  const session = await page.context().newCDPSession(page);
  await session.send('Storage.clearDataForOrigin', { origin: new URL(address).origin, storageTypes });
  await session.detach();
};

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

/** The database as the first version made it, with so many copies of a notebook. */
const putFirstVersion = (page: Page, notebooks: number, events: readonly NotebookEvent[]): Promise<void> =>
  page.evaluate(
    ({ notebooks, events }) =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open('meniscall-events', 1);
        opening.onupgradeneeded = () => opening.result.createObjectStore('all');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const transaction = opening.result.transaction('all', 'readwrite');
          for (let i = 0; i < notebooks; i++)
            for (const event of events) transaction.objectStore('all').put(event, [`old-${i}`, event.seq]);
          transaction.oncomplete = () => {
            opening.result.close();
            resolve();
          };
        };
      }),
    { notebooks, events: [...events] },
  );

/** Events of every notebook on disk, and how many have a head. */
const countsOf = (page: Page): Promise<{ versions: { heads: number }; counts: number[] }> =>
  page.evaluate(
    () =>
      new Promise((resolve, reject) => {
        const opening = indexedDB.open('meniscall-events');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const database = opening.result;
          const names = [...database.objectStoreNames];
          const transaction = database.transaction(names);
          const keys = transaction.objectStore('all').getAllKeys();
          const heads = names.includes('heads') ? transaction.objectStore('heads').count() : null;
          transaction.oncomplete = () => {
            database.close();
            const counts = new Map<string, number>();
            for (const key of keys.result) {
              const id = Array.isArray(key) ? String(key[0]) : '';
              counts.set(id, (counts.get(id) ?? 0) + 1);
            }
            resolve({ versions: { heads: heads?.result ?? 0 }, counts: [...counts.values()] });
          };
        };
      }),
  );

const countOf = async (page: Page, id: string): Promise<number> => {
  const records = await page.evaluate(
    (id) =>
      new Promise<unknown[]>((resolve, reject) => {
        const opening = indexedDB.open('meniscall-events');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const all = opening.result
            .transaction('all')
            .objectStore('all')
            .getAll(IDBKeyRange.bound([id], [id, []]));
          all.onsuccess = () => {
            opening.result.close();
            resolve(all.result);
          };
        };
      }),
    id,
  );
  return eventsIn(records).length;
};

/** How far the second copy of a notebook goes without a gap. */
const copiedTo = (page: Page, id: string): Promise<number> =>
  page.evaluate(async (id) => {
    const cache = await caches.open('second-copy-of-notebooks');
    const pieces = (await cache.keys()).flatMap(({ url }) => {
      const [, own, first, last] = /second-copy\/([^/]+)\/\d+\/(\d+)\/(\d+)$/.exec(url) ?? [];
      return own === id ? [[Number(first), Number(last)] as const] : [];
    });
    let to = 0;
    for (const [first, last] of pieces.sort((a, b) => a[0] - b[0])) if (first <= to + 1) to = Math.max(to, last);
    return to;
  }, id);

type KillOrder = Parameters<Lane['killed']>[0];

/** At least `kills` kills in acts of one kind, in so many windows at a time. Every act begins with empty storage. */
export async function killWrites(
  dist: string,
  kind: string,
  kills: number,
  { seed = 20, windows = 1 }: { readonly seed?: number; readonly windows?: number } = {},
): Promise<KillTally> {
  const act = acts[kind];
  if (!act) throw new Error(`no act called ${kind}`);
  const profile = await mkdtemp(join(tmpdir(), 'meniscall-kills-'));
  const sound = await speechFile(callsEvery(1.7, calledRun), { tailS: 1.5 });
  const extra = [
    `--use-file-for-fake-audio-capture=${sound.path}`,
    // A window behind another works as fast as the one in front.
    '--disable-renderer-backgrounding',
    '--disable-background-timer-throttling',
    '--disable-backgrounding-occluded-windows',
  ];
  const hosts = await Promise.all(Array.from({ length: windows }, () => serve(dist, 0)));
  const tally: KillTally = { kills: 0, closed: 0, browsers: 0, inTheMiddle: 0, acknowledged: 0, wrong: [] };
  const chance = makeChance(seed);
  let current: Killable = await startKillable(profile, extra);
  let pages: Page[] = [];
  const openPages = async (): Promise<void> => {
    const context = current.page.context();
    pages = await Promise.all(hosts.map((_, i) => (i === 0 ? current.page : context.newPage())));
  };
  const kill = async (orders: readonly KillOrder[]): Promise<void> => {
    for (const { begin } of orders) begin?.().catch(() => {});
    await wait(Math.max(...orders.map(({ mostMs }) => mostMs)) * chance());
    await Promise.all(orders.map(({ last }) => last?.()));
    await current.kill();
    tally.browsers++;
    tally.kills += orders.length;
    current = await startKillable(profile, extra);
    await openPages();
    await Promise.all(hosts.map(({ address }, i) => toStart(pages[i] ?? current.page, address)));
  };
  let waiting: { readonly order: KillOrder; readonly go: (killed: Promise<void>) => void }[] = [];
  const lanes = hosts.map(
    ({ address }, i): Lane => ({
      address,
      tally,
      chance,
      page: () => pages[i] ?? current.page,
      async killed(order) {
        const killed = new Promise<Promise<void>>((go) => waiting.push({ order, go }));
        if (waiting.length === windows) {
          const all = waiting;
          waiting = [];
          const done = kill(all.map((one) => one.order));
          for (const one of all) one.go(done);
        }
        await killed;
      },
    }),
  );
  try {
    await openPages();
    while (tally.kills < kills) {
      await Promise.all(lanes.map((lane) => act(lane)));
      await Promise.all(lanes.map((lane) => forget(lane.page(), lane.address, 'all')));
    }
    return tally;
  } finally {
    await current.kill().catch(() => {});
    await Promise.all(hosts.map((host) => host.close()));
    await rm(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 }).catch(() => {});
  }
}
