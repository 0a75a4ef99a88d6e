import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import decodeQR from 'qr/decode.js';
import { afterEach, expect, inject, test } from 'vitest';
import { seeded } from '../files/mutations.ts';
import { chooseBrowserEar, type Launched, launch, mayStarve } from './browser.ts';
import { writeFilm } from './code-video.ts';
import { notebookOnDisk } from './notebook-in-page.ts';
import { qrPicture } from './qr-picture.ts';
import { type Line, scriptedVoice } from './scripted-voice.ts';
import { shownCodes } from './shown-codes.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function start(options: Parameters<typeof launch>[0] = {}): Promise<Launched> {
  const launched = await launch({ permissions: ['microphone', 'clipboard-read', 'clipboard-write'], ...options });
  open.push(launched.close);
  return launched;
}

/** The day's truth: k for d[O2]/dt, L/(mol s), at 22.5 °C; invented, so fast that a run by voice takes half a minute. */
const truth = 0.057;
/** 8.314 J/(mol K); water vapour 27.3 hPa at 22.5 °C (CRC Handbook); 1004 hPa. */
const millilitresPerMol = (8.314 * 295.65 * 1e6) / (100_400 - 2_730);

/** What went into the flasks of the plan "Peroxide and iodide, three runs", mL: iodide, peroxide, all. */
const flasks = { 1: [20, 10, 50], 2: [10, 10, 50], 3: [20, 5, 50] } as const;
type Label = keyof typeof flasks;

/**
 * Moments of the marks from 2 to 20 mL above the first, s: the integrated first-order law in peroxide, mixed some time
 * before the first mark. Every group's bottles and thermometer are a little off, and its calls scatter by 0.1 s.
 */
function momentsOf(
  label: Label,
  strengths: { peroxide: number; iodide: number },
  random: () => number,
  poured?: number,
) {
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const [iodideMl, plannedMl, allMl] = flasks[label];
  const peroxideMl = poured ?? plannedMl;
  const litres = (allMl - plannedMl + peroxideMl) / 1000;
  const moles = (strengths.peroxide * peroxideMl) / 1000;
  const ceilingMl = 0.5 * moles * millilitresPerMol;
  const perSecond = (2 * truth * strengths.iodide * iodideMl) / 1000 / litres;
  // Displaced since mixing: 4 mL before the first mark.
  const at = (displacedMl: number): number => -Math.log(1 - displacedMl / ceilingMl) / perSecond;
  return Array.from({ length: 11 }, (_, i) => at(4 + 2 * i) - at(4) + (i === 0 ? 0 : 0.1 * normal()));
}

/** Plays the person at the keys, with the page's clock in the test's hands: a run of ten minutes takes seconds. */
async function runByKeys(page: Page, label: Label, moments: readonly number[]): Promise<void> {
  const heard = page.getByRole('region', { name: 'Last heard' });
  const press = async (keys: readonly string[], expected: RegExp): Promise<void> => {
    for (const key of keys) await page.keyboard.press(key);
    await page.clock.runFor(400);
    await heard.getByText(expected).first().waitFor();
  };
  await press(['b', '1', '0', 'Enter'], /Baseline 10 mL/);
  await press(['s'], new RegExp(`Run ${label} started`));
  let now = 0;
  for (const [i, moment] of moments.entries()) {
    await page.clock.runFor(Math.max(0, Math.round(1000 * (moment - now))));
    for (const key of [...String(14 + 2 * i), 'Enter']) await page.keyboard.press(key);
    await page.clock.runFor(200);
    now = Math.max(now, moment) + 0.2;
    await heard
      .getByText(new RegExp(`${14 + 2 * i} mL at`))
      .first()
      .waitFor();
  }
  await press(['e'], new RegExp(`Run ${label} ended with 11 readings`));
}

/** A group opens the teacher's link and takes its name; one press brings it to the Bench. */
async function arrive(page: Page, link: string, name: string): Promise<void> {
  await page.goto(link);
  await page.getByLabel('Your group').fill(name);
  await page.getByRole('button', { name: 'Start with this run sheet' }).click();
  await page.waitForFunction(() => location.hash === '#/bench');
}

