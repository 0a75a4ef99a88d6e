import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { notebookFromJson } from '../../src/log/file.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { NotebookState } from '../../src/log/state.ts';
import { giveFirstVolume, type Launched, type LaunchOptions, launch } from './browser.ts';
import { fakeRecogniser } from './fake-recogniser.ts';
import { eventsOnDisk, notebookOnDisk } from './notebook-in-page.ts';
import { openMenu } from './report-page.ts';
import { callsEvery, speechFile } from './speech-sound.ts';

/**
 * What can fail under a page that runs: storage, clocks, sleep, the microphone. Each time: a sentence on the screen, a
 * way out, no acknowledged reading lost, and no cue that claims more than is true.
 */

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

/** Notes the pitch of every tone of the page. */
const noteTones = `(() => {
  window.tones = [];
  const set = AudioParam.prototype.setValueAtTime;
  AudioParam.prototype.setValueAtTime = function (value, time) {
    if (value >= 300) window.tones.push(value);
    return set.call(this, value, time);
  };
})();`;

/**
 * A device that can be full: every write then ends as browsers end it, with an abort of the transaction whose error is
 * QuotaExceededError.
 */
const fillableDevice = `(() => {
  window.deviceFull = false;
  for (const name of ['add', 'put']) {
    const write = IDBObjectStore.prototype[name];
    IDBObjectStore.prototype[name] = function (...given) {
      const request = write.apply(this, given);
      if (!window.deviceFull) return request;
      const error = new DOMException('The current transaction exceeded its quota limitations.', 'QuotaExceededError');
      Object.defineProperty(this.transaction, 'error', { value: error, configurable: true });
      const { transaction } = this;
      request.onsuccess = () => transaction.abort();
      return request;
    };
  }
})();`;

/** A browser that keeps nothing for this page, as in some private windows. */
const blockStorage = `(() => {
  const refuse = () => { throw new DOMException('The operation is insecure.', 'SecurityError'); };
  Object.defineProperty(IDBFactory.prototype, 'open', { value: refuse });
  Object.defineProperty(window, 'localStorage', { get: refuse });
  LockManager.prototype.request = async () => refuse();
})();`;

/** A wall clock that the test can set. */
const settableClock = `(() => {
  const now = Date.now.bind(Date);
  window.clockShiftMs = 0;
  Date.now = () => now() + window.clockShiftMs;
})();`;

declare global {
  interface Window {
    tones: number[];
    deviceFull: boolean;
    clockShiftMs: number;
    refuseMicrophone: boolean;
  }
}

/** Pitch of the cue "taken", and of "trouble", Hz (src/answering/cues.ts). */
const takenHz = 1320;
const troubleHz = 330;

async function start(options: LaunchOptions = {}): Promise<Launched> {
  const launched = await launch({ ...options, initScripts: [noteTones, ...(options.initScripts ?? [])] });
  open.push(launched.close);
  await launched.page.goto(inject('address'));
  await launched.page.getByRole('button', { name: 'Begin a notebook' }).click();
  await launched.page.getByRole('button', { name: 'Open the microphone' }).waitFor();
  return launched;
}

const lastHeard = (page: Page) => page.getByRole('region', { name: 'Last heard' });

async function mark(page: Page, ml: number): Promise<void> {
  // No mark is due before the first volume.
  for (const key of ml === 0 ? ['0', 'Enter'] : ['Space']) await page.keyboard.press(key);
  await lastHeard(page)
    .getByText(new RegExp(`^. ${ml} mL at`))
    .waitFor();
}

/** Starts a run and marks 0 and 2 mL by key. */
async function runWithTwoMarks(page: Page): Promise<void> {
  await page.keyboard.press('s');
  await lastHeard(page).getByText('Run 1 started').waitFor();
  await mark(page, 0);
  await mark(page, 2);
}

const valuesOf = (state: NotebookState): string[] =>
  state.runs.flatMap((run) => run.readings.map((reading) => reading.value));

/** What the way out of the page gives. */
async function savedAsFile(page: Page): Promise<NotebookState> {
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save the notebook as a file' }).click();
  const read = notebookFromJson(await readFile(await (await coming).path(), 'utf8'));
  if (!read.ok) throw new Error(read.cause);
  return reduce(read.value.events);
}

