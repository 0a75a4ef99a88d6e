import type { Locator } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { type Launched, launch } from './browser.ts';
import { notebookOnDisk } from './notebook-in-page.ts';
import { wordsSeen } from './words-seen.ts';

let launched: Launched | null = null;
afterEach(async () => {
  await launched?.close();
  launched = null;
});

async function bench(initScripts: string[] = []) {
  launched = await launch({ viewport: { width: 390, height: 844 }, initScripts });
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  return { page, heard: page.getByRole('region', { name: 'Last heard' }) };
}

test('a refused microphone is said in words, the way out is named, and readings go in by the keys', async () => {
  const { page, heard } = await bench([
    `navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('no', 'NotAllowedError'));`,
  ]);
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page.getByText('The browser does not let this page use the microphone.').waitFor();
  expect(await page.getByText(/^Hears/).count()).toBe(0);
  await page.getByRole('button', { name: /^Open the microphone/ }).waitFor();
  await page.keyboard.press('s');
  await heard.getByText('Run 1 started').waitFor();
  // No mark is due before the first volume: it is asked for.
  await page.keyboard.press('Space');
  await heard.getByText('At what volume do you start?').waitFor();
  for (const key of ['d', '0', 'Enter']) await page.keyboard.press(key);
  await heard.getByText('0 mL at time zero').waitFor();
});

test('keys alone: baseline, run, marks, a value, a correction, a strike, an undo, the end', async () => {
  const { page, heard } = await bench();
  const press = async (keys: readonly string[], answer: RegExp) => {
    for (const key of keys) await page.keyboard.press(key);
    await heard.getByText(answer).waitFor();
  };
  await press(['b', '1', '0', 'Enter'], /Baseline 10 mL/);
  await press(['s'], /Run 1 started/);
  await press(['1', '2', 'Enter'], /12 mL at time zero/);
  await press(['1', '4', '.', '5', 'Enter'], /14.5 mL at/);
  await press(['c', '1', '4', 'Enter'], /14.5 corrected to 14 mL/);
  await press(['Space'], /16 mL at/);
  await press(['d'], /Struck: 16 mL/);
  await press(['u'], /Taken back: the striking of 16 mL/);
  await press(['e'], /Run 1 ended with 3 readings/);
  const [run] = (await notebookOnDisk(page)).runs;
  expect(run?.baseline).toBe('10');
  expect(run?.readings.map((reading) => [reading.value, reading.struck])).toEqual([
    ['12', false],
    ['14', false],
    ['16', false],
  ]);
});

test('after a click on the menu a number typed with Enter is one reading, and no link is followed', async () => {
  const { page, heard } = await bench();
  const link = page.getByRole('link', { name: 'Bench', exact: true });
  await link.click();
  for (const key of ['6', '8', 'Enter']) await page.keyboard.press(key);
  await heard.getByText(/No run is open/).waitFor();
  await link.click();
  for (const key of ['s', '6', '8', 'Enter', '7', '0', 'Enter']) await page.keyboard.press(key);
  await heard.getByText(/70 mL at/).waitFor();
  const [run] = (await notebookOnDisk(page)).runs;
  expect(run?.readings.map(({ value }) => value)).toEqual(['68', '70']);
  // In a field digits are the field's.
  await page.getByText('By hand').click();
  const field = page.getByRole('textbox').first();
  await field.fill('');
  await field.pressSequentially('72');
  expect(await field.inputValue()).toBe('72');
});

test('nothing lies over the volumes to pour or the words to say on a phone, and the cautions are those of the plan', async () => {
  const { page } = await bench();
  // Without a plan the long list of cautions is one tap away.
  await page.getByText('All cautions').click();
  await page.getByText('Ease glass tubes through stoppers').waitFor();
  await page.goto(`${inject('address')}#/run-sheet`);
  await page.getByRole('button', { name: /Peroxide and iodide, three runs/ }).click();
  await page.getByRole('navigation', { name: 'Steps of the run sheet' }).waitFor();
  await expect.poll(async () => (await notebookOnDisk(page)).plan?.runs.length).toBe(3);
  await page.goto(`${inject('address')}#/bench`);
  await page.getByText('Do not swallow iodide').waitFor();
  for (const text of ['Wear goggles and gloves', 'Into the flask of run 1', 'peroxide 10', 'Marks: 2 mL']) {
    const line = page.getByText(text).first();
    await line.scrollIntoViewIfNeeded();
    expect(
      await line.evaluate((element) => {
        const { left, top, bottom } = element.getBoundingClientRect();
        const there = document.elementFromPoint(left + 4, (top + bottom) / 2);
        return there !== null && (element === there || element.contains(there) || there.contains(element));
      }),
      text,
    ).toBe(true);
  }
});

