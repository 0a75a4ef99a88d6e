import type { Page } from 'playwright-core';
import { afterEach, expect, inject, test } from 'vitest';
import { twentyWords, wordsToSay } from '../../src/bench/word-round.ts';
import { writeWav } from '../../src/hearing/wav.ts';
import { violations } from './axe.ts';
import { type Launched, launch } from './browser.ts';
import { speak, type Voice } from './speech-sound.ts';

// "Say these words": a person who reads the screen and speaks into the microphone; nobody touches the page meanwhile.

const open: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close();
});

/**
 * A microphone that gives what `sayIntoMicrophone` is handed, over the hiss of a quiet room. Chromium's own fake plays
 * one file from the start; here the person speaks when asked.
 */
const spokenMicrophone = `(() => {
  let context, out;
  const ready = () => {
    if (context) return;
    context = new AudioContext({ sampleRate: 48000 });
    out = context.createMediaStreamDestination();
    const hiss = context.createBuffer(1, 96000, 48000);
    const data = hiss.getChannelData(0);
    for (let i = 0; i < data.length; i++) data[i] = (Math.random() - 0.5) * 4e-4;
    const source = context.createBufferSource();
    source.buffer = hiss;
    source.loop = true;
    source.connect(out);
    source.start();
  };
  navigator.mediaDevices.getUserMedia = async () => { ready(); await context.resume(); return out.stream.clone(); };
  window.sayIntoMicrophone = async (base64, rate) => {
    ready();
    const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
    const source = context.createBufferSource();
    source.buffer = await context.decodeAudioData(bytes.buffer);
    source.playbackRate.value = rate;
    source.connect(out);
    source.start();
    await new Promise((done) => { source.onended = done; });
  };
})();`;

/** Says a text into the microphone; resolves when it is said. */
async function say(page: Page, text: string, voice: Voice, pace = 1): Promise<void> {
  const { samples, sampleRate } = await speak(text, voice);
  const peak = samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
  const wav = writeWav(
    samples.map((sample) => (0.3 * sample) / peak),
    sampleRate,
  );
  await page.evaluate(
    ([sound, rate]) =>
      (window as unknown as { sayIntoMicrophone(sound: string, rate: number): Promise<void> }).sayIntoMicrophone(
        sound,
        rate,
      ),
    [Buffer.from(wav).toString('base64'), pace] as const,
  );
}

async function start(): Promise<Launched> {
  const launched = await launch({ initScripts: [spokenMicrophone], viewport: { width: 390, height: 844 } });
  open.push(launched.close);
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await page.getByText('How it hears and answers').click();
  await page.getByRole('link', { name: 'Say these words' }).click();
  await page.getByRole('heading', { name: 'Two minutes to teach it your voice' }).waitFor();
  return launched;
}

const step = (page: Page) => page.getByRole('region', { name: 'Say these words' });
const count = (page: Page) => step(page).getByText(/^\d+ of \d+$/);
const asksNow = (page: Page) => step(page).getByText('Say it now.').waitFor();

interface Kept {
  readonly voice: {
    name: string;
    wanted: boolean;
    learnt: { before: Tally; after: Tally; helps: boolean; calls: number } | null;
  } | null;
  readonly sounds: number;
}
interface Tally {
  readonly right: number;
  readonly of: number;
}

/** What the device keeps of a voice, read past the page's own code. */
const kept = (page: Page): Promise<Kept> =>
  page.evaluate(
    () =>
      new Promise<Kept>((resolve, reject) => {
        const opening = indexedDB.open('keyval-store');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const store = opening.result.transaction('keyval').objectStore('keyval');
          const voice = store.get('meniscall-voice');
          const sounds = store.get('meniscall-voice-sounds');
          sounds.onsuccess = () => {
            opening.result.close();
            resolve({ voice: voice.result ?? null, sounds: sounds.result?.length ?? 0 });
          };
        };
      }),
  );

/** Whether the device has kept that the twenty words were left out. */
const leftOut = (page: Page): Promise<boolean> =>
  page.evaluate(
    () =>
      new Promise<boolean>((resolve, reject) => {
        const opening = indexedDB.open('keyval-store');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const found = opening.result.transaction('keyval').objectStore('keyval').get('meniscall-preferences');
          found.onsuccess = () => {
            opening.result.close();
            resolve(found.result?.twentyWordsLeftOut === true);
          };
        };
      }),
  );

/** Changes the voice that the device keeps, as another release of the page might find it. */
const changeKept = (page: Page, change: { helps?: boolean; weights?: string; rule?: number }): Promise<void> =>
  page.evaluate(
    (wanted) =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open('keyval-store');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const transaction = opening.result.transaction('keyval', 'readwrite');
          const store = transaction.objectStore('keyval');
          const voice = store.get('meniscall-voice');
          voice.onsuccess = () =>
            store.put({ ...voice.result, learnt: { ...voice.result.learnt, ...wanted } }, 'meniscall-voice');
          transaction.oncomplete = () => {
            opening.result.close();
            resolve();
          };
        };
      }),
    change,
  );

