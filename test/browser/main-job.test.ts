import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import type { NotebookState } from '../../src/log/state.ts';
import { the } from '../the.ts';
import { chooseBrowserEar, giveFirstVolume, type Launched, type LaunchOptions, launch, mayStarve } from './browser.ts';
import { clipsOnDisk, notebookOnDisk } from './notebook-in-page.ts';
import { openMenu } from './report-page.ts';
import { linesEvery, scriptedVoice } from './scripted-voice.ts';
import { callsEvery, type SoundOptions, speechFile } from './speech-sound.ts';

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

async function start(options: LaunchOptions = {}): Promise<Launched> {
  const launched = await launch(options);
  open.push(launched.close);
  await launched.page.goto(inject('address'));
  await launched.page.getByRole('button', { name: 'Begin a notebook' }).click();
  await launched.page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  return launched;
}

const lastHeard = (page: Page) => page.getByRole('region', { name: 'Last heard' });

const quantile = (values: readonly number[], q: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(q * sorted.length) - 1)] ?? Number.NaN;
};

/** Eleven calls into the fake microphone with sound marks; what came of them. */
async function elevenCalls(sound: SoundOptions) {
  const everyS = 2.2;
  const speech = await speechFile(callsEvery(everyS), { ...sound, tailS: 2 });
  const { page } = await start({ microphoneWav: speech.path });
  await page.getByText('How it hears and answers').click();
  await page.getByRole('radio', { name: /^Sound marks/ }).check();
  await page.keyboard.press('s');
  await lastHeard(page).getByText('Run 1 started').waitFor();
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page.getByText('Hears sounds: each is the next mark').waitFor();
  await giveFirstVolume(page, 0);
  await lastHeard(page)
    .getByText(/20 mL at/)
    .waitFor({ timeout: 45_000 });
  // Anything invented would come now.
  await page.waitForTimeout(1500);
  const state = await notebookOnDisk(page);
  const readings = state.runs[0]?.readings ?? [];
  // The file starts when the microphone opens, give or take 30 ms: only differences are compared.
  const errors = readings.map((reading, index) => reading.timeMs - 1000 * (speech.calls[index]?.onsetS ?? Number.NaN));
  const middle = quantile(errors, 0.5);
  return { page, state, readings, everyS, errorsMs: errors.map((error) => Math.abs(error - middle)) };
}

/** The straight line's rate of the first run and its stated standard uncertainty, mL/s: what Rates and Report show. */
function lineRateOf(state: NotebookState): { rate: number; u: number } {
  const [run] = analysisOf(state).analysis.runs;
  if (!run?.ok || !run.estimates.line.ok) throw new Error('the run has no rate');
  return { rate: run.estimates.line.rateM3PerS * 1e6, u: run.estimates.line.u * 1e6 };
}

test(
  'eleven calls into the microphone are eleven readings at their moments: sound marks, clean sound',
  mayStarve,
  async () => {
    const { page, state, readings, everyS, errorsMs } = await elevenCalls({});
    expect(readings.map((reading) => reading.value)).toEqual([
      '0',
      '2',
      '4',
      '6',
      '8',
      '10',
      '12',
      '14',
      '16',
      '18',
      '20',
    ]);
    expect(state.calls).toHaveLength(11);
    expect(quantile(errorsMs, 0.95)).toBeLessThanOrEqual(40);
    await expect.poll(() => clipsOnDisk(page)).toBe(11);
    const { rate, u } = lineRateOf(state);
    expect(Math.abs(rate - 2 / everyS)).toBeLessThan(2 * u);
  },
);

test(
  'eleven calls in noise 10 dB below the speech are eleven readings, none missed, none invented',
  mayStarve,
  async () => {
    const { readings, state, everyS, errorsMs } = await elevenCalls({ noise: 'pink', snrDb: 10 });
    expect(readings.map((reading) => reading.value)).toEqual([
      '0',
      '2',
      '4',
      '6',
      '8',
      '10',
      '12',
      '14',
      '16',
      '18',
      '20',
    ]);
    expect(state.calls).toHaveLength(11);
    expect(quantile(errorsMs, 0.95)).toBeLessThanOrEqual(80);
    const { rate, u } = lineRateOf(state);
    expect(Math.abs(rate - 2 / everyS)).toBeLessThan(2 * u);
  },
);

