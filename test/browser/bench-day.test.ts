import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { pouredVolumes } from '../../src/analysis/poured.ts';
import { planLink } from '../../src/files/link.ts';
import type { Plan } from '../../src/log/plan.ts';
import type { Setup } from '../../src/log/setup.ts';
import { chooseBrowserEar, launch, mayStarve } from './browser.ts';
import { fakeRecogniser } from './fake-recogniser.ts';
import { fakeVoice } from './fake-voice.ts';
import { notebookOnDisk } from './notebook-in-page.ts';
import { speechFile } from './speech-sound.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

const plan: Plan = {
  reaction: 'peroxide-iodide',
  stocks: [
    {
      id: 'p',
      name: 'peroxide',
      species: 'H2O2',
      strength: { value: 3, unit: '%w/v', uRelative: 0.05 },
      availableMl: 60,
    },
    { id: 'i', name: 'iodide', species: 'I-', strength: { value: 0.2, unit: 'mol/L' }, availableMl: 120 },
  ],
  dilutions: [],
  runs: [
    { label: '1', pours: flask(20, 20, 10) },
    { label: '2', pours: flask(30, 10, 10) },
    { label: '3', pours: flask(25, 20, 5) },
  ],
};
function flask(water: number, iodide: number, peroxide: number): Plan['runs'][number]['pours'] {
  return [
    { solution: 'water', volumeMl: water },
    { solution: 'i', volumeMl: iodide },
    { solution: 'p', volumeMl: peroxide },
  ];
}
const setup: Setup = {
  stepMl: 2,
  spanMl: 20,
  cylinder: { capacityMl: 100, divisionMl: 1, accuracy: 'B' },
  temperatureC: 22,
  pressure: { kind: 'station', hPa: 1004 },
};

const marks = [2, 4, 6, 8, 10, 12, 14, 16, 18, 20];

/** The person at the bench: says something and waits for the answer that must come, in the large letters. */
function person(page: Page) {
  const answer = page.getByRole('region', { name: 'Last heard' });
  const hearing = page.getByRole('region', { name: 'Hearing' });
  return async (text: string, expected: RegExp): Promise<void> => {
    // Nobody talks into what the tool is saying: a breath, in which it begins to speak if it will, then wait until it
    // hears again, as its lamp shows.
    const lost = () => page.evaluate(() => window.fakeRecogniser.lost.length);
    for (let before = -1; (await lost()) > before; ) {
      await page.waitForTimeout(300);
      await hearing.getByText(/^Listening/).waitFor({ timeout: 20_000 });
      await page.waitForFunction(() => window.fakeRecogniser.running);
      before = await lost();
      await page.evaluate((said) => window.fakeRecogniser.say(said, { lagMs: 120, finalMs: 120 }), text);
      // On a slow machine the tool may begin to speak just then and stop its ear: said again, as a person would.
      await page.waitForTimeout(300);
    }
    // The answer to these words, not one before it that reads the same.
    const answered = new RegExp(`“${text}”.*(?:${expected.source})`, `s${expected.flags}`);
    await expect
      .poll(() => answer.textContent(), { timeout: 12_000, interval: 50, message: `the answer to “${text}”` })
      .toMatch(answered);
  };
}

/** Counts what hands do to the page. */
const countTouches = `(() => {
  window.touches = 0;
  for (const kind of ['pointerdown', 'keydown', 'touchstart', 'wheel'])
    addEventListener(kind, () => { window.touches += 1; }, { capture: true });
})()`;
const touches = (page: Page) => page.evaluate(() => Number(Reflect.get(window, 'touches')));