const smallControls = (page: Page): Promise<string[]> =>
  page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('button, .button, input:not([type=checkbox], [type=radio])')]
      .filter((control) => control.checkVisibility())
      .filter(
        (control) => control.getBoundingClientRect().height < 47.5 || control.getBoundingClientRect().width < 47.5,
      )
      .map((control) => control.outerHTML.slice(0, 80)),
  );

/** Faults that axe-core finds, and controls too small for a finger, in both themes. */
async function faults(page: Page): Promise<string[]> {
  const found: string[] = [];
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    await page.waitForTimeout(100);
    found.push(...(await violations(page)).map(({ id, target }) => `${id} ${target}`), ...(await smallControls(page)));
  }
  await page.emulateMedia({ colorScheme: 'light' });
  return found;
}

async function openMicrophoneOnBench(page: Page): Promise<void> {
  await page.goto(`${inject('address')}#/bench`);
  await page.getByRole('button', { name: 'Open the microphone' }).click();
}

/** Says every word when it is asked for, and again where it is asked for again; nothing on the page is touched. */
async function sayAll(page: Page, words: readonly string[], voice: Voice, pace: number): Promise<void> {
  for (const [index, word] of words.entries()) {
    await count(page)
      .getByText(`${index + 1} of ${words.length}`)
      .waitFor();
    const next = page
      .getByText(index + 1 < words.length ? `${index + 2} of ${words.length}` : /^Learning from/)
      .first();
    // Asked for again, or not heard, the person says it again.
    for (let tries = 0; tries < 4 && !(await next.isVisible()); tries++) {
      await asksNow(page);
      expect(await step(page).locator('.saying-word').textContent()).toBe(word);
      await say(page, word, voice, pace);
      const again = step(page).getByText(/^Once more, please/);
      await next
        .or(again)
        .first()
        .waitFor({ timeout: 4000 })
        .catch(() => {});
    }
    await next.waitFor();
    if (index === 3) expect(await faults(page)).toEqual([]);
  }
}