test('storage full in the middle of a run: said, never cued as taken, saved as a file, stored once there is room', async () => {
  const { page } = await start({ initScripts: [fillableDevice] });
  await runWithTwoMarks(page);
  await page.evaluate(() => {
    window.deviceFull = true;
    window.tones.splice(0);
  });
  await mark(page, 4);
  await lastHeard(page)
    .getByText(/4 mL at .*; not stored, in this page only/)
    .waitFor();
  await page.getByText('The device has no room left.').waitFor();
  expect(await page.evaluate(() => window.tones)).not.toContain(takenHz);
  expect(await page.evaluate(() => window.tones)).toContain(troubleHz);
  expect(valuesOf(await notebookOnDisk(page))).toEqual(['0', '2']);
  expect(valuesOf(await savedAsFile(page))).toEqual(['0', '2', '4']);
  await page.evaluate(() => {
    window.deviceFull = false;
  });
  await page.getByRole('button', { name: 'Try to store it again' }).click();
  await expect.poll(() => page.getByText('The device has no room left.').count()).toBe(0);
  expect(valuesOf(await notebookOnDisk(page))).toEqual(['0', '2', '4']);
});

test('a quota that the browser itself enforces: shown to refuse a write, said, and nothing acknowledged is lost', async () => {
  const { page, context } = await start();
  await runWithTwoMarks(page);
  const session = await context.newCDPSession(page);
  const { origin } = new URL(inject('address'));
  await session.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: 1 });
  /** A small write into a database of its own: what the browser makes of it. */
  const probe = (): Promise<string> =>
    page.evaluate(
      () =>
        new Promise<string>((resolve) => {
          const opening = indexedDB.open('probe', 1);
          opening.onupgradeneeded = () => opening.result.createObjectStore('all');
          opening.onerror = () => resolve(String(opening.error?.name));
          opening.onsuccess = () => {
            const transaction = opening.result.transaction('all', 'readwrite');
            transaction.objectStore('all').put('x'.repeat(100), Math.random());
            const end = (said: string): void => {
              opening.result.close();
              resolve(said);
            };
            transaction.oncomplete = () => end('written');
            transaction.onabort = () => end(String(transaction.error?.name));
          };
        }),
    );
  // The browser uses its last figure for the free space for half a minute.
  await expect.poll(probe, { timeout: 90_000, interval: 1000 }).toBe('QuotaExceededError');
  await page.evaluate(() => window.tones.splice(0));
  await mark(page, 4);
  await lastHeard(page)
    .getByText(/4 mL at .*; not stored, in this page only/)
    .waitFor();
  await page.getByText('The device has no room left.').waitFor();
  expect(await page.evaluate(() => window.tones)).not.toContain(takenHz);
  expect(valuesOf(await savedAsFile(page))).toEqual(['0', '2', '4']);
  await session.send('Storage.overrideQuotaForOrigin', { origin });
  await expect.poll(probe, { timeout: 60_000, interval: 1000 }).toBe('written');
  await page.getByRole('button', { name: 'Try to store it again' }).click();
  await expect.poll(() => page.getByText('The device has no room left.').count()).toBe(0);
  expect(valuesOf(await notebookOnDisk(page))).toEqual(['0', '2', '4']);
}, 200_000);

test('no room for a sound but for figures: the reading is taken, and that its sound is not kept is said', async () => {
  const sound = await speechFile(callsEvery(2), { tailS: 60 });
  const noClips = `(() => {
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (value, ...rest) {
      if (value && value.bytes) throw new DOMException('full', 'QuotaExceededError');
      return put.call(this, value, ...rest);
    };
  })();`;
  const { page } = await start({
    microphoneWav: sound.path,
    initScripts: [noClips, fakeRecogniser({ none: true })],
  });
  await page.getByText('How it hears and answers').click();
  await page.getByRole('radio', { name: /^Sound marks/ }).check();
  await page.keyboard.press('s');
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await giveFirstVolume(page, 0);
  await lastHeard(page)
    .getByText(/2 mL at/)
    .waitFor({ timeout: 20_000 });
  await page.getByText('The sound of a call could not be kept').waitFor();
  expect(await page.evaluate(() => window.tones)).toContain(takenHz);
  expect(valuesOf(await notebookOnDisk(page)).slice(0, 2)).toEqual(['0', '2']);
});

test('a browser that stores nothing: the whole day goes in memory, is said, and leaves as a file', async () => {
  const { page } = await start({ initScripts: [blockStorage] });
  await page.getByText('storage switched off').waitFor();
  await page.keyboard.press('s');
  await lastHeard(page).getByText('Run 1 started; not stored').waitFor();
  for (const ml of [0, 2, 4]) await mark(page, ml);
  await lastHeard(page).getByText('not stored, in this page only').waitFor();
  expect(await page.evaluate(() => window.tones)).not.toContain(takenHz);
  await page.keyboard.press('e');
  await lastHeard(page).getByText('Run 1 ended with 3 readings').waitFor();
  await page.getByRole('link', { name: 'Report' }).click();
  await page.getByRole('heading', { level: 1, name: 'Report' }).waitFor();
  // Another notebook would push this one out of memory: only once it is safe in a file.
  await page.getByRole('link', { name: 'Notebooks' }).click();
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByText('Save it as a file first').waitFor();
  expect(valuesOf(await savedAsFile(page))).toEqual(['0', '2', '4']);
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await lastHeard(page).waitFor();
  await page.keyboard.press('s');
  await lastHeard(page).getByText('Run 1 started').waitFor();
});