test('a whole day at the bench by voice: one tap, a plan from a link, a wrong pour, three runs, a leak, the table', {
  ...mayStarve,
  timeout: 240_000,
}, async () => {
  const { path } = await speechFile([], { tailS: 200 });
  const launched = await launch({ microphoneWav: path, initScripts: [fakeRecogniser(), fakeVoice, countTouches] });
  open.push(launched.close);
  const { page } = launched;

  // The evening before: the teacher's link is opened, the ears are chosen.
  await page.goto(planLink(inject('address'), { title: 'Peroxide day', plan, setup }));
  await page.getByRole('button', { name: 'Start with this run sheet' }).click();
  await page.waitForFunction(() => location.hash === '#/bench');
  await page.goto(`${inject('address')}#/run-sheet`);
  await page.getByRole('heading', { name: 'Run sheet' }).waitFor();
  await page.getByRole('link', { name: 'Runs' }).click();
  await page.getByText('Runs 1 and 2 differ only in iodide: they give its order.').waitFor();
  await page.goto(`${inject('address')}#/bench`);
  // The script is the voice: the lamp is to show when that ear hears, not when the embedded one does.
  await chooseBrowserEar(page);

  // The one tap of the day.
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page.getByText(/Listening/).waitFor();
  const afterTheTap = await touches(page);
  const say = person(page);

  // Checklist.
  await say('next step', /Goggles on/);
  await say('next step', /spills and waste/);
  await say('previous step', /Goggles on/);
  await say('read step', /Goggles on/);

  // Pours of run 1; one is wrong, is noticed before mixing and kept.
  await say('poured 20 of water', /as planned\. Next: iodide 20/);
  await say('poured 20 of iodide', /as planned\. peroxide 10 goes in last/);
  await say('poured five of peroxide', /Plan says 10 mL of peroxide; you said 5\. Say “yes” to keep 5/);
  await say('yes', /peroxide 5 is kept/);

  await run(page, say, '1', 1000);
  // Changeover; run 2 as planned.
  await say('poured 30 of water', /Next: iodide 10/);
  await say('poured 10 of iodide', /peroxide 10 goes in last/);
  await say('poured 10 of peroxide', /Everything for run 2 is poured/);
  await run(page, say, '2', 1400);
  // Run 3: too little peroxide is topped up; the run slows down, is warned of, and the leak is called.
  await say('poured 25 of water', /Next: iodide 20/);
  await say('poured 20 of iodide', /peroxide 5 goes in last/);
  await say('poured three of peroxide', /Plan says 5 mL of peroxide; you said 3/);
  await say('poured two of peroxide', /peroxide now 5, as planned/);
  await say('baseline 0', /Baseline/i);
  await say('start run three', /Run 3 started/);
  await call(page, say, [2, 4, 6, 8, 10], 1000);
  await call(page, say, [12, 14], 6000);
  await page
    .getByRole('region', { name: 'Last heard' })
    .getByText(/Slower than it was: a leak/)
    .waitFor();
  await say('leak', /leak/i);
  await call(page, say, [16, 18, 20], 1000);
  await say('end run', /Run 3 ended with 10 readings/);
  expect(await touches(page)).toBe(afterTheTap);

  const state = await notebookOnDisk(page);
  expect(state.runs.map((entry) => [entry.label, entry.readings.map((reading) => reading.value).join(' ')])).toEqual(
    ['1', '2', '3'].map((label) => [label, marks.join(' ')]),
  );
  expect(state.runs.map((entry) => entry.baseline)).toEqual(['0', '0', '0']);
  // The wrong pour is carried into run 1 alone, with its history; the topped-up one is as planned.
  const poured = state.runs.map((entry) =>
    Object.fromEntries(pouredVolumes(state, entry).map((v) => [v.solution, v.volumeMl])),
  );
  expect(poured).toEqual([
    { water: 20, i: 20, p: 5 },
    { water: 30, i: 10, p: 10 },
    { water: 25, i: 20, p: 5 },
  ]);
  expect(
    state.timed.flatMap((event) =>
      event.kind === 'poured' && event.solution === 'p' ? [`${event.value} ${event.settled}`] : [],
    ),
  ).toEqual(['5 open', '5 accepted', '10 as-planned', '3 open', '5 topped-up']);
  expect(
    state.runs[2]?.timed
      .filter((event) => event.kind === 'happened')
      .map((event) => event.kind === 'happened' && event.what),
  ).toEqual(['leak']);
  expect(state.step).toBe(1);

  // The table is there without anything more being done. Run 1 was mixed in 45 mL with 5 mL of peroxide:
  // 0.882 x 5/45 = 0.098 mol/L, not the 0.882 x 10/50 = 0.176 of the plan, which run 2 has.
  await page.goto(`${inject('address')}#/report`);
  await page.getByRole('table').first().waitFor();
  const row = (label: string) =>
    page
      .getByRole('row', { name: new RegExp(`^${label}\\b`) })
      .first()
      .textContent();
  await expect.poll(() => row('1')).toMatch(/0\.098/);
  await expect.poll(() => row('2')).toMatch(/0\.176/);
  await expect.poll(() => row('3')).toMatch(/0\.088/);
});