test('once a phone hears, the volumes to pour and the answer to a call are in sight without scrolling', async () => {
  const { page, heard } = await bench();
  await page.goto(`${inject('address')}#/run-sheet`);
  await page.getByRole('button', { name: /Peroxide and iodide, three runs/ }).click();
  await page.getByRole('navigation', { name: 'Steps of the run sheet' }).waitFor();
  await page.goto(`${inject('address')}#/bench`);
  await page.getByText('Do not swallow iodide').waitFor();
  const inSight = (part: Locator) =>
    part.evaluate((element) => {
      const { top, bottom } = element.getBoundingClientRect();
      return top >= 0 && bottom <= innerHeight;
    });
  // Before that the cautions come first.
  expect(await inSight(page.getByRole('heading', { name: 'Before you mix' }))).toBe(true);
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page
    .getByText(/^(Hears|Listening)/)
    .first()
    .waitFor({ timeout: 20_000 });
  for (const key of ['b', '1', '0', 'Enter']) await page.keyboard.press(key);
  const answer = heard.getByText(/Baseline 10 mL/);
  await answer.waitFor();
  expect(await inSight(answer)).toBe(true);
  expect(await inSight(page.getByText('peroxide 10').first())).toBe(true);
});

test('a number typed by hand that is none is said, and nothing is taken', async () => {
  const { page, heard } = await bench();
  await page.keyboard.press('s');
  await heard.getByText('Run 1 started').waitFor();
  await page.getByText('By hand').click();
  const field = page.getByRole('textbox', { name: 'in mL or °C' });
  await field.fill('twelve');
  await field.press('Enter');
  await page.getByRole('alert').getByText('A number such as 24 or 24.5, please.').waitFor();
  await field.fill('12');
  await field.press('Enter');
  await heard.getByText('12 mL at time zero').waitFor();
  expect(await page.getByText('A number such as').count()).toBe(0);
  await page.getByRole('button', { name: /^Take back the reading of 12 mL/ }).click();
  await heard.getByText(/Taken back: the reading of 12 mL/).waitFor();
  expect((await notebookOnDisk(page)).runs[0]?.readings).toEqual([]);
});

test('the setup is changed before the run, and a wrong one is refused in words', async () => {
  const { page, heard } = await bench();
  await page.getByRole('button', { name: 'Change setup' }).click();
  await page.getByRole('textbox', { name: 'A mark every (mL)' }).fill('0.5');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText('The marks are closer together than the divisions.').waitFor();
  await page.getByRole('textbox', { name: 'A mark every (mL)' }).fill('5');
  await page
    .getByRole('combobox', { name: 'Air pressure' })
    .selectOption({ label: 'from a weather report (sea level)' });
  await page.getByRole('textbox', { name: 'Pressure (hPa)' }).fill('1018');
  await page.getByRole('textbox', { name: 'Height above the sea (m)' }).fill('420');
  await page.getByRole('textbox', { name: /^Outdoors/ }).fill('-3');
  await page.getByText('Fine points').click();
  await page.getByRole('textbox', { name: 'Gas above the reaction, give or take (mL)' }).fill('20');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText('Something is missing or out of range: the gas above the reaction.').waitFor();
  await page.getByRole('textbox', { name: 'Gas above the reaction (mL)' }).fill('250');
  await page.getByRole('textbox', { name: 'Bore of the cylinder (mm)' }).fill('28');
  await page.getByRole('checkbox', { name: /^Allow for/ }).check();
  await page.getByRole('textbox', { name: /^A call is good to/ }).fill('120');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText('Marks: 5 mL').waitFor();
  await page.keyboard.press('s');
  await heard.getByText('Run 1 started').waitFor();
  for (const key of ['0', 'Enter', 'Space']) await page.keyboard.press(key);
  await heard.getByText(/^. ?5 mL at/).waitFor();
  expect((await notebookOnDisk(page)).setup).toMatchObject({
    stepMl: 5,
    pressure: { kind: 'sea-level', hPa: 1018, altitudeM: 420, outdoorC: -3 },
    backPressure: { on: true, headspaceMl: 250, uHeadspaceMl: 20, cylinderBoreMm: 28 },
    uCallMs: 120,
  });
});

