import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import type { Browser } from 'playwright-core';
import { serve } from '../../src/commands/serve.ts';
import { makeCapture } from '../../src/hearing/capture.ts';
import { makeFollower } from '../../src/hearing/ear/follow.ts';
import { shippedNet } from '../../src/hearing/ear/hear-samples.ts';
import { reduce } from '../../src/log/reduce.ts';
import { launch } from '../browser/browser.ts';
import { eventsOnDisk } from '../browser/notebook-in-page.ts';
import { speechFile } from '../browser/speech-sound.ts';
import { cardinal } from './ear-sound.ts';
import { makeScene, sceneRate } from './room-scene.ts';

/**
 * What listening costs: in the built page, through a fake microphone, the share of a core of everything the page runs
 * (page, worker, sound thread) with the microphone closed, open in silence and during calls, and the time from the end
 * of speech to the judged reading; then the heap of the running ear over a long stretch of sound.
 *
 * `npm run bench -- listening --calls=20 --minutes=120`; `--heap`: without the page. On a machine that does other work
 * the times are too long.
 */
const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

function quantile(values: readonly number[], part: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(part * sorted.length) - 1)] ?? Number.NaN;
}

/** Processor time of all pages so far, s. */
async function pageCpuS(browser: Browser): Promise<number> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  await session.detach();
  return processInfo.filter(({ type }) => type === 'renderer').reduce((sum, { cpuTime }) => sum + cpuTime, 0);
}

async function inThePage(address: string, count: number): Promise<void> {
  const [fromS, everyS] = [14, 2.6];
  const calls = Array.from({ length: count }, (_, k) => ({
    text: cardinal(31 + 2 * (k % 30)),
    atS: fromS + everyS * k,
  }));
  const sound = await speechFile(calls, { voice: 'rms', noise: 'pink', snrDb: 25, tailS: 4 });
  const { page, context, close } = await launch({ microphoneWav: sound.path });
  try {
    const browser = context.browser();
    if (!browser) throw new Error('the browser cannot be asked');
    const shareOver = async (seconds: number): Promise<string> => {
      const [cpu, at] = [await pageCpuS(browser), performance.now()];
      await pause(1000 * seconds);
      const share = (await pageCpuS(browser)) - cpu;
      return ((100_000 * share) / (performance.now() - at)).toFixed(1);
    };
    await page.goto(address);
    await page.getByRole('button', { name: 'Begin a notebook' }).click();
    await page.keyboard.press('s');
    await page.getByText('Run 1 started').first().waitFor();
    await pause(2000);
    const closed = await shareOver(5);
    await page.getByRole('button', { name: 'Open the microphone' }).click();
    await page.getByText('Hears words: on this device').waitFor();
    const silent = await shareOver(7);
    await pause(5000);
    const called = await shareOver(Math.max(5, everyS * (count - 3)));
    await pause(9000);
    const { runs } = reduce(await eventsOnDisk(page));
    const readings = runs[0]?.readings ?? [];
    const answers = readings.map(({ timeMs, history }, k) => {
      const call = sound.calls[k];
      return (history[0]?.atMs ?? Number.NaN) - timeMs - 1000 * ((call?.endS ?? 0) - (call?.onsetS ?? 0));
    });
    console.log('share of one core, everything in the page, %:');
    console.log(`  microphone closed ${closed}, open in silence ${silent}, a call each ${everyS} s ${called}`);
    console.log(`end of speech to the judged reading, ms (${readings.length} of ${count} calls):`);
    console.log(`  median ${quantile(answers, 0.5).toFixed(0)}, p95 ${quantile(answers, 0.95).toFixed(0)}`);
  } finally {
    await close();
  }
}

/** What the sound thread and the running ear keep, by minutes of sound: calls among talk, again and again. */
async function heapOver(minutes: number): Promise<void> {
  setFlagsFromString('--expose-gc');
  const collect: () => void = runInNewContext('gc');
  const texts = Array.from({ length: 11 }, (_, k) => cardinal(31 + 2 * k));
  const scene = await makeScene(texts, { voice: 'rms', seed: 1, everyS: 3.2, talkersDb: 15 });
  const follower = makeFollower(shippedNet(), sceneRate);
  let found = 0;
  const capture = makeCapture(sceneRate, (message) => {
    if (message.kind === 'sound') found += follower.push(message.samples).length;
  });
  const kept: string[] = [];
  const block = 128;
  let at = 0;
  for (let minute = 0; minute <= minutes; minute += heapEachMin) {
    for (; at < minute * 60 * sceneRate; at += block) {
      const from = at % (scene.samples.length - block);
      capture.push(scene.samples.subarray(from, from + block), at);
    }
    collect();
    const { heapUsed, arrayBuffers } = process.memoryUsage();
    kept.push(`${minute} min ${((heapUsed + arrayBuffers) / 1e6).toFixed(2)}`);
  }
  console.log(`memory of the running ear, MB, ${found} calls: ${kept.join(', ')}`);
}
const heapEachMin = 10;

const flag = (name: string): number | undefined => {
  const given = process.argv.find((argument) => argument.startsWith(`--${name}=`));
  return given === undefined ? undefined : Number(given.slice(name.length + 3));
};
const quick = process.argv.includes('--quick');

async function builtAndServed(): Promise<void> {
  const root = fileURLToPath(new URL('../..', import.meta.url));
  const dist = mkdtempSync(join(tmpdir(), 'meniscall-listening-'));
  execFileSync(
    process.execPath,
    [join(root, 'node_modules/vite/bin/vite.js'), 'build', '--outDir', dist, '--emptyOutDir', '--logLevel', 'warn'],
    { cwd: root, env: { ...process.env, NODE_ENV: 'production' } },
  );
  const served = await serve(dist, 0);
  try {
    await inThePage(served.address, flag('calls') ?? (quick ? 10 : 30));
  } finally {
    await served.close();
    rmSync(dist, { recursive: true, force: true });
  }
}

if (!process.argv.includes('--heap')) await builtAndServed();
await heapOver(flag('minutes') ?? (quick ? 10 : 120));
