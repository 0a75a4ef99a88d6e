import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { serve } from '../../src/commands/serve.ts';
import type { EventBody, NotebookEvent } from '../../src/notebook/event.ts';
import { notebookToJson } from '../../src/notebook/file.ts';
import { launch } from '../browser/browser.ts';
import { eventsOnDisk } from '../browser/notebook-in-page.ts';
import { callsEvery, speechFile } from '../browser/speech-sound.ts';
import { firstLoadBudget, measureSizes } from './size.ts';

/** Figures of the page itself: first load, time until it can be used, a large notebook, memory over many calls. */
export async function pageTable(options: { calls: number }): Promise<[what: string, figure: string][]> {
  const dist = mkdtempSync(join(tmpdir(), 'meniscall-bench-'));
  const root = fileURLToPath(new URL('../..', import.meta.url));
  execFileSync(
    process.execPath,
    [join(root, 'node_modules/vite/bin/vite.js'), 'build', '--outDir', dist, '--emptyOutDir'],
    {
      cwd: root,
      env: { ...process.env, NODE_ENV: 'production' },
    },
  );
  const served = await serve(dist, 0);
  try {
    const sizes = measureSizes(dist);
    return [
      ['first load, Start', `${kb(sizes.start)} gzip (budget ${kb(firstLoadBudget)})`],
      ['first load with the Bench', `${kb(sizes.bench)} gzip`],
      ['kept on the device for offline use', kb(sizes.offline)],
      ...(await interactive(served.address)),
      ...(await largeNotebook(served.address)),
      ...(await memory(served.address, options.calls)),
      ...(await untilDurable(served.address)),
    ];
  } finally {
    await served.close();
    rmSync(dist, { recursive: true, force: true });
  }
}

const kb = (bytes: number): string => `${(bytes / 1000).toFixed(1)} kB`;

/** From the start of navigation until the first button answers, at a quarter of this machine's speed. */
async function interactive(address: string): Promise<[string, string][]> {
  const times: number[] = [];
  for (let i = 0; i < 5; i++) {
    const { page, context, close } = await launch();
    const session = await context.newCDPSession(page);
    await session.send('Emulation.setCPUThrottlingRate', { rate: 4 });
    await page.goto(address, { waitUntil: 'commit' });
    await page.getByRole('button', { name: 'Begin a notebook' }).waitFor();
    times.push(await page.evaluate(() => performance.now()));
    await close();
  }
  times.sort((a, b) => a - b);
  return [['usable after, CPU slowed 4 times (median of 5)', `${Math.round(times[2] ?? 0)} ms`]];
}

/** 100 runs of 500 readings, opened from a file. */
async function largeNotebook(address: string): Promise<[string, string][]> {
  const { page, close } = await launch({ viewport: { width: 390, height: 844 } });
  await page.goto(address);
  const json = notebookToJson({ id: 'large', events: largeEvents(100, 500) });
  const begun = Date.now();
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({ name: 'large.json', mimeType: 'application/json', buffer: Buffer.from(json) });
  await page.getByRole('link', { name: 'Readings' }).waitFor({ timeout: 120_000 });
  const openedMs = Date.now() - begun;
  const shown = Date.now();
  await page.getByRole('link', { name: 'Readings' }).click();
  await page.getByRole('heading', { level: 1, name: 'Readings' }).waitFor({ timeout: 120_000 });
  const shownMs = Date.now() - shown;
  const frames = await page.evaluate(async () => {
    const gaps: number[] = [];
    let last = performance.now();
    for (let i = 0; i < 90; i++) {
      await new Promise(requestAnimationFrame);
      scrollBy(0, 400);
      const now = performance.now();
      gaps.push(now - last);
      last = now;
    }
    return gaps.sort((a, b) => a - b);
  });
  await close();
  return [
    ['100 runs x 500 readings: file opened', `${openedMs} ms`],
    ['  Readings shown', `${shownMs} ms`],
    [
      '  scrolling: gap between frames, median / 95 % / worst',
      [0.5, 0.95, 1]
        .map((q) => `${Math.round(frames[Math.min(frames.length - 1, Math.floor(q * frames.length))] ?? 0)} ms`)
        .join(' / '),
    ],
  ];
}

function largeEvents(runs: number, each: number): NotebookEvent[] {
  const bodies: { body: EventBody; atMs: number }[] = [];
  const add = (atMs: number, body: EventBody): void => {
    bodies.push({ body, atMs });
  };
  add(0, { kind: 'created', title: 'Large', seed: 1, invented: true, app: '' });
  for (let run = 0; run < runs; run++) {
    const start = run * (each + 10) * 1000;
    add(start, { kind: 'run-started', run: `r${run}`, label: String(run + 1) });
    for (let i = 0; i < each; i++) {
      const at = start + 1000 + i * 1000;
      const call = `c${run}-${i}`;
      add(at + 600, {
        kind: 'called',
        call,
        onsetMs: at,
        endMs: at + 500,
        timing: 'sound',
        uOnsetMs: 10,
        clip: false,
        run: `r${run}`,
      });
      add(at + 600, {
        kind: 'judged',
        call,
        outcome: 'taken',
        meaning: { kind: 'reading', values: [{ value: String(5 + i * 0.1).slice(0, 5) }] },
        rivals: [],
        reason: '',
        by: 'ear',
      });
    }
    add(start + (each + 5) * 1000, { kind: 'run-ended', run: `r${run}` });
  }
  return bodies.map(({ body, atMs }, index) => ({
    id: `large-${index + 1}`,
    seq: index + 1,
    atMs,
    wallMs: 1_700_000_000_000 + atMs,
    page: 1,
    body,
  }));
}

/** Heap after a third, two thirds and all of many called marks, runs started and ended between them. */
async function memory(address: string, calls: number): Promise<[string, string][]> {
  const { page, context, close } = await launch();
  await page.goto(address);
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  const session = await context.newCDPSession(page);
  const heap = async (): Promise<number> => {
    await session.send('HeapProfiler.collectGarbage');
    return (await session.send('Runtime.getHeapUsage')).usedSize;
  };
  const figures: string[] = [kb(await heap())];
  for (let i = 0; i < calls; i++) {
    if (i % 11 === 0) {
      if (i > 0) await page.keyboard.press('e');
      await page.keyboard.press('s');
    }
    await page.keyboard.press(' ');
    if ((i + 1) % Math.ceil(calls / 3) === 0 || i === calls - 1) figures.push(kb(await heap()));
  }
  await close();
  return [[`heap before, during and after ${calls} marks (a two-hour session makes some 700)`, figures.join(' → ')]];
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
  for (const [what, figure] of await pageTable({ calls: process.argv.includes('--quick') ? 99 : 700 }))
    console.log(`  ${what.padEnd(66)} ${figure}`);
}
