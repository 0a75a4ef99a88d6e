import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { OwnAnswer } from '../../src/hearing/ear/recognise.ts';
import { loudestChannel, readWav } from '../../src/hearing/wav.ts';
import { makeChance, makeSpeech, speak, spokenFile, type Voice } from '../browser/speech-sound.ts';

/** Sentences, strangers' phrases and people's digits for judging the ear; nothing here was in its training. */

export const voices: readonly Voice[] = ['slt', 'rms', 'awb', 'kal'];

const units = 'zero one two three four five six seven eight nine'.split(' ');
const teens = 'ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(' ');
const tens = 'x x twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');

/** 0..199 in the usual words. */
export function cardinal(n: number): string {
  if (n < 10) return units[n]!;
  if (n < 20) return teens[n - 10]!;
  if (n < 100) return n % 10 ? `${tens[Math.floor(n / 10)]} ${units[n % 10]}` : tens[n / 10]!;
  return n === 100 ? 'one hundred' : `one hundred and ${cardinal(n - 100)}`;
}

/** Digit by digit: "two five". */
export const spelled = (n: number) =>
  String(n)
    .split('')
    .map((digit) => units[Number(digit)]!)
    .join(' ');

export interface Item {
  readonly text: string;
  readonly meaning: string;
}

const commands = [
  'mark',
  'disregard',
  'say again',
  'stand by',
  'go ahead',
  'end run',
  'swirling',
  'swirl stopped',
  'leak',
  'spill',
  'next step',
  'previous step',
  'read step',
  'affirm',
  'negative',
  'yes',
  'no',
];

/** Readings as a run has them (half of all), and commands with and without a number. */
export function makeItems(count: number, seed: number): Item[] {
  const chance = makeChance(seed);
  const below = (n: number) => Math.floor(chance() * n);
  const number = (): string => {
    const n = chance() < 0.7 ? below(101) : below(200);
    const kind = chance();
    const whole = kind < 0.2 && n > 9 ? spelled(n) : cardinal(n);
    if (kind < 0.65) return whole;
    if (kind < 0.93) return `${whole} ${chance() < 0.7 ? 'point' : 'decimal'} ${units[below(10)]}`;
    return `${whole} and a half`;
  };
  return Array.from({ length: count }, () => {
    const kind = chance();
    let text: string;
    if (kind < 0.62) text = chance() < 0.25 ? `${number()} millilitres` : number();
    else if (kind < 0.82) text = commands[below(commands.length)]!;
    else if (kind < 0.95) text = `${['correction', 'baseline', 'temperature', 'that was'][below(4)]} ${number()}`;
    else text = `start run ${cardinal(1 + below(9))}`;
    return { text, meaning: meaningOf(text) };
  });
}

/**
 * Kind and number of a sentence in plain words, for comparing: "two five" and "twenty five millilitres" are the same
 * reading. Written for the bench alone, so that a fault of the product's own reader of words cannot hide here.
 */
export function meaningOf(text: string): string {
  const words = text.split(' ').filter((word) => word !== 'millilitres' && word !== 'degrees' && word !== 'celsius');
  const at = words.findIndex((word, i) => isNumberWord(word) && !(i > 0 && words[i - 1] === 'and' && word === 'a'));
  if (at < 0) return words.join(' ');
  const head = words.slice(0, at).join(' ');
  const end = words.indexOf('of', at);
  return `${head} ${value(words.slice(at, end < 0 ? undefined : end))} ${end < 0 ? '' : words.slice(end).join(' ')}`.trim();
}

/** Sums the probabilities of sentences with the same meaning; best first. */
export function meaningsOf(answer: OwnAnswer): { meaning: string; p: number }[] {
  const sums = new Map<string, number>();
  for (const { text, p } of answer.best) sums.set(meaningOf(text), (sums.get(meaningOf(text)) ?? 0) + p);
  return [...sums].map(([meaning, p]) => ({ meaning, p })).sort((a, b) => b.p - a.p);
}

function isNumberWord(word: string): boolean {
  return (
    /^(oh|nought|a|hundred|point|decimal)$/.test(word) ||
    units.includes(word) ||
    teens.includes(word) ||
    tens.includes(word)
  );
}