/** Three runs at the keys. */
async function work(page: Page, link: string, name: string, runs: Runs): Promise<void> {
  await page.clock.install();
  await arrive(page, link, name);
  await page.getByRole('region', { name: 'Last heard' }).waitFor();
  await page.clock.pauseAt(Date.now() + 60_000);
  for (const label of [1, 2, 3] as const) await runByKeys(page, label, runs[label]);
  await page.clock.resume();
}

const spokenLabel = { 1: 'one', 2: 'two', 3: 'three' } as const;
const tens = ['', '', 'twenty', 'thirty'];
const below20 =
  'zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(
    ' ',
  );
const inWords = (n: number): string =>
  below20[n] ?? [tens[Math.floor(n / 10)], n % 10 ? below20[n % 10] : ''].join(' ').trim();

/** What a group says from the opening of its microphone to the end of its third run. */
function spokenDay(runs: Runs): Line[] {
  let now = 1.5;
  const lines: Line[] = [];
  const say = (words: string, heard: string, thenS: number): void => {
    lines.push({ atS: now, say: words, heard });
    now += thenS;
  };
  for (const label of [1, 2, 3] as const) {
    say('baseline ten', 'baseline 10', 2.5);
    say(`start run ${spokenLabel[label]}`, `start run ${label}`, 3);
    const from = now;
    runs[label].forEach((moment, i) => {
      now = from + moment;
      say(inWords(14 + 2 * i), String(14 + 2 * i), 2.5);
    });
    say('end run', 'end run', 3);
  }
  return lines;
}

/** The same three runs by voice, in real time. The two presses after the link: this run sheet, the microphone. */
async function workByVoice(link: string, name: string, runs: Runs): Promise<Launched> {
  const voice = await scriptedVoice(spokenDay(runs));
  const launched = await start({
    viewport: { width: 390, height: 760 },
    microphoneWav: voice.sound.path,
    initScripts: [voice.initScript],
  });
  const { page } = launched;
  // Chosen on this phone some day before: the browser's own recogniser, which the test scripts.
  await page.goto(inject('address'));
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await chooseBrowserEar(page);
  await page.goto('about:blank');
  await arrive(page, link, name);
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page
    .getByRole('region', { name: 'Last heard' })
    .getByText(/Run 3 ended with 11 readings/)
    .waitFor({ timeout: 1000 * (voice.endS + 60) });
  return launched;
}

type Runs = Readonly<Record<Label, readonly number[]>>;

/** The barometer of the room, read off once k is missed. */
async function statePressure(page: Page): Promise<void> {
  await page.goto(`${inject('address')}#/rates`);
  await page.getByLabel('Air pressure (hPa)').fill('1004');
  await page.getByLabel('Air pressure (hPa)').press('Enter');
  await expect.poll(async () => (await notebookOnDisk(page)).setup.pressure).toMatchObject({ hPa: 1004 });
}

/** The Report with one menu of its bar open. */
async function openReport(page: Page): Promise<void> {
  await page.goto(`${inject('address')}#/report`);
  await page.reload();
}

async function send(page: Page): Promise<void> {
  await openReport(page);
  await page.getByText('Send', { exact: true }).click();
}

async function resultCodes(page: Page): Promise<Buffer[]> {
  await openReport(page);
  return shownCodes(page);
}

async function resultLink(page: Page): Promise<string> {
  await send(page);
  await page.getByText('Link and QR code').click();
  await page.getByRole('button', { name: 'Copy the link' }).click();
  await page.getByText('The link is copied.').waitFor({ state: 'attached' });
  return page.evaluate(() => navigator.clipboard.readText());
}

async function resultFile(page: Page, into: string): Promise<string> {
  await openReport(page);
  await page.getByText('Save', { exact: true }).click();
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'notebook (JSON)' }).click(),
  ]);
  await download.saveAs(into);
  return into;
}