test('a first mark that was set up is shown large before the first reading; else none is known', async () => {
  const { page, heard } = await bench();
  const next = page.locator('.figures .next');
  await page.getByRole('button', { name: 'Change setup' }).click();
  await page.getByRole('textbox', { name: 'First mark, if you know it (mL)' }).fill('4');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.getByText('Marks: 2 mL').waitFor();
  for (const [width, height] of [
    [390, 844],
    [844, 390],
    [1440, 900],
  ] as const) {
    await page.setViewportSize({ width, height });
    await page.keyboard.press('s');
    await heard.getByText(/^Run \d started/).waitFor();
    await next.getByRole('img', { name: '4', exact: true }).waitFor();
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    await page.keyboard.press('e');
    await heard.getByText(/^Run \d ended/).waitFor();
  }
  await page.getByRole('button', { name: 'Change setup' }).click();
  await page.getByRole('textbox', { name: 'First mark, if you know it (mL)' }).fill('');
  await page.getByRole('button', { name: 'Done' }).click();
  await page.keyboard.press('s');
  await heard.getByText(/^Run \d started/).waitFor();
  expect(await next.count()).toBe(0);
});

test('a number called while no run is open is kept, said, and put into its run later', async () => {
  const { page, heard } = await bench();
  await page.keyboard.press('1');
  await page.keyboard.press('2');
  await page.keyboard.press('Enter');
  await heard.getByText('No run is open: say “start run”').waitFor();
  await page.keyboard.press('s');
  await heard.getByText('Run 1 started').waitFor();
  if (await page.getByRole('button', { name: 'Menu' }).isVisible())
    await page.getByRole('button', { name: 'Menu' }).click();
  await page.getByRole('link', { name: 'Readings' }).click();
  await page.getByRole('button', { name: /^Outside runs/ }).click();
  await page.getByRole('button', { name: /no reading/ }).click();
  await page.getByRole('button', { name: 'Take this value' }).click();
  await expect
    .poll(async () => (await notebookOnDisk(page)).runs[0]?.readings.map((reading) => reading.value))
    .toEqual(['12']);
});

test('a fresh Bench has at most 60 words', async () => {
  const { page } = await bench();
  await page.getByRole('heading', { name: 'Before you mix' }).waitFor();
  // The offer of twenty words comes a moment later, with what is kept of the voices.
  await page.getByText('Say twenty words', { exact: true }).waitFor();
  expect(await wordsSeen(page)).toBeLessThanOrEqual(60);
});

test.each([
  [360, 740],
  [390, 844],
  [844, 390],
  [768, 1024],
  [1440, 900],
  [1920, 1080],
])(
  'in a run at %i x %i the last reading is 25 mm high, the next mark 12 mm, and what was heard is in sight',
  async (width, height) => {
    const { page, heard } = await bench();
    await page.setViewportSize({ width, height });
    await page.keyboard.press('s');
    await heard.getByText('Run 1 started').waitFor();
    for (const key of ['6', '2', 'Enter']) await page.keyboard.press(key);
    await heard.getByText('62 mL at time zero').waitFor();
    await page.waitForTimeout(300);
    const seen = await page.evaluate(() => {
      // Digits are 0.73 em high in most faces; the drawing's type is 100 units.
      const digits = (part: string): number => {
        const drawing = document.querySelector<SVGSVGElement>(`.figures .${part} svg`);
        return (drawing?.getScreenCTM()?.d ?? 0) * 73;
      };
      const bottom = (part: string): number => document.querySelector(part)?.getBoundingClientRect().bottom ?? Infinity;
      return {
        last: digits('last'),
        next: digits('next'),
        lowest: Math.max(bottom('.last-heard .answer'), bottom('.hearing .ear-state')),
        menu: bottom('.menu'),
        beyond: document.documentElement.scrollWidth - innerWidth,
      };
    });
    // 160 px an inch is the reference density of a phone's screen.
    expect((seen.last / 160) * 25.4).toBeGreaterThanOrEqual(25);
    expect((seen.next / 160) * 25.4).toBeGreaterThanOrEqual(12);
    expect(seen.lowest).toBeLessThanOrEqual(height);
    expect(seen.beyond).toBeLessThanOrEqual(0);
    // On its side a phone shows all of a run at once.
    if (height < 400) expect(seen.menu).toBeLessThanOrEqual(height);
  },
);
