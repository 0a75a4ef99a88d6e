import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { experimentOf } from '../../src/analysis/notebook-analysis.ts';
import type { EventBody } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';
import { the } from '../the.ts';
import { launch } from './browser.ts';
import { eventsOnDisk, notebookOnDisk } from './notebook-in-page.ts';
import { wordsSeen } from './words-seen.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function sheet(template: RegExp, colorScheme: 'light' | 'dark' = 'light'): Promise<Page> {
  const launched = await launch({ viewport: { width: 390, height: 844 }, colorScheme });
  open.push(launched.close);
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('link', { name: 'Run sheet' }).click();
  await page.getByRole('button', { name: template }).click();
  await page.getByRole('navigation', { name: 'Steps of the run sheet' }).waitFor();
  return page;
}

const run = (page: Page, label: string) => page.getByRole('group', { name: `Run ${label}`, exact: true });

/** Goes to a step, and opens what is folded there. */
async function step(
  page: Page,
  name: 'What' | 'Bottles' | 'Runs' | 'Print',
  ...folds: readonly string[]
): Promise<void> {
  await page.getByRole('navigation', { name: 'Steps of the run sheet' }).getByRole('link', { name }).click();
  for (const fold of folds) {
    const summary = page.locator('summary', { hasText: new RegExp(`^${fold}`) });
    await summary.click();
  }
}

test('a plan is changed by typing, what follows from it is shown at once, and undo takes a change back', async () => {
  const page = await sheet(/Peroxide and iodide, three runs/);
  await expect.poll(async () => (await notebookOnDisk(page)).plan?.runs.length).toBe(3);
  await step(page, 'Runs', 'Run 1', 'What this plan gives');
  await page.getByText('After all runs a repeat of any one of them is still possible.').waitFor();

  const iodide = run(page, '1').getByLabel('iodide');
  await iodide.fill('10');
  await iodide.press('Tab');
  const water = run(page, '1').getByLabel('water');
  await water.fill('30,0');
  await water.press('Enter');
  // 10 of 50 mL of 0.2 mol/L; and runs 1 and 2 are now alike.
  await run(page, '1')
    .getByText(/iodide 0\.0400/)
    .waitFor();
  await page.getByText('Runs 1 and 2 are alike: they show how well a run repeats.').waitFor();
  await expect
    .poll(async () => (await notebookOnDisk(page)).plan?.runs[0]?.pours.map((pour) => pour.volumeMl))
    .toEqual([30, 10, 10]);

  await page.getByRole('button', { name: 'Undo the last change' }).click();
  await run(page, '1')
    .getByText(/iodide 0\.0800/)
    .waitFor();
  await expect.poll(() => iodide.inputValue()).toBe('20');
});

test('one temperature is set for all runs, a run may have its own, and it is said which of them counts', async () => {
  const page = await sheet(/Peroxide and iodide, three runs/);
  await step(page, 'Runs', 'Run 2');
  const ofAll = page.getByRole('textbox', { name: /^Temperature/ });
  await ofAll.fill('294');
  await ofAll.press('Enter');
  await page.getByText('it looks like 294 K. That is 20.85 °C').waitFor();
  await ofAll.fill('21');
  const own = run(page, '2').getByLabel('Own temperature');
  await own.fill('31.5');
  await own.press('Enter');
  await page.getByText('For every run without its own; a temperature that you call comes first.').waitFor();
  await expect
    .poll(async () => (await notebookOnDisk(page)).plan?.runs.map((entry) => entry.temperatureC))
    .toEqual([undefined, 31.5, undefined]);
  const events = await eventsOnDisk(page);
  const last = the(events.at(-1));
  const added = ['1', '2', '3'].flatMap((label): EventBody[] => [
    { kind: 'run-started', run: `run-${label}`, label, timeMs: last.atMs },
    ...(label === '3' ? [{ kind: 'temperature', value: '25', timeMs: last.atMs, run: 'run-3' } as const] : []),
    { kind: 'run-ended', run: `run-${label}`, timeMs: last.atMs },
  ]);
  const state = reduce([
    ...events,
    ...added.map((body, i) => ({ ...last, id: `added-${i}`, seq: last.seq + 1 + i, body })),
  ]);
  const celsius = experimentOf(state).experiment.runs.map((data) => (data.temperatureK?.value ?? Number.NaN) - 273.15);
  // Run 1 by the setup, run 2 by the run sheet, run 3 by what was called.
  for (const [i, expected] of [21, 31.5, 25].entries()) expect(celsius[i]).toBeCloseTo(expected, 9);
});

