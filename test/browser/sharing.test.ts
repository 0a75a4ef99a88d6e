import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { constants, inflateSync } from 'node:zlib';
import { unzipSync } from 'fflate';
import type { Page } from 'playwright-core';
import decodeQR from 'qr/decode.js';
import { afterEach, expect, inject, test } from 'vitest';
import { writeArchive } from '../../src/files/archive.ts';
import { notebookLink, planLink, readLink } from '../../src/files/link.ts';
import { fullDigits } from '../../src/files/table-text.ts';
import { notebookToJson } from '../../src/log/notebook-json.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { figureNumber, figureText, roundByUncertainty } from '../../src/results/round-by-uncertainty.ts';
import { largeEvents } from '../benchmarks/large-events.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { the } from '../the.ts';
import { type Launched, type LaunchOptions, launch } from './browser.ts';
import { qrPicture } from './qr-picture.ts';
import { fullReport, openMenu } from './report-page.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function start(options: LaunchOptions = {}): Promise<Launched & { errors: string[] }> {
  const launched = await launch({ permissions: ['clipboard-read', 'clipboard-write'], ...options });
  open.push(launched.close);
  const errors: string[] = [];
  launched.page.on('pageerror', (error) => errors.push(error.message));
  launched.page.on('console', (message) => {
    if (message.type() === 'error') errors.push(message.text());
  });
  return { ...launched, errors };
}

async function folder(): Promise<string> {
  const path = await mkdtemp(join(tmpdir(), 'meniscall-sharing-'));
  open.push(() => rm(path, { recursive: true, force: true }));
  return path;
}

const file = (name: string, content: string | Uint8Array, mimeType = 'application/json') => ({
  name,
  mimeType,
  buffer: Buffer.from(content),
});

async function bring(page: Page, name: string, content: string | Uint8Array): Promise<void> {
  await page.getByLabel(/archive or run sheet/).setInputFiles(file(name, content));
}

/** What a click on a button brings as a download. */
async function saved(page: Page, button: string, into: string): Promise<string> {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: button, exact: true }).click(),
  ]);
  const path = join(into, download.suggestedFilename());
  await download.saveAs(path);
  return path;
}

/** What the command prints for a file. */
function ratesOf(path: string): {
  runs: { run: string; used: { rate_mL_per_s: number; u: number } }[];
  law: { accepted: { k: number; u: number; per_run: { k: number; u: number }[] } };
} {
  const root = fileURLToPath(new URL('../..', import.meta.url));
  const tsx = join(root, 'node_modules', 'tsx', 'dist', 'cli.mjs');
  return JSON.parse(
    execFileSync(process.execPath, [tsx, join(root, 'src', 'commands', 'rates.ts'), path], { encoding: 'utf8' }),
  );
}