test('a browser that stores nothing shows a notebook that comes in as a file', async () => {
  const { page } = await start({ initScripts: [blockStorage] });
  await runWithTwoMarks(page);
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save the notebook as a file' }).click();
  const file = await (await coming).path();
  await page.reload();
  const buffer = await readFile(file);
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({ name: 'run.json', mimeType: 'application/json', buffer });
  await page.getByRole('heading', { level: 1, name: 'Report' }).waitFor();
  await page.getByText('in this page only').first().waitFor();
  await page.getByRole('link', { name: 'Readings' }).click();
  await page
    .getByText(/2 readings|0 mL|2 mL/)
    .first()
    .waitFor();
});

test('storage cleared under a page that runs: the notebook is written again whole, and that is said', async () => {
  const { page, context } = await start();
  await runWithTwoMarks(page);
  const session = await context.newCDPSession(page);
  // A slow page notices late that the browser has closed its database, and writes to it before that.
  await session.send('Emulation.setCPUThrottlingRate', { rate: 15 });
  const { origin } = new URL(inject('address'));
  await session.send('Storage.clearDataForOrigin', { origin, storageTypes: 'indexeddb' });
  await mark(page, 4);
  await page.getByText('The browser had cleared this page’s storage.').waitFor();
  await session.send('Emulation.setCPUThrottlingRate', { rate: 1 });
  expect(valuesOf(await notebookOnDisk(page))).toEqual(['0', '2', '4']);
  await page.reload();
  await page.getByRole('img', { name: /after 3 readings/ }).waitFor();
  await mark(page, 6);
});

test('damaged records in the store: the rest opens, is said, goes on, and leaves as a file that opens', async () => {
  const { page } = await start();
  await runWithTwoMarks(page);
  const events = await eventsOnDisk(page);
  const heard = events.filter(({ body }) => body.kind === 'judged');
  // The beginning, and the judgement of the first reading.
  const damaged = [1, heard[0]?.seq ?? 0];
  await page.evaluate(async (numbers) => {
    const database = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open('meniscall-events');
      request.onsuccess = () => resolve(request.result);
    });
    const store = database.transaction('all', 'readwrite').objectStore('all');
    const keys = await new Promise<IDBValidKey[]>((resolve) => {
      const request = store.getAllKeys();
      request.onsuccess = () => resolve(request.result);
    });
    for (const key of keys)
      if (Array.isArray(key) && numbers.includes(Number(key[1]))) store.put({ nonsense: [Number.NaN] }, key);
    await new Promise((resolve) => {
      store.transaction.oncomplete = resolve;
    });
    database.close();
  }, damaged);
  await page.reload();
  await page.getByText('2 damaged entries of this notebook could not be read').waitFor();
  await page.goto(`${inject('address')}#/bench`);
  await page.keyboard.press('2');
  await page.keyboard.press('4');
  await page.keyboard.press('Enter');
  await lastHeard(page).getByText(/24/).waitFor();
  await page.getByRole('button', { name: 'Menu' }).click();
  await page.getByRole('link', { name: 'Report' }).click();
  const coming = page.waitForEvent('download');
  await openMenu(page, 'Save');
  await page.getByRole('button', { name: 'notebook (JSON)' }).click();
  const read = notebookFromJson(await readFile(await (await coming).path(), 'utf8'));
  if (!read.ok) throw new Error(read.cause);
  expect(valuesOf(reduce(read.value.events))).toEqual(['2', '24']);
});

test('two windows on one notebook where the browser has no locks: the second is refused in words, nothing is overwritten', async () => {
  const withoutLocks = 'Object.defineProperty(Navigator.prototype, "locks", { value: undefined });';
  const { page, context } = await start({ initScripts: [withoutLocks] });
  await runWithTwoMarks(page);
  const second = await context.newPage();
  await second.goto(`${inject('address')}#/bench`);
  await second.getByRole('img', { name: /after 2 readings/ }).waitFor();
  await mark(second, 4);
  await page.bringToFront();
  await page.evaluate(() => window.tones.splice(0));
  await mark(page, 4);
  await page.getByText('This notebook was changed in another window.').waitFor();
  expect(await page.evaluate(() => window.tones)).not.toContain(takenHz);
  expect(valuesOf(await savedAsFile(page))).toEqual(['0', '2', '4']);
  expect(valuesOf(await notebookOnDisk(second))).toEqual(['0', '2', '4']);
});

