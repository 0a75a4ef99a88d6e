import { existsSync, readFileSync } from 'node:fs';
import { learnVoice, withVoice } from '../../src/hearing/ear/adapt.ts';
import { features, RATE, resample } from '../../src/hearing/ear/features.ts';
import { shippedNet } from '../../src/hearing/ear/hear-samples.ts';
import { type Net, posteriors, readNet } from '../../src/hearing/ear/net.ts';
import { recognise } from '../../src/hearing/ear/recognise.ts';
import { makeChance, pinkNoise } from '../browser/speech-sound.ts';
import { taken } from './ear.ts';
import { meaningsOf } from './ear-sound.ts';
import { calibrate } from './people-calibrate.ts';
import { guardHeader, guardTable, type Recorded, recordedIn } from './people-guard.ts';
import {
  peopleFolder as folder,
  type Known,
  recordings,
  sayTime,
  singleDigits,
  soundOf,
  units,
} from './people-recordings.ts';
import { type Lay, peopleRuns } from './people-runs.ts';

/**
 * How well the embedded ear hears people who had no part in its training or in any choice. The recordings lie beside
 * the project (`../shared/data/people`, whose README says what they are); where they are absent this bench says so.
 * Who is left out is fixed by a hash of the person's name, the same as in `training/people.py`.
 *
 * `EAR=FILE` judges other weights; `WHO=choose` judges by the people that choices may be made by; `WITHOUT=PERSON` judges
 * by one speaker of single digits whom those weights did not learn from; `CALLS=FOLDER` judges the calls of
 * `training/choose_clips.py`; `--calibrate` fits on those calls from which probability a number is taken; `--only-runs` prints the whole runs alone, `--only-guard` whether learning a caller harms, `--runs=N` so many of each.
 */
const net: Net = process.env.EAR ? readNet(readFileSync(process.env.EAR)) : shippedNet();
const percent = (part: number, whole: number) => `${((100 * part) / Math.max(1, whole)).toFixed(1)}`.padStart(6);

/** Power of the louder 20 ms stretches: those within 30 dB of the loudest. */
function speechPower(samples: Float32Array, rate: number): number {
  const hop = Math.round(rate * 0.02);
  const powers: number[] = [];
  for (let at = 0; at + hop <= samples.length; at += hop)
    powers.push(samples.subarray(at, at + hop).reduce((sum, v) => sum + v * v, 0) / hop);
  const loud = powers.filter((p) => p > Math.max(...powers) / 1000);
  return loud.reduce((sum, p) => sum + p, 0) / Math.max(1, loud.length);
}

/** The call with 250 ms before and 200 ms after, as the app cuts, and `under` that many dB below it. */
function laid(samples: Float32Array, rate: number, under: (count: number) => Float32Array, db: number): Float32Array {
  const lead = Math.round(rate * 0.25);
  const noise = under(samples.length + lead + Math.round(rate * 0.2));
  const gain = Math.sqrt((speechPower(samples, rate) * 10 ** (-db / 10)) / (speechPower(noise, rate) + 1e-12));
  return noise.map((v, i) => v * gain + (samples[i - lead] ?? 0));
}

/** One long row of left-out readers' sentences at a rate: the talk of others. */
function talkAt(rate: number): (count: number, seed: number) => Float32Array {
  const sounds = recordings('read-sentences')
    .slice(0, 12)
    .map(({ file }) => soundOf(`${folder}read-sentences/${file}`));
  const all = resample(Float32Array.from(sounds.flatMap((one) => (one ? [...one] : []))), RATE, rate);
  return (count, seed) => {
    const at = Math.floor(makeChance(seed)() * Math.max(1, all.length - count));
    return all.slice(at, at + count);
  };
}

const calibration: { p: number; right: boolean }[] = [];

