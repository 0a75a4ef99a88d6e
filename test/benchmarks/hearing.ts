import { pathToFileURL } from 'node:url';
import { candidates } from '../../src/language/candidates.ts';
import type { Frame } from '../../src/language/course.ts';
import { type Context, type Judgement, judge } from '../../src/language/expectation.ts';
import { lexiconOf } from '../../src/language/lexicon.ts';
import { type RunCall, rejudge } from '../../src/language/rejudge.ts';
import { predictFrom } from '../../src/language/trend.ts';
import { type Hypothesis, type Understood, understand } from '../../src/language/understand.ts';
import { en } from '../../src/language/words/en.ts';
import type { Decimal, Meaning } from '../../src/log/meaning.ts';
import { createRandom, type Random } from '../../src/numerics/random.ts';

/**
 * How many called values end wrong, with and without expectation. Runs are simulated (rate falling, marks called with
 * jitter), spoken through a noisy channel, judged call by call and again as later calls arrive, as the session does.
 *
 * The channel is not the model: it has its own table of confusions with other shares, numbers from nowhere, garbage,
 * and formats; only the list of pairs that are known to be mixed up is the same kind of knowledge.
 */
export interface Channel {
  /** Probability that the first hypothesis is wrong. */
  readonly wrongFirst: number;
  /** Probability that the right one is among the others then. */
  readonly rightAmong: number;
  /** Probability that the recogniser was restarting: a sound without words. */
  readonly restarting: number;
  /** Probability that a call and the next are said, or written, in one breath. */
  readonly merged: number;
}

export const channelOfTheTarget: Channel = { wrongFirst: 0.1, rightAmong: 0.8, restarting: 0.01, merged: 0.005 };

export type Trouble = 'none' | 'surge' | 'slow' | 'spill';

export interface Tally {
  runs: number;
  calls: number;
  /** Recorded as sure at the end of the run, and wrong. */
  silentlyWrong: number;
  /** Taken as sure when called, and wrong; most of them are mended by later calls. */
  wronglyTakenAtFirst: number;
  rightlyTaken: number;
  /** Judged doubtful when called, or put in doubt later. */
  doubts: number;
  doubtsLeft: number;
  rightButDoubted: number;
  /** Doubtful at the end with a wrong best guess. */
  wrongAndDoubted: number;
  unresolved: number;
  lost: number;
  doubled: number;
  changesOfMind: number;
  changesForTheWorse: number;
  /** Calls right after a surge or spill, and those recorded right (taken or doubtful) at the end. */
  troubled: number;
  /** Those of them that some hypothesis had right: only they can be kept. */
  troubledHeard: number;
  /** Those that the first hypothesis had right: a clear call that expectation must not talk away. */
  troubledClear: number;
  troubledClearKept: number;
  troubledKept: number;
  troubledTaken: number;
}

const emptyTally = (): Tally => ({
  runs: 0,
  calls: 0,
  silentlyWrong: 0,
  wronglyTakenAtFirst: 0,
  rightlyTaken: 0,
  doubts: 0,
  doubtsLeft: 0,
  rightButDoubted: 0,
  wrongAndDoubted: 0,
  unresolved: 0,
  lost: 0,
  doubled: 0,
  changesOfMind: 0,
  changesForTheWorse: 0,
  troubled: 0,
  troubledHeard: 0,
  troubledClear: 0,
  troubledClearKept: 0,
  troubledKept: 0,
  troubledTaken: 0,
});

interface Spoken {
  readonly timeS: number;
  readonly values: readonly Decimal[];
  readonly hypotheses: readonly Hypothesis[];
  /** Off the trend because something really happened. */
  readonly troubled: boolean;
}

/** Pairs of number words that people and machines mix up, with shares of the channel's own. */
const mixed: readonly (readonly [number, number, number])[] = [
  [13, 30, 5],
  [14, 40, 5],
  [15, 50, 5],
  [16, 60, 5],
  [17, 70, 5],
  [18, 80, 5],
  [19, 90, 5],
  [5, 9, 4],
  [2, 3, 3],
  [2, 10, 1],
  [7, 11, 2],
  [1, 9, 2],
  [60, 16, 1],
  [6, 16, 1],
  [8, 18, 1],
  [4, 5, 1],
  [4, 14, 1],
  [20, 30, 1],
  [40, 50, 1],
  [50, 60, 2],
  [70, 20, 1],
  [1, 7, 1],
  [8, 3, 1],
];