/** One run from its baseline to its end, a call every `everyMs`. */
async function run(page: Page, say: ReturnType<typeof person>, label: string, everyMs: number): Promise<void> {
  const words: Record<string, string> = { 1: 'one', 2: 'two' };
  await say('baseline 0', /Baseline/i);
  await say(`start run ${words[label]}`, new RegExp(`Run ${label} started`));
  await call(page, say, marks, everyMs);
  await say('end run', new RegExp(`Run ${label} ended with 10 readings`));
}

/** Calls marks at an even pace; the pace is kept by the page's clock, not by how fast the answers come. */
async function call(
  page: Page,
  say: ReturnType<typeof person>,
  marks: readonly number[],
  everyMs: number,
): Promise<void> {
  for (const mark of marks) {
    const began = Date.now();
    await say(String(mark), new RegExp(`(^|[^\\d.])${mark} mL at`));
    await page.waitForTimeout(Math.max(0, everyMs - (Date.now() - began)));
  }
}

const threeRuns: Plan = {
  ...plan,
  runs: [
    { label: '1', pours: flask(18, 20, 12) },
    { label: '2', pours: flask(28, 10, 12) },
    { label: '3', pours: flask(24, 20, 6) },
  ],
};

/** A run called from any volume; one mark is missed, one reading is struck, one is put right. */
async function calledRun(
  page: Page,
  say: ReturnType<typeof person>,
  { from, missed, struck, wrong }: { from: number; missed: number; struck: string; wrong: readonly [string, string] },
): Promise<void> {
  // The water rises evenly, however long the answers take: a pace of its own, which a missed mark keeps too.
  const markMs = 4000;
  const began = Date.now();
  for (let k = 0; k <= 10; k++) {
    if (k === missed) continue;
    await page.waitForTimeout(Math.max(0, began + k * markMs - Date.now()));
    const ml = String(from + 2 * k);
    if (k === 6) await say(wrong[0], /mL|Which/);
    await say(
      k === 6 ? wrong[1].replace('{ml}', ml) : ml,
      k === 6 ? new RegExp(`to ${ml} mL`) : new RegExp(`${ml} mL at`),
    );
    if (k !== 3) continue;
    await say(struck, /mL|Which/);
    await say(from > 40 ? 'scratch that' : 'disregard', /Struck/);
  }
}

