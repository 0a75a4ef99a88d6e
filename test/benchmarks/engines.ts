import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { analysisOf } from '../../src/analysis/notebook-analysis.ts';
import { serve } from '../../src/commands/serve.ts';
import { NotebookEvent } from '../../src/log/event.ts';
import { reduce } from '../../src/log/reduce.ts';
import type { NotebookState } from '../../src/log/state.ts';
import { type SpeechSound, speechFile } from '../browser/speech-sound.ts';
import { calledMarks, calledRun } from './called-run.ts';
import {
  type DrivenBrowser,
  findProgram,
  type SoundRoom,
  startFirefox,
  startScreen,
  startSoundRoom,
  startWebKit,
} from './engine-drivers.ts';

/**
 * The main job in browsers of other makers, where they are installed: a notebook begun, the server gone, eleven calls
 * heard by the ear of our own (or typed), the table read. No registry ships these browsers, so this is no part of
 * `npm test`. Pictures go to the folder named by `--pictures=FOLDER`.
 */

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** A page that is driven by what a person sees on it. */
function handsOn(browser: DrivenBrowser) {
  const { evaluate } = browser;
  const shown = (text: string): Promise<boolean> =>
    evaluate(`document.body.innerText.includes(${JSON.stringify(text)})`);
  const waitFor = async (text: string, forMs = 30_000): Promise<void> => {
    for (const end = Date.now() + forMs; !(await shown(text)); await pause(100))
      if (Date.now() > end)
        throw new Error(`“${text}” did not come; the page says: ${await evaluate('document.body.innerText')}`);
  };
  /** Presses a button, link, summary, option or label by its words. */
  const press = async (words: string, forMs = 10_000): Promise<void> => {
    const find = `(async () => {
      const all = [...document.querySelectorAll('button, a, summary, label')];
      const found = all.find((one) => one.checkVisibility() && one.innerText.trim().startsWith(${JSON.stringify(words)}));
      if (!found) return null;
      found.scrollIntoView({ block: 'center', behavior: 'instant' });
      await new Promise(requestAnimationFrame);
      const box = found.getBoundingClientRect();
      return { x: box.x + Math.min(box.width / 2, 40), y: box.y + box.height / 2 };
    })()`;
    for (const end = Date.now() + forMs; ; await pause(100)) {
      const at = await evaluate<{ x: number; y: number } | null>(find);
      if (at) return browser.press(at.x, at.y);
      if (Date.now() > end)
        throw new Error(`there is no “${words}” to press: ${await evaluate('document.body.innerText')}`);
    }
  };
  return { ...browser, shown, waitFor, press };
}
type Hands = ReturnType<typeof handsOn>;

/** The notebook that the page has on disk. */
async function onDisk(page: Hands): Promise<NotebookState> {
  const raw = await page.evaluate<unknown[]>(`new Promise((resolve, reject) => {
    const request = indexedDB.open('meniscall-events');
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const all = request.result.transaction('all').objectStore('all').getAll();
      all.onerror = () => reject(all.error);
      all.onsuccess = () => { request.result.close(); resolve(all.result); };
    };
  })`);
  return reduce(raw.map((event) => NotebookEvent.parse(event)).sort((a, b) => a.seq - b.seq));
}

const values = calledMarks.map((_, index) => String(10 + 2 * index));
const everyS = 2.4;

/** "Start run one", eleven readings, "end run". */
const spoken = (): Promise<SpeechSound & { path: string }> =>
  speechFile(
    calledRun.map((text, index) => ({ text, atS: 1.5 + index * everyS })),
    { tailS: 1.5 },
  );