export function mishear(value: Decimal, random: Random): string {
  const [whole = '0', decimals] = value.split('.');
  const number = Number(whole);
  const tail = decimals ? `.${decimals}` : '';
  const options: [string, number][] = [];
  const ones = number % 10;
  const tens = number - ones;
  for (const [a, b, weight] of mixed) {
    for (const [x, y] of [
      [a, b],
      [b, a],
    ] as const) {
      if (number === x) options.push([`${y}${tail}`, weight]);
      else if (number > 20 && ones === x && y < 10) options.push([`${tens + y}${tail}`, weight]);
      else if (number > 20 && ones > 0 && tens === x && y >= 20) options.push([`${y + ones}${tail}`, weight]);
    }
  }
  if (number > 20 && ones > 0) options.push([`${tens}${tail}`, 1.5], [`${ones}${tail}`, 1.5]);
  if (number > 20 && ones > 0) options.push([`${tens + 1 + random.integer(9)}${tail}`, 1.5]);
  if (tail) options.push([whole, 2], [whole + decimals, 1]);
  options.push([String(random.integer(101)), 1.5]);
  options.push([['the', 'twenty vibes', 'thirsty', 'want a fire', 'hmm okay'][random.integer(5)]!, 0.8]);
  const total = options.reduce((sum, [, weight]) => sum + weight, 0);
  let at = random.uniform() * total;
  for (const [text, weight] of options) {
    at -= weight;
    if (at <= 0) return text;
  }
  return whole;
}

/** A value as engines write it. */
export function format(text: string, random: Random): string {
  if (!/^\d+(\.\d+)?$/.test(text)) return text;
  const value = Number(text);
  const roll = random.uniform();
  const spelled = Number.isInteger(value) && value < 100 ? lexiconOf(en).spelled[value] : undefined;
  if (roll < 0.1 && spelled) return spelled;
  if (roll < 0.15 && spelled) return `${spelled[0]!.toUpperCase()}${spelled.slice(1)}.`;
  if (roll < 0.2) return `${text} ml`;
  if (roll < 0.23) return `${text}.`;
  if (roll < 0.25 && /^[2-9][1-9]$/.test(text)) return `${text[0]}0 ${text[1]}`;
  if (roll < 0.26 && /^\d\d$/.test(text)) return `${text[0]} ${text[1]}`;
  if (roll < 0.28) return `um ${text}`;
  const homophone = ({ 2: 'to', 4: 'for', 8: 'ate', 10: 'tin' } as Record<string, string>)[text];
  if (roll < 0.35 && homophone) return homophone;
  return roll > 0.98 ? ` ${text} mils` : text;
}

export function hear(value: Decimal, channel: Channel, random: Random): Hypothesis[] {
  const texts: string[] = [];
  const add = (text: string) => {
    if (text !== value && !texts.includes(text)) texts.push(text);
  };
  const others = random.integer(4);
  if (random.uniform() < channel.wrongFirst) {
    while (texts.length === 0) add(mishear(value, random));
    for (let k = 0; k < others; k++) add(mishear(value, random));
    if (random.uniform() < channel.rightAmong) texts.splice(1 + random.integer(texts.length), 0, value);
  } else {
    for (let k = 0; k < others; k++) add(mishear(value, random));
    texts.unshift(value);
  }
  return texts.map((text, k) => ({ text: format(text, random), p: k === 0 ? 0.9 : 0, ear: 'browser' }));
}

const steps = [2, 2, 2, 2, 2, 2, 1, 5, 0.5, 2.5];
const readings = 11;

/** A value called in a run, and when. */
export interface Moment {
  readonly timeS: number;
  readonly value: Decimal;
  /** Off the trend because something really happened. */
  readonly troubled: boolean;
}

/** What is called in a run of eleven readings, each at a mark, as water rises ever slower. */
export function callRun(
  trouble: Trouble,
  random: Random,
  stepsMl: readonly number[] = steps,
): { frame: Frame; moments: Moment[] } {
  const stepMl = stepsMl[random.integer(stepsMl.length)]!;
  const decimals = String(stepMl).split('.')[1]?.length ?? 0;
  const capacityMl = 100;
  const room = capacityMl - stepMl * (readings + 6);
  const start = stepMl * random.integer(Math.max(1, Math.floor(Math.min(room, 40) / stepMl)));
  const rate = stepMl / (6 + 30 * random.uniform());
  const ceiling = stepMl * (readings + 8) * (1 + 3 * random.uniform());
  const when = 2 + random.integer(readings - 3);
  const extra = trouble === 'surge' ? 2 + random.integer(4) : trouble === 'spill' ? -(1 + random.integer(3)) : 0;
  let offset = 0;
  let late = 0;
  const moments: Moment[] = [];
  for (let i = 0; i < readings; i++) {
    if (trouble !== 'none' && i === when) {
      offset += extra;
      if (trouble === 'slow') late += (20 + 60 * random.uniform()) * (stepMl / rate / 10);
    }
    const displaced = stepMl * i;
    // First order towards the ceiling.
    const timeS = (-ceiling / rate) * Math.log1p(-displaced / ceiling) + late + random.normal(0, 0.15);
    const volume = start + stepMl * (i + offset);
    moments.push({ timeS, value: Math.max(0, volume).toFixed(decimals), troubled: trouble !== 'none' && i === when });
  }
  return { frame: { stepMl, startMl: null, capacityMl, divisionMl: decimals > 0 ? 0.5 : 1 }, moments };
}