function wordsTable(title: string, clips: readonly Known[]): void {
  const first = clips[0];
  if (!first) return;
  console.log(`${title}, ${clips.length} clips, all sentences possible, %`);
  console.log('                right  top 3  taken  taken wrong');
  const talk = talkAt(first.rate);
  const missed = new Map<string, number>();
  const conditions = [
    ['clean', 55, (count: number, seed: number) => pinkNoise(count, makeChance(seed))],
    ['pink 10 dB', 10, (count: number, seed: number) => pinkNoise(count, makeChance(seed))],
    ['talk 20 dB', 20, talk],
    ['talk 10 dB', 10, talk],
  ] as const;
  for (const [name, db, under] of conditions) {
    let [right, third, took, wrong] = [0, 0, 0, 0];
    for (const [i, { samples, rate, meaning, word }] of clips.entries()) {
      const answer = recognise(
        net,
        laid(samples, rate, (count) => under(count, 1000 + i), db),
        rate,
      );
      const list = meaningsOf(answer);
      const ok = list[0]?.meaning === meaning;
      if (ok) right++;
      else if (name === 'clean') {
        const slip = `${word} -> ${list[0]?.meaning ?? 'nothing'}`;
        missed.set(slip, (missed.get(slip) ?? 0) + 1);
      }
      if (list[0]) calibration.push({ p: list[0].p, right: ok });
      if (list.slice(0, 3).some((one) => one.meaning === meaning)) third++;
      const taking = taken(list);
      if (taking !== null) took++;
      if (taking !== null && taking !== meaning) wrong++;
    }
    const n = clips.length;
    console.log(
      `${name.padEnd(14)} ${percent(right, n)} ${percent(third, n)} ${percent(took, n)} ${percent(wrong, n)}`,
    );
  }
  const slips = [...missed].sort((a, b) => b[1] - a[1]).slice(0, 8);
  console.log(`Slips, clean: ${slips.map(([slip, times]) => `${slip} (${times})`).join(', ') || 'none'}\n`);
}

/** Best path over digits, "double" and "triple" alone, as digits. */
function digitLoop(samples: Float32Array): string {
  const { frames, labels, values } = posteriors(net, features(samples));
  const words = [...units, 'oh', 'double', 'triple'];
  const allowed = net.labels.flatMap((label, i) => (words.includes(label) ? [i] : []));
  const heard: string[] = [];
  let last = 0;
  for (let frame = 0; frame < frames; frame++) {
    let best = 0;
    for (const label of allowed)
      if ((values[frame * labels + label] ?? 0) > (values[frame * labels + best] ?? 0)) best = label;
    if (best !== last && best !== 0) heard.push(net.labels[best] ?? '');
    last = best;
  }
  let out = '';
  let times = 1;
  for (const word of heard) {
    if (word === 'double' || word === 'triple') times = word === 'double' ? 2 : 3;
    else {
      out += (word === 'oh' ? '0' : String(units.indexOf(word))).repeat(times);
      times = 1;
    }
  }
  return out;
}

/** Least insertions, deletions and substitutions from one to the other. */
export function edits(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next[j] = Math.min(
        (row[j] ?? 0) + 1,
        (next[j - 1] ?? 0) + 1,
        (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1),
      );
    row = next;
  }
  return row[b.length] ?? 0;
}

function phoneTable(): void {
  const groups = new Map<string, { errors: number; digits: number; people: number; dropped: number }>();
  const lines: string[] = [];
  for (const { file, text, english, recorder, person } of recordings('digits-by-phone')) {
    if (!file.includes('number')) continue;
    const sound = soundOf(`${folder}digits-by-phone/${file}`);
    if (!sound) {
      console.log('Telephone numbers: ffmpeg is not installed, left out\n');
      return;
    }
    const heard = digitLoop(sound);
    const wrong = edits(heard, text);
    lines.push(`${person}: ${text} -> ${heard}`);
    for (const group of ['all', english?.startsWith('Native') ? 'native' : 'not native', recorder ?? '?']) {
      const tally = groups.get(group) ?? { errors: 0, digits: 0, people: 0, dropped: 0 };
      groups.set(group, tally);
      // About three of the 51 say something else than their prompt.
      if (wrong > text.length / 2) tally.dropped++;
      else {
        tally.errors += wrong;
        tally.digits += text.length;
        tally.people++;
      }
    }
  }
  console.log('Telephone numbers, a plain loop of digits, errors in % of the digits');
  for (const [group, { errors, digits, people, dropped }] of groups)
    console.log(
      `${group.padEnd(16)} ${percent(errors, digits)}   ${people} people, ${digits} digits${dropped ? `; ${dropped} left out that say something else` : ''}`,
    );
  if (process.env.MISSES) console.log(lines.join('\n'));
  console.log();
}