test('a solid is weighed for a run: the gas that it makes, what runs out first, and its cautions are there at once', async () => {
  const page = await sheet(/An empty sheet/);
  await step(page, 'What');
  await page.getByRole('combobox', { name: /^Reaction/ }).selectOption({ label: 'Magnesium and acid' });
  await step(page, 'Bottles');
  await page.getByRole('button', { name: 'Add a bottle' }).click();
  const strength = page.getByLabel('Strength on the label');
  await strength.fill('1');
  await strength.press('Enter');
  await step(page, 'Runs');
  await page.getByRole('button', { name: 'Add a run' }).click();
  const acid = run(page, '1').getByLabel('HCl');
  await acid.fill('20');
  await acid.press('Enter');
  const mass = run(page, '1').getByRole('textbox', { name: /^Mass of magnesium(?!,)/ });
  await mass.fill('0,1');
  await mass.press('Enter');
  await run(page, '1')
    .getByText(/0\.1 g magnesium \(4\.11 mmol\); magnesium runs out first: 10\d mL of gas in all/)
    .waitFor();
  await expect
    .poll(async () => (await notebookOnDisk(page)).plan?.runs[0]?.solids)
    .toEqual([{ species: 'Mg', massG: 0.1 }]);
  // Half of it is oxide: half the gas. Every field of a ribbon has a name of its own.
  const purity = run(page, '1').getByRole('textbox', { name: /^Purity of magnesium(?!,)/ });
  await purity.fill('50');
  await purity.press('Enter');
  await run(page, '1')
    .getByText(/0\.1 g magnesium \(2\.06 mmol\); magnesium runs out first: 5\d\.?\d* mL of gas in all/)
    .waitFor();
  await purity.fill('0.95');
  await purity.press('Enter');
  await page.getByText('0.95 % cannot be right: it should lie between 1 and 100 %.').waitFor();
  await purity.fill('');
  await purity.press('Enter');
  const names = await run(page, '1').locator('.number-field > span:first-child').allTextContents();
  expect(names.filter((name) => /give or take$/.test(name))).toEqual([
    'Mass of magnesium, give or take',
    'Purity of magnesium, give or take',
    'Length of magnesium, give or take',
    'Mass of a metre, give or take',
  ]);
  await page
    .getByText(/Magnesium burns with a blinding flame/)
    .first()
    .waitFor({ state: 'attached' });
  await mass.fill('');
  await mass.press('Enter');
  await expect.poll(async () => (await notebookOnDisk(page)).plan?.runs[0]?.solids).toBeUndefined();
});

test('carbon dioxide asks what it stands on; other gases do not', async () => {
  const page = await sheet(/An empty sheet/);
  await step(page, 'What');
  const reaction = page.getByRole('combobox', { name: /^Reaction/ });
  await reaction.selectOption({ label: 'Magnesium and acid' });
  await page.getByText('Cylinder, marks and conditions').click();
  const standsOn = page.getByRole('combobox', { name: 'The gas stands on' });
  await page.getByRole('textbox', { name: 'A mark every (mL)' }).waitFor();
  expect(await standsOn.count()).toBe(0);
  await reaction.selectOption({ label: 'Carbonate and acid' });
  await standsOn.selectOption({ label: 'water saturated with the gas' });
  const water = page.getByRole('textbox', { name: 'Water under the gas at the start (mL)' });
  await water.fill('0.25');
  await water.blur();
  await page.getByText('0.25 mL cannot be right; it looks like 0.25 L. That is 250 mL.').waitFor();
  await water.fill('250');
  await water.blur();
  await expect
    .poll(async () => (await notebookOnDisk(page)).setup.dissolving)
    .toEqual({ water: 'saturated', waterMl: 250 });
});

test('what cannot be a volume is said at its field and changes nothing', async () => {
  const page = await sheet(/Peroxide and iodide, three runs/);
  await step(page, 'Runs', 'Run 1');
  const iodide = run(page, '1').getByLabel('iodide');
  await iodide.fill('-3');
  await iodide.press('Enter');
  await run(page, '1').getByRole('alert').getByText('At least 0.').waitFor();
  await run(page, '1')
    .getByText(/iodide 0\.0800/)
    .waitFor();
});

test('a strength that cannot be is refused at its field, an unusual one is kept and asked about', async () => {
  const page = await sheet(/Peroxide and iodide, three runs/);
  await step(page, 'Bottles', 'peroxide');
  const bottle = page.getByRole('group', { name: 'peroxide', exact: true });
  const strength = bottle.getByLabel('Strength on the label');
  const before = await strength.inputValue();
  await bottle.getByLabel('Unit').selectOption('% (g in 100 g)');
  await strength.fill('300');
  await strength.press('Enter');
  await bottle.getByText(/300 cannot be: 100 g of solution cannot hold more than 100 g/).waitFor();
  await strength.fill('90');
  await strength.press('Enter');
  await bottle.getByText('90 is unusually strong. Look at the label and the unit once more.').waitFor();
  expect(await bottle.getByText(/cannot be/).count()).toBe(0);
  await expect.poll(async () => (await notebookOnDisk(page)).plan?.stocks[0]?.strength).toMatchObject({ value: 90 });
  expect(before).not.toBe('90');
  await step(page, 'Runs', 'Run 1');
  const water = run(page, '1').getByLabel('water');
  await water.fill('2500');
  await water.press('Enter');
  await run(page, '1')
    .getByText(/2\.5\d? L in one flask is unusually much/)
    .waitFor();
});