test('what is copied from the report is what the command prints for the saved notebook, digit for digit', async () => {
  const { page, errors } = await start();
  const into = await folder();
  await page.goto(inject('address'));
  await bring(page, 'group.json', notebookToJson(groupNotebook(12)));
  await page.locator('.one-page').waitFor();

  await openMenu(page, 'Save');
  const printed = ratesOf(await saved(page, 'notebook (JSON)', into));
  await openMenu(page, 'Copy');
  const forms: Record<string, string> = {};
  for (const form of ['for a spreadsheet', 'as Markdown', 'as LaTeX', 'for a document']) {
    await page.getByRole('button', { name: form, exact: true }).click();
    await page.getByText('is copied.').waitFor({ state: 'attached' });
    // The sentence may still be that of the copy before: what counts is that the emptied clipboard has filled.
    await expect.poll(() => page.evaluate(() => navigator.clipboard.readText())).not.toBe('');
    forms[form] = await page.evaluate(() => navigator.clipboard.readText());
    await page.evaluate(() => navigator.clipboard.writeText(''));
  }
  expect(printed.runs).toHaveLength(3);
  const rows = the(forms['for a spreadsheet'])
    .split('\n')
    .slice(1, 4)
    .map((line) => line.split('\t'));
  const header = the(the(forms['for a spreadsheet']).split('\n')[0]).split('\t');
  const rateAt = header.indexOf('starting rate (mL/s)');
  printed.runs.forEach(({ used }, i) => {
    const figure = roundByUncertainty(used.rate_mL_per_s, used.u);
    expect(the(rows[i])[rateAt]).toBe(figureNumber(figure, 'value'));
    expect(the(rows[i])[rateAt + 1]).toBe(figureNumber(figure, 'u'));
    expect(forms['as Markdown']).toContain(figureText(figure));
    expect(forms['for a document']).toContain(figureText(figure));
  });
  const { k, u } = printed.law.accepted;
  expect(forms['as Markdown']).toContain(figureText(roundByUncertainty(k, u)));
  expect(forms['as LaTeX']).toContain('\\begin{tabular}');

  // The saved CSV states the command's numbers to twelve digits.
  await openMenu(page, 'Save');
  const csv = await readFile(await saved(page, 'rates (CSV)', into), 'utf8');
  for (const { used } of printed.runs)
    expect(csv).toContain(`,${fullDigits(used.rate_mL_per_s)},${fullDigits(used.u)},`);
  expect(errors).toEqual([]);
});

test('the formatted copy is a table, and text that looks like markup stays text', async () => {
  const { page, errors } = await start();
  await page.goto(inject('address'));
  const json = notebookToJson(demoNotebook(1.7e12))
    .replace('A first look', '<img src=x onerror=document.title=1>')
    .replace(/^ "check".*\n/m, '');
  await bring(page, 'hostile.json', json);
  await page.locator('.one-page').waitFor();
  await openMenu(page, 'Copy');
  await page.getByRole('button', { name: 'for a document', exact: true }).click();
  await page.getByText('is copied.').waitFor({ state: 'attached' });
  const html = await page.evaluate(async () => {
    const [item] = await navigator.clipboard.read();
    return (await item!.getType('text/html')).text();
  });
  expect(html).toMatch(/<table/);
  expect(html).not.toMatch(/<img/);
  expect(await page.locator('main img').count()).toBe(0);
  // A script of the text's own would have made it 1.
  expect(await page.title()).toMatch(/Meniscall$/);
  expect(errors).toEqual([]);
});

test('a link opened in a fresh browser shows the notebook read-only first, and keeps a copy on request', async () => {
  const notebook = groupNotebook(7);
  const { page, errors } = await start();
  const asked: string[] = [];
  page.on('request', (request) => asked.push(request.url()));
  await page.goto(notebookLink(inject('address'), notebook));
  await page.getByText('Nothing is kept on this device yet').waitFor();
  await page.getByRole('heading', { name: 'Every reading' }).waitFor();
  const count = (): Promise<number> =>
    page.evaluate(
      () =>
        new Promise<number>((resolve) => {
          const request = indexedDB.open('meniscall-events');
          request.onsuccess = () => {
            const { result } = request;
            if (!result.objectStoreNames.contains('all')) return resolve(0);
            const all = result.transaction('all').objectStore('all').count();
            all.onsuccess = () => {
              result.close();
              resolve(all.result);
            };
          };
        }),
    );
  expect(await count()).toBe(0);
  await page.getByRole('button', { name: 'Keep a copy' }).click();
  await page.waitForFunction(() => location.hash === '#/report');
  await fullReport(page);
  expect(await count()).toBeGreaterThanOrEqual(notebook.events.length);
  // What is in the fragment went to no server.
  expect(asked.filter((url) => url.includes('/open/n2/') && !url.startsWith(`${inject('address')}#`))).toEqual([]);
  // The same link again brings nothing twice.
  await page.goto(notebookLink(inject('address'), notebook));
  await page.getByRole('button', { name: 'Keep a copy' }).click();
  await page.waitForFunction(() => location.hash === '#/report');
  await page.goto(`${inject('address')}#/start`);
  await page.getByRole('heading', { name: 'Notebooks on this device' }).waitFor();
  expect(await page.getByText('Bench 7').count()).toBeLessThanOrEqual(2);
  expect(errors).toEqual([]);
});