function speakRun(channel: Channel, trouble: Trouble, random: Random): { frame: Frame; calls: Spoken[] } {
  const { frame, moments } = callRun(trouble, random);
  const calls: Spoken[] = [];
  for (let i = 0; i < moments.length; i++) {
    const { timeS, value, troubled } = moments[i]!;
    const next = moments[i + 1];
    if (next && !troubled && !next.troubled && random.uniform() < channel.merged) {
      const both = random.uniform() < 0.5 ? `${value} ${next.value}` : `${value}${next.value}`;
      calls.push({
        timeS,
        values: [value, next.value],
        hypotheses: [{ text: both, p: 0.9, ear: 'browser' }],
        troubled: false,
      });
      i++;
      continue;
    }
    const silent = random.uniform() < channel.restarting;
    calls.push({ timeS, values: [value], hypotheses: silent ? [] : hear(value, channel, random), troubled });
  }
  return { frame, calls };
}

interface Entry {
  readonly spoken: Spoken;
  readonly understood: Understood | null;
  values: readonly Decimal[] | null;
  doubtful: boolean;
  p: number;
  rivals: readonly { value: Decimal; p: number }[];
}

const valuesOf = (meaning: Meaning | null): readonly Decimal[] | null =>
  meaning?.kind === 'reading' ? meaning.values.map(({ value }) => value) : null;

function record(entry: Entry, judgement: Judgement): void {
  const has = judgement.outcome === 'taken' || judgement.outcome === 'doubtful';
  entry.values = has ? valuesOf(judgement.meaning) : null;
  entry.doubtful = judgement.outcome === 'doubtful';
  entry.p = judgement.p;
  entry.rivals = judgement.rivals.flatMap((rival) => {
    const values = valuesOf(rival.meaning);
    return values?.length === 1 ? [{ value: values[0]!, p: rival.p }] : [];
  });
}

function contextOf(entries: readonly Entry[], frame: Frame, timeS: number): Context {
  const points = entries.flatMap((entry) =>
    entry.values && !entry.doubtful ? [{ timeS: entry.spoken.timeS, volumeMl: Number(entry.values.at(-1)) }] : [],
  );
  return {
    frame,
    earlier: entries.map((entry) => ({
      timeS: entry.spoken.timeS,
      value: entry.values?.at(-1) ?? null,
      settled: false,
      p: entry.p,
      doubtful: entry.doubtful,
      rivals: entry.rivals,
    })),
    prediction: predictFrom(points, timeS),
    runOpen: true,
    paused: false,
    question: null,
  };
}

/** One run through the whole understanding. */
function withExpectation(frame: Frame, calls: readonly Spoken[], tally: Tally): Entry[] {
  const entries: Entry[] = [];
  for (const spoken of calls) {
    const understood = spoken.hypotheses.length > 0 ? understand(spoken.hypotheses, en) : null;
    const entry: Entry = { spoken, understood, values: null, doubtful: false, p: 0, rivals: [] };
    if (understood) record(entry, judge(understood, contextOf(entries, frame, spoken.timeS), en));
    entries.push(entry);
    if (entry.doubtful) tally.doubts++;
    if (entry.values && !entry.doubtful && !right(entry)) tally.wronglyTakenAtFirst++;
    const chain = entries.map(
      (known, k): RunCall => ({
        id: String(k),
        timeS: known.spoken.timeS,
        understood: known.understood,
        settled: null,
        marked: false,
        current: known.values ? { values: known.values, doubtful: known.doubtful } : null,
      }),
    );
    for (const { id, judgement } of rejudge(chain, frame, en)) {
      const known = entries[Number(id)]!;
      const before = { right: right(known), doubtful: known.doubtful };
      record(known, judgement);
      tally.changesOfMind++;
      if (before.right && !right(known)) tally.changesForTheWorse++;
      if (!before.doubtful && known.doubtful) tally.doubts++;
    }
  }
  return entries;
}

/** The first hypothesis as it stands. */
function withoutExpectation(calls: readonly Spoken[]): Entry[] {
  return calls.map((spoken) => {
    const [first] = spoken.hypotheses[0] ? candidates(spoken.hypotheses[0].text, en) : [];
    const values = first?.kind === 'reading' ? first.values : null;
    return { spoken, understood: null, values, doubtful: false, p: 1, rivals: [] };
  });
}

const right = (entry: Entry) =>
  entry.values !== null &&
  entry.values.length === entry.spoken.values.length &&
  entry.values.every((value, k) => Number(value) === Number(entry.spoken.values[k]));

