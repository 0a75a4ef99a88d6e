import { pathToFileURL } from 'node:url';
import type { FoundCall } from '../../src/hearing/ear/follow.ts';
import { callsIn } from '../../src/hearing/ear/hear-samples.ts';
import { defaultSetup } from '../../src/log/setup.ts';
import { createRandom } from '../../src/numerics/random.ts';
import { type TestBench, testBench } from '../bench/bench.ts';
import { makeChance, type Noise, type Voice } from '../browser/speech-sound.ts';
import { cardinal, prepare, voices } from './ear-sound.ts';
import { callRun } from './hearing.ts';
import { type PersonCalling, peopleCalling, peopleTalking } from './room-people.ts';
import {
  type Before,
  makeScene,
  type ScenePhrase,
  sceneRate,
  soundsIn,
  talk,
  talkOf,
  useTalkers,
} from './room-scene.ts';
import { added, emptyTally, keep, kept, type Tally, tableHead, tableRow } from './room-tally.ts';

/**
 * A room with other people in it: whole runs of eleven calls, spoken by an engine that had no part in the training or
 * by people who had none, while others talk, in noise, or with a sound shortly before each call. The ear that runs
 * along with the sound (`hearing/ear/follow.ts`) finds and hears them; the app's session takes them.
 *
 * `npm run bench -- room --runs=12 --only=talkers,swirling` ; `--people`: people call and talk, where recordings are at
 * hand; `--talkers=FOLDER`: recordings as the talkers; `--misses`: what went wrong. In pieces: `--from=200 --runs=4
 * --keep=FILE` adds runs 201 to 204 to a file, `--sum=FILE` prints all that is in it.
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

/** Even steps as callers make them: every 2 mL, some 1 or 5. */
const stepsMl = [2, 2, 2, 1, 5];

interface SpokenRun {
  readonly voice: Voice;
  readonly caller: string;
  readonly seed: number;
  readonly stepMl: number;
  readonly calls: readonly (ScenePhrase & { readonly value: number; readonly timeS: number })[];
}

function spokenRun(number: number, people: readonly PersonCalling[]): SpokenRun {
  const voice = voices[number % voices.length] ?? 'slt';
  const person = people[number % Math.max(1, people.length)];
  // A person says what was recorded: runs are drawn until all of it was.
  for (let draw = 0; ; draw++) {
    const random = createRandom(`room ${number}${draw > 0 ? ` ${draw}` : ''}`);
    const { frame, moments } = callRun('none', random, stepsMl);
    const calls = moments.flatMap(({ value, timeS }, k) => {
      const call = { value: Number(value), timeS };
      if (!person) return [{ ...call, text: cardinal(call.value) }];
      const text = person.words(call.value);
      return text === null ? [] : [{ ...call, text, sound: person.say(call.value, 31 * number + 3 * k) }];
    });
    if (calls.length === moments.length)
      return { voice, caller: person?.name ?? voice, seed: number + 1, stepMl: frame.stepMl ?? 1, calls };
  }
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

/** @param all notes each call, not only what went wrong */
async function takeRun(run: SpokenRun, row: Row, t: Tally, notes: string[], all: boolean): Promise<void> {
  const scene = await makeScene(run.calls, { ...row, voice: run.voice, seed: run.seed, everyS: row.everyS ?? 3.2 });
  const began = process.cpuUsage();
  const found = callsIn(scene.samples, sceneRate);
  const spent = process.cpuUsage(began);
  t.spentMs += (spent.user + spent.system) / 1000;
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
    // The session may move it, once it knows which of the sentences was meant.
    const movedS = call ? call.onsetMs / 1000 - inRun(one.onsetS) : 0;
    const error = one.onsetS + movedS - truth.onsetS;
    t.errors.push(error);
    const uS = (call?.uOnsetMs ?? 1000 * one.uOnsetS) / 1000;
    const u = Math.hypot(uS, run.calls[k]?.sound?.uLeadS ?? 0);
    if (Math.abs(error) <= 2 * u) t.within2u++;
    const off = Math.abs(error) > 0.15 && Math.abs(error) > 2 * u;
    if (off) t.silentlyOff++;
    const right = mine.length === 1 && mine[0]?.volumeMl === run.calls[k]?.value;
    const doubtful = mine.some(({ outcome }) => outcome === 'doubtful');
    if (right && !doubtful) t.takenRight++;
    else if (right) t.doubtedRight++;
    else if (mine.length > 0 && !doubtful) t.silentlyWrong++;
    if (!right || off || all)
      notes.push(
        `  seed ${run.seed} ${run.caller} ${truth.onsetS.toFixed(2)} ${truth.text}: ${right ? 'right' : `${call?.outcome} ${mine.map(({ value }) => value).join()}`} ${(error * 1000).toFixed(0)} ms u ${(uS * 1000).toFixed(0)}; ${words.join(', ')}`,
      );
  }
  for (const [k, call] of scene.calls.entries())
    if (!heard.has(k)) notes.push(`  seed ${run.seed} ${run.caller} ${call.onsetS.toFixed(2)} ${call.text}: not found`);
}

