import { confusableWith } from '../analysis/confusions.ts';
import type { Decimal } from '../log/meaning.ts';
import { nth } from '../numerics/nth.ts';
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
  const ways = waysFrom(a, b, words);
  if (ways.length === 0 && a.decimals === b.decimals && confusableWith(Number(heard), null).includes(Number(said)))
    ways.push({ share: 0.008, why: 'the two numbers are taken for one another now and then' });
  return ways.reduce((best, next) => (next.share > best.share ? next : best), {
    share: floor,
    why: 'any number can be misheard',
  });
}

/** Ways by which the words of one number become those of another. */
function waysFrom(a: Split, b: Split, words: Words): Confusability[] {
  if (a.decimals === b.decimals)
    return [
      ...oneWordDiffers(a.parts, b.parts, words),
      ...wordLost(a.parts, b.parts),
      ...turned(a.parts, b.parts, words),
    ];
  if (a.whole === b.whole) return decimalsDiffer(a.decimals, b.decimals, words);
  if (a.decimals !== '' && b.decimals === '' && b.whole === a.whole + a.decimals)
    return [{ share: 0.1, why: 'the decimal point may be lost' }];
  return [];
}

function oneWordDiffers(a: readonly number[], b: readonly number[], words: Words): Confusability[] {
  const places = placesThatDiffer(a, b);
  const [place] = places;
  if (a.length !== b.length || place === undefined || places.length > 1) return [];
  const pair = pairOf(nth(a, place), nth(b, place), words);
  if (pair) return [{ share: pair.share, why: pair.why }];
  return a.length > 1 ? [{ share: 0.015, why: 'one word of the number may be another' }] : [];
}

/** A word lost from the front or the end; less often one is invented there. */
function wordLost(a: readonly number[], b: readonly number[]): Confusability[] {
  const cut = a.length > b.length;
  const [short, long] = cut ? [b, a] : [a, b];
  if (long.length !== short.length + 1) return [];
  const share = cut ? 0.08 : 0.02;
  const ways: Confusability[] = [];
  if (short.every((part, k) => part === long[k + 1]))
    ways.push({ share, why: 'the first word of the number may be lost' });
  if (short.every((part, k) => part === long[k])) ways.push({ share, why: 'the last word of the number may be lost' });
  return ways;
}

/** 25 for 52, in a language that says the ones first. */
function turned(a: readonly number[], b: readonly number[], words: Words): Confusability[] {
  const [tens = 0, ones = 10] = a;
  const onesFirst = words.numbers.compounds.some((shape) => shape.startsWith('U'));
  const bothSaid = a.length === 2 && tens >= 20 && ones < 10;
  return onesFirst && bothSaid && b[0] === ones * 10 && b[1] === tens / 10
    ? [{ share: 0.1, why: 'ones and tens may have changed places' }]
    : [];
}

function decimalsDiffer(a: string, b: string, words: Words): Confusability[] {
  if (b === '') return [{ share: 0.1, why: 'the decimals may be lost' }];
  const places = placesThatDiffer([...a], [...b]);
  const [place] = places;
  if (a.length !== b.length || place === undefined || places.length > 1) return [];
  const pair = pairOf(Number(a[place]), Number(b[place]), words);
  return pair ? [{ share: pair.share, why: pair.why }] : [];
}

function placesThatDiffer<T>(a: readonly T[], b: readonly T[]): number[] {
  return a.flatMap((one, k) => (one === b[k] ? [] : [k]));
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

/** A number as the words it is made of: 125 is one, hundred, twenty, five. */
interface Split {
  readonly whole: string;
  readonly decimals: string;
  readonly parts: readonly number[];
}

function split(value: Decimal): Split {
  const [whole = '', decimals = ''] = value.replace('-', '').split('.');
  const number = Number(whole);
  const parts: number[] = [];
  if (number >= 100) parts.push(Math.floor(number / 100), 100);
  const rest = number % 100;
  if (rest > 20 && rest % 10 !== 0) parts.push(rest - (rest % 10), rest % 10);
  else if (rest > 0 || number === 0) parts.push(rest);
  return { whole, decimals, parts };
}