test.each([
  ['cut short', (link: string) => link.slice(0, -40)],
  ['changed', (link: string) => link.replace(/.{10}$/, 'AAAAAAAAAA')],
  ['of nothing', () => '#/open/'],
  ['with markup', () => '#/open/n2/<script>document.title=1</script>'],
])('a link that is %s is refused with a sentence', async (_, damage) => {
  const { page, errors } = await start();
  const link = damage(notebookLink(inject('address'), groupNotebook(8)));
  await page.goto(link.startsWith('#') ? inject('address') + link : link);
  await page.getByRole('alert').getByText(/\.$/).first().waitFor();
  // A script of the text's own would have made it 1.
  expect(await page.title()).toMatch(/Meniscall$/);
  expect(errors).toEqual([]);
});

test('a teacher’s hand-out starts a notebook with the plan filled in', async () => {
  const { page, errors } = await start();
  const planned = the(demoNotebook(1.7e12).events.find(({ body }) => body.kind === 'planned')).body;
  if (planned.kind !== 'planned') throw new Error('the demo has a plan');
  await page.goto(planLink(inject('address'), { title: 'Practical 4', plan: planned.plan }));
  await page.getByText('Your run sheet is ready.').waitFor();
  await page.getByRole('button', { name: 'Start with this run sheet' }).click();
  await page.waitForFunction(() => location.hash === '#/bench');
  await page.getByText('Practical 4').first().waitFor();
  expect(errors).toEqual([]);
});

test('an archive goes to another device with its clips; a bad file is named and changes nothing', async () => {
  const { page, errors } = await start();
  const into = await folder();
  const clip = {
    call: 'call-1-3-of-9',
    type: 'audio/wav',
    bytes: Uint8Array.from({ length: 2000 }, (_, i) => i % 256),
  };
  await page.goto(inject('address'));
  await bring(page, 'moved.zip', writeArchive(groupNotebook(9), [clip], 1.7e12));
  await page.locator('.one-page').waitFor();
  await openMenu(page, 'Save');
  const path = await saved(page, 'archive with sound clips (ZIP)', into);
  const files = unzipSync(await readFile(path));
  expect(files['clips/0001.wav']).toEqual(clip.bytes);
  await page.goto(`${inject('address')}#/start`);
  await bring(page, 'broken.json', '{"format":"meniscall-notebook"}');
  await page.getByText('This notebook file is damaged and was not opened: ').first().waitFor();
  expect(errors).toEqual([]);
});

test('the link of a notebook is shown with its size and as a QR code of that very link', async () => {
  const { page, errors } = await start();
  await page.goto(inject('address'));
  await page.getByRole('button', { name: /example/ }).click();
  await page.waitForFunction(() => location.hash.includes('rates'));
  await page.goto(`${inject('address')}#/report`);
  await openMenu(page, 'Send');
  await page.getByText('Link and QR code').click();
  await page.locator('.qr svg').waitFor();
  await page.getByRole('button', { name: 'Copy the link' }).click();
  await page.getByText('The link is copied.').waitFor({ state: 'attached' });
  const link = await page.evaluate(() => navigator.clipboard.readText());
  expect(link.startsWith(`${inject('address')}#/open/n3/`)).toBe(true);
  await page.getByText(`${link.length.toLocaleString('en')} characters.`).waitFor();
  // Read back by a decoder of another maker, from what the page draws.
  const drawn = await page.locator('.qr path').getAttribute('d');
  const size = Number((await page.locator('.qr svg').getAttribute('viewBox'))?.split(' ')[2]);
  expect(readLink(decodeQR(qrPicture(drawn ?? '', size)))).toEqual(readLink(link));
  expect(errors).toEqual([]);
});