test('three runs from 41, 31.5 and 8, led by voice through wrong pours, corrections and changeovers, without a touch', {
  ...mayStarve,
  timeout: 400_000,
}, async () => {
  const { path } = await speechFile([], { tailS: 400 });
  const launched = await launch({ microphoneWav: path, initScripts: [fakeRecogniser(), fakeVoice, countTouches] });
  open.push(launched.close);
  const { page } = launched;
  const { pressure: _p, temperatureC: _t, ...bare } = setup;
  await page.goto(planLink(inject('address'), { title: 'Led by voice', plan: threeRuns, setup: bare }));
  await page.getByRole('button', { name: 'Start with this run sheet' }).click();
  await page.waitForFunction(() => location.hash === '#/bench');
  await chooseBrowserEar(page);
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page.getByText(/Listening/).waitFor();
  const afterTheTap = await touches(page);
  const transcript: string[] = [];
  const asked = person(page);
  let heardSoFar = 0;
  const say: typeof asked = async (text, expected) => {
    transcript.push(`  > ${text}`);
    await asked(text, expected);
    await page.waitForTimeout(150);
    const spoken = await page.evaluate(() => Reflect.get(window, 'spoken') as string[]);
    for (const sentence of spoken.slice(heardSoFar)) transcript.push(sentence);
    heardSoFar = spoken.length;
  };

  await say('what now', /Before you begin/);
  for (let k = 0; k < 4; k++) await say('done', /\w/);
  await say('pressure 1005', /Air pressure 1005 hPa/);

  // Run 1: a wrong pour, put right in other words.
  await say('poured 18 of water', /as planned\. Next: iodide 20/);
  await say(
    'poured 30 of iodide',
    /Plan says 20 mL of iodide; you said 30\. Say “yes” to keep 30, or the right volume/,
  );
  await say('no, twenty', /iodide 20, as planned\. peroxide 12 goes in last/);
  await say('temperature 296', /looks like 296 K/);
  await say('temperature 21', /Temperature 21 °C/);
  await say('baseline 40', /Baseline 40 mL/);
  await say('start run one', /Run 1 started/);
  await say('poured 12 of peroxide', /Everything for run 1 is poured/);
  await calledRun(page, say, { from: 41, missed: 4, struck: '90', wrong: ['52', 'no, {ml}'] });
  await say('end run', /Run 1 ended with 10 readings/);
  await say('next step', /Rinse the flask twice/);
  await say('rinsed', /Pour back some water/);
  await say('done', /Pour for run 2/);

  // Run 2: a wrong pour that is kept.
  await say('poured 28 of water', /Next: iodide 10/);
  await say('poured 8 of iodide', /Plan says 10 mL of iodide; you said 8/);
  await say('yes', /iodide 8 is kept/);
  await say('temperature 21.5', /Temperature/);
  await say('baseline 30', /Baseline 30/);
  await say('scratch that', /Taken back: Baseline 30/);
  await say('baseline 31', /Baseline 31/);
  await say('start run two', /Run 2 started/);
  await say('poured 12 of peroxide', /Everything for run 2 is poured/);
  await calledRun(page, say, { from: 31.5, missed: 8, struck: '80', wrong: ['42.5', 'I said {ml}'] });
  await say('end run', /Run 2 ended with 10 readings/);
  await say('what now', /empty the flask into the waste/);
  await say('done', /Rinse the flask twice/);
  await say('done', /Pour back/);

  // Run 3: poured out of turn, and told by a number alone.
  await say('poured 24 of water', /Next: iodide 20/);
  await say('poured 20 of iodide', /peroxide 6 goes in last/);
  await say('poured 9 of peroxide', /Plan says 6 mL of peroxide; you said 9/);
  await say('6', /peroxide 6, as planned/);
  await say('temperature 22', /Temperature/);
  await say('baseline 8', /Baseline 8/);
  await say('start run three', /Run 3 started/);
  await calledRun(page, say, { from: 8, missed: 5, struck: '60', wrong: ['19', 'make that {ml}'] });
  await say('what now', /Say “end run”/);
  await say('end run', /Run 3 ended with 10 readings/);
  await say('done', /Rinse flasks/);
  await say('done', /Wipe up spills/);
  await say('done', /Everything is done/);
  expect(await touches(page)).toBe(afterTheTap);
  if (process.env.TRANSCRIPT) console.log(transcript.join('\n'));

  const state = await notebookOnDisk(page);
  const volumes = (from: number, missed: number): string[] =>
    Array.from({ length: 11 }, (_, k) => String(from + 2 * k)).filter((_, k) => k !== missed);
  expect(state.runs.map(({ readings }) => readings.filter((one) => !one.struck).map((one) => one.value))).toEqual([
    volumes(41, 4),
    volumes(31.5, 8),
    volumes(8, 5),
  ]);
  expect(state.runs.map((one) => one.baseline)).toEqual(['40', '31', '8']);
  expect(
    state.runs.map((one) => Object.fromEntries(pouredVolumes(state, one).map((v) => [v.solution, v.volumeMl]))),
  ).toEqual([
    { water: 18, i: 20, p: 12 },
    { water: 28, i: 8, p: 12 },
    { water: 24, i: 20, p: 6 },
  ]);
  expect(state.setup.pressure).toEqual({ kind: 'station', hPa: 1005 });

  await page.goto(`${inject('address')}#/report`);
  const row = (label: string) =>
    page
      .getByRole('row', { name: new RegExp(`^${label}\\b`) })
      .first()
      .textContent();
  // 3 % w/v is 0.882 mol/L: 0.882 x 12/50, 12/48 and 6/50.
  await expect.poll(() => row('1')).toMatch(/0\.21/);
  await expect.poll(() => row('2')).toMatch(/0\.22/);
  await expect.poll(() => row('3')).toMatch(/0\.10[56]/);
});