/** The teacher's part: plan, temperature, groups; the link as copied, and as the code on the screen carries it. */
async function handOut(page: Page): Promise<{ link: string; fromCode: string }> {
  await page.goto(inject('address'));
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('link', { name: 'Run sheet' }).click();
  await page.getByRole('button', { name: /Peroxide and iodide, three runs/ }).click();
  await page.getByRole('link', { name: 'Runs' }).click();
  await page.getByRole('textbox', { name: /^Temperature/ }).fill('22.5');
  await page.getByRole('link', { name: 'Print', exact: true }).click();
  await page.getByText('Groups and questions').click();
  await page.getByLabel('Names of the groups (one a line)').fill('Otters\nHerons\nNewts\nBadgers\nFoxes\nCrows');
  await page.getByRole('button', { name: 'Copy the link' }).click();
  await page.getByRole('button', { name: 'Show the QR code' }).click();
  await page.locator('.hand-out .qr svg').waitFor();
  const link = await page.getByLabel('The link', { exact: true }).inputValue();
  const path = (await page.locator('.hand-out .qr path').getAttribute('d')) ?? '';
  const size = Number((await page.locator('.hand-out .qr svg').getAttribute('viewBox'))?.split(' ')[2]);
  return { link, fromCode: decodeQR(qrPicture(path, size)) };
}