/** Stretches between pauses of 150 ms, 0.3 to 4 s long. */
function stretches(sound: Float32Array): Float32Array[] {
  const hop = 320;
  const frames = Math.floor(sound.length / hop);
  const power = Array.from({ length: frames }, (_, i) =>
    sound.subarray(i * hop, (i + 1) * hop).reduce((sum, v) => sum + v * v, 0),
  );
  const least = Math.max(...power) / 1000;
  const out: Float32Array[] = [];
  let from = -1;
  let quiet = 0;
  for (let i = 0; i <= frames; i++) {
    const loud = i < frames && (power[i] ?? 0) > least;
    if (loud && from < 0) from = i;
    quiet = loud ? 0 : quiet + 1;
    if (from >= 0 && (quiet >= 8 || i === frames)) {
      const length = (i - quiet - from) * hop;
      if (length > 0.3 * RATE && length < 4 * RATE) out.push(sound.slice(from * hop, from * hop + length));
      from = -1;
    }
  }
  return out;
}

/** A number word, or one inside another ("seventh", "twenty-first", "someone"): a stretch of it may be just that word. */
const holdsNumber =
  /\b(zero|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|half|hundred)|\w(teen|ty)|\b(twelfth|fifth|ninth)/;

/** Sentences of people who talk to somebody else; those with number words apart, since a stretch may be just the number. */
function strangersTable(withNumbers: boolean): void {
  let [readings, words, all] = [0, 0, 0];
  const which: string[] = [];
  for (const { file, text } of recordings('read-sentences')) {
    if (holdsNumber.test(text) !== withNumbers) continue;
    const sound = soundOf(`${folder}read-sentences/${file}`);
    if (!sound) return;
    for (const part of stretches(sound)) {
      const taking = taken(
        meaningsOf(
          recognise(
            net,
            laid(part, RATE, (n) => pinkNoise(n, makeChance(all)), 55),
            RATE,
          ),
        ),
      );
      all++;
      if (taking === null) continue;
      which.push(process.env.MISSES ? `${taking} (${text})` : taking);
      if (/^[\d.]+$/.test(taking)) readings++;
      else words++;
    }
  }
  console.log(
    `Strangers' sentences ${withNumbers ? 'with' : 'without'} number words, between their pauses, ${all} stretches, %: taken as a reading ${percent(readings, all)}, as a command ${percent(words, all)}   ${which.join(', ')}\n`,
  );
}

function calibrationTable(): void {
  console.log('Calibration on these people, all conditions: probability given, share right, calls');
  for (const [from, to] of [
    [0, 0.3],
    [0.3, 0.5],
    [0.5, 0.7],
    [0.7, 0.85],
    [0.85, 0.95],
    [0.95, 0.99],
    [0.99, 1.01],
  ] as const) {
    const some = calibration.filter(({ p }) => p >= from && p < to);
    if (some.length === 0) continue;
    const given = some.reduce((sum, { p }) => sum + p, 0) / some.length;
    const bar = '#'.repeat(Math.round((40 * some.filter(({ right }) => right).length) / some.length));
    console.log(
      `${given.toFixed(2)}  ${percent(some.filter(({ right }) => right).length, some.length)}  ${String(some.length).padStart(5)}  ${bar}`,
    );
  }
  console.log();
}