function count(entries: readonly Entry[], calls: readonly Spoken[], tally: Tally): void {
  tally.runs++;
  tally.calls += calls.length;
  tally.lost += calls.length - entries.length;
  for (const entry of entries) {
    const good = right(entry);
    if (entry.values && entry.values.length > entry.spoken.values.length) tally.doubled++;
    if (entry.values === null) tally.unresolved++;
    else if (entry.doubtful) {
      tally.doubtsLeft++;
      if (good) tally.rightButDoubted++;
      else tally.wrongAndDoubted++;
    } else if (good) tally.rightlyTaken++;
    else tally.silentlyWrong++;
    if (entry.spoken.troubled && entry.spoken.hypotheses.length > 0) {
      tally.troubled++;
      const wanted = entry.spoken.values.map(Number).join(' ');
      const has = entry.spoken.hypotheses.map(({ text }) =>
        candidates(text, en).some((found) => found.kind === 'reading' && found.values.map(Number).join(' ') === wanted),
      );
      const heard = has.includes(true);
      if (has[0]) tally.troubledClear++;
      if (has[0] && good) tally.troubledClearKept++;
      if (heard) tally.troubledHeard++;
      if (good && heard) tally.troubledKept++;
      if (good && heard && !entry.doubtful) tally.troubledTaken++;
    }
  }
}

/** Tallies of so many simulated runs, with and without expectation. Same seed, same figures. */
export function hearRuns(
  runs: number,
  trouble: Trouble,
  channel = channelOfTheTarget,
  seed = 'hearing',
): { with: Tally; without: Tally } {
  const out = { with: emptyTally(), without: emptyTally() };
  for (let k = 0; k < runs; k++) {
    const { frame, calls } = speakRun(channel, trouble, createRandom(`${seed} ${trouble} ${k}`));
    count(withExpectation(frame, calls, out.with), calls, out.with);
    count(withoutExpectation(calls), calls, out.without);
  }
  return out;
}

/** The table as text. */
export function hearingTable(runs: number): string {
  const lines: string[] = [];
  const { wrongFirst, rightAmong, restarting, merged } = channelOfTheTarget;
  lines.push(
    `Hearing: ${runs} simulated runs each; first hypothesis wrong ${100 * wrongFirst} %, the right one among the others ${100 * rightAmong} % of those;`,
    `recogniser restarting ${100 * restarting} %, two calls in one breath ${100 * merged} %. English.`,
    '',
    `${'per 1,000 calls'.padEnd(34)}silently  wrong at  rightly  right but  wrong and  un-       lost  doubled`,
    `${''.padEnd(34)}wrong     first     taken    doubted    doubted    resolved`,
  );
  const extra: string[] = [];
  for (const trouble of ['none', 'surge', 'slow', 'spill'] as const) {
    const result = hearRuns(runs, trouble);
    for (const way of ['without', 'with'] as const) {
      const t = result[way];
      const per = (n: number) => ((1000 * n) / t.calls).toFixed(2).padEnd(10);
      lines.push(
        `${`${names[trouble]}, ${way} expectation`.padEnd(34)}${per(t.silentlyWrong)}${per(way === 'with' ? t.wronglyTakenAtFirst : t.silentlyWrong)}${per(t.rightlyTaken)}${per(t.rightButDoubted)}${per(t.wrongAndDoubted)}${per(t.unresolved)}${String(t.lost).padEnd(6)}${t.doubled}`,
      );
    }
    const t = result.with;
    extra.push(
      `${names[trouble]}: doubts per run ${(t.doubts / t.runs).toFixed(2)}, left at the end ${(t.doubtsLeft / t.runs).toFixed(2)}; changes of mind per run ${(t.changesOfMind / t.runs).toFixed(2)}, for the worse ${t.changesForTheWorse}${
        t.troubled > 0
          ? `; true value right after the ${names[trouble]} kept: ${share(t.troubledClearKept, t.troubledClear)} of those heard right at first, ${share(t.troubledKept, t.troubledHeard)} of those in any hypothesis (without a doubt ${share(t.troubledTaken, t.troubledHeard)}); in no hypothesis: ${t.troubled - t.troubledHeard}`
          : ''
      }`,
    );
  }
  return [...lines, '', ...extra].join('\n');
}

const share = (part: number, of: number): string => `${((100 * part) / of).toFixed(2)} % of ${of}`;

const names: Readonly<Record<Trouble, string>> = { none: 'calm', surge: 'surge', slow: 'slow-down', spill: 'spill' };

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const startMs = performance.now();
  const runs = process.argv.includes('--quick') ? 300 : 1000;
  console.log(hearingTable(runs));
  console.log(`(${((performance.now() - startMs) / 1000).toFixed(1)} s)`);
}
