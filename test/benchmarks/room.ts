import { pathToFileURL } from 'node:url';
import type { FoundCall } from '../../src/hearing/ear/follow.ts';
import { callsIn } from '../../src/hearing/ear/hear-samples.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { type TestBench, testBench } from '../bench/bench.ts';
import { makeChance, type Noise, type Voice } from '../browser/speech-sound.ts';
import { cardinal, prepare, voices } from './ear-sound.ts';
import { callRun } from './hearing.ts';
import { type Before, makeScene, sceneRate, talk, talkOf, useRecordings } from './room-scene.ts';

/**
 * A room with other people in it: whole runs of eleven calls, spoken by an engine that had no part in the training,
 * while others talk, in noise, or with a sound shortly before each call. The ear that runs along with the sound
 * (`hearing/ear/follow.ts`) finds and hears them; the app's session takes them.
 *
 * `npm run bench -- room --runs=12 --only=talkers` ; `--talkers=FOLDER` uses recordings of people as the talkers.
 */
interface Row {
  readonly name: string;
  readonly everyS?: number;
  readonly noise?: Noise;
  readonly snrDb?: number;
  readonly talkersDb?: number;
  readonly before?: Before;
}

const rows: readonly Row[] = [
  { name: 'alone, noise 20 dB below', snrDb: 20 },
  { name: 'talkers 25 dB below', talkersDb: 25 },
  { name: 'talkers 15 dB below', talkersDb: 15 },
  { name: 'talkers 10 dB below', talkersDb: 10 },
  { name: 'talkers 6 dB below', talkersDb: 6 },
  { name: 'tone before each call', before: 'tone', snrDb: 30 },
  { name: 'clink before each call', before: 'clink', snrDb: 30 },
  { name: 'cough before each call', before: 'cough', snrDb: 30 },
  { name: 'er before each call', before: 'er', snrDb: 30 },
  { name: 'a call each 1.5 s', everyS: 1.5, snrDb: 25 },
  { name: 'a call each 1.2 s', everyS: 1.2, snrDb: 25 },
  { name: 'calls without any pause', everyS: 0, snrDb: 25 },
  { name: 'noise 10 dB below', snrDb: 10 },
  { name: 'noise 5 dB below', snrDb: 5 },
  { name: 'swirling 3 dB below', noise: 'swirl', snrDb: 3 },
];

interface Tally {
  calls: number;
  found: number;
  takenRight: number;
  doubtedRight: number;
  silentlyWrong: number;
  /** Stretches of sound that are no call: taken as a reading or a word; others only set aside. */
  inventedTaken: number;
  inventedOther: number;
  errors: number[];
  within2u: number;
  silentlyOff: number;
  seconds: number;
  spentMs: number;
}

/** Even steps as callers make them: every 2 mL, some 1 or 5. */
const stepsMl = [2, 2, 2, 1, 5];

interface SpokenRun {
  readonly voice: Voice;
  readonly seed: number;
  readonly stepMl: number;
  readonly calls: readonly { readonly text: string; readonly value: number; readonly timeS: number }[];
}

function spokenRun(number: number): SpokenRun {
  const voice = voices[number % voices.length] ?? 'slt';
  const random = createRandom(`room ${number}`);
  const { frame, moments } = callRun('none', random, stepsMl);
  const calls = moments.map(({ value, timeS }) => ({ value: Number(value), timeS, text: cardinal(Number(value)) }));
  return { voice, seed: number + 1, stepMl: frame.stepMl ?? 1, calls };
}

/** Which call each found stretch is: the one whose beginning is nearest, where they overlap. */
function match(found: readonly FoundCall[], calls: readonly { onsetS: number; endS: number }[]): (number | null)[] {
  const taken = new Map<number, number>();
  const out = found.map((): number | null => null);
  const pairs = found.flatMap((one, at) =>
    calls.flatMap((call, k) => {
      const overlap = Math.min(one.endS, call.endS) - Math.max(one.onsetS, call.onsetS);
      return overlap > 0.3 * (call.endS - call.onsetS) ? [{ at, k, far: Math.abs(one.onsetS - call.onsetS) }] : [];
    }),
  );
  pairs.sort((a, b) => a.far - b.far);
  for (const { at, k } of pairs)
    if (!taken.has(k) && out[at] === null) {
      taken.set(k, at);
      out[at] = k;
    }
  return out;
}

