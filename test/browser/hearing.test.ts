import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { chooseBrowserEar, type Launched, type LaunchOptions, launch } from './browser.ts';
import { fakeRecogniser } from './fake-recogniser.ts';
import { callsEvery, speechFile } from './speech-sound.ts';

/** Hearing that goes wrong, in a real browser: what the page says and does. */

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

/** Keeps the tracks of the page's microphone within reach of the test, and counts how often it was opened. */
const reachMicrophone = `(() => {
  const media = navigator.mediaDevices;
  if (!media) return;
  const open = media.getUserMedia.bind(media);
  window.microphoneTracks = [];
  media.getUserMedia = async (constraints) => {
    const stream = await open(constraints);
    window.microphoneTracks.push(...stream.getAudioTracks());
    return stream;
  };
})();`;

declare global {
  interface Window {
    microphoneTracks: MediaStreamTrack[];
  }
}

async function start(options: LaunchOptions): Promise<Launched> {
  const sound = await speechFile(callsEvery(2.5), { tailS: 60 });
  const launched = await launch({ microphoneWav: sound.path, ...options });
  open.push(launched.close);
  await toTheBench(launched.page);
  return launched;
}

async function toTheBench(page: Page): Promise<void> {
  await page.goto(inject('address'));
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByRole('button', { name: 'Open the microphone' }).waitFor();
}

const openMicrophone = (page: Page) => page.getByRole('button', { name: 'Open the microphone' }).click();
const hearsWords = (page: Page) => page.getByText('Listening: the browser’s recogniser');

test('a network that goes in the middle: said to hear no words, then words again by itself', async () => {
  const { page } = await start({ initScripts: [fakeRecogniser({})] });
  await chooseBrowserEar(page);
  await openMicrophone(page);
  await hearsWords(page).waitFor();
  await page.evaluate(() => window.fakeRecogniser.fail('network'));
  await page.getByText('Hears sounds; words start again in a moment').waitFor();
  await hearsWords(page).waitFor({ timeout: 5000 });
  expect(await page.evaluate(() => window.fakeRecogniser.sessions)).toBe(2);
});

test('a second window: it says that another page listens, marks sounds all the same, and the first hears on', async () => {
  const { context, page } = await start({ initScripts: [fakeRecogniser({})] });
  await chooseBrowserEar(page);
  await openMicrophone(page);
  await hearsWords(page).waitFor();
  const second = await context.newPage();
  await toTheBench(second);
  await openMicrophone(second);
  await second.getByText('Something else is using speech recognition.').first().waitFor();
  await second.getByText(/^Hears sounds/).waitFor();
  expect(await second.evaluate(() => window.fakeRecogniser.sessions)).toBe(0);
  await page.bringToFront();
  await hearsWords(page).waitFor();
  expect(await page.evaluate(() => window.fakeRecogniser.sessions)).toBe(1);
});

test('a microphone that is pulled: said, nothing claimed, taken up again when a device comes', async () => {
  const { page } = await start({ initScripts: [reachMicrophone, fakeRecogniser({ none: true })] });
  await page.getByText('How it hears and answers').click();
  await page.getByRole('radio', { name: /^Sound marks/ }).check();
  await openMicrophone(page);
  await page.getByText('Hears sounds: each is the next mark').waitFor();
  await page.evaluate(() => {
    for (const track of window.microphoneTracks) {
      track.stop();
      track.dispatchEvent(new Event('ended'));
    }
  });
  await page.getByText('The microphone was disconnected or taken by another program.').first().waitFor();
  await page.getByText('Does not hear', { exact: true }).waitFor();
  await page.evaluate(() => navigator.mediaDevices.dispatchEvent(new Event('devicechange')));
  await page.getByText('Hears sounds: each is the next mark').waitFor();
  expect(await page.evaluate(() => window.microphoneTracks.length)).toBe(2);
  await expect.poll(() => page.getByText('The microphone was disconnected').count()).toBe(0);
});

test('the recogniser that this browser really has, which cannot work here: the page stands, says so, and marks sounds', async () => {
  const { page } = await start({});
  await chooseBrowserEar(page);
  await openMicrophone(page);
  await page.getByText(/^Hears sounds/).waitFor();
  // Whatever it does, hang or fail: within half a minute the page has said something about it and claims no words.
  await page
    .getByText(/speech recognition/i)
    .first()
    .waitFor({ timeout: 45_000 });
  expect(await hearsWords(page).count()).toBe(0);
  await page.getByText(/^Hears sounds/).waitFor();
});

/** Keeps the page's workers within reach of the test. */
const reachWorkers = `(() => {
  const Real = window.Worker;
  window.pageWorkers = [];
  window.Worker = class extends Real {
    constructor(...given) {
      super(...given);
      window.pageWorkers.push(this);
    }
  };
})();`;

test('the worker of the embedded ear is ended from outside: the page says so and starts it again', async () => {
  const { page } = await start({ initScripts: [reachWorkers] });
  await openMicrophone(page);
  const hears = page.getByText(/on this device/).first();
  await hears.waitFor();
  await page.evaluate('for (const worker of window.pageWorkers) worker.terminate()');
  const said = page.getByText('The recogniser in this page stopped answering');
  // The next call is at most 2.5 s away and 1.2 s long; then it is noticed within 2 s.
  await said.waitFor({ timeout: 8_000 });
  await said.waitFor({ state: 'detached', timeout: 10_000 });
  await hears.waitFor();
  expect(await page.evaluate('window.pageWorkers.length')).toBeGreaterThan(1);
});
