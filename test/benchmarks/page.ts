import { existsSync, readFileSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { BrowserContext, Page } from 'playwright-core';
import { serve } from '../../src/commands/serve.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { giveFirstVolume, launch } from '../browser/browser.ts';
import { clipsOnDisk, eventsOnDisk } from '../browser/notebook-in-page.ts';
import { callsEvery, speechFile } from '../browser/speech-sound.ts';
import { withBuiltApp } from './built.ts';
import { calledRun } from './called-run.ts';
import { largeEvents } from './large-events.ts';
import { processorOf } from './processor-of.ts';
import { firstLoadBudget, measureSizes } from './size.ts';

/** Figures of the page itself: first load, time until it can be used, a large notebook, memory over many calls. */
export async function pageTable(options: { runs: number }): Promise<[what: string, figure: string][]> {
  const rows: [what: string, figure: string][] = [];
  await withBuiltApp(async (dist) => {
    const served = await serve(dist, 0);
    try {
      const sizes = measureSizes(dist);
      rows.push(
        ['first load, Start', `${kb(sizes.start)} gzip (budget ${kb(firstLoadBudget)})`],
        ['first load with the Bench', `${kb(sizes.bench)} gzip`],
        ['kept on the device for offline use', kb(sizes.offline)],
        ...(await only('usable', () => interactive(served.address))),
        ...(await only('large', () => largeNotebook(served.address))),
        ...(await only('memory', () => memory(served.address, options.runs))),
        ...(await only('spoken', () => memorySpoken(served.address, 2 * options.runs))),
        ...(await only('keys', () => memoryByKeys(served.address, 2 * options.runs))),
        ...(await only('durable', () => untilDurable(served.address))),
      );
    } finally {
      await served.close();
    }
  });
  return rows;
}

/** `--only=memory` leaves the other parts out. */
const only = async (part: string, measure: () => Promise<[string, string][]>): Promise<[string, string][]> => {
  const wanted = process.argv.find((argument) => argument.startsWith('--only='))?.slice(7);
  return wanted === undefined || wanted === part ? measure() : [];
};

const kb = (bytes: number): string => `${(bytes / 1000).toFixed(1)} kB`;

/** Notes when the first button is there, presses it at once, and notes when the Bench has answered. Page time, ms. */
const pressAtOnce = `(() => {
  window.usable = { button: null, answered: null };
  const look = () => {
    const { usable } = window;
    if (usable.button === null) {
      const button = document.querySelector('form button[type=submit]');
      if (button) {
        usable.button = performance.now();
        button.click();
      }
    } else if (usable.answered === null && document.querySelector('.bench .hearing button')) {
      usable.answered = performance.now();
    }
    if (usable.answered === null) requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
})();`;

/** Keeps the microphones that the page opened within reach, and takes the browser's own recogniser away. */
const reachMicrophones = `(() => {
  delete window.SpeechRecognition;
  delete window.webkitSpeechRecognition;
  window.microphones = [];
  const open = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
  navigator.mediaDevices.getUserMedia = async (wanted) => {
    const stream = await open(wanted);
    window.microphones.push(stream);
    return stream;
  };
})();`;

declare global {
  interface Window {
    microphones: MediaStream[];
    longTasks: number[];
    runsEnded: number;
    usable: { button: number | null; answered: number | null };
  }
}

/**
 * From the start of navigation, at a quarter of this machine's speed: until the first button is painted, and until a
 * press of it (a new notebook, stored) is answered by the Bench. First load: an empty browser. Second load: the page is
 * stored by the service worker and a notebook is there.
 */
async function interactive(address: string): Promise<[string, string][]> {
  const times: { first: number[][]; second: number[][] } = { first: [], second: [] };
  for (let i = 0; i < 5; i++) {
    const { page, context, close } = await launch({ initScripts: [pressAtOnce] });
    const session = await context.newCDPSession(page);
    await session.send('Emulation.setCPUThrottlingRate', { rate: 4 });
    for (const load of ['first', 'second'] as const) {
      await page.goto('about:blank');
      await page.goto(address, { waitUntil: 'commit' });
      await page.waitForFunction(() => window.usable.answered !== null);
      const { button, answered } = await page.evaluate(() => window.usable);
      times[load].push([button ?? Number.NaN, answered ?? Number.NaN]);
      await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
    }
    await close();
  }
  return (['first', 'second'] as const).map((load) => [
    `${load} load, CPU slowed 4 times: first button / its press answered (median of 5)`,
    [0, 1]
      .map(
        (which) =>
          `${Math.round(
            quantile(
              times[load].map((pair) => pair[which] ?? Number.NaN),
              0.5,
            ),
          )} ms`,
      )
      .join(' / '),
  ]);
}

function quantile(values: readonly number[], q: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN;
}

/** Notes the tasks of the page that take longer than 50 ms. */
const noteLongTasks = `(() => {
  window.longTasks = [];
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) window.longTasks.push(entry.duration);
  }).observe({ type: 'longtask', buffered: true });
})();`;

const longestTask = async (page: Page): Promise<number> =>
  Math.round(await page.evaluate(() => Math.max(0, ...window.longTasks)));

/** 100 runs of 500 readings: opened from a file and again from storage, scrolled with all runs open, edited. */
async function largeNotebook(address: string): Promise<[string, string][]> {
  const { page, browser, context, close } = await launch({
    viewport: { width: 390, height: 844 },
    initScripts: [noteLongTasks],
  });
  page.setDefaultTimeout(240_000);
  const processorMs = await processorOf(browser);
  const session = await context.newCDPSession(page);
  // By the processor's time of the page's thread: a busy machine does not count.
  await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  const threadMs = async (): Promise<number> => {
    const { metrics } = await session.send('Performance.getMetrics');
    return 1000 * (metrics.find(({ name }) => name === 'TaskDuration')?.value ?? Number.NaN);
  };
  await page.goto(address);
  // By its path: to hand over the bytes keeps the page busy for seconds, which no person's file does.
  const folder = await mkdtemp(join(tmpdir(), 'meniscall-large-'));
  const path = join(folder, 'large.json');
  await writeFile(path, notebookToJson({ id: 'large', events: largeEvents(100, 500) }));
  await page.evaluate(() => window.longTasks.splice(0));
  const begun = Date.now();
  const before = await processorMs();
  await page.locator('input[type=file]').first().setInputFiles(path);
  await page.getByRole('link', { name: 'Readings' }).waitFor();
  const openedMs = Date.now() - begun;
  const openedProcessorMs = (await processorMs()) - before;
  const longestMs = await longestTask(page);
  await page.goto(`${address}licences.txt`);
  const asideMs = await threadMs();
  await page.goto(`${address}#/bench`);
  await page.getByRole('img', { name: /after 500 readings/ }).waitFor();
  const reopenedMs = await page.evaluate(() => performance.now());
  const reopenedThreadMs = (await threadMs()) - asideMs;
  const reopenedLongestMs = await longestTask(page);
  const shown = Date.now();
  await page.getByRole('link', { name: 'Readings' }).click();
  await page.getByRole('heading', { level: 1, name: 'Readings' }).waitFor();
  const shownMs = Date.now() - shown;
  const oneOpen = await scrolled(page);
  // Ten runs unfolded at once: 5,000 lines and more.
  for (const head of (await page.locator('.group-head[aria-expanded=false]').all()).slice(0, 10)) await head.click();
  const elevenOpen = await scrolled(page);
  const edits: number[] = [];
  for (let i = 0; i < 5; i++) edits.push(await edited(page, i));
  await close();
  await rm(folder, { recursive: true, force: true });
  const ms = (list: readonly number[]): string =>
    [0.5, 0.95, 1].map((q) => `${Math.round(quantile(list, q))} ms`).join(' / ');
  const scrolling = ({ gaps, long }: Scrolled): string =>
    `${ms(gaps)}; ${long.length} long tasks, ${Math.round(Math.max(0, ...long))} ms at most`;
  return [
    [
      '100 runs x 500 readings: file read, stored and opened',
      `${openedMs} ms, ${Math.round(openedProcessorMs)} ms of processor in all; longest task ${longestMs} ms`,
    ],
    [
      '  opened from storage at the start of the page, Bench shown',
      `${Math.round(reopenedMs)} ms, of which the page's thread worked ${Math.round(reopenedThreadMs)} ms; longest task ${reopenedLongestMs} ms`,
    ],
    ['  Readings shown', `${shownMs} ms`],
    ['  scrolling, one run open: gap between frames, median / 95 % / worst', scrolling(oneOpen)],
    ['  scrolling, eleven runs open', scrolling(elevenOpen)],
    ['  a value corrected until it is painted, median / 95 % / worst of 5', ms(edits)],
  ];
}

interface Scrolled {
  readonly gaps: readonly number[];
  readonly long: readonly number[];
}

/** Scrolls the page for 90 frames, 400 pixels each: the gaps between frames and the tasks of over 50 ms, ms. */
function scrolled(page: Page): Promise<Scrolled> {
  return page.evaluate(async () => {
    const long: number[] = [];
    const watch = new PerformanceObserver((list) => long.push(...list.getEntries().map((entry) => entry.duration)));
    await new Promise((resolve) => setTimeout(resolve, 1500));
    watch.observe({ type: 'longtask' });
    const gaps: number[] = [];
    let last = performance.now();
    for (let i = 0; i < 90; i++) {
      await new Promise(requestAnimationFrame);
      scrollBy(0, 400);
      const now = performance.now();
      gaps.push(now - last);
      last = now;
    }
    watch.disconnect();
    scrollTo(0, 0);
    return { gaps, long };
  });
}

/** Opens a line of the last run, gives it another value, and waits until the line shows it. Page time, ms. */
async function edited(page: Page, index: number): Promise<number> {
  const row = page.locator(`[data-call="c99-${100 + index}"]`).first();
  await row.click();
  await page.locator('.value-form input').first().waitFor();
  const took = await page.evaluate(
    async (call) => {
      const value = '15.25';
      const form = document.querySelector<HTMLFormElement>('.value-form');
      const field = form?.querySelector('input');
      if (!form || !field) throw new Error('no field to type into');
      field.value = value;
      const begun = performance.now();
      form.requestSubmit();
      for (;;) {
        await new Promise(requestAnimationFrame);
        if (document.querySelector(`[data-call="${call}"] .value`)?.textContent?.includes(value)) break;
      }
      await new Promise((resolve) => setTimeout(resolve, 0));
      return performance.now() - begun;
    },
    `c99-${100 + index}`,
  );
  await row.click();
  return took;
}

/**
 * A session of two hours with its silences left out: twelve spoken runs of eleven readings, with clips, heard by the ear
 * of our own from a fake microphone that plays the same run again and again; then a minute in which nobody speaks, whose
 * growth is what two hours of plain listening would add to. Heap after a forced collection.
 */
async function memory(address: string, runs: number): Promise<[string, string][]> {
  const speech = await speechFile(callsEvery(1.7, calledRun), { tailS: 1.5 });
  const { page, session, renderer, ended, close } = await spokenPage(address, speech.path);
  await session.send('Performance.enable');
  const taken: Taken[] = [];
  const take = async (): Promise<void> => {
    await session.send('HeapProfiler.collectGarbage');
    const { metrics } = await session.send('Performance.getMetrics');
    const of = (name: string): number => metrics.find((metric) => metric.name === name)?.value ?? Number.NaN;
    taken.push({
      heap: of('JSHeapUsedSize'),
      nodes: of('Nodes'),
      listeners: of('JSEventListeners'),
      resident: await renderer(),
    });
  };
  for (let done = 0; done <= runs; done++) {
    while ((await ended()) < done) await page.waitForTimeout(500);
    if (done === 1 || (done > 1 && (done * 4) % runs < 4)) await take();
  }
  const events = await eventsOnDisk(page);
  const readings = events.filter(({ body }) => body.kind === 'judged' && body.meaning?.kind === 'reading').length;
  const clips = await clipsOnDisk(page);
  // Silence: the same open microphone, nothing in it.
  await page.evaluate(() => {
    for (const stream of window.microphones) for (const track of stream.getTracks()) track.enabled = false;
  });
  await page.waitForTimeout(2000);
  await take();
  await page.waitForTimeout(60_000);
  await take();
  await close();
  const [quietFrom, quietTo] = taken.splice(-2);
  const row = (which: keyof Taken, unit: (value: number) => string): string =>
    taken.map((one) => unit(one[which])).join(' → ');
  const mb = (bytes: number): string => `${(bytes / 1e6).toFixed(1)} MB`;
  return [
    [
      `${runs} spoken runs, ${readings} readings, ${clips} clips: heap after the first run, then at each quarter`,
      row('heap', mb),
    ],
    ['  DOM nodes', row('nodes', String)],
    ['  event listeners', row('listeners', String)],
    ['  memory of the whole renderer, worker and sound included', row('resident', mb)],
    [
      '  a minute of silence with the microphone open adds',
      `${(((quietTo?.heap ?? Number.NaN) - (quietFrom?.heap ?? Number.NaN)) / 1000).toFixed(1)} kB of heap, ${(quietTo?.nodes ?? 0) - (quietFrom?.nodes ?? 0)} nodes`,
    ],
  ];
}

/** A new notebook at the Bench, its microphone open and playing a file again and again, heard by the ear of our own. */
async function spokenPage(address: string, sound: string) {
  const { page, context, close } = await launch({
    args: [`--use-file-for-fake-audio-capture=${sound}`],
    initScripts: [reachMicrophones],
  });
  page.setDefaultTimeout(120_000);
  await page.goto(address);
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page.getByText('Listening, on this device only').waitFor();
  // Counted on the screen: to read all events again and again would itself fill the memory that is measured.
  await page.evaluate(() => {
    let was = false;
    window.runsEnded = 0;
    new MutationObserver(() => {
      const is = / ended with /.test(document.querySelector('.last-heard')?.textContent ?? '');
      if (is && !was) window.runsEnded += 1;
      was = is;
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
  });
  return {
    page,
    session: await context.newCDPSession(page),
    renderer: await rendererMemory(context),
    ended: () => page.evaluate(() => window.runsEnded),
    close,
  };
}

/** Resident memory of the largest renderer, bytes: the page with its workers and its sound. */
async function rendererMemory(context: BrowserContext): Promise<() => Promise<number>> {
  const system = await context.browser()?.newBrowserCDPSession();
  return async () => {
    const { processInfo = [] } = (await system?.send('SystemInfo.getProcessInfo')) ?? {};
    return Math.max(0, ...processInfo.filter(({ type }) => type === 'renderer').map(({ id }) => residentOf(id)));
  };
}

/**
 * Short spoken runs of three readings, each followed by the silence in which the page learns the voice from it. The
 * collector comes and goes, so the memory of a run is the median of what is read twice a second.
 */
async function memorySpoken(address: string, runs: number): Promise<[string, string][]> {
  const calls = [calledRun[0] ?? '', ...calledRun.slice(1, 4), calledRun.at(-1) ?? ''];
  const speech = await speechFile(callsEvery(1.35, calls), { tailS: 5.2 });
  const { page, renderer, ended, close } = await spokenPage(address, speech.path);
  const medians: number[] = [];
  let read: number[] = [];
  for (let done = 0; done < runs; ) {
    await page.waitForTimeout(500);
    read.push(await renderer());
    if (read.length % 2 === 0 || (await ended()) <= done) continue;
    done += 1;
    medians.push(quantile(read, 0.5));
    read = [];
  }
  await close();
  const [fourth = Number.NaN] = medians.slice(3);
  const most = Math.max(...medians.slice(4));
  return [
    [
      `${runs} short spoken runs with learning: memory of the whole renderer, median of each`,
      medians.map((bytes) => (bytes / 1e6).toFixed(0)).join(' → '),
    ],
    ['  the most after the fourth, beside the fourth', `${(100 * (most / fourth - 1)).toFixed(0)} %`],
  ];
}

/** Runs of eleven readings by keys, in a minute: what the page itself keeps, without microphone and ear. */
async function memoryByKeys(address: string, runs: number): Promise<[string, string][]> {
  const { page, context, close } = await launch({ viewport: { width: 390, height: 844 } });
  await page.goto(address);
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  const session = await context.newCDPSession(page);
  const renderer = await rendererMemory(context);
  const resident: number[] = [];
  const type = async (keys: string): Promise<void> => {
    for (const key of keys) await page.keyboard.press(key);
  };
  for (let run = 1; run <= runs; run++) {
    await type('s');
    for (let mark = 0; mark <= 10; mark++) {
      await type(String(2 * mark));
      await page.keyboard.press('Enter');
      await page.waitForTimeout(60);
    }
    await type('e');
    await page.getByText(`Run ${run} ended with 11 readings`).first().waitFor();
    if (run % 4 !== 0) continue;
    await session.send('HeapProfiler.collectGarbage');
    resident.push(await renderer());
  }
  await close();
  return [
    [
      `${runs} runs by keys: memory of the whole renderer after every fourth`,
      resident.map((bytes) => `${(bytes / 1e6).toFixed(0)} MB`).join(' → '),
    ],
  ];
}

interface Taken {
  readonly heap: number;
  readonly nodes: number;
  readonly listeners: number;
  /** Bytes; 0 where the system does not tell. */
  readonly resident: number;
}

/** Resident memory of a process, bytes, where /proc tells it. */
function residentOf(id: number): number {
  const file = `/proc/${id}/status`;
  return existsSync(file) ? 1024 * Number(/VmRSS:\s+(\d+)/.exec(readFileSync(file, 'utf8'))?.[1] ?? 0) : 0;
}

/**
 * From the end of an utterance in the fake microphone's sound until its event was stamped for storage;
 * beside it the time a strictly durable write takes here. Eleven calls, sound marks.
 */
async function untilDurable(address: string): Promise<[string, string][]> {
  const speech = await speechFile(callsEvery(2.2), { tailS: 2 });
  const { page, close } = await launch({ microphoneWav: speech.path });
  await page.goto(address);
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByText('How it hears and answers').click();
  await page.getByRole('radio', { name: /^Sound marks/ }).check();
  await page.keyboard.press('s');
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await giveFirstVolume(page, 0);
  await page
    .getByRole('region', { name: 'Last heard' })
    .getByText(/20 mL at/)
    .waitFor({ timeout: 60_000 });
  const waits = (await eventsOnDisk(page))
    .flatMap(({ atMs, body }) => (body.kind === 'called' && body.endMs !== null ? [atMs - body.endMs] : []))
    .sort((a, b) => a - b);
  const written = await page.evaluate(async () => {
    const open = indexedDB.open('meniscall-bench');
    open.onupgradeneeded = () => open.result.createObjectStore('all');
    const database = await new Promise<IDBDatabase>((resolve) => {
      open.onsuccess = () => resolve(open.result);
    });
    const took: number[] = [];
    for (let i = 0; i < 50; i++) {
      const begun = performance.now();
      const transaction = database.transaction('all', 'readwrite', { durability: 'strict' });
      transaction.objectStore('all').add({ i }, i);
      await new Promise((resolve) => {
        transaction.oncomplete = resolve;
      });
      took.push(performance.now() - begun);
    }
    return took.sort((a, b) => a - b);
  });
  await close();
  const at = (list: readonly number[], q: number): string =>
    `${Math.round(list[Math.min(list.length - 1, Math.floor(q * list.length))] ?? Number.NaN)} ms`;
  return [
    ['end of utterance to its event, median / worst of 11', `${at(waits, 0.5)} / ${at(waits, 1)}`],
    ['a strictly durable write in this browser, median / 95 %', `${at(written, 0.5)} / ${at(written, 0.95)}`],
  ];
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  for (const [what, figure] of await pageTable({ runs: process.argv.includes('--quick') ? 4 : 12 }))
    console.log(`  ${what.padEnd(84)} ${figure}`);
}