/** @returns the id of the call that the session made of it, or null where it made none */
async function sayTo(bench: TestBench, one: FoundCall, id: string, atS: number): Promise<string | null> {
  const before = new Set(bench.state().calls.map((call) => call.id));
  await bench.say('', atS, {
    id,
    ear: 'own',
    uOnsetMs: one.uOnsetS * 1000,
    endMs: (atS + one.endS - one.onsetS) * 1000,
    ...(one.nearness === null ? {} : { nearness: one.nearness }),
    alternatives: one.answer.best.map(({ text, p, begins }) => ({
      text,
      confidence: p,
      ...(begins ? { begins } : {}),
    })),
  });
  return bench.state().calls.find((call) => !before.has(call.id))?.id ?? null;
}

interface Wanted {
  /** Numbers of the runs, from 0. */
  readonly from: number;
  readonly runs: number;
  readonly rows: readonly Row[];
  readonly people: boolean;
  /** File of pieces. */
  readonly keep?: string;
  readonly misses: boolean;
  readonly all: boolean;
}

/** Runs of eleven calls in each row, by the voices or the people in turn. */
async function roomTable({ from, runs, rows: wanted, people, keep: file, misses, all }: Wanted): Promise<void> {
  const calling = people ? peopleCalling() : [];
  if (people && calling.length === 0) {
    console.log('Recordings of people are not at hand (../shared/data/people): no people call.');
    return;
  }
  const spoken = Array.from({ length: runs }, (_, number) => spokenRun(from + number, calling));
  const phrases = new Map(
    spoken
      .filter(() => !people)
      .flatMap(({ voice, calls }) => calls.map(({ text }) => [`${voice} ${text}`, { text, voice }])),
  );
  for (const voice of voices) for (const text of [...talk, 'er']) phrases.set(`${voice} ${text}`, { text, voice });
  prepare([...phrases.values()]);
  console.log(
    `A room with other people: ${runs} runs of 11 calls a row, runs ${from + 1} to ${from + runs}; intervals of 95 %`,
  );
  console.log(tableHead);
  for (const row of wanted) {
    const tallies: Tally[] = [];
    const notes: string[] = [];
    for (const run of spoken) {
      const tally = emptyTally(`${row.name}${people ? ', people' : ''}`, run.caller, run.seed);
      await takeRun(run, row, tally, notes, all);
      if (file) keep(file, tally);
      tallies.push(tally);
    }
    console.log(tableRow(tallies[0]?.row ?? row.name, added(tallies)));
    if (misses || all) console.log(notes.join('\n'));
  }
}

/** All that is in a file of pieces, row by row. */
function sumTable(file: string): void {
  const runs = kept(file);
  console.log(`Sums over ${runs.length} runs; intervals of 95 %`);
  console.log(tableHead);
  for (const name of new Set(runs.map(({ row }) => row)))
    console.log(tableRow(name, added(runs.filter(({ row }) => row === name))));
}

/** Talk without any call during a run: what of it is taken, asked about, or only kept. */
export async function talkTable(minutes: number, seed: number, misses: boolean): Promise<void> {
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
    `\n${minutes} min of talk 8 dB below the caller, in a run, seed ${seed}: ${late.length} stretches kept; taken as readings ${count((o, n) => o === 'taken' && n > 0)}, carried out ${count((o) => o === 'command')}, doubtful ${count((o) => o === 'doubtful')}, not understood ${count((o) => o === 'unresolved')}, kept without a question ${count((o) => o === 'not-a-reading')}`,
  );
  if (!misses) return;
  for (const { one, call } of late.filter(({ call }) => call?.outcome !== 'not-a-reading'))
    console.log(
      `  ${(one.onsetS - fromS).toFixed(2)} ${call?.outcome} ${call?.reason}; ${one.answer.best.slice(0, 3).map(({ text, p }) => `${text} ${p.toFixed(2)}`)}`,
    );
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const flag = (name: string): string | undefined =>
    process.argv.find((argument) => argument.startsWith(`--${name}=`))?.slice(name.length + 3);
  const sum = flag('sum');
  if (sum) {
    sumTable(sum);
    process.exit(0);
  }
  const people = process.argv.includes('--people');
  const folder = flag('talkers');
  if (folder) useTalkers(soundsIn(folder));
  else if (people) useTalkers(peopleTalking());
  const quick = process.argv.includes('--quick');
  const only = flag('only');
  const file = flag('keep');
  await roomTable({
    from: Number(flag('from') ?? 0),
    runs: Number(flag('runs') ?? (quick ? 4 : 48)),
    rows: rows.filter(({ name }) => !only || only.split(',').some((part) => ` ${name} `.includes(` ${part} `))),
    people,
    ...(file ? { keep: file } : {}),
    misses: process.argv.includes('--misses'),
    all: process.argv.includes('--all'),
  });
  if (!only || only.includes('minutes'))
    await talkTable(
      Number(flag('minutes') ?? (quick ? 1 : 10)),
      Number(flag('from') ?? 4) + 1,
      process.argv.includes('--misses'),
    );
}