/** Learnt from the first two recordings of each digit; judged by all others. */
function ownWordsTable(digits: readonly Known[]): void {
  for (const person of new Set(digits.map((one) => one.person))) {
    const mine = digits.filter((one) => one.person === person);
    const times = new Map<string, number>();
    const own = mine.filter(({ word }) => {
      times.set(word, (times.get(word) ?? 0) + 1);
      return (times.get(word) ?? 0) <= 2;
    });
    const rest = mine.filter((one) => !own.includes(one));
    const as = ({ samples, rate }: Known, i: number) =>
      laid(samples, rate, (count) => pinkNoise(count, makeChance(i + 1)), 55);
    const learnt = learnVoice(
      net,
      own.map((one, i) => ({ text: one.word, samples: as(one, i), rate: one.rate })),
    );
    const right = (heard: Net) =>
      rest.filter((one, i) => meaningsOf(recognise(heard, as(one, i), one.rate))[0]?.meaning === one.meaning).length;
    const forced = withVoice(net, { ...learnt, helps: true });
    console.log(
      `After ${own.length} words of one's own, ${person}, ${rest.length} other calls, % right: ${percent(right(net), rest.length)} -> ${percent(right(forced), rest.length)} (${learnt.helps ? 'used' : 'its own test on held-back words finds no gain: not used'})\n`,
    );
  }
}

const byPerson = (clips: readonly Known[]): Recorded[] =>
  [...new Set(clips.map(({ person }) => person))].map((person) => ({
    person,
    calls: clips.filter((one) => one.person === person),
  }));

function guardTables(judgedHere: readonly Known[], others: readonly Known[], lay: Lay, draws: number): void {
  console.log(guardHeader);
  guardTable(net, 'single digits, people judged here', byPerson(judgedHere), lay, draws);
  guardTable(net, 'single digits, other people', byPerson(others), lay, draws);
  if (process.env.CALLS) guardTable(net, 'numbers, people of CALLS', recordedIn(process.env.CALLS), lay, draws);
  console.log();
}

if (process.argv[1]?.endsWith('people.ts')) {
  if (!existsSync(folder)) console.log('Recordings of people are not at hand (../shared/data/people): nothing judged.');
  else {
    const digits = singleDigits();
    const runs = Number(process.argv.find((one) => one.startsWith('--runs='))?.slice(7) ?? 20);
    const second = singleDigits(true);
    const lay: Lay = (samples, rate, db, seed) =>
      laid(samples, rate, (count) => pinkNoise(count, makeChance(seed)), db);
    if (process.argv.includes('--calibrate')) {
      if (process.env.CALLS) calibrate(net, process.env.CALLS, lay);
      else console.log('CALLS=FOLDER says where the calls of people to choose by are (training/choose_clips.py).');
      process.exit();
    }
    if (process.argv.includes('--only-guard')) {
      guardTables(digits, second, lay, runs);
      ownWordsTable(digits);
      process.exit();
    }
    await peopleRuns(
      net,
      digits,
      second.filter(({ person }) => person === second[0]?.person),
      lay,
      runs,
    );
    if (process.argv.includes('--only-runs')) process.exit();
    for (const name of ['digits-by-phone', 'read-sentences'])
      console.log(`${name}: ${[...new Set(recordings(name).map(({ person }) => person))].join(' ')}`);
    wordsTable(`Single digits at 8 kHz by ${[...new Set(digits.map(({ person }) => person))].join()}`, digits);
    // He is left out of everything, choices too.
    if (process.env.WHO !== 'choose') wordsTable('0 to 20 and tens by one man (saytime, telephone sound)', sayTime());
    phoneTable();
    strangersTable(false);
    strangersTable(true);
    if (process.env.CALLS) calibrate(net, process.env.CALLS, lay);
    calibrationTable();
    ownWordsTable(digits);
  }
}