async function takeRun(run: SpokenRun, row: Row, t: Tally, notes: string[]): Promise<void> {
  const scene = await makeScene(
    run.calls.map(({ text }) => text),
    { ...row, voice: run.voice, seed: run.seed, everyS: row.everyS ?? 3.2 },
  );
  const began = performance.now();
  const found = callsIn(scene.samples, sceneRate);
  t.spentMs += performance.now() - began;
  t.seconds += scene.samples.length / sceneRate;
  const matches = match(found, scene.calls);
  const bench = await testBench();
  await bench.journal.record({
    kind: 'set-up',
    setup: { ...defaultSetup, stepMl: run.stepMl, spanMl: run.stepMl * 20 },
  });
  await bench.say('start run one', 5);
  // The scene is shorter than the run: its time is stretched so that each call falls on its moment of the run.
  const times = scene.calls.map(({ onsetS }, k) => ({ sceneS: onsetS, runS: 20 + (run.calls[k]?.timeS ?? 0) }));
  const inRun = (s: number): number => {
    const k = Math.max(
      1,
      times.findIndex(({ sceneS }) => sceneS > s) === -1
        ? times.length - 1
        : times.findIndex(({ sceneS }) => sceneS > s),
    );
    const [a, b] = [times[k - 1], times[k]];
    if (!a || !b) return 20 + s;
    return a.runS + ((s - a.sceneS) * (b.runS - a.runS)) / (b.sceneS - a.sceneS);
  };
  const calls = [];
  for (const [at, one] of found.entries()) calls.push(await sayTo(bench, one, `c${at}`, inRun(one.onsetS)));
  const readings = new Map(bench.run('1').readings.map((reading) => [reading.id, reading]));
  const after = new Map(bench.state().calls.map((call) => [call.id, call]));
  const known = calls.map((id) => (id === null ? undefined : after.get(id)));
  t.calls += run.calls.length;
  const heard = new Set<number>();
  for (const [at, one] of found.entries()) {
    const k = matches[at] ?? null;
    const call = known[at];
    const mine = (call?.readings ?? []).flatMap((id) => readings.get(id) ?? []).filter((reading) => !reading.struck);
    const words = one.answer.best.slice(0, 3).map(({ text, p }) => `${text} ${p.toFixed(2)}`);
    if (k === null) {
      const counts = mine.length > 0 ? mine.some(({ outcome }) => outcome !== 'doubtful') : call?.outcome === 'command';
      if (counts) t.inventedTaken++;
      else t.inventedOther++;
      if (counts || one.answer.best.length > 0)
        notes.push(
          `  seed ${run.seed} ${one.onsetS.toFixed(2)}: invented ${call?.outcome} ${mine.map(({ value }) => value).join()}; ${words.join(', ')}`,
        );
      continue;
    }
    heard.add(k);
    t.found++;
    const truth = scene.calls[k];
    if (!truth) continue;
    const error = one.onsetS - truth.onsetS;
    t.errors.push(error);
    if (Math.abs(error) <= 2 * one.uOnsetS) t.within2u++;
    const off = Math.abs(error) > 0.15 && Math.abs(error) > 2 * one.uOnsetS;
    if (off) t.silentlyOff++;
    const right = mine.length === 1 && mine[0]?.volumeMl === run.calls[k]?.value;
    const doubtful = mine.some(({ outcome }) => outcome === 'doubtful');
    if (right && !doubtful) t.takenRight++;
    else if (right) t.doubtedRight++;
    else if (mine.length > 0 && !doubtful) t.silentlyWrong++;
    if (!right || off)
      notes.push(
        `  seed ${run.seed} ${run.voice} ${truth.onsetS.toFixed(2)} ${truth.text}: ${right ? 'right' : `${call?.outcome} ${mine.map(({ value }) => value).join()}`} ${(error * 1000).toFixed(0)} ms u ${(one.uOnsetS * 1000).toFixed(0)}; ${words.join(', ')}`,
      );
  }
  for (const [k, call] of scene.calls.entries())
    if (!heard.has(k)) notes.push(`  seed ${run.seed} ${run.voice} ${call.onsetS.toFixed(2)} ${call.text}: not found`);
}

/** @returns the id of the call that the session made of it, or null where it made none */
async function sayTo(bench: TestBench, one: FoundCall, id: string, atS: number): Promise<string | null> {
  const before = new Set(bench.state().calls.map((call) => call.id));
  await bench.say('', atS, {
    id,
    ear: 'own',
    uOnsetMs: one.uOnsetS * 1000,
    endMs: (atS + one.endS - one.onsetS) * 1000,
    alternatives: one.answer.best.map(({ text, p }) => ({ text, confidence: p })),
  });
  return bench.state().calls.find((call) => !before.has(call.id))?.id ?? null;
}

const percent = (part: number, of: number, digits = 1): string => ((100 * part) / Math.max(1, of)).toFixed(digits);

function quantile(values: readonly number[], part: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(part * sorted.length) - 1)] ?? Number.NaN;
}

