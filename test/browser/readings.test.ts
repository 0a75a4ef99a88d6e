import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeEach, expect, inject, test } from 'vitest';
import { the } from '../the.ts';
import { type Launched, launch } from './browser.ts';
import { notebookOnDisk } from './notebook-in-page.ts';

let launched: Launched | null = null;
let page: Page;

beforeEach(async () => {
  await launched?.close();
  launched = await launch({ viewport: { width: 1440, height: 900 } });
  page = launched.page;
  await page.goto(inject('address'));
  await page.getByRole('button', { name: /example/ }).waitFor();
  await page.keyboard.press('d');
  await page.waitForURL(/#\/rates/);
  await page.getByRole('link', { name: 'Readings' }).click();
  await page.getByRole('heading', { name: 'Readings', exact: true }).waitFor();
});
afterAll(() => launched?.close());

const rate = () => page.getByText(/^\d+\.\d+ ± \d+\.\d+ mL\/s$/);
const readingOf = async (call: string) =>
  (await notebookOnDisk(page)).runs.flatMap((run) => run.readings).find((reading) => reading.call === call);

test('the doubt stands first; one tap on a rival settles it, the rate follows, and it can be taken back', async () => {
  await page.getByRole('heading', { name: 'To look at: 1' }).waitFor();
  const doubt = page.getByRole('button', { name: /Run 2, .*14 mL.*in doubt/ });
  await doubt.focus();
  await page.keyboard.press('Enter');
  await page.getByRole('complementary', { name: 'Curve of run 2' }).waitFor();
  await rate().waitFor();
  await page.getByRole('group', { name: 'It was' }).getByRole('button', { name: '40 mL' }).click();
  await expect.poll(() => readingOf('demo-run-2-call-5')).toMatchObject({ value: '40', settled: true });
  // What a person settled wrongly is still spoken against by the rest of the run, here as on Rates.
  await page.getByText(/^Likely cause: misheard/).waitFor();
  await page.getByRole('heading', { name: 'To look at: 1' }).waitFor();
  await page.getByText(/^One reading does not fit the others/).waitFor();
  const here = (await rate().textContent())?.replace(' mL/s', '') ?? '';
  expect(here).toMatch(/±/);
  await page.getByRole('link', { name: 'Rates', exact: true }).click();
  await page
    .getByRole('region', { name: 'Run 2', exact: true })
    .locator('.rate-figure')
    .filter({ hasText: `${here} mL/s` })
    .waitFor();
  await page.getByRole('link', { name: 'Readings', exact: true }).click();
  await page.getByRole('button', { name: /^Take back / }).click();
  await expect.poll(() => readingOf('demo-run-2-call-5')).toMatchObject({ value: '14', settled: false });
  await page.getByText(/^Likely cause/).waitFor({ state: 'detached' });
  await doubt.waitFor();
});

test('strike and restore, set aside and put back: nothing is lost and the history tells it', async () => {
  await page.getByRole('button', { name: /^0:43\.\d 10 mL/ }).click();
  await page.getByRole('button', { name: 'Strike 10 mL' }).click();
  await page.getByRole('button', { name: 'Restore 10 mL' }).click();
  await page.getByRole('combobox', { name: 'Set aside because of' }).selectOption({ label: 'called late' });
  await page.getByRole('textbox', { name: 'In words' }).fill('looked away');
  await page.getByRole('button', { name: 'Set aside', exact: true }).click();
  await page.getByText('Set aside: called late, looked away.').waitFor();
  await page.getByRole('button', { name: 'Put 10 mL back' }).click();
  await page.getByRole('combobox', { name: 'Set aside because of' }).waitFor();
  await page.getByText('History (5)').click();
  const history = await page.locator('.history li').allTextContents();
  expect(history.map((line) => / (judged|struck|restored|set aside|put back) /.exec(line)?.[1])).toEqual([
    'judged',
    'struck',
    'restored',
    'set aside',
    'put back',
  ]);
});

test('a value is typed, arrow keys go from call to call, and a bad number is refused in words', async () => {
  const first = page.getByRole('button', { name: /^0:00\.0 6 mL/ });
  await first.click();
  const value = page.getByRole('textbox', { name: 'Correct 6 mL to' });
  await value.fill('six');
  await value.press('Enter');
  await page.getByText('A number such as 24 or 24.5, please.').waitFor();
  await value.fill('999');
  await value.press('Enter');
  await page.getByText('999 mL is more than the cylinder shows (100 mL); nothing was changed.').waitFor();
  await value.fill('6');
  await value.press('Enter');
  await page.getByText('It stands at 6 mL already.').waitFor();
  expect((await readingOf('demo-run-3-call-1'))?.history.map(({ what }) => what)).toEqual(['judged']);
  await value.fill('6,5');
  await value.press('Enter');
  await expect.poll(() => readingOf('demo-run-3-call-1')).toMatchObject({ value: '6.5' });
  await page.getByRole('button', { name: /^0:00\.0 6.5 mL/ }).focus();
  await page.keyboard.press('ArrowDown');
  const second = page.getByRole('button', { name: /^0:2\d\.\d 8 mL/ });
  expect(await second.evaluate((element) => element === document.activeElement)).toBe(true);
  expect(await second.getAttribute('aria-expanded')).toBe('true');
});

test('a reading dragged on the curve is corrected by whole divisions when it is let go', async () => {
  const plot = page.locator('.run-curve .u-over');
  await plot.waitFor();
  await page.waitForTimeout(300);
  const box = the(await plot.boundingBox());
  // The last reading of run 3 stands at the right edge, 26 mL; one step of the scale down from there.
  const readings = the((await notebookOnDisk(page)).runs[2]).readings;
  expect(readings.at(-1)?.value).toBe('26');
  const spots = [0.02, 0.04, 0.06, 0.08, 0.1, 0.12];
  for (const part of spots) {
    await page.mouse.move(box.x + box.width - 1, box.y + part * box.height);
    if ((await plot.evaluate((element) => element.style.cursor)) === 'ns-resize') break;
  }
  await page.mouse.down();
  const at = await plot.evaluate((element) => element.style.cursor);
  expect(at).toBe('ns-resize');
  await page.mouse.move(box.x + box.width - 1, box.y + 0.5 * box.height, { steps: 6 });
  await page.mouse.up();
  await expect
    .poll(
      async () =>
        the((await notebookOnDisk(page)).runs[2])
          .readings.at(-1)
          ?.history.at(-1)?.what,
    )
    .toBe('corrected');
  const dragged = the(the((await notebookOnDisk(page)).runs[2]).readings.at(-1));
  expect(dragged.volumeMl).toBeLessThan(24);
  expect(Number.isInteger(dragged.volumeMl)).toBe(true);
});

test('the titles of the curve’s axes stand clear of the figures beside them, on a desk and on a phone', async () => {
  for (const size of [
    { width: 1440, height: 900 },
    { width: 390, height: 844 },
  ]) {
    await page.setViewportSize(size);
    const canvas = page.getByRole('img', { name: /^Volume against time/ }).locator('canvas');
    await canvas.waitFor();
    await expect.poll(async () => (await clearOfTitles(canvas)).below).toBeGreaterThanOrEqual(6);
    await expect.poll(async () => (await clearOfTitles(canvas)).left).toBeGreaterThanOrEqual(4);
  }
});

/** Blank px between the title of each axis (the outermost ink of the drawing) and the figures inwards of it. */
function clearOfTitles(canvas: Locator): Promise<{ below: number; left: number }> {
  return canvas.evaluate((element: HTMLCanvasElement) => {
    const { width, height } = element;
    const { data } = element.getContext('2d')!.getImageData(0, 0, width, height);
    const inked = (x: number, y: number): boolean => (data[4 * (y * width + x) + 3] ?? 0) > 40;
    const rows = Array.from({ length: height }, (_, y) =>
      Array.from({ length: width }, (_, x) => x).some((x) => inked(x, height - 1 - y)),
    );
    const columns = Array.from({ length: width }, (_, x) =>
      Array.from({ length: height }, (_, y) => y).some((y) => inked(x, y)),
    );
    const blankBehindFirst = (lines: boolean[]): number => {
      const title = lines.indexOf(true);
      const end = lines.indexOf(false, title);
      return (lines.indexOf(true, end) - end) / devicePixelRatio;
    };
    return { below: blankBehindFirst(rows), left: blankBehindFirst(columns) };
  });
}
