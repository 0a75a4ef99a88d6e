import { wordsSaid } from '../../src/bench/calls-to-learn.ts';
import { fewestCalls } from '../../src/bench/word-round.ts';
import { type KnownCall, learnVoice, withVoice } from '../../src/hearing/ear/adapt.ts';
import type { Net } from '../../src/hearing/ear/net.ts';
import { recognise } from '../../src/hearing/ear/recognise.ts';
import { en } from '../../src/language/words/en.ts';
import { createRandom, type Random } from '../../src/numerics/random.ts';
import { sessionInMemory } from '../bench/session-in-memory.ts';
import { meaningsOf } from './ear-sound.ts';

/**
 * Whole runs called by people: numbers said digit by digit ("two five"), put together from their single digits, as the
 * water would rise, judged call by call with the expectation in force. No person's digit is used twice in a run.
 */
export interface Clip {
  readonly person: string;
  readonly word: string;
  readonly samples: Float32Array;
  readonly rate: number;
}

/** Lays noise so many dB below the call, with the silence that the app leaves around it. */
export type Lay = (samples: Float32Array, rate: number, db: number, seed: number) => Float32Array;

interface Tally {
  calls: number;
  firstRight: number;
  takenRight: number;
  silentlyWrong: number;
  doubtful: number;
  unresolved: number;
  runs: number;
}

const units = 'zero one two three four five six seven eight nine'.split(' ');
const callsARun = 13;
const gapS = 0.12;

interface Caller {
  /** The sound of a two-digit number in this person's voice. */
  say(value: number): { readonly text: string; readonly samples: Float32Array; readonly rate: number };
}

/** Goes through a person's recordings of each digit in an order of its own, from the start again after the last. */
function makeCaller(clips: readonly Clip[], random: Random): Caller {
  const byWord = new Map(units.map((word) => [word, clips.filter((clip) => clip.word === word)]));
  const next = new Map(units.map((word) => [word, random.integer(1000)]));
  const clipOf = (digit: number): Clip => {
    const word = units[digit] ?? '';
    const all = byWord.get(word) ?? [];
    const at = next.get(word) ?? 0;
    next.set(word, at + 1);
    const clip = all[at % Math.max(1, all.length)];
    if (!clip) throw new Error(`no recording of ${word}`);
    return clip;
  };
  return {
    say(value) {
      const [first, second] = [clipOf(Math.trunc(value / 10)), clipOf(value % 10)];
      const gap = Math.round(first.rate * gapS);
      const samples = new Float32Array(first.samples.length + gap + second.samples.length);
      samples.set(first.samples);
      samples.set(second.samples, first.samples.length + gap);
      return { text: `${first.word} ${second.word}`, samples, rate: first.rate };
    },
  };
}

const empty = (): Tally => ({
  calls: 0,
  firstRight: 0,
  takenRight: 0,
  silentlyWrong: 0,
  doubtful: 0,
  unresolved: 0,
  runs: 0,
});

/** One run; gives the calls that taught something: taken, and known how they were said. */
async function oneRun(net: Net, caller: Caller, lay: Lay, db: number, random: Random, tally: Tally) {
  const stepMl = [1, 2, 2, 5][random.integer(4)] ?? 2;
  const startMl = 10 + random.integer(99 - 10 - stepMl * (callsARun - 1));
  const cylinder = { capacityMl: 100, divisionMl: 1, accuracy: 'B' as const };
  const bench = await sessionInMemory({ stepMl, spanMl: 10 * stepMl, cylinder });
  const said: { value: string; offer: { text: string; p: number }[]; sound: Omit<KnownCall, 'text'> }[] = [];
  for (let k = 0; k < callsARun; k++) {
    const value = startMl + k * stepMl;
    const { samples, rate } = caller.say(value);
    const sound = { samples: lay(samples, rate, db, 1 + random.integer(1e6)), rate };
    const answer = recognise(net, sound.samples, rate);
    const offer = answer.best.map(({ text, p }) => ({ text, p }));
    if (Number(meaningsOf(answer)[0]?.meaning) === value) tally.firstRight++;
    said.push({ value: String(value), offer, sound });
    // First order towards three times the span.
    const ceiling = 3 * stepMl * callsARun;
    await bench.say(offer, 20 - 20 * callsARun * Math.log1p((-k * stepMl) / ceiling) + random.normal(0, 0.15), 'own');
  }
  const calls = bench.state().calls;
  const known: KnownCall[] = [];
  tally.runs++;
  for (const [k, { value, offer, sound }] of said.entries()) {
    tally.calls++;
    const call = calls[k];
    const values = call?.meaning?.kind === 'reading' ? call.meaning.values.map((one) => one.value) : [];
    const right = values.length === 1 && Number(values[0]) === Number(value);
    if (call?.outcome === 'taken' && right) tally.takenRight++;
    if (call?.outcome === 'taken' && !right) tally.silentlyWrong++;
    if (call?.outcome === 'doubtful') tally.doubtful++;
    if (call?.outcome === 'unresolved' || call?.outcome === 'not-a-reading') tally.unresolved++;
    const text = call?.outcome === 'taken' && values[0] !== undefined ? wordsSaid(values[0], offer, en) : null;
    if (text !== null) known.push({ ...sound, text });
  }
  return known;
}