test('the wall clock set back during a run: the times stand, the doubt is said, a reload goes on after them', async () => {
  const { page } = await start({ initScripts: [settableClock] });
  await runWithTwoMarks(page);
  await page.evaluate(() => {
    window.clockShiftMs = -3_600_000;
  });
  await mark(page, 4);
  await lastHeard(page).getByText('The device slept, or its clock was set').waitFor();
  const before = await notebookOnDisk(page);
  const times = before.runs[0]?.readings.map((reading) => reading.timeMs) ?? [];
  expect(times).toEqual([...times].sort((a, b) => a - b));
  expect((times[2] ?? 0) - (times[0] ?? 0)).toBeLessThan(30_000);
  await page.addInitScript('window.clockShiftMs = -7_200_000;');
  await page.reload();
  await page.getByRole('img', { name: /after 3 readings/ }).waitFor();
  await mark(page, 6);
  const after = await notebookOnDisk(page);
  const later = after.runs[0]?.readings.map((reading) => reading.timeMs) ?? [];
  expect(later.slice(0, 3)).toEqual(times);
  expect(later[3]).toBeGreaterThan(times[2] ?? 0);
  expect(after.joints.map(({ why }) => why)).toEqual(['clock-doubted', 'unknown-gap']);
  await page.getByRole('button', { name: 'Menu' }).click();
  await page.getByRole('link', { name: 'Report' }).click();
  await page.getByText('the device slept or its clock was set during the run').first().waitFor();
});

test('a clock twenty days ahead at a reload in a run: said on Bench and Rates, and the true pause mends the times', async () => {
  const { page } = await start({ initScripts: [settableClock] });
  await runWithTwoMarks(page);
  await page.addInitScript('window.clockShiftMs = 20 * 86_400_000;');
  await page.reload();
  await page.getByText('Run 1: do its times still fit together?').click();
  await page.getByText('By the device’s clock 20 days went by').waitFor();
  // Away from the question: the space bar belongs to what has the focus.
  await lastHeard(page).click();
  await mark(page, 4);
  await page.goto(`${inject('address')}#/rates`);
  const asked = page.getByRole('alert', { name: 'Run 1: do its times still fit together?' });
  await asked.getByLabel('The pause really was (m:ss)').fill('0:05');
  await asked.getByRole('button', { name: 'Use this pause' }).click();
  await expect.poll(() => asked.count()).toBe(0);
  const times = (await notebookOnDisk(page)).runs[0]?.readings.map(({ timeMs }) => timeMs) ?? [];
  expect(times).toHaveLength(3);
  expect((times[2] ?? 0) - (times[1] ?? 0)).toBeGreaterThan(5000);
  expect((times[2] ?? 0) - (times[0] ?? 0)).toBeLessThan(120_000);
});

test('a device that slept for 50 s in a run with the page open: the same choices, and the true pause mends the times', async () => {
  const { page } = await start({ initScripts: [settableClock] });
  await runWithTwoMarks(page);
  await page.evaluate(() => {
    window.clockShiftMs = 50_000;
  });
  await mark(page, 4);
  await page.getByText('Run 1: do its times still fit together?').click();
  await page.getByText('it shows 50 seconds more than the run counted').waitFor();
  await page.getByLabel('The pause really was (m:ss)').fill('0:50');
  await page.getByRole('button', { name: 'Use this pause' }).click();
  await expect.poll(() => page.getByText('do its times still fit together?').count()).toBe(0);
  const gaps = async () => {
    const times = (await notebookOnDisk(page)).runs[0]?.readings.map(({ timeMs }) => timeMs) ?? [];
    return times.slice(1).map((ms, i) => ms - (times[i] ?? 0));
  };
  const [before, across] = await gaps();
  expect(before).toBeLessThan(30_000);
  expect(across).toBeGreaterThan(50_000);
  // Before the notebook's beginning, and there again after a reload.
  await page.reload();
  await page.getByRole('img', { name: /after 3 readings/ }).waitFor();
  expect(await gaps()).toEqual([before, across]);
});