test('the hand-out link carries the plan into a new notebook of another browser', async () => {
  const page = await sheet(/iodide diluted twice/);
  await step(page, 'Print');
  await page.getByRole('button', { name: 'Copy the link' }).click();
  const link = await page.getByLabel('The link', { exact: true }).inputValue();
  const other = await launch();
  open.push(other.close);
  await other.page.goto(link);
  await other.page.getByRole('button', { name: 'Start with this run sheet' }).click();
  await other.page.waitForFunction(() => location.hash === '#/bench');
  await other.page.getByRole('link', { name: 'Run sheet' }).click();
  await step(other.page, 'Runs');
  await other.page.getByText('Runs 1, 2 and 3 differ only in iodide: they give its order.').waitFor();
  // The sheet records what was changed after a moment of rest; on a fast machine that may still be to come.
  await expect.poll(async () => (await notebookOnDisk(page)).plan).not.toBeNull();
  const [mine, theirs] = [await notebookOnDisk(page), await notebookOnDisk(other.page)];
  expect(theirs.plan).toEqual(mine.plan);
});

test.each(['light', 'dark'] as const)('the sheet prints on one page, from the %s theme too', async (theme) => {
  const page = await sheet(/iodide diluted twice/, theme);
  const pdf = await page.pdf({ preferCSSPageSize: true });
  const text = pdf.toString('latin1');
  expect(text.match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(1);
  // A4: 210 x 297 mm are 595 x 842 points.
  expect(/\/MediaBox\s*\[\s*0 0 (\d+)/.exec(text)?.[1]).toMatch(/^59[45]$/);
  await page.emulateMedia({ media: 'print' });
  const ink = await page
    .locator('.sheet li')
    .first()
    .evaluate((item) => getComputedStyle(item).color);
  expect(ink).toBe('rgb(0, 0, 0)');
});

test('each step is short, shows its own cautions, and the whole list is one tap away', async () => {
  const page = await sheet(/Peroxide and iodide, three runs/);
  const cautions = page.getByRole('region', { name: 'Careful' });
  for (const [name, caution] of [
    ['What', 'Wear goggles and gloves'],
    ['Bottles', 'Do not swallow iodide'],
    ['Runs', 'no flames nearby'],
    ['Print', 'can burst the bottle'],
  ] as const) {
    await step(page, name);
    await cautions.getByText(caution).waitFor();
    expect(await wordsSeen(page), name).toBeLessThanOrEqual(120);
    await cautions.getByText('All cautions').click();
    for (const other of ['goggles and gloves', 'swallow iodide', 'no flames', 'burst the bottle'])
      expect(await cautions.getByText(other).isVisible(), `${name}: ${other}`).toBe(true);
    await cautions.getByText('All cautions').click();
  }
  // The whole checklist, on request; on paper it always is.
  const list = page.getByText('Rinse the flask twice with water');
  expect(await list.isVisible()).toBe(false);
  await page.getByRole('button', { name: 'The full list' }).click();
  await list.waitFor();
}, 60_000);

test('in German the run sheet, its cautions, its advice and its setup are German', async () => {
  const page = await sheet(/Peroxide and iodide, three runs/);
  await page.evaluate(() => {
    location.hash = '#/help/settings';
  });
  await page.getByLabel('Language of the page').selectOption('de');
  const english =
    /\b(the|and|with|runs?|bottles?|next|undo|careful|add|of|take|water|there|enough|gives|print|list|label|bench|or)\b/i;
  for (const [address, sections] of [
    ['what', ['Zylinder, Marken']],
    ['bottles', ['peroxide', 'iodide']],
    ['runs', ['Lauf 1', 'Messgefäße', 'Was dieser Plan']],
    ['hand-out', ['Gruppen und Fragen']],
  ] as const) {
    await page.evaluate((to) => {
      location.hash = `#/run-sheet/${to}`;
    }, address);
    await page.getByText('Alle Warnungen').click();
    for (const section of sections) await page.locator('summary', { hasText: section }).click();
    if (address === 'hand-out') await page.getByRole('button', { name: 'Die ganze Liste' }).click();
    const shown = await page.evaluate(() => {
      // biome-ignore lint/performance/useDomNodeTextContent: only what is shown counts
      return document.querySelector('main')?.innerText ?? '';
    });
    // Names that the person gave, and a source as it is cited, are as they are; words to say are those of the calls.
    const own = shown.replace(/„[^“]*“|peroxide|iodide|water|J\. Am\. Chem\. Soc\.|Liebhafsky and Mohammad/g, '');
    if (address === 'hand-out') expect(shown).toContain('„end run“');
    expect(own.match(english)?.[0], address).toBeUndefined();
  }
}, 60_000);