test('a voice is learnt without a touch, kept, used after a reload, dropped with new weights, learnt again, deleted', async () => {
  const { page } = await start();
  expect(await faults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Begin' }).click();
  await sayAll(page, wordsToSay, 'awb', 1.4);
  await page.getByRole('heading', { name: 'The voice it knows' }).waitFor({ timeout: 60_000 });
  expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Say these words');
  expect(await faults(page)).toEqual([]);

  const { voice, sounds } = await kept(page);
  const learnt = voice?.learnt;
  if (!learnt) throw new Error('no voice was kept');
  expect(learnt.calls).toBe(sounds);
  expect(sounds).toBeGreaterThanOrEqual(wordsToSay.length);
  const { before, after } = learnt;
  await page
    .getByText(`Of ${sounds} words held back, ${before.right} were right before and ${after.right} after`)
    .waitFor();
  if (after.right < before.right) expect(learnt.helps).toBe(false);
  await page.getByText(learnt.helps ? 'hears with it' : 'no sure gain, so it stays off').waitFor();

  // How much a synthetic voice gains depends on the weights; what follows is about a voice that gained.
  await changeKept(page, { helps: true });
  await page.reload();
  await page.getByLabel('Whose voice, if you like').fill('Bench two');
  await page
    .getByRole('heading', { name: 'The voice of Bench two' })
    .or(page.getByRole('checkbox', { name: 'Hear with this voice' }))
    .first()
    .waitFor();
  await page.getByLabel('Whose voice, if you like').press('Enter');
  await page.getByRole('heading', { name: 'The voice of Bench two' }).waitFor();
  await openMicrophoneOnBench(page);
  await page.getByText('Listening, on this device only (knows the voice of Bench two)').waitFor();
  // Switched off in the settings it is off at once, and on again.
  await page.getByText('How it hears and answers').click();
  await page.getByRole('checkbox', { name: 'Hear with this voice' }).uncheck();
  await page.getByText('Listening, on this device only', { exact: true }).waitFor();
  await page.getByRole('checkbox', { name: 'Hear with this voice' }).check();
  await page.getByText('(knows the voice of Bench two)').waitFor();

  // Another release with other weights.
  await changeKept(page, { weights: '00000000' });
  await page.reload();
  await openMicrophoneOnBench(page);
  await page.getByText('Listening, on this device only (without the voice it learnt: learn it again)').waitFor();
  expect((await kept(page)).voice?.learnt).toBeNull();
  await page.goto(`${inject('address')}#/voice`);
  await page.getByText('The recogniser, or the way it learns, was renewed since this voice was learnt').waitFor();
  await page.getByRole('button', { name: 'Learn again from what is kept' }).click();
  await page.getByText('Learnt again.').waitFor({ timeout: 60_000 });
  const again = await kept(page);
  expect(again.voice?.learnt?.after).toEqual(after);
  expect(again.voice?.name).toBe('Bench two');

  // A voice learnt by an older rule is not used either.
  await changeKept(page, { helps: true, rule: 1 });
  await page.reload();
  await page.getByText('The recogniser, or the way it learns, was renewed since this voice was learnt').waitFor();
  await openMicrophoneOnBench(page);
  await page.getByText('Listening, on this device only (without the voice it learnt: learn it again)').waitFor();
  await page.goto(`${inject('address')}#/voice`);

  await page.getByRole('button', { name: 'Delete this voice…' }).click();
  await page.getByRole('button', { name: 'Delete it and its sounds for good' }).click();
  await page.getByText('The voice and its sounds are deleted.').waitFor();
  expect(await kept(page)).toEqual({ voice: null, sounds: 0 });
}, 300_000);

test('keys and words of the bench leave out, go back, stand by and stop; too few words teach nothing', async () => {
  const { page } = await start();
  await page.getByRole('button', { name: 'Begin' }).click();
  const at = (index: number) =>
    count(page)
      .getByText(`${index + 1} of ${wordsToSay.length}`)
      .waitFor();
  await at(0);
  await asksNow(page);
  await page.keyboard.press('n');
  await at(1);
  await page.keyboard.press('b');
  await at(0);
  await asksNow(page);
  await say(page, 'next step', 'slt');
  await at(1);
  await asksNow(page);
  await say(page, 'stand by', 'slt');
  await step(page).getByText('Standing by.').waitFor();
  await say(page, 'go ahead', 'slt');
  await asksNow(page);
  await say(page, 'end run', 'slt');
  await page.getByText('too few to learn from').waitFor();
  expect(await kept(page)).toEqual({ voice: null, sounds: 0 });
});

/** A run called by one voice from the Bench; nobody touches the page. */
async function callRun(page: Page, run: string, values: readonly string[], voice: Voice, pace: number): Promise<void> {
  for (const text of [`start run ${run}`, ...values, 'end run']) {
    await say(page, text, voice, pace);
    await page.waitForTimeout(1500);
  }
}

test('the calls of a run teach the ear its caller; each caller has a voice of their own, and it can be switched off', async () => {
  const { page } = await start();
  await page.goto(`${inject('address')}#/bench`);
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page.getByText('Listening, on this device only').waitFor({ timeout: 30_000 });
  const values =
    'twelve|fourteen|sixteen|eighteen|twenty|twenty two|twenty four|twenty six|twenty eight|thirty|thirty two';
  await callRun(page, 'one', values.split('|'), 'slt', 1);
  await expect.poll(async () => (await kept(page)).sounds, { timeout: 60_000 }).toBeGreaterThanOrEqual(12);
  const { voice, sounds } = await kept(page);
  const learnt = voice?.learnt;
  if (!learnt) throw new Error('no voice was kept');
  expect(learnt.calls).toBe(sounds);
  expect(learnt.before.of).toBe(sounds);

  await page.getByText('How it hears and answers').click();
  const settings = page.getByRole('group', { name: 'Your voice' });
  await settings.getByText(new RegExp(`^Hears you right \\d+ of ${sounds} times`)).waitFor();
  expect(await faults(page)).toEqual([]);
  // Somebody else calls: nothing of the first voice is used or lost.
  await settings.getByRole('combobox', { name: 'Who is calling' }).selectOption('Somebody else');
  await settings.getByText('does not know your voice yet').waitFor();
  expect(await kept(page)).toEqual({ voice: null, sounds: 0 });
  await settings.getByRole('checkbox', { name: /^Learn my voice/ }).uncheck();
  await callRun(page, 'two', values.split('|'), 'kal', 1);
  await page.waitForTimeout(8000);
  expect(await kept(page)).toEqual({ voice: null, sounds: 0 });
  await page.reload();
  await page.getByText('How it hears and answers').click();
  await settings.getByRole('combobox', { name: 'Who is calling' }).selectOption({ index: 1 });
  await expect.poll(async () => (await kept(page)).sounds).toBe(sounds);
}, 240_000);

test('twenty words are offered once before the first run; said, they teach the voice; left out, nothing more is asked', async () => {
  const { page } = await start();
  const bench = (): Promise<unknown> => page.goto(`${inject('address')}#/bench`);
  await bench();
  await page.getByText('Say twenty words', { exact: true }).click();
  await page.getByRole('link', { name: 'Begin the twenty words' }).waitFor();
  await page.getByRole('button', { name: 'Not now' }).click();
  await page.getByText('Say twenty words', { exact: true }).waitFor({ state: 'detached' });
  await expect.poll(() => leftOut(page)).toBe(true);
  await page.reload();
  await page.getByText('Call each mark.').waitFor();
  expect(await page.getByText('Say twenty words', { exact: true }).count()).toBe(0);
  // Left out, they can still be said.
  await page.goto(`${inject('address')}#/voice/twenty`);
  await page.getByRole('heading', { name: 'Half a minute to teach it your voice' }).waitFor();
  await page.getByRole('button', { name: 'Begin' }).click();
  await sayAll(page, twentyWords, 'awb', 1.2);
  await page.getByRole('heading', { name: 'The voice it knows' }).waitFor({ timeout: 60_000 });
  expect((await kept(page)).sounds).toBeGreaterThanOrEqual(twentyWords.length);
}, 240_000);