test('a device that sleeps in the middle of a run and wakes: said, and readings and hearing go on', async () => {
  const sound = await speechFile(callsEvery(1.5), { tailS: 60 });
  const { page, context } = await start({
    microphoneWav: sound.path,
    initScripts: [settableClock, fakeRecogniser({ none: true })],
  });
  await page.getByText('How it hears and answers').click();
  await page.getByRole('radio', { name: /^Sound marks/ }).check();
  await page.keyboard.press('s');
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await giveFirstVolume(page, 0);
  const session = await context.newCDPSession(page);
  await session.send('Page.setWebLifecycleState', { state: 'frozen' });
  await new Promise((resolve) => setTimeout(resolve, 4000));
  await session.send('Page.setWebLifecycleState', { state: 'active' });
  // Whether the page's own clock stood still as well depends on the system; here it is made to have done so.
  await page.evaluate(() => {
    window.clockShiftMs = 600_000;
  });
  await page.getByText('Hears sounds: each is the next mark').waitFor();
  await lastHeard(page)
    .getByText(/ mL at/)
    .waitFor({ timeout: 20_000 });
  await expect.poll(async () => (await notebookOnDisk(page)).joints.map(({ why }) => why)).toContain('clock-doubted');
  await lastHeard(page).getByText('The device slept, or its clock was set').waitFor();
  const count = valuesOf(await notebookOnDisk(page)).length;
  await page.keyboard.press('Space');
  await expect.poll(async () => valuesOf(await notebookOnDisk(page)).length).toBeGreaterThan(count);
});

test('a microphone that is refused, then allowed: said with what to do, keys go on, one tap hears again', async () => {
  const refusable = `(() => {
    window.refuseMicrophone = true;
    const media = navigator.mediaDevices;
    const ask = media.getUserMedia.bind(media);
    media.getUserMedia = async (wanted) => {
      if (window.refuseMicrophone) throw new DOMException('Permission denied', 'NotAllowedError');
      return ask(wanted);
    };
  })();`;
  const sound = await speechFile(callsEvery(2), { tailS: 60 });
  const { page } = await start({
    microphoneWav: sound.path,
    initScripts: [refusable, fakeRecogniser({ none: true })],
  });
  await page.getByText('How it hears and answers').click();
  await page.getByRole('radio', { name: /^Sound marks/ }).check();
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page.getByText('The browser does not let this page use the microphone.').waitFor();
  await page.getByText('Does not hear', { exact: true }).waitFor();
  await runWithTwoMarks(page);
  await page.evaluate(() => {
    window.refuseMicrophone = false;
  });
  await page.getByRole('button', { name: 'Open the microphone again' }).click();
  await page.getByText('Hears sounds: each is the next mark').waitFor();
  await lastHeard(page)
    .getByText(/4 mL at/)
    .waitFor({ timeout: 20_000 });
  expect(await page.getByText('The browser does not let this page use the microphone.').count()).toBe(0);
});

test('Help finds out by trying: a browser that stores nothing, has no voice and keeps no screen on is named', async () => {
  const poor = `(() => {
    Object.defineProperty(speechSynthesis, 'getVoices', { value: () => [] });
    WakeLock.prototype.request = async () => { throw new DOMException('battery saver', 'NotAllowedError'); };
  })();`;
  const { page } = await start({ initScripts: [blockStorage, poor] });
  await page.getByRole('link', { name: 'Help' }).click();
  await page.locator('summary', { hasText: 'What works in this browser' }).click();
  for (const finding of ['Keeping notebooks: no.', 'Reading back aloud: no.', 'Keeping the screen on: no.'])
    await page.getByText(finding).waitFor();
  await page.getByText('The recogniser in this page: yes.').waitFor();
  const { page: rich } = await start({ permissions: ['microphone', 'screen-wake-lock'] });
  await rich.getByRole('link', { name: 'Help' }).click();
  await rich.locator('summary', { hasText: 'What works in this browser' }).click();
  await rich.getByText('Keeping notebooks: yes.').waitFor();
  await rich.getByText('Keeping the screen on: yes.').waitFor();
});

test('a browser that emptied its database between two openings: the notebook comes back from the second copy, and that is said', async () => {
  const { page, context } = await start();
  await runWithTwoMarks(page);
  await page.goto('about:blank');
  const session = await context.newCDPSession(page);
  const { origin } = new URL(inject('address'));
  await session.send('Storage.clearDataForOrigin', { origin, storageTypes: 'indexeddb' });
  await page.goto(`${inject('address')}#/bench`);
  await page.getByText('The browser had lost what this page kept.').waitFor();
  await page.getByRole('img', { name: /after 2 readings/ }).waitFor();
  await mark(page, 4);
  expect(valuesOf(await notebookOnDisk(page))).toEqual(['0', '2', '4']);
});
