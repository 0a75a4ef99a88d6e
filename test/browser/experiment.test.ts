import { afterEach, expect, inject, test } from 'vitest';
import { chooseBrowserEar, type Launched, launch, mayStarve } from './browser.ts';
import { notebookOnDisk } from './notebook-in-page.ts';
import { type Line, scriptedVoice } from './scripted-voice.ts';

let launched: Launched | null = null;
afterEach(async () => {
  await launched?.close();
  launched = null;
});

const everyS = 1.8;

/** Lays lines one after the other; `after` waits longer before the next. */
function script(lines: readonly (Omit<Line, 'atS'> & { after?: number })[]): Line[] {
  let atS = 1.5;
  return lines.map(({ after, ...line }) => {
    const laid = { ...line, atS };
    atS += after ?? everyS;
    return laid;
  });
}

/** Calls from one mark to another, two apart. */
const marks = (from: number, to: number): { say: string; heard: string }[] =>
  Array.from({ length: (to - from) / 2 + 1 }, (_, i) => ({ say: inWords(from + 2 * i), heard: String(from + 2 * i) }));

const ones = ['', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve'];
const teens = ['thirteen', 'fourteen', 'fifteen', 'sixteen', 'seventeen', 'eighteen', 'nineteen'];
const tens = ['twenty', 'thirty', 'forty'];
function inWords(n: number): string {
  if (n < 13) return ones[n] ?? '';
  if (n < 20) return teens[n - 13] ?? '';
  return `${tens[Math.floor(n / 10) - 2]}${n % 10 ? ` ${ones[n % 10]}` : ''}`;
}

test('three runs by voice with every bad turn, nothing touched after the first tap: the right table', {
  ...mayStarve,
  timeout: 200_000,
}, async () => {
  const voice = await scriptedVoice(
    script([
      // Run 1: teen for ty, talk in the room, a call without words, settled by voice.
      { say: 'baseline ten', heard: 'baseline 10' },
      { say: 'start run one', heard: 'start run 1' },
      { say: 'twelve', heard: '12' },
      { say: 'fourteen', heard: ['40', '14'] },
      ...marks(16, 18),
      { say: 'we need twenty five more minutes for this', after: 3.4 },
      { say: 'twenty', heard: null, after: 4.5 },
      { say: 'that was twenty', heard: 'that was 20' },
      ...marks(22, 32),
      // The recogniser is turned away here and comes back while the flask is rinsed.
      { say: 'end run', after: 4 },
      // Run 2: the number of the run as a word that sounds like it, a wrong call struck, one said again.
      { say: 'baseline ten', heard: 'baseline 10' },
      { say: 'start run two', heard: ['start run to', 'start run 2'] },
      ...marks(12, 20),
      { say: 'thirty', heard: '30' },
      { say: 'disregard', heard: 'this regard' },
      ...marks(22, 28),
      { say: 'thirty', heard: ['30', '13'] },
      { say: 'thirty two', heard: '32', options: { noFinal: true, interim: ['thirty', '32'] }, after: 5 },
      { say: 'end run', heard: 'and run' },
      // Run 3: a correction, marks, standing by while somebody counts aloud.
      { say: 'baseline ten', heard: 'baseline 10' },
      { say: 'start run three', heard: 'start run 3' },
      ...marks(12, 14),
      { say: 'stand by' },
      { say: 'fifteen', heard: '15' },
      { say: 'go ahead' },
      { say: 'mark' },
      ...marks(18, 22),
      { say: 'twenty five', heard: '25' },
      { say: 'correction twenty four', heard: 'correction 24' },
      { say: 'mark' },
      ...marks(28, 32),
      { say: 'end run' },
    ]),
  );
  launched = await launch({
    microphoneWav: voice.sound.path,
    initScripts: [voice.initScript],
    viewport: { width: 390, height: 844 },
  });
  const { page } = launched;
  await page.goto(inject('address'));
  await page.getByRole('button', { name: 'Begin a notebook' }).click();
  await chooseBrowserEar(page);
  await page.getByRole('button', { name: 'Open the microphone' }).click();
  await page.evaluate(() => {
    const touches: string[] = [];
    Object.defineProperty(window, 'touches', { value: touches });
    for (const kind of ['pointerdown', 'keydown']) addEventListener(kind, () => touches.push(kind), true);
  });
  const heard = page.getByRole('region', { name: 'Last heard' });

  // The recogniser's service fails twice on the way; it must be at work again by itself.
  await heard.getByText(/18 mL at/).waitFor({ timeout: 40_000 });
  await page.evaluate(() => window.fakeRecogniser.fail('network'));
  await heard.getByText(/Run 1 ended/).waitFor({ timeout: 60_000 });
  await page.evaluate(() => window.fakeRecogniser.fail('aborted'));
  await heard.getByText(/Run 3 ended/).waitFor({ timeout: 120_000 });

  const state = await notebookOnDisk(page);
  const counting = state.runs.map((run) => ({
    label: run.label,
    baseline: run.baseline,
    values: run.readings.filter((reading) => !reading.struck).map((reading) => reading.value),
  }));
  const eleven = ['12', '14', '16', '18', '20', '22', '24', '26', '28', '30', '32'];
  expect(counting).toEqual([
    { label: '1', baseline: '10', values: eleven },
    { label: '2', baseline: '10', values: eleven },
    { label: '3', baseline: '10', values: eleven },
  ]);
  // Nothing that was said is missing, nothing that was not said is there.
  expect(state.calls).toHaveLength(voice.onsetS.length);
  expect(await page.evaluate(() => Reflect.get(window, 'touches'))).toEqual([]);
});