test('words: a correction, a disregard, and a misheard value put right on Readings; the table copied', async () => {
  const everyS = 2;
  const voice = await scriptedVoice(
    linesEvery(everyS, 1.5, [
      { say: 'baseline ten' },
      { say: 'start run one' },
      { say: 'twelve' },
      { say: 'fourteen' },
      { say: 'sixteen' },
      { say: 'nineteen' },
      { say: 'correction eighteen', heard: 'correction 18' },
      { say: 'twenty', heard: '20' },
      // Misheard as something that sounds nothing like it: only a person can know.
      { say: 'twenty two', heard: '93' },
      { say: 'twenty four', heard: '24' },
      { say: 'twenty five', heard: '25' },
      { say: 'disregard' },
      { say: 'twenty six', heard: '26' },
      { say: 'twenty eight', heard: '28' },
      { say: 'thirty', heard: '30' },
      { say: 'end run' },
    ]),
  );
  const { page, context } = await start({
    microphoneWav: voice.sound.path,
    initScripts: [voice.initScript],
    permissions: ['microphone', 'clipboard-read', 'clipboard-write'],
  });
  await chooseBrowserEar(page);
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await lastHeard(page)
    .getByText(/Run 1 ended/)
    .waitFor({ timeout: 60_000 });

  await page.getByRole('link', { name: 'Readings' }).click();
  const row = page.getByRole('button', { name: /93/ }).first();
  await row.click();
  const value = page.getByRole('textbox', { name: /^Correct|^Give it the value/ }).first();
  await value.fill('22');
  await page.getByRole('button', { name: 'Take this value' }).first().click();
  await expect
    .poll(async () => {
      const run = (await notebookOnDisk(page)).runs[0];
      return run?.readings.filter((reading) => !reading.struck).map((reading) => reading.value);
    })
    .toEqual(['12', '14', '16', '18', '20', '22', '24', '26', '28', '30']);

  // The correction kept the moment of "nineteen".
  const run = the((await notebookOnDisk(page)).runs[0]);
  const [first] = run.readings;
  const eighteen = the(run.readings.find((reading) => reading.value === '18'));
  expect(Math.abs(eighteen.timeMs - the(first).timeMs - 3 * everyS * 1000)).toBeLessThan(60);

  await page.getByRole('link', { name: 'Report' }).click();
  await openMenu(page, 'Copy');
  await page.getByRole('button', { name: 'for a spreadsheet' }).click();
  await expect.poll(() => page.evaluate(() => navigator.clipboard.readText())).toMatch(/(?:starting|mean) rate/);
  await context.close();
});

test('as it comes, offline: the recogniser in the page hears a run with a mark and a correction', async () => {
  const numbers = ['twelve', 'fourteen', 'sixteen', 'eighteen', 'twenty', 'mark', 'twenty four'];
  const voice = await scriptedVoice(
    linesEvery(2.2, 5, [
      { say: 'baseline ten' },
      { say: 'start run one' },
      ...numbers.map((say) => ({ say })),
      { say: 'twenty five' },
      { say: 'correction twenty six' },
      { say: 'end run' },
    ]),
    { none: true },
  );
  const { page } = await start({ microphoneWav: voice.sound.path, initScripts: [voice.initScript] });
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page.getByText('Listening, on this device only').waitFor({ timeout: 20_000 });
  await lastHeard(page)
    .getByText(/Run 1 ended/)
    .waitFor({ timeout: 60_000 });
  const [run] = (await notebookOnDisk(page)).runs;
  expect(run?.readings.filter((reading) => !reading.struck).map((reading) => reading.value)).toEqual([
    '12',
    '14',
    '16',
    '18',
    '20',
    '22',
    '24',
    '26',
  ]);
});