function value(words: readonly string[]): string {
  const half = words.join(' ').endsWith('and a half');
  const body = half ? words.slice(0, -3) : words;
  const sign = body.findIndex((word) => word === 'point' || word === 'decimal');
  const whole = sign < 0 ? body : body.slice(0, sign);
  const read = (list: readonly string[]): string => {
    let out = '';
    let previous = '';
    for (const word of list) {
      const unit = word === 'oh' || word === 'nought' ? 0 : units.indexOf(word);
      if (unit >= 0) out = tens.includes(previous) && unit > 0 ? out.slice(0, -1) + unit : out + unit;
      else if (teens.includes(word)) out += 10 + teens.indexOf(word);
      else if (tens.includes(word)) out += 10 * tens.indexOf(word);
      previous = word;
    }
    return out;
  };
  const hundred = whole.indexOf('hundred');
  const number =
    hundred >= 0
      ? 100 + Number(read(whole.slice(hundred + 1).filter((word) => word !== 'and')) || 0)
      : Number(read(whole));
  return half ? `${number}.5` : sign < 0 ? String(number) : `${number}.${read(body.slice(sign + 1))}`;
}

export type Condition = { name: string; snrDb: number | null };
export const conditions: readonly Condition[] = [
  { name: 'clean', snrDb: null },
  { name: '20 dB', snrDb: 20 },
  { name: '10 dB', snrDb: 10 },
  { name: '5 dB', snrDb: 5 },
];

/** One utterance as the onset finder cuts it: 250 ms before, 200 ms after. */
export async function utter(text: string, voice: Voice, snrDb: number | null, seed: number, sampleRate = 16_000) {
  return makeSpeech([{ text, atS: 0.25, voice }], {
    noise: snrDb === null ? 'none' : 'pink',
    ...(snrDb === null ? {} : { snrDb }),
    tailS: 0.2,
    seed,
    sampleRate,
  });
}

/**
 * Has the phrases spoken into the cache by processes of their own, a few at a time: Node's WASI (20.x) dies of a
 * segmentation fault after some dozens of runs in one process. What was spoken before the fault is kept, so trying
 * again gets further.
 */
export function prepare(all: readonly { text: string; voice: Voice }[]): void {
  const phrases = all.filter((one) => !existsSync(spokenFile(one.text, one.voice)));
  for (let at = 0; at < phrases.length; at += 24)
    for (let attempt = 0; attempt < 8; attempt++) {
      const list = JSON.stringify(phrases.slice(at, at + 24));
      const child = spawnSync(process.execPath, ['--no-warnings', '--import', 'tsx', fileURLToPath(import.meta.url)], {
        env: { ...process.env, SPEAK: list },
        stdio: 'ignore',
      });
      if (child.status === 0) break;
    }
}

if (process.env.SPEAK)
  for (const { text, voice } of JSON.parse(process.env.SPEAK) as { text: string; voice: Voice }[])
    await speak(text, voice);

/** Speech that is none of our sentences; several hold our words. Written for this bench. */
export const strangers = `
could you hand me that beaker
we started about ten minutes ago
she has two of them at home
there were fifty people at the party
i will be there at half past seven
what is the name of this salt
the pressure should not change
my sister is nineteen years old
how far is it to the station
put the kettle on
the second hand is broken
turn to page thirty four
it was a lovely evening
did anybody bring a ruler
the answer is on the board
i need a new battery
let it settle first
we lost the first sample
never mind the bubbles
is the window closed
you can borrow mine
tell me when it is done
rinse it three times
these gloves are too big
he went to the market
they marked the wrong line
no one told me
the next train leaves at nine
one of you should write
try it once more
keep an eye on the flask
take a deep breath
our bus is late
where did you put the funnel
that is not what i meant
let us clean the glassware
seven days in a week
it costs twenty pounds
can we go now
the stopper popped out
mind the step
what a mess
rubber tubing
telephone
banana
window
yesterday
chemistry
laboratory
excuse me
brilliant
understood
pencil case
somebody help me
ready when you are
a quarter of an hour
mister brown
paper towel
`
  .trim()
  .split('\n');

const digitsFolder = fileURLToPath(new URL('../../../shared/data/human-digits/', import.meta.url));

/** Digits spoken by people, where they are at hand; they are not part of the project. */
export function humanDigits(): { digit: number; speaker: string; samples: Float32Array; sampleRate: number }[] {
  if (!existsSync(digitsFolder)) return [];
  return readdirSync(digitsFolder)
    .filter((file) => file.endsWith('.wav'))
    .sort()
    .map((file) => {
      const sound = readWav(readFileSync(digitsFolder + file));
      const [digit, speaker] = file.split('_');
      return { digit: Number(digit), speaker: speaker!, samples: loudestChannel(sound), sampleRate: sound.sampleRate };
    });
}
