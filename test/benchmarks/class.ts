import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import qrcode from 'qrcode-generator';
import type { ClassEntry } from '../../src/class/class-entry.ts';
import { classArrival, classEntries } from '../../src/class/class-import.ts';
import { namesOf } from '../../src/class/class-names.ts';
import { classResult } from '../../src/class/class-result.ts';
import { classForest, classTable, pooledTable } from '../../src/class/class-tables.ts';
import { forestSvg } from '../../src/class/forest-svg.ts';
import { serve } from '../../src/commands/serve.ts';
import { readArrival } from '../../src/files/arrival.ts';
import { notebookLink } from '../../src/files/link.ts';
import { qrText } from '../../src/files/qr-text.ts';
import { tableCsv } from '../../src/files/table-text.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { svgText } from '../../src/results/svg.ts';
import { launch } from '../browser/browser.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { tryMutations } from '../files/mutations.ts';
import { voicedNotebook } from '../files/voiced-notebook.ts';
import { withBuiltApp } from './built.ts';
import { flag, numberFlag } from './pieces.ts';
import { processorOf } from './processor-of.ts';

/** Figures of sharing: a class of a thousand, sizes of links, damaged files. Prints; never fails on time. */

const encoder = new TextEncoder();

export function classFigures(count = 1000): void {
  const files = Array.from({ length: count }, (_, i) =>
    encoder.encode(notebookToJson(groupNotebook(i + 1, i % 97 === 5 ? { iodideInRun2: 5, factor: 1.6 } : {}))),
  );
  const entries: ClassEntry[] = [];
  let started = performance.now();
  for (const file of files) {
    const read = classEntries(classArrival(file));
    if (read.ok) entries.push(...read.value);
  }
  const importMs = performance.now() - started;
  started = performance.now();
  for (const file of files) readArrival(file, { clips: false });
  const readMs = performance.now() - started;
  started = performance.now();
  const result = classResult(entries, 'k');
  const names = namesOf(entries, true);
  const csv = tableCsv(classTable(result, names));
  const svg = svgText(forestSvg(classForest(result, names)));
  pooledTable(result);
  const combineMs = performance.now() - started;
  console.log(`class of ${entries.length} notebooks (33 readings each)`);
  console.log(
    `  read, checked and computed, one after the other   ${(importMs / 1000).toFixed(1)} s, ${(importMs / count).toFixed(1)} ms each (by one worker; there are as many as cores)`,
  );
  console.log(`    of which reading and checking                   ${(readMs / count).toFixed(1)} ms each`);
  console.log(`  combined, compared, table and picture             ${combineMs.toFixed(0)} ms`);
  console.log(
    `  stand out ${result.rows.filter((row) => row.standsOut).length}, table ${csv.length} B, picture ${svg.length} B`,
  );
}

export function linkFigures(): void {
  console.log('links and their QR codes (the largest code has 177 modules a side)');
  for (const [name, notebook] of [
    ['demo, three runs', demoNotebook(1.7e12)],
    ['a group of the class, three runs', groupNotebook(1)],
    ['a day called by voice, three runs', voicedNotebook(11, (n) => `4be20c-${n}`)],
  ] as const) {
    const link = notebookLink('https://bench.example/', notebook);
    console.log(
      `  ${name.padEnd(36)} ${notebook.events.length} events, JSON ${notebookToJson(notebook).length} B, link ${link.length} characters, QR code ${modulesOf(link)} modules a side`,
    );
  }
}

function modulesOf(link: string): number {
  const { characters, digits } = qrText(link);
  const code = qrcode(0, 'L');
  code.addData(characters, 'Byte');
  if (digits !== '') code.addData(digits, 'Numeric');
  code.make();
  return code.getModuleCount();
}

