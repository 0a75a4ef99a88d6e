import { only } from '../numerics/nth.ts';
import { afterPoint, point } from './numerals/decimals.ts';
import { runs } from './numerals/digits.ts';
import { chained, figures } from './numerals/figures.ts';
import { fractions } from './numerals/parts.ts';
import { makeRow, type Piece, piece, type Row } from './numerals/row.ts';
import { shift } from './numerals/shift.ts';
import { wholes } from './numerals/whole.ts';
import type { Reason } from './reasons.ts';
import type { Token } from './tokens.ts';
import type { Words } from './words.ts';

/** One way to read a whole row of tokens as numbers. */
export interface Parse {
  readonly values: readonly string[];
  /** Relative weight among the ways to read the same tokens. */
  readonly weight: number;
  /** true: not to be taken without a second sign that it is right. */
  readonly ask: boolean;
  readonly reasons: readonly Reason[];
  /** What stood between the numbers: nothing, a comma, or a word such as "next". */
  readonly parted?: 'comma' | 'word';
}

/** Less likely than this, relative to the best, is remote: kept only where the marks may speak for it. */
export const remote = 0.02;
const forgotten = 0.002;

/**
 * All ways in which the tokens, all of them, are numbers. Empty when they are not.
 * Cost: grows with the tokens; rows of more than 24 are no readings.
 */
export function numerals(tokens: readonly Token[], words: Words): Parse[] {
  if (tokens.length === 0 || tokens.length > 24) return [];
  return prune(widen(makeLists(makeRow(tokens, words))(0)));
}

/** Keeps the best parse per list of values, drops the hopeless, best first. */
export function prune(parses: readonly Parse[]): Parse[] {
  const best = new Map<string, Parse>();
  for (const parse of parses) {
    const key = parse.values.join(' ');
    const known = best.get(key);
    if (!known || known.weight < parse.weight) best.set(key, parse);
  }
  const sorted = [...best.values()].sort((a, b) => b.weight - a.weight);
  const top = sorted[0]?.weight ?? 0;
  return sorted.filter((parse) => parse.weight >= top * forgotten).slice(0, 40);
}

/** Another way to take a list as a whole: its weight beside the list's, and whether it wants a second sign. */
interface Otherwise {
  readonly values: readonly string[];
  readonly share: number;
  readonly reason: Reason;
  readonly ask: boolean;
}

const otherwise = (values: readonly string[], share: number, reason: Reason, ask = true): Otherwise => ({
  values,
  share,
  reason,
  ask,
});

/** What a list of numbers may also be when taken as a whole. */
function widen(lists: readonly Parse[]): Parse[] {
  return lists.flatMap((parse): Parse[] => {
    const [a = '', b = '', c = ''] = parse.values;
    const count = parse.values.length;
    const backwards = count === 2 && parse.reasons.includes('range') && Number(b) <= Number(a);
    const weight = backwards ? parse.weight * 0.05 : parse.weight;
    const ways = count === 3 ? threeAs(a, b, c) : count === 2 && !backwards ? twoAs(a, b, parse) : [];
    const also = ways.map(({ values, share, reason, ask }) => ({
      values,
      weight: weight * share,
      ask,
      reasons: [...parse.reasons, reason],
    }));
    return [{ ...parse, weight }, ...also];
  });
}

function threeAs(a: string, b: string, c: string): Otherwise[] {
  const out: Otherwise[] = [];
  if (Number(c) > Number(a) && b === '2') out.push(otherwise([a, c], 0.7, 'range'));
  // "1.2 * 10 -5"
  if (b === '10' && /^-\d$/.test(c)) out.push(otherwise([shift(a, Number(c))], 1.5, 'power'));
  return out;
}

function twoAs(a: string, b: string, parse: Parse): Otherwise[] {
  if (a === b) {
    const spelled = parse.reasons.includes('digit-by-digit') && a.length > 1;
    return [otherwise([a], spelled ? 100 : 0.9, spelled ? 'checked' : 'said-twice', false)];
  }
  // "fifty, five zero" ends as "55 0".
  const checked = /^([1-9])\1$/.test(a) && b === '0' ? [otherwise([`${a[0]}0`], 100, 'checked', false)] : [];
  if (/^-\d/.test(b)) return [...checked, ...signedAs(a, b)];
  return [...checked, ...hundredsAs(a, b), ...pairAs(a, b, parse)];
}

/** The second number came with a minus. */
function signedAs(a: string, b: string): Otherwise[] {
  const sum = Number(a) + Number(b);
  return [
    otherwise([a, b.slice(1)], 0.8, 'range'),
    ...(sum > 0 ? [otherwise([String(Number(sum.toFixed(3)))], 0.2, 'sum')] : []),
    ...(a.includes('.') && /^-\d$/.test(b) ? [otherwise([shift(a, Number(b))], 0.6, 'power')] : []),
  ];
}

/** Hundreds and thousands that were written apart. */
function hundredsAs(a: string, b: string): Otherwise[] {
  const out: Otherwise[] = [];
  // "two hundred and two thousand" written as "200 and 2000".
  if (/^[1-9]00$/.test(a) && /^[1-9]\d?000$/.test(b))
    out.push(otherwise([String(Number(a) * 1000 + Number(b))], 0.5, 'apart', false));
  // "eleven hundred" written as "11 100".
  if (/^[1-9]\d$/.test(a) && !a.endsWith('0') && b === '100') out.push(otherwise([`${a}00`], 0.4, 'apart'));
  if (a.length === 3 && b.length === 4 && /^\d+$/.test(a + b)) out.push(otherwise([a + b], 0.4, 'phone-number'));
  return out;
}

