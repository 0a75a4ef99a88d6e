import { confusableWith } from '../analysis/confusions.ts';
import type { Decimal } from '../log/meaning.ts';
import type { Words } from './words.ts';

/**
 * How likely one number is taken for another when it is misheard at all.
 *
 * No published confusion matrix of number words for present recognisers was found, so the shares in the word files are
 * reasoned from sound and ordered by what is reported: fifteen/fifty and its like (dosing errors, ISMP newsletters;
 * the stress of -teen moves with the sentence), five/nine (why radiotelephony says fife and niner),
 * two/three and one/nine (air-traffic talk), lost or gained tens words (the front of a word is cut off). Anything else
 * gets the floor: an engine can write any number. The bench (test/bench/hearing.ts) uses a channel with other shares
 * than these, so that the judgement is not tested on its own assumptions.
 */
export interface Confusability {
  /** 0..1: share of the mishearings of `said` that end at `heard`. */
  readonly share: number;
  readonly why: string;
}

/** Any number can be written for any other. */
export const floorShare = 0.002;

/**
 * @param said what may have been said
 * @param heard what an ear wrote
 * Cost: a few comparisons; the tables have some twenty entries.
 */
export function confusability(said: Decimal, heard: Decimal, words: Words): Confusability {
  let known = knownPairs.get(words);
  if (!known) {
    known = new Map();
    knownPairs.set(words, known);
  }
  const key = `${said} ${heard}`;
  const before = known.get(key);
  if (before) return before;
  const found = compare(said, heard, words);
  if (known.size > 20_000) known.clear();
  known.set(key, found);
  return found;
}

const knownPairs = new WeakMap<Words, Map<string, Confusability>>();

function compare(said: Decimal, heard: Decimal, words: Words): Confusability {
  const a = split(said);
  const b = split(heard);
  // Decimals are lost more often than invented.
  const floor = a.decimals.length < b.decimals.length ? floorShare / 10 : floorShare;
  const found: Confusability[] = [{ share: floor, why: 'any number can be misheard' }];
  const add = (share: number, why: string) => found.push({ share, why });
  if (a.decimals === b.decimals) {
    const differ = a.parts.flatMap((part, k) => (part === b.parts[k] ? [] : [[part, b.parts[k]] as const]));
    const [one] = differ;
    if (a.parts.length === b.parts.length && differ.length === 1 && one?.[1] !== undefined) {
      const pair = pairOf(one[0], one[1], words);
      if (pair) add(pair.share, pair.why);
      else if (a.parts.length > 1) add(0.015, 'one word of the number may be another');
    }
    const short = a.parts.length < b.parts.length ? a.parts : b.parts;
    const long = a.parts.length < b.parts.length ? b.parts : a.parts;
    if (long.length === short.length + 1) {
      const cut = a.parts.length > b.parts.length;
      if (short.every((part, k) => part === long[k + 1]))
        add(cut ? 0.08 : 0.02, 'the first word of the number may be lost');
      if (short.every((part, k) => part === long[k])) add(cut ? 0.08 : 0.02, 'the last word of the number may be lost');
    }
    const [tens = 0, ones = 10] = a.parts;
    if (
      words.numbers.compounds.some((shape) => shape.startsWith('U')) &&
      a.parts.length === 2 &&
      tens >= 20 &&
      ones < 10
    )
      if (b.parts[0] === ones * 10 && b.parts[1] === tens / 10) add(0.1, 'ones and tens may have changed places');
  } else if (a.whole === b.whole) {
    if (b.decimals === '') add(0.1, 'the decimals may be lost');
    else if (a.decimals.length === b.decimals.length) {
      const differ = [...a.decimals].flatMap((digit, k) => (digit === b.decimals[k] ? [] : [k]));
      const [k] = differ;
      const pair =
        k !== undefined && differ.length === 1 ? pairOf(Number(a.decimals[k]), Number(b.decimals[k]), words) : null;
      if (pair) add(pair.share, pair.why);
    }
  } else if (a.decimals !== '' && heard === a.whole + a.decimals) add(0.1, 'the decimal point may be lost');
  if (found.length === 1 && a.decimals === b.decimals && confusableWith(Number(heard), null).includes(Number(said)))
    add(0.008, 'the two numbers are taken for one another now and then');
  return found.reduce((best, next) => (next.share > best.share ? next : best));
}

/** Values that may have been said where this was heard, the likeliest first; each once, without the heard one. */
export function partners(heard: Decimal, words: Words): readonly Partner[] {
  let known = partnersOf.get(words);
  if (!known) {
    known = new Map();
    partnersOf.set(words, known);
  }
  const before = known.get(heard);
  if (before) return before;
  const found = findPartners(heard, words);
  // A run has some dozens of different values; a page that is open for days must not keep growing.
  if (known.size > 500) known.clear();
  known.set(heard, found);
  return found;
}

export interface Partner extends Confusability {
  readonly value: Decimal;
}

const partnersOf = new WeakMap<Words, Map<Decimal, readonly Partner[]>>();

function findPartners(heard: Decimal, words: Words): Partner[] {
  const { whole, decimals } = split(heard);
  const number = Number(whole);
  const values = new Set<string>();
  const tail = decimals ? `.${decimals}` : '';
  for (const { a, b } of words.confusions) {
    for (const [x, y] of [
      [a, b],
      [b, a],
    ] as const) {
      if (number % 100 === x) values.add(number - x + y + tail);
      else if (number % 100 > 20 && number % 10 === x && x < 10 && y < 10) values.add(number - x + y + tail);
      else if (number % 100 > 20 && (number % 100) - (number % 10) === x && y >= 20) values.add(number - x + y + tail);
    }
  }
  for (const other of confusableWith(Number(heard), null)) {
    if (!decimals && Number.isInteger(other)) values.add(String(other));
  }
  values.delete(heard);
  return [...values]
    .filter((value) => !value.startsWith('-'))
    .map((value) => ({ value, ...confusability(value, heard, words) }))
    .sort((p, q) => q.share - p.share);
}

function pairOf(a: number, b: number, words: Words) {
  return words.confusions.find((pair) => (pair.a === a && pair.b === b) || (pair.a === b && pair.b === a));
}

/** A number as the words it is made of: 125 is hundred-ones 1, hundred, twenty, five. */
function split(value: Decimal): { whole: string; decimals: string; parts: number[] } {
  const [whole = '', decimals = ''] = value.replace('-', '').split('.');
  const number = Number(whole);
  const parts: number[] = [];
  if (number >= 100) parts.push(Math.floor(number / 100), 100);
  const rest = number % 100;
  if (rest > 20 && rest % 10 !== 0) parts.push(rest - (rest % 10), rest % 10);
  else if (rest > 0 || number === 0) parts.push(rest);
  return { whole, decimals, parts };
}