export function mutationFigures(count = 100_000): void {
  const started = performance.now();
  const notebook = groupNotebook(1);
  const small = { id: notebook.id, events: notebook.events.slice(0, 24) };
  const tally = tryMutations(small, count, 20_261_125);
  console.log(`${count} damaged files, links and archives`);
  console.log(
    `  equal in meaning ${tally.equal}, refused with a sentence ${tally.refused}, wrong ${tally.wrong.length}; slowest ${tally.slowestMs.toFixed(0)} ms; ${((performance.now() - started) / 1000).toFixed(0)} s in all`,
  );
  for (const wrong of tally.wrong.slice(0, 10)) console.log(`  WRONG ${wrong}`);
}

/**
 * The same class through the page: from choosing the files until the last group is in the picture; processor's time of all
 * the browser's processes meanwhile, and the longest task of the page itself.
 */
export async function browserFigures(count = 1000, rounds = 3): Promise<void> {
  const folder = await mkdtemp(join(tmpdir(), 'meniscall-class-'));
  const paths = Array.from({ length: count }, (_, i) => join(folder, `${i + 1}.json`));
  await Promise.all(paths.map((path, i) => writeFile(path, notebookToJson(groupNotebook(i + 1)))));
  await withBuiltApp(async (dist) => {
    const served = await serve(dist, 0);
    const { page, browser, close } = await launch();
    const processorMs = await processorOf(browser);
    try {
      const figures: string[] = [];
      for (let round = 0; round < rounds; round++) {
        await page.goto(`${served.address}#/class`);
        await page.reload();
        // The screen comes after the page; without its field nobody would hear that files were chosen.
        await page.locator('input[type=file]').waitFor({ state: 'attached' });
        await page.evaluate(() => {
          const scope = globalThis as { began?: number; named?: number; took?: number; longest?: number };
          scope.longest = 0;
          new PerformanceObserver((list) => {
            for (const { duration } of list.getEntries()) scope.longest = Math.max(scope.longest ?? 0, duration);
          }).observe({ type: 'longtask' });
          document.querySelector('input[type=file]')?.addEventListener('change', () => {
            scope.began = performance.now();
          });
          new MutationObserver(() => {
            if (scope.began !== undefined && scope.named === undefined && document.querySelector('.groups-in'))
              scope.named = performance.now() - scope.began;
            if (scope.began !== undefined && scope.took === undefined && !document.querySelector('progress')) {
              if (document.querySelector('.class-sentence')) scope.took = performance.now() - scope.began;
            }
          }).observe(document.body, { childList: true, subtree: true });
        });
        const before = await processorMs();
        await page.locator('input[type=file]').setInputFiles(paths);
        const took = await page.waitForFunction(() => (globalThis as { took?: number }).took, null, {
          timeout: 400_000,
        });
        const ms = Number(await took.jsonValue());
        const cpu = (await processorMs()) - before;
        const longest = await page.evaluate(() => (globalThis as { longest?: number }).longest ?? 0);
        const namedMs = await page.evaluate(() => (globalThis as { named?: number }).named ?? Number.NaN);
        figures.push(
          `all names after ${(namedMs / 1000).toFixed(1)} s, all results after ${(ms / 1000).toFixed(1)} s (${(cpu / count).toFixed(1)} ms of processor's time a file, longest task of the page ${longest.toFixed(0)} ms)`,
        );
        await page.getByRole('button', { name: 'Empty the class' }).click();
        await page.getByRole('button', { name: 'Yes, empty it' }).click();
      }
      const cores = await page.evaluate(() => navigator.hardwareConcurrency);
      console.log(`  ${count} files in the browser, by ${cores} cores: ${figures.join(', ')}`);
    } finally {
      await close();
      await served.close();
      await rm(folder, { recursive: true, force: true });
    }
  });
}

/** `--only=page` leaves the rest out; `--files=200 --rounds=1`: fewer files, once. */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const only = flag('only');
  if (only !== 'page') {
    linkFigures();
    classFigures();
  }
  await browserFigures(numberFlag('files', 1000), numberFlag('rounds', 3));
  if (only !== 'page') mutationFigures(numberFlag('cases', 100_000));
}