/** Two short numbers with nothing but a pause between them. */
function pairAs(a: string, b: string, { reasons, ask, parted }: Parse): Otherwise[] {
  const short = /^[1-9]\d?$/.test(a) && /^[1-9]\d$/.test(b);
  if (!short || reasons.includes('two-in-one') || ask || parted === 'word') return [];
  return [
    ...(parted === undefined ? [otherwise([a + b], 0.4, 'said-in-pairs')] : []),
    otherwise([`${a}.${b}`], 0.15, 'no-point'),
  ];
}

/** Every number that can start at token i, by all that reads numbers. */
function unsigned(row: Row, i: number): Piece[] {
  const token = row.tokens[i];
  if (!token) return [];
  const out = figures(row, i);
  const fixed = row.numbers.fixed?.[token.text];
  if (fixed !== undefined) out.push(piece(i + 1, fixed, 1, null, false, 1));

  for (const whole of wholes(row, i, Number.POSITIVE_INFINITY)) {
    if (whole.end === i + 1 && token.kind === 'digits') continue;
    const natural = whole.apart === 1;
    out.push(
      piece(
        whole.end,
        String(whole.value),
        whole.apart,
        natural ? null : 'apart',
        false,
        natural ? (row.numbers.compoundBreak ?? 0.01) : whole.apart < 0.3 ? 1 : 0.4,
      ),
    );
  }
  out.push(...runs(row, i));
  const heads = [...out].filter((head) => /^\d+$/.test(only(head.values) ?? '') && !head.ask);
  if (row.has(row.numbers.ohs, i) || row.has(row.numbers.zeroBeforePoint, i))
    heads.push(piece(i + 1, '0', 1, null, false, 1));
  if (point(row, i)) heads.push(piece(i, '0', 1, null, false, 1));
  return [...out, ...afterPoint(row, i, heads), ...fractions(row, i, heads), ...chained(row, i)];
}

function pieces(row: Row, i: number): Piece[] {
  const signed = row.after(row.numbers.minus, i) > i || row.isSign('-', i);
  if (signed)
    return unsigned(row, i + 1).map((p) => ({
      ...p,
      values: p.values.map((value, k) => (k === 0 ? `-${value}` : value)),
    }));
  if (row.has(row.numbers.plus, i) || row.isSign('+', i)) return unsigned(row, i + 1);
  return unsigned(row, i);
}

/** Where the next number may start after one ended, and how that separates them. */
function gaps(
  row: Row,
  end: number,
): { next: number; factor: number; said: 'comma' | 'word' | null; reason: Reason | null }[] {
  if (row.isSign(',', end) || row.isSign(';', end) || (row.isSign('.', end) && row.tokens[end + 1]?.gap === true)) {
    const between = row.after(row.words.between, end + 1);
    const loosePoint =
      row.isSign('.', end) && row.tokens[end - 1]?.kind === 'digits' && row.tokens[end + 1]?.kind === 'digits';
    return [{ next: between, factor: loosePoint ? 0.6 : 1, said: between > end + 1 ? 'word' : 'comma', reason: null }];
  }
  const between = row.after(row.words.between, end);
  if (between > end)
    return [{ next: row.isSign(',', between) ? between + 1 : between, factor: 1, said: 'word', reason: null }];
  if (row.has(row.numbers.comma, end)) return [{ next: end + 1, factor: 1, said: 'comma', reason: null }];
  const out: ReturnType<typeof gaps> = [{ next: end, factor: 1, said: null, reason: null }];
  if (row.has(row.numbers.and, end)) out.push({ next: end + 1, factor: 0.9, said: null, reason: null });
  if (row.has(row.words.range, end)) out.push({ next: end + 1, factor: 0.6, said: null, reason: 'range' });
  return out;
}

/** All lists of numbers that the tokens from one on can be; each place is worked out once. */
function makeLists(row: Row): (i: number) => Parse[] {
  const memory = new Map<number, Parse[]>();
  const lists = (i: number): Parse[] => {
    const known = memory.get(i);
    if (known) return known;
    const all = pieces(row, i).filter(
      (p) => p.weight > forgotten && p.values.every((value) => decimalShape.test(value)),
    );
    const out: Parse[] = [];
    for (const p of all) {
      // What a longer number from here makes of stopping at this one.
      let stopping = 1;
      for (const other of all) {
        if (other.end <= p.end) continue;
        // One number that is all of what was said is hardly a list.
        const whole = i === 0 && other.end === row.tokens.length && other.breaking < 0.1;
        stopping = Math.min(stopping, whole ? 0.01 : other.breaking);
      }
      const own = p.reason ? [p.reason] : [];
      if (p.end === row.tokens.length) {
        out.push({ values: p.values, weight: p.weight, ask: p.ask, reasons: own });
        continue;
      }
      for (const gap of gaps(row, p.end)) {
        if (gap.next >= row.tokens.length) continue;
        const joined = gap.said !== null && p.reason === 'two-in-one' ? 0.1 : 1;
        const factor = joined * p.weight * gap.factor * (gap.said === null ? stopping : 1);
        const extra = gap.reason ? [...own, gap.reason] : own;
        for (const rest of lists(gap.next))
          out.push({
            values: [...p.values, ...rest.values],
            // Numbers that stand apart were not joined elsewhere.
            weight: factor * rest.weight * (gap.said !== null && rest.reasons.includes('two-in-one') ? 0.1 : 1),
            ask: p.ask || rest.ask || gap.reason !== null,
            reasons: [...new Set([...extra, ...rest.reasons])],
            ...(gap.said === 'word' || rest.parted === 'word'
              ? { parted: 'word' as const }
              : gap.said
                ? { parted: gap.said }
                : {}),
          });
      }
    }
    const kept = prune(out);
    memory.set(i, kept);
    return kept;
  };
  return lists;
}

const decimalShape = /^-?\d{1,7}(\.\d{1,9})?$/;