const quantile = (sorted: readonly number[], q: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN;

interface Pictures {
  take(page: Hands, name: string): Promise<void>;
}

/** Loads the page, lets it store itself, and takes the server away. */
async function begin(page: Hands, address: string, stopServer: () => Promise<void>): Promise<string> {
  await page.open(address);
  await page.waitFor('Begin a notebook');
  const stored = await page.evaluate<boolean>(
    `'serviceWorker' in navigator && Promise.race([navigator.serviceWorker.ready.then(() => true), new Promise((no) => setTimeout(no, 15000, false))])`,
  );
  await stopServer();
  if (!stored) return 'no service worker: the page stays open, the network is gone';
  await page.open(address);
  await page.waitFor('Begin a notebook');
  return 'opened again without the network';
}

async function spokenRun(page: Hands, room: SoundRoom, pictures: Pictures): Promise<string[]> {
  const sound = await spoken();
  await page.press('Begin a notebook');
  await page.waitFor('Open the microphone');
  await pictures.take(page, 'bench');
  await page.press('Open the microphone');
  await page.waitFor('Listening, on this device only', 60_000);
  await Promise.all([room.play(sound.path), page.waitFor('Run 1 started', 20_000)]);
  await page.waitFor('Run 1 ended', 20_000);
  await pictures.take(page, 'after-the-run');
  const state = await onDisk(page);
  const readings = state.runs[0]?.readings ?? [];
  const got = readings.map((reading) => reading.value);
  const right = values.filter((value, index) => got[index] === value).length;
  const errors = readings.map(
    (reading, index) => reading.timeMs - 1000 * (sound.calls[index + 1]?.onsetS ?? Number.NaN),
  );
  const middle = quantile(
    [...errors].sort((a, b) => a - b),
    0.5,
  );
  const absolute = errors.map((error) => Math.abs(error - middle)).sort((a, b) => a - b);
  return [
    `spoken run: ${right} of ${values.length} values right (${got.join(' ')}), ${readings.filter(({ outcome }) => outcome === 'doubtful').length} in doubt`,
    `error of a moment, median / 95 % / worst: ${[0.5, 0.95, 1].map((q) => `${Math.round(quantile(absolute, q))} ms`).join(' / ')} (differences only)`,
    ...(process.argv.includes('--each')
      ? [`each: ${errors.map((error) => Math.round(error - middle)).join(' ')} ms`]
      : []),
    rateLine(state, 2 / everyS),
  ];
}

async function typedRun(page: Hands, pictures: Pictures): Promise<string[]> {
  await page.press('Begin a notebook');
  await page.waitFor('Open the microphone');
  await pictures.take(page, 'bench');
  await page.type('s');
  await page.waitFor('Run 1 started');
  for (const value of values) {
    await page.type(`${value}\uE007`);
    await page.waitFor(`${value} mL at`);
    await pause(500);
  }
  await page.type('e');
  await page.waitFor('Run 1 ended with 11 readings');
  const state = await onDisk(page);
  const got = state.runs[0]?.readings.map((reading) => reading.value) ?? [];
  const right = values.filter((value, index) => got[index] === value).length;
  return [`typed run: ${right} of ${values.length} values right`, rateLine(state, null)];
}

function rateLine(state: NotebookState, truth: number | null): string {
  const [run] = analysisOf(state).analysis.runs;
  if (!run?.ok || !run.estimates.line.ok) return 'no rate';
  const { rateM3PerS, u } = run.estimates.line;
  return `rate ${(rateM3PerS * 1e6).toFixed(4)} mL/s, u ${(u * 1e6).toFixed(4)}${truth === null ? '' : ` (truth ${truth.toFixed(4)})`}`;
}

/** The screens of the day after a run, looked at, and what Help says of this browser. */
async function walk(page: Hands, pictures: Pictures): Promise<string[]> {
  for (const [link, text] of [
    ['Readings', 'Run 1'],
    ['Rates', 'Run 1'],
    ['Report', 'Copy the table'],
    ['Run sheet', 'Run sheet'],
    ['Class', 'Class'],
    ['Help', 'What works in this browser'],
  ] as const) {
    await page.press(link);
    await page.waitFor(text);
    await pause(800);
    await pictures.take(page, link.toLowerCase().replace(' ', '-'));
  }
  await page.waitFor('Keeping the screen on');
  const findings = await page.evaluate<string[]>(
    `[...document.querySelectorAll('.findings li')].map((one) => one.innerText.replace(/\\s+/g, ' '))`,
  );
  return ['Help says:', ...findings.map((finding) => `  ${finding}`)];
}

/** The rate in the table of the report, as a person reads it. */
async function reportRow(page: Hands): Promise<string> {
  await page.press('Report');
  await page.waitFor('Copy the table');
  return page.evaluate(
    `[...document.querySelectorAll('table')][0]?.innerText.split('\\n').slice(0, 12).join(' | ') ?? 'no table'`,
  );
}

async function drive(
  start: () => Promise<DrivenBrowser>,
  dist: string,
  room: SoundRoom | null,
  pictures: (name: string) => Pictures,
): Promise<void> {
  const served = await serve(dist, 0);
  const browser = await start();
  const page = handsOn(browser);
  const looks = pictures(browser.name.toLowerCase());
  const say = (line: string): void => console.log(`    ${line}`);
  console.log(`  ${browser.name} ${browser.version}`);
  try {
    say(await begin(page, served.address, () => served.close()));
    const hears = room !== null && (await canHear(page));
    for (const line of hears && room ? await spokenRun(page, room, looks) : await typedRun(page, looks)) say(line);
    say(`report: ${await reportRow(page)}`);
    for (const line of await walk(page, looks)) say(line);
  } catch (error) {
    await looks.take(page, 'stopped').catch(() => {});
    say(`stopped: ${error instanceof Error ? error.message : String(error)}`);
  } finally {
    await browser.close();
    await served.close().catch(() => {});
  }
}

/** Whether this browser gives a page a microphone here. */
const canHear = (page: Hands): Promise<boolean> =>
  page.evaluate(`navigator.mediaDevices?.getUserMedia
    ? Promise.race([
        navigator.mediaDevices.getUserMedia({ audio: true }).then((stream) => { for (const track of stream.getTracks()) track.stop(); return true; }, () => false),
        new Promise((no) => setTimeout(no, 8000, false)),
      ])
    : false`);

async function main(): Promise<void> {
  const only = process.argv.find((argument) => argument.startsWith('--only='))?.slice(7);
  const firefox = only === 'webkit' ? null : (process.env.FIREFOX_PATH ?? findProgram('firefox', 'firefox-esr'));
  const webKit = only === 'firefox' ? null : findProgram('WebKitWebDriver', '/usr/lib/webkit2gtk-4.1/WebKitWebDriver');
  const mini = findProgram(
    '/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser',
    '/usr/libexec/webkit2gtk-4.1/MiniBrowser',
    '/usr/lib/webkit2gtk-4.1/MiniBrowser',
  );
  if (!firefox && only !== 'webkit') console.log('  Firefox: not installed here');
  if ((!webKit || !mini) && only !== 'firefox') console.log('  WebKitGTK with its WebDriver: not installed here');
  if (!firefox && !(webKit && mini)) return;
  const root = fileURLToPath(new URL('../..', import.meta.url));
  const dist = mkdtempSync(join(tmpdir(), 'meniscall-engines-'));
  execFileSync(
    process.execPath,
    [join(root, 'node_modules/vite/bin/vite.js'), 'build', '--outDir', dist, '--emptyOutDir'],
    { cwd: root, env: { ...process.env, NODE_ENV: 'production' } },
  );
  const folder = process.argv.find((argument) => argument.startsWith('--pictures='))?.slice(11);
  if (folder) mkdirSync(folder, { recursive: true });
  const pictures = (browser: string): Pictures => ({
    async take(page, name) {
      if (folder) writeFileSync(join(folder, `${browser}-${name}.png`), await page.picture());
    },
  });
  const room = await startSoundRoom();
  if (!room) console.log('  no PulseAudio here, so no microphone: readings are typed');
  const environment = { ...process.env, ...room?.environment };
  try {
    if (firefox) await drive(() => startFirefox(firefox, environment), dist, room, pictures);
    if (webKit && mini) {
      const screen = await startScreen();
      if (!screen) console.log('  WebKitGTK: no screen here (Xvfb)');
      else {
        await drive(() => startWebKit(webKit, mini, { ...environment, ...screen.environment }), dist, room, pictures);
        await screen.close();
      }
    }
  } finally {
    await room?.close();
    rmSync(dist, { recursive: true, force: true });
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  // Node 20 has the WebSocket of the web platform behind a flag.
  if (typeof WebSocket === 'undefined' && !process.execArgv.includes('--experimental-websocket')) {
    const again = spawnSync(
      process.execPath,
      ['--experimental-websocket', ...process.execArgv, ...process.argv.slice(1)],
      { stdio: 'inherit' },
    );
    process.exitCode = again.status ?? 1;
  } else await main();
}
