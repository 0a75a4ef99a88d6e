import { readFileSync } from 'node:fs';
import { type KnownCall, learnVoice, withVoice } from '../../src/hearing/ear/adapt.ts';
import type { Net } from '../../src/hearing/ear/net.ts';
import { recognise } from '../../src/hearing/ear/recognise.ts';
import { loudestChannel, readWav } from '../../src/hearing/wav.ts';
import { createRandom, type Random } from '../../src/numerics/random.ts';
import { meaningOf, meaningsOf } from './ear-sound.ts';
import type { Clip, Lay } from './people-runs.ts';

/**
 * Whether learning a caller may harm: many draws of "one run" from each person's recordings, of many sizes, learnt from
 * as the app does, judged by recordings of the same person that were in no run, in noise 10 dB below and clean by turns.
 */

/** Calls of a person, each with its words. */
export interface Recorded {
  readonly person: string;
  readonly calls: readonly Clip[];
}

interface Tally {
  draws: number;
  used: number;
  harmed: number;
  helped: number;
  /** Sum over draws of the change of the share right, of used voices. */
  change: number;
  /** Sum of the mean shares right before. */
  before: number;
}

const judgedCalls = 48;
const sizes = [8, 12, 16, 24, 32];
/** Readings that stayed although they were heard wrong, about as `bench -- people --only-runs` finds them. */
const wrongLabels = 0.02;

/** Two-digit numbers as a run has them, from single digits: the first digit seldom changes. */
function runOf(calls: readonly Clip[], size: number, random: Random): Clip[] {
  const units = 'zero one two three four five six seven eight nine'.split(' ');
  const stepMl = [1, 2, 2, 5][random.integer(4)] ?? 2;
  const most = Math.min(size, Math.trunc(85 / stepMl));
  const startMl = 10 + random.integer(Math.max(1, 99 - 10 - stepMl * (most - 1)));
  const one = (digit: number): Clip | undefined => {
    const all = calls.filter(({ word }) => word === units[digit]);
    return all[random.integer(Math.max(1, all.length))];
  };
  return Array.from({ length: most }, (_, k) => startMl + k * stepMl).flatMap((value) => {
    const [first, second] = [one(Math.trunc(value / 10)), one(value % 10)];
    return first && second ? [joined(first, second)] : [];
  });
}

function joined(first: Clip, second: Clip): Clip {
  const gap = Math.round(0.12 * first.rate);
  const samples = new Float32Array(first.samples.length + gap + second.samples.length);
  samples.set(first.samples);
  samples.set(second.samples, first.samples.length + gap);
  return { ...first, word: `${first.word} ${second.word}`, samples };
}

function shuffled<T>(list: readonly T[], random: Random): T[] {
  return list
    .map((value) => ({ value, at: random.uniform() }))
    .sort((a, b) => a.at - b.at)
    .map(({ value }) => value);
}

function rightShare(net: Net, calls: readonly Clip[], lay: Lay): number {
  const right = calls.filter(({ word, samples, rate }, i) => {
    const answer = recognise(net, lay(samples, rate, i % 2 ? 10 : 55, 500 + i), rate);
    return meaningsOf(answer)[0]?.meaning === meaningOf(word);
  });
  return right.length / Math.max(1, calls.length);
}

function oneDraw(net: Net, { person, calls }: Recorded, lay: Lay, draw: number, tally: Tally): void {
  const random = createRandom(`guard ${person} ${draw}`);
  const mixed = shuffled(calls, random);
  const size = sizes[draw % sizes.length] ?? 12;
  const judged = mixed.slice(0, Math.min(judgedCalls, mixed.length >> 1));
  const rest = mixed.slice(judged.length);
  // Enough single digits: a run of numbers in order; else the calls as they were recorded.
  const said = calls.length > 200 ? runOf(rest, size, random) : rest.slice(0, size);
  const lessons: KnownCall[] = said.map(({ word, samples, rate }) => ({
    text: random.uniform() < wrongLabels ? (said[random.integer(said.length)]?.word ?? word) : word,
    samples: lay(samples, rate, 55, 1 + random.integer(1e6)),
    rate,
  }));
  const learnt = learnVoice(net, lessons);
  tally.draws++;
  const before = rightShare(net, judged, lay);
  tally.before += before;
  if (!learnt.helps) return;
  tally.used++;
  const after = rightShare(withVoice(net, learnt), judged, lay);
  tally.change += after - before;
  if (after < before) tally.harmed++;
  if (after > before) tally.helped++;
}

const percent = (part: number, whole: number): string => ((100 * part) / Math.max(1, whole)).toFixed(1).padStart(6);

/** @param draws runs drawn of each person */
export function guardTable(net: Net, title: string, people: readonly Recorded[], lay: Lay, draws: number): void {
  if (people.length === 0) return;
  const tally: Tally = { draws: 0, used: 0, harmed: 0, helped: 0, change: 0, before: 0 };
  const harmed: string[] = [];
  for (const person of people)
    for (let draw = 0; draw < draws; draw++) {
      const before = tally.harmed;
      oneDraw(net, person, lay, draw, tally);
      if (tally.harmed > before) harmed.push(person.person);
    }
  const { used } = tally;
  console.log(
    `${title.padEnd(34)} ${String(people.length).padStart(4)} ${String(tally.draws).padStart(6)} ${percent(tally.before, tally.draws)} ${percent(used, tally.draws)} ${percent(tally.helped, tally.draws)} ${percent(tally.harmed, tally.draws)} ${percent(tally.change, tally.draws)}   ${harmed.join(' ')}`,
  );
}

export const guardHeader = `Does learning a caller harm? Learnt from 8 to 32 calls, judged by other calls of the same person, % of the draws
${''.padEnd(34)}  who   runs  right   used  more   fewer   gain
${''.padEnd(34)}               before         right   right  points   whose fell`;

/** The calls of `training/choose_clips.py`: numbers of up to three words, by person. */
export function recordedIn(folder: string): Recorded[] {
  const list = JSON.parse(readFileSync(`${folder}/list.json`, 'utf8')) as {
    kind: string;
    person: string;
    words: string[];
  }[];
  const by = new Map<string, Clip[]>();
  for (const [i, { kind, person, words }] of list.entries()) {
    if (kind === 'strangers' || words.length > 3 || words.includes('<other>')) continue;
    if (!/^[\d.]+$/.test(meaningOf(words.join(' ')))) continue;
    const sound = readWav(readFileSync(`${folder}/${i}.wav`));
    const clip = { person, word: words.join(' '), samples: loudestChannel(sound), rate: sound.sampleRate };
    by.set(person, [...(by.get(person) ?? []), clip]);
  }
  return [...by].flatMap(([person, calls]) => (calls.length >= 16 ? [{ person, calls }] : []));
}