test('a class day: a sheet handed out by link and code, six groups, results by code, link and file, one value of the class', {
  ...mayStarve,
  timeout: 600_000,
}, async () => {
  const folder = await mkdtemp(join(tmpdir(), 'meniscall-day-'));
  open.push(() => rm(folder, { recursive: true, force: true }));
  const teacher = await start({ viewport: { width: 1440, height: 900 } });
  const { link, fromCode } = await handOut(teacher.page);
  await teacher.close();

  // Six groups work, each with a device of its own.
  const random = seeded(20_261_129);
  const off = (): number => 1 + 0.01 * Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const runsOf = (peroxideInRun1?: number): Runs => {
    // 3 % w/v of H2O2, 34.01 g/mol.
    const bottles = { peroxide: (30 / 34.01) * off(), iodide: 0.2 * off() };
    return {
      1: momentsOf(1, bottles, random, peroxideInRun1),
      2: momentsOf(2, bottles, random),
      3: momentsOf(3, bottles, random),
    };
  };
  const group = async <T>(
    name: string,
    from: string,
    odd: { readonly peroxideInRun1?: number; readonly pressure?: false; readonly catalase?: true },
    bringBack: (page: Page) => Promise<T>,
  ): Promise<T> => {
    const { page, close } = await start({ viewport: { width: 390, height: 760 } });
    await work(page, from, name, runsOf(odd.peroxideInRun1));
    if (odd.catalase) await changeReaction(page);
    if (odd.pressure !== false) await statePressure(page);
    const brought = await bringBack(page);
    await close();
    return brought;
  };
  // The first speaks while the others press keys.
  const spoken = workByVoice(link, 'Otters', runsOf());
  spoken.catch(() => undefined);
  const herons = await group('Herons', fromCode, {}, async (page) => ({
    codes: await resultCodes(page),
    link: await resultLink(page),
  }));
  const newts = await group('Newts', link, {}, resultLink);
  const badgers = await group('Badgers', link, { peroxideInRun1: 5 }, (page) =>
    resultFile(page, join(folder, 'badgers.json')),
  );
  const foxes = await group('Foxes', link, { pressure: false }, resultLink);
  const crows = await group('Crows', link, { catalase: true }, resultLink);
  const speaking = await spoken;
  await statePressure(speaking.page);
  const otters = {
    codes: await resultCodes(speaking.page),
    file: await resultFile(speaking.page, join(folder, 'otters.json')),
  };
  await speaking.close();

  // The results come back: two by the camera, three by links, one by a file; one double, one damaged.
  const film = join(folder, 'phones.y4m');
  const drawing = await start();
  // What was said takes several codes, which the phone shows in turn.
  expect(otters.codes.length).toBeGreaterThan(1);
  expect(herons.codes).toHaveLength(1);
  await writeFilm(
    drawing.page,
    film,
    [...herons.codes, ...otters.codes].map((png) => ({ png, frames: 6 })),
  );
  await drawing.close();
  const { page } = await start({
    viewport: { width: 1440, height: 900 },
    permissions: ['camera'],
    args: [`--use-file-for-fake-video-capture=${film}`],
  });
  await page.goto(`${inject('address')}#/class`);
  await page.getByRole('button', { name: 'Scan their codes' }).click();
  await page.getByText('2 groups in the class').waitFor({ timeout: 60_000 });
  await page.getByRole('button', { name: 'Close the camera' }).click();
  await page.getByRole('button', { name: 'Paste links or a table' }).click();
  const damaged = `${herons.link.slice(0, -40)}`;
  await page.getByLabel(/Links, one a line/).fill([newts, foxes, crows, damaged].join('\n'));
  await page.getByRole('button', { name: 'Add these' }).click();
  await page.getByText('link 4').waitFor();
  await page.getByText(/This link is damaged/).waitFor();
  await page.getByLabel(/tables of values/).setInputFiles([badgers, otters.file]);
  await page.getByText(/^Otters (is in the class already and counts once|came again with more in it)/).waitFor();

  // The class says the right thing of each.
  await page
    .getByText(/^Three of four groups agree; Badgers stands apart: run 1 went at (about half|0\.\d+ times) the rate/)
    .waitFor();
  const left = page.getByRole('region', { name: 'Not combined' });
  await left.getByText('Foxes: It gave no air pressure.').waitFor();
  await left.getByText(/Crows: Another reaction: Hydrogen peroxide and catalase/).waitFor();
  await left.getByRole('button', { name: 'Add to Foxes' }).click();
  await page.getByText(/^Four of five groups agree; Badgers stands apart/).waitFor();

  // And the value is right.
  await page.locator('.ways summary', { hasText: 'Save' }).click();
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'everything (JSON)' }).click(),
  ]);
  const saved = JSON.parse(await readFile(await download.path(), 'utf8'));
  const [k] = saved.results;
  expect(k).toMatchObject({ quantity: 'k', unit: 'L/(mol s)', agree: true });
  expect(Math.abs(k.value.value - truth)).toBeLessThan(2 * k.value.u);
  // Closer than the label of the peroxide (5 %) says, since the bottles are nearly what they say.
  expect(Math.abs(k.value.value / truth - 1)).toBeLessThan(0.05);
  expect(saved.groups.map(({ name }: { name: string }) => name).sort()).toEqual([
    'Badgers',
    'Crows',
    'Foxes',
    'Herons',
    'Newts',
    'Otters',
  ]);
  expect(k.notCombined.map(({ name }: { name: string }) => name).sort()).toEqual(['Badgers', 'Crows']);
  const [csv] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'all results (CSV)' }).click(),
  ]);
  const table = await readFile(await csv.path(), 'utf8');
  for (const name of ['Otters', 'Herons', 'Newts', 'Foxes', 'Crows', 'Badgers'])
    for (const quantity of ['k', 'order in H₂O₂', 'order in I⁻'])
      expect(table).toMatch(new RegExp(`^group,${name},${quantity},`, 'm'));
  expect(table).toMatch(/^class,class value,k,L\/\(mol s\),0\.0\d+,/m);
  // The class is there again after a reload.
  await page.reload();
  await page.getByText(/^Four of five groups agree/).waitFor();
});

/** Another reaction on the run sheet: the flask got an enzyme. */
async function changeReaction(page: Page): Promise<void> {
  await page.goto(`${inject('address')}#/run-sheet`);
  await page.getByRole('combobox', { name: 'Reaction', exact: true }).selectOption('peroxide-catalase');
  await expect.poll(async () => (await notebookOnDisk(page)).plan?.reaction).toBe('peroxide-catalase');
}