test('every plot is saved as SVG and as PNG', async () => {
  const { page, errors } = await start();
  const into = await folder();
  await page.goto(inject('address'));
  await bring(page, 'group.json', notebookToJson(groupNotebook(12)));
  await fullReport(page);
  const plots = await page.locator('figure.plot').count();
  expect(plots).toBe(5);
  expect(await page.getByLabel(/^Save picture of/).count()).toBe(plots);
  await page.getByLabel('Save picture of Run 2', { exact: true }).click();
  const svg = await readFile(await saved(page, 'Save Run 2 as SVG', into), 'utf8');
  expect(svg).toMatch(/^<\?xml[^>]*>\n<svg xmlns=/);
  expect(svg.match(/<circle/g)).toHaveLength(11);
  const png = await readFile(await saved(page, 'Save Run 2 as PNG', into));
  expect([...png.subarray(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  // Three pixels for one.
  expect(png.readUInt32BE(16)).toBe(3 * 380);
  expect(errors).toEqual([]);
});

test('the system’s share sheet gets the table and the files, and closing it is no failure', async () => {
  const script = `
    globalThis.given = [];
    navigator.canShare = () => true;
    navigator.share = async (data) => {
      given.push({ title: data.title, text: data.text, files: data.files.map((file) => file.name) });
      throw new DOMException('closed', 'AbortError');
    };`;
  const { page, errors } = await start({ initScripts: [script] });
  await page.goto(inject('address'));
  await bring(page, 'group.json', notebookToJson(groupNotebook(12)));
  await openMenu(page, 'Send');
  await page.getByRole('button', { name: 'Share with another app' }).click();
  const given = await page.evaluate(() => (globalThis as unknown as { given: object[] }).given);
  expect(given).toEqual([
    {
      title: 'Bench 12',
      text: expect.stringContaining('starting rate'),
      files: ['bench-12-rates.csv', 'bench-12.json'],
    },
  ]);
  expect(await page.getByText('did not open').count()).toBe(0);
  expect(errors).toEqual([]);
});

const pagesOf = async (page: Page): Promise<number> =>
  (await page.pdf({ preferCSSPageSize: true })).toString('latin1').match(/\/Type\s*\/Page[^s]/g)?.length ?? 0;

test('the page to hand in is one page, with name, table, plot, law, doubts and room for a conclusion', async () => {
  const { page, errors } = await start();
  await page.goto(inject('address'));
  await bring(page, 'group.json', notebookToJson(groupNotebook(12)));
  const sheet = page.getByRole('article', { name: 'Report' });
  for (const heading of ['Question', 'Results', 'What we doubt', 'Conclusion'])
    await sheet.getByRole('heading', { name: heading, exact: true }).waitFor();
  for (const blank of ['Name', 'Group', 'Date']) await sheet.getByText(blank, { exact: true }).waitFor();
  expect(await sheet.locator('svg[role=img]').count()).toBe(1);
  await sheet.getByText(/^rate = k/).waitFor();
  expect(await sheet.textContent()).not.toMatch(/npm|JSON/);
  expect(await pagesOf(page)).toBe(1);
  expect(errors).toEqual([]);
});

/** SHA-256 of what the PDF draws: its streams, unpacked; the date and the numbers of its objects are not in them. */
async function drawnOnPaper(page: Page): Promise<string> {
  const pdf = await page.pdf({ preferCSSPageSize: true });
  const sum = createHash('sha256');
  let streams = 0;
  for (let at = pdf.indexOf('stream\n'); at >= 0; at = pdf.indexOf('stream\n', at + 7)) {
    if (pdf.toString('latin1', at - 3, at) === 'end') continue;
    const packed = pdf.subarray(at + 7, pdf.indexOf('endstream', at));
    sum.update(packed[0] === 0x78 ? inflateSync(packed, { finishFlush: constants.Z_SYNC_FLUSH }) : packed);
    streams += 1;
  }
  expect(streams).toBeGreaterThan(1);
  return sum.digest('hex');
}

test('the report prints the same whether or not the Run sheet and the Class were looked at before', async () => {
  const { page } = await start();
  await page.goto(inject('address'));
  await bring(page, 'group.json', notebookToJson(groupNotebook(12)));
  await page.locator('.one-page').waitFor();
  /** Place and type of everything on paper. */
  const printed = async (): Promise<string[]> => {
    await page.emulateMedia({ media: 'print' });
    const found = await page.evaluate(() =>
      [...document.querySelectorAll('.report-sheet *')].map((element) => {
        const { x, y, width, height } = element.getBoundingClientRect();
        const { fontSize, color } = getComputedStyle(element);
        return `${element.tagName} ${[x, y, width, height].map(Math.round).join(' ')} ${fontSize} ${color}`;
      }),
    );
    await page.emulateMedia({ media: 'screen' });
    return found;
  };
  const before = await printed();
  expect(before.length).toBeGreaterThan(50);
  const paper = await drawnOnPaper(page);
  for (const screen of ['run-sheet', 'class', 'bench']) {
    await page.goto(`${inject('address')}#/${screen}`);
    await page.getByRole('heading', { level: 1 }).first().waitFor({ state: 'attached' });
    await page.goto(`${inject('address')}#/report`);
    await page.locator('.one-page').waitFor();
  }
  expect(await printed()).toEqual(before);
  expect(await drawnOnPaper(page)).toBe(paper);
  // From an address of its own, in a page that showed nothing before; and it is no blank page that is the same.
  await page.reload();
  await page.locator('.one-page').waitFor();
  // The law comes from a worker, a moment after the page.
  await expect.poll(() => drawnOnPaper(page), { timeout: 15_000, interval: 500 }).toBe(paper);
  await page.locator('.one-page').evaluate((sheet) => sheet.append('more'));
  expect(await drawnOnPaper(page)).not.toBe(paper);
});

test('figures follow the uncertainty, or a plain number of digits where that is asked for', async () => {
  const { page } = await start();
  await page.goto(inject('address'));
  await bring(page, 'group.json', notebookToJson(groupNotebook(12)));
  const cell = page.getByRole('table').first().locator('tbody tr').first().locator('td.number').nth(2);
  const [value = '', u = ''] = ((await cell.textContent()) ?? '').split(' ± ');
  await openMenu(page, 'Paper and figures');
  await page.getByRole('combobox', { name: /^Figures/ }).selectOption('2');
  await expect
    .poll(async () => ((await cell.textContent()) ?? '').split(' ± ')[0])
    .toBe(String(Number(Number(value).toPrecision(2))));
  expect(u).toMatch(/\d\d$/);
});

test('the printed report is one to three pages', async () => {
  const { page } = await start();
  await page.goto(inject('address'));
  await bring(page, 'group.json', notebookToJson(groupNotebook(12)));
  await fullReport(page);
  const pages = await pagesOf(page);
  expect(pages).toBeGreaterThanOrEqual(1);
  expect(pages).toBeLessThanOrEqual(3);
});

test('a notebook that is too large for a link gets none: it is said, and the file is offered', async () => {
  const { page } = await start();
  const into = await folder();
  await page.goto(inject('address'));
  await bring(page, 'large.json', notebookToJson({ id: 'large', events: largeEvents(51, 500) }));
  await page.getByRole('link', { name: 'Report' }).click();
  await openMenu(page, 'Send');
  await page.getByText('Link and QR code').click();
  await page.getByText('too large for a link').waitFor();
  expect(await page.getByRole('button', { name: 'Copy the link' }).count()).toBe(0);
  const notebook = JSON.parse(await readFile(await saved(page, 'Save the notebook as a file', into), 'utf8'));
  expect(notebook.events.length).toBeGreaterThan(50_000);
});