/** @param runs runs of eleven calls in each row, by the four voices in turn; seeds 1 to `runs` */
export async function roomTable(runs: number, wanted: readonly Row[], misses: boolean): Promise<void> {
  const all = Array.from({ length: runs }, (_, number) => spokenRun(number));
  const phrases = new Map(
    all.flatMap(({ voice, calls }) => calls.map(({ text }) => [`${voice} ${text}`, { text, voice }])),
  );
  for (const voice of voices) for (const text of [...talk, 'er']) phrases.set(`${voice} ${text}`, { text, voice });
  prepare([...phrases.values()]);
  console.log(
    `A room with other people: ${runs} runs of 11 calls a row, seeds 1 to ${runs}; % of calls, moments in ms`,
  );
  console.log(
    '                          of  found  taken    or right,  silently  moment       |.|    within  off by      made up:      core',
  );
  console.log(
    '                                     right    in doubt   wrong     median       p95    2u      >150 silent  taken other  %',
  );
  for (const row of wanted) {
    const t: Tally = {
      calls: 0,
      found: 0,
      takenRight: 0,
      doubtedRight: 0,
      silentlyWrong: 0,
      inventedTaken: 0,
      inventedOther: 0,
      errors: [],
      within2u: 0,
      silentlyOff: 0,
      seconds: 0,
      spentMs: 0,
    };
    const notes: string[] = [];
    for (const run of all) await takeRun(run, row, t, notes);
    const median = quantile(t.errors, 0.5) * 1000;
    const p95 = quantile(t.errors.map(Math.abs), 0.95) * 1000;
    console.log(
      `${row.name.padEnd(24)} ${String(t.calls).padStart(4)} ${percent(t.found, t.calls).padStart(6)} ${percent(t.takenRight, t.calls).padStart(6)}  ${percent(t.takenRight + t.doubtedRight, t.calls).padStart(8)}  ${percent(t.silentlyWrong, t.calls, 2).padStart(8)} ${median.toFixed(0).padStart(8)} ${p95.toFixed(0).padStart(11)}  ${percent(t.within2u, t.found).padStart(6)} ${String(t.silentlyOff).padStart(8)} ${String(t.inventedTaken).padStart(10)} ${String(t.inventedOther).padStart(6)}  ${percent(t.spentMs / 1000, t.seconds).padStart(5)}`,
    );
    if (misses) console.log(notes.join('\n'));
  }
}

/** Talk without any call during a run: what of it is taken. */
export async function talkTable(minutes: number, seed: number): Promise<void> {
  const scene = await makeScene(['thirty one', 'thirty three', 'thirty five'], {
    voice: 'rms',
    seed,
    everyS: 3.2,
    talkersDb: 15,
  });
  const samples = new Float32Array(scene.samples.length + minutes * 60 * sceneRate);
  samples.set(scene.samples);
  const chance = makeChance(seed);
  const others = await talkOf(minutes * 60 * sceneRate, null, chance);
  // As loud as 8 dB below the caller.
  for (let i = 0; i < others.length; i++) {
    const at = scene.samples.length + i;
    samples[at] = 0.4 * (others[i] ?? 0) + 1e-4 * (chance() - 0.5);
  }
  const found = callsIn(samples, sceneRate);
  const bench = await testBench();
  await bench.journal.record({ kind: 'set-up', setup: defaultSetup });
  await bench.say('start run one', 5);
  const calls: (string | null)[] = [];
  for (const [at, one] of found.entries())
    calls.push(await sayTo(bench, one, `c${at}`, 20 + 6 * Math.min(one.onsetS, 12) + Math.max(0, one.onsetS - 12)));
  const after = new Map(bench.state().calls.map((call) => [call.id, call]));
  const fromS = scene.samples.length / sceneRate - 1;
  const late = found.flatMap((one, at) => (one.onsetS > fromS ? [{ one, call: after.get(calls[at] ?? '') }] : []));
  const count = (of: (outcome: string, readings: number) => boolean): number =>
    late.filter(({ call }) => call && of(call.outcome ?? '', call.readings.length)).length;
  console.log(
    `\n${minutes} min of talk 8 dB below the caller, in a run, seed ${seed}: ${late.length} stretches kept; taken as readings ${count((o, n) => o === 'taken' && n > 0)}, carried out ${count((o) => o === 'command')}, doubtful ${count((o) => o === 'doubtful')}, not understood ${count((o) => o === 'unresolved')}`,
  );
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const flag = (name: string): string | undefined =>
    process.argv.find((argument) => argument.startsWith(`--${name}=`))?.slice(name.length + 3);
  const folder = flag('talkers');
  if (folder) useRecordings(folder);
  const quick = process.argv.includes('--quick');
  const only = flag('only');
  const wanted = rows.filter(({ name }) => !only || only.split(',').some((part) => ` ${name} `.includes(` ${part} `)));
  await roomTable(Number(flag('runs') ?? (quick ? 4 : 48)), wanted, process.argv.includes('--misses'));
  if (!only || only.includes('minutes')) await talkTable(Number(flag('minutes') ?? (quick ? 1 : 10)), 5);
}