const percent = (part: number, whole: number): string =>
  `${((100 * part) / Math.max(1, whole)).toFixed(1)}`.padStart(6);

function rowOf(name: string, t: Tally): string {
  const silently = ((1000 * t.silentlyWrong) / Math.max(1, t.calls)).toFixed(1).padStart(6);
  return `${name.padEnd(34)} ${percent(t.firstRight, t.calls)} ${percent(t.takenRight, t.calls)}   ${silently}     ${percent(t.doubtful, t.calls)}   ${percent(t.unresolved, t.calls)}   ${t.calls}`;
}

const header = `${''.padEnd(34)}  first  taken  silently       in     un-
${''.padEnd(34)}  right  right  wrong/1,000  doubt  resolved  calls`;

const cleanDb = 55;

/** Whole runs of the people left out, clean and in noise 10 dB below. */
async function wholeRuns(net: Net, clips: readonly Clip[], lay: Lay, runs: number): Promise<void> {
  console.log(`Whole runs of ${callsARun} calls, numbers said digit by digit, the expectation in force, %`);
  console.log(header);
  for (const [name, db] of [
    ['clean', cleanDb],
    ['pink 10 dB', 10],
  ] as const)
    for (const person of new Set(clips.map((clip) => clip.person))) {
      const random = createRandom(`runs ${person}`);
      const own = makeCaller(
        clips.filter((clip) => clip.person === person),
        random,
      );
      const tally = empty();
      for (let k = 0; k < runs; k++) await oneRun(net, own, lay, db, random, tally);
      console.log(rowOf(`${person}, ${name}`, tally));
    }
  console.log();
}

/** What a run of ordinary use teaches, judged by runs after it. */
async function afterOneRun(net: Net, clips: readonly Clip[], lay: Lay, runs: number): Promise<void> {
  console.log('After one run of ordinary use (learnt from what was taken), judged by other runs, noise 10 dB below, %');
  console.log(header);
  for (const person of new Set(clips.map((clip) => clip.person))) {
    const own = makeCaller(
      clips.filter((clip) => clip.person === person),
      createRandom(`use ${person}`),
    );
    const lessons = await oneRun(net, own, lay, cleanDb, createRandom(`first ${person}`), empty());
    if (lessons.length < fewestCalls) console.log(`${person}: only ${lessons.length} calls taught something`);
    const learnt = learnVoice(net, lessons);
    const used = withVoice(net, learnt);
    for (const [name, heard] of [
      ['before', net],
      [learnt.helps ? 'after' : 'after (no gain found, not used)', used],
    ] as const) {
      const random = createRandom(`later ${person}`);
      const again = makeCaller(
        clips.filter((clip) => clip.person === person),
        random,
      );
      const tally = empty();
      for (let k = 0; k < runs; k++) await oneRun(heard, again, lay, 10, random, tally);
      console.log(rowOf(`${person}, ${name}`, tally));
    }
  }
  console.log();
}

/** Two people by turns, a run each: under one voice, and each under a voice of their own. */
async function byTurns(net: Net, clips: readonly Clip[], others: readonly Clip[], lay: Lay, runs: number) {
  const pair = [clips, others].map((own, k) => ({ person: own[0]?.person ?? '', own, k }));
  const lessons: KnownCall[][] = [];
  for (const { person, own } of pair)
    lessons.push(
      await oneRun(net, makeCaller(own, createRandom(`turn ${person}`)), lay, cleanDb, createRandom(person), empty()),
    );
  const shared = learnVoice(net, lessons.flat());
  console.log(`By turns: ${pair.map(({ person }) => person).join(' and ')}, noise 10 dB below, %`);
  console.log(header);
  for (const { person, own, k } of pair) {
    const alone = learnVoice(net, lessons[k] ?? []);
    for (const [name, heard] of [
      ['no voice learnt', net],
      [`one voice for both${shared.helps ? '' : ' (not used)'}`, withVoice(net, shared)],
      [`a voice each${alone.helps ? '' : ' (not used)'}`, withVoice(net, alone)],
    ] as const) {
      const random = createRandom(`turns ${person}`);
      const again = makeCaller(own, random);
      const tally = empty();
      for (let run = 0; run < runs; run++) await oneRun(heard, again, lay, 10, random, tally);
      console.log(rowOf(`${person}, ${name}`, tally));
    }
  }
  console.log();
}

/**
 * @param clips single digits of people left out
 * @param others of somebody whom the weights know: the second caller, since one speaker of single digits is left out
 */
export async function peopleRuns(net: Net, clips: readonly Clip[], others: readonly Clip[], lay: Lay, runs: number) {
  if (clips.length === 0) return;
  await wholeRuns(net, clips, lay, runs);
  await afterOneRun(net, clips, lay, runs);
  if (others.length > 0) await byTurns(net, clips, others, lay, runs);
}
