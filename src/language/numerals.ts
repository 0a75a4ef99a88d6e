import { lexiconOf } from './lexicon.ts';
import type { Reason } from './reasons.ts';
import type { Token } from './tokens.ts';
import type { Words } from './words.ts';
import { written } from './written.ts';

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

/** A number that starts at a given token. */
interface Piece {
  readonly end: number;
  readonly values: readonly string[];
  readonly weight: number;
  readonly ask: boolean;
  readonly reason: Reason | null;
  /** How likely a shorter number at the same place is, in the light of this one: 0.01 for "twenty" before "five". */
  readonly breaking: number;
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
  const reader = makeReader(tokens, words);
  const lists = reader.lists(0);
  return prune(widen(lists));
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

/** What a list of numbers may also be when taken as a whole. */
function widen(lists: readonly Parse[]): Parse[] {
  const out: Parse[] = [];
  for (const parse of lists) {
    const [a = '', b = '', c] = parse.values;
    const backwards = parse.reasons.includes('range') && parse.values.length === 2 && Number(b) <= Number(a);
    const weight = backwards ? parse.weight * 0.05 : parse.weight;
    out.push({ ...parse, weight });
    const also = (values: string[], share: number, reason: Reason, ask = true) =>
      out.push({ values, weight: weight * share, ask, reasons: [...parse.reasons, reason] });
    if (parse.values.length === 3 && Number(c) > Number(a) && b === '2') also([a, c!], 0.7, 'range');
    // "1.2 * 10 -5"
    if (parse.values.length === 3 && b === '10' && /^-\d$/.test(c ?? '')) also([shift(a, Number(c))], 1.5, 'power');
    if (parse.values.length !== 2 || backwards) continue;
    if (a === b) {
      const spelled = parse.reasons.includes('digit-by-digit') && a.length > 1;
      also([a], spelled ? 100 : 0.9, spelled ? 'checked' : 'said-twice', false);
      continue;
    }
    // "fifty, five zero" ends as "55 0".
    if (/^([1-9])\1$/.test(a) && b === '0') also([`${a[0]}0`], 100, 'checked', false);
    if (/^-\d/.test(b)) {
      also([a, b.slice(1)], 0.8, 'range');
      if (Number(a) + Number(b) > 0) also([String(Number((Number(a) + Number(b)).toFixed(3)))], 0.2, 'sum');
      if (a.includes('.') && /^-\d$/.test(b)) also([shift(a, Number(b))], 0.6, 'power');
      continue;
    }
    // "two hundred and two thousand" written as "200 and 2000".
    if (/^[1-9]00$/.test(a) && /^[1-9]\d?000$/.test(b))
      also([String(Number(a) * 1000 + Number(b))], 0.5, 'apart', false);
    // "eleven hundred" written as "11 100".
    if (/^[1-9]\d$/.test(a) && !a.endsWith('0') && b === '100') also([`${a}00`], 0.4, 'apart');
    if (a.length === 3 && b.length === 4 && /^\d+$/.test(a + b)) also([a + b], 0.4, 'phone-number');
    if (!/^[1-9]\d?$/.test(a) || !/^[1-9]\d$/.test(b) || parse.reasons.includes('two-in-one') || parse.ask) continue;
    if (parse.parted === 'word') continue;
    if (parse.parted === undefined) also([a + b], 0.4, 'said-in-pairs');
    also([`${a}.${b}`], 0.15, 'no-point');
  }
  return out;
}

function makeReader(tokens: readonly Token[], words: Words) {
  const { numbers, decimalSign } = words;
  const lexicon = lexiconOf(words);
  const has = (list: readonly string[], i: number) => tokens[i] !== undefined && list.includes(tokens[i].text);
  /** Index after a phrase of the list that starts at i, or i. The longest wins. */
  const after = (list: readonly string[], i: number) => {
    let end = i;
    for (const phrase of list) {
      const parts = phrase.split(' ');
      if (i + parts.length > end && parts.every((part, k) => tokens[i + k]?.text === part)) end = i + parts.length;
    }
    return end;
  };
  const isSign = (sign: string, i: number) => tokens[i]?.kind === 'sign' && tokens[i].text === sign;

  /**
   * 0 to 99 as words, all lengths. Figures stand for their words when they touch others ("20 five", "4 20 10" for
   * quatre-vingt-dix); `figures` says so.
   */
  const small = (i: number): { end: number; value: number; figures: boolean }[] => {
    const found: { end: number; value: number; figures: boolean }[] = [];
    let phrase = '';
    let figures = false;
    for (let end = i; end < Math.min(tokens.length, i + lexicon.longest); end++) {
      const token = tokens[end]!;
      let word = token.text;
      if (token.kind === 'digits') {
        if (!/^(0|[1-9]\d?)$/.test(token.text)) break;
        word = lexicon.spelled[Number(token.text)] ?? '';
        figures = true;
      } else if (token.kind === 'sign') break;
      phrase = phrase ? `${phrase} ${word}` : word;
      const value = lexicon.small.get(phrase);
      if (value !== undefined && !(figures && end === i)) found.push({ end: end + 1, value, figures });
    }
    return found;
  };
  const plainDigits = (i: number) =>
    tokens[i]?.kind === 'digits' && /^(0|[1-9]\d*)$/.test(tokens[i].text) ? Number(tokens[i].text) : null;

  /** Whole numbers with scales: "two hundred and five", "3 thousand", "100 5". `apart`: digits stood where words would. */
  interface Whole {
    end: number;
    value: number;
    apart: number;
    digits: boolean;
  }
  const wholes = (i: number, below: number): Whole[] => {
    const out: Whole[] = small(i).map(({ end, value, figures }) => ({
      end,
      value,
      apart: figures ? 0.6 : 1,
      digits: figures,
    }));
    const digits = plainDigits(i);
    // "a 100"
    const after1 = has(numbers.articles, i) ? plainDigits(i + 1) : null;
    if (after1 !== null && /^10+$/.test(String(after1)) && after1 >= 100)
      out.push({ end: i + 2, value: after1, apart: 1, digits: true });
    if (digits !== null && digits < below * 10) out.push({ end: i + 1, value: digits, apart: 1, digits: true });
    const grouped =
      tokens[i]?.kind === 'digits' && digits === null ? written(tokens[i].text, decimalSign)[0] : undefined;
    if (grouped && grouped.values.length === 1 && grouped.weight === 1 && /^\d+$/.test(grouped.values[0]!))
      out.push({ end: i + 1, value: Number(grouped.values[0]), apart: 1, digits: true });
    for (const { value: scale, words: names } of numbers.scales) {
      if (scale >= below) continue;
      const heads: Whole[] = wholes(i, scale);
      if (has(numbers.articles, i)) heads.push({ end: i + 1, value: 1, apart: 1, digits: false });
      // A bare "hundred" counts only as the whole of what was said, or before its rest.
      if (i === 0) heads.push({ end: i, value: 1, apart: 1, digits: false });
      for (const head of heads) {
        if (!has(names, head.end) || head.value === 0) continue;
        const shown = tokens[head.end]!;
        if (shown.text.length === 1 && (shown.gap ? shown.text !== 'k' : false)) continue;
        if (scale === 100 && (head.value > 29 || (head.value % 10 === 0 && head.value > 0))) continue;
        const end = head.end + 1;
        const value = head.value * scale;
        out.push({ end, value, apart: head.apart, digits: false });
        if (names.includes(tokens[end]?.text ?? '')) continue;
        for (const start of new Set([end, has(numbers.and, end) ? end + 1 : end])) {
          for (const rest of wholes(start, scale)) {
            if (rest.value > 0 && rest.value < scale)
              out.push({ end: rest.end, value: value + rest.value, apart: head.apart * rest.apart, digits: false });
          }
        }
      }
    }
    // Written apart: "20 5", "20 five", "100 and 5", "1000 1".
    for (const head of [...out]) {
      const room = roomAfter(head.value);
      if (room === 0 || (head.apart !== 1 && head.end - i > 2)) continue;
      const comma = isSign(',', head.end) || isSign('.', head.end);
      const and = has(numbers.and, head.end) && head.value >= 100;
      const start = comma || and ? head.end + 1 : head.end;
      if (comma && tokens[start] && !tokens[start].gap) continue;
      for (const rest of wholesShort(start)) {
        if (rest.value === 0 || rest.value >= room) continue;
        const known = !comma && out.some((other) => other.end === rest.end);
        if (!known && (head.digits || rest.digits || comma))
          out.push({
            end: rest.end,
            value: head.value + rest.value,
            apart: comma ? 0.25 : and ? 0.9 : 0.6,
            digits: true,
          });
      }
    }
    return out;
  };
  const wholesShort = (i: number): Whole[] => {
    const out: Whole[] = small(i).map(({ end, value, figures }) => ({ end, value, apart: 1, digits: figures }));
    const digits = plainDigits(i);
    if (digits !== null) out.push({ end: i + 1, value: digits, apart: 1, digits: true });
    return out;
  };

  /** One digit said by itself, or repeated ("double five"). */
  const digit = (i: number): { end: number; text: string } | null => {
    const token = tokens[i];
    if (!token) return null;
    if (token.kind === 'digits' && token.text.length === 1) return { end: i + 1, text: token.text };
    if (token.kind !== 'word') return null;
    if (numbers.ohs.includes(token.text)) return { end: i + 1, text: '0' };
    const times = numbers.repeats[token.text];
    if (times !== undefined) {
      const next = digit(i + 1);
      return next && next.text.length === 1 ? { end: next.end, text: next.text.repeat(times) } : null;
    }
    const value = lexicon.small.get(token.text);
    return value !== undefined && value < 10 ? { end: i + 1, text: String(value) } : null;
  };

  /** Digits said one by one, from two on. */
  const runs = (i: number): Piece[] => {
    const out: Piece[] = [];
    let text = '';
    let at = i;
    for (let one = digit(at); one; one = digit(at)) {
      // The first numeral of a list is not a digit of a run when others touch it.
      text += one.text;
      at = one.end;
      if (text.length < 2) continue;
      if (text.length > 7) break;
      if (text.startsWith('0')) {
        const bare = text.replace(/^0+(?=\d)/, '');
        out.push(piece(at, bare, 0.6, 'leading-zero', true, 0.2));
        if (text.length === 2) out.push(piece(at, `0.${text[1]}`, 0.3, 'leading-zero', true, 0.2));
      } else out.push(piece(at, text, 0.85, 'digit-by-digit', false, [0.15, 0.35, 0.5][text.length - 2] ?? 0.5));
    }
    return out;
  };

  /** Decimals from token i on; `so` are decimals already had. */
  interface Decimals {
    end: number;
    digits: string;
    weight: number;
    ask: boolean;
  }
  const decimals = (i: number, so: string): Decimals[] => {
    const token = tokens[i];
    if (!token) return so ? [{ end: i, digits: so, weight: 1, ask: false }] : [];
    const nexts: { end: number; digits: string; go: number; ask?: boolean }[] = [];
    const one = digit(i);
    if (token.kind === 'digits') {
      if (/^\d+$/.test(token.text)) {
        const zeros = /^0*$/.test(so);
        const go = token.text.startsWith('0') || zeros ? 1 : token.text.length === 1 ? 0.6 : 0.1;
        nexts.push({ end: i + 1, digits: token.text, go });
      }
    } else if (one) nexts.push({ end: one.end, digits: one.text, go: /^0/.test(one.text) ? 1 : 0.985 });
    if (token.kind === 'word') {
      const found = small(i).filter(({ figures }) => !figures);
      const longest = Math.max(0, ...found.map(({ end }) => end));
      for (const { end, value } of found) {
        const natural = end === longest ? 1 : 0.01;
        if (value >= 10) nexts.push({ end, digits: String(value), go: natural * (/^0*$/.test(so) ? 1 : 0.2) });
      }
      if (so === '')
        for (const whole of wholes(i, 1000))
          if (whole.value >= 100 && whole.apart === 1)
            nexts.push({ end: whole.end, digits: String(whole.value), go: 0.9, ask: true });
    }
    const out: Decimals[] = [];
    let stop = 1;
    for (const next of nexts) {
      stop = Math.min(stop, 1 - next.go);
      for (const rest of decimals(next.end, so + next.digits))
        out.push({ ...rest, weight: rest.weight * next.go, ask: rest.ask || next.ask === true });
    }
    if (so && (nexts.length === 0 || stop > 0))
      out.push({ end: i, digits: so, weight: nexts.length ? stop : 1, ask: false });
    return out;
  };

  /** Index after a decimal point that stands at i, or null. A "." must be followed by a figure. */
  const point = (i: number): { next: number; loose: boolean } | null => {
    if (has(numbers.point, i)) return { next: i + 1, loose: false };
    const signed = isSign('.', i) || (decimalSign === ',' && isSign(',', i) && !tokens[i + 1]?.gap);
    if (!signed || !tokens[i + 1]) return null;
    return { next: i + 1, loose: tokens[i + 1]!.gap };
  };

  interface Part {
    end: number;
    p: number;
    q: number;
    /** Written with a plain slash: may be a date. */
    typed: boolean;
    /** May follow a whole number without "and": "25 1/2", but not "one half". */
    follows: boolean;
  }
  /** p/q from token i on: "half", "1/2", "3 fifths", "1 over 3". */
  const parts = (i: number): Part[] => {
    const out: Part[] = [];
    const first = has(numbers.articles, i) ? i + 1 : i;
    const alone = numbers.parts[tokens[first]?.text ?? ''];
    const glued = numbers.gluedParts?.includes(tokens[first]?.text ?? '') === true;
    if (alone !== undefined) out.push({ end: first + 1, p: 1, q: alone, typed: false, follows: glued || first > i });
    for (const { end, value: p } of wholesShort(i)) {
      const wordOf = tokens[end]?.text ?? '';
      const named = numbers.parts[wordOf];
      if (named !== undefined && numbers.gluedParts?.includes(wordOf) !== true)
        out.push({ end: end + 1, p, q: named, typed: false, follows: false });
      const slash = isSign('/', end) ? '/' : isSign('\u2044', end) ? '\u2044' : has(numbers.over, end) ? 'over' : null;
      if (slash === null) continue;
      for (const { end: to, value: q } of wholesShort(end + 1)) {
        if (q > 0 && !isSign('/', to)) out.push({ end: to, p, q, typed: slash === '/', follows: slash !== 'over' });
      }
    }
    return out;
  };

  const unsigned = (i: number): Piece[] => {
    const out: Piece[] = [];
    const token = tokens[i];
    if (!token) return out;

    // The numeral as it stands, and the scale that may follow it ("164.58 thousand").
    if (token.kind === 'digits') {
      for (const { values, weight, ask, reason } of written(token.text, decimalSign)) {
        out.push({ end: i + 1, values, weight, ask, reason, breaking: 1 });
        if (values.length !== 1) continue;
        const value = values[0]!;
        if (/\.\d/.test(value) && reason === null) {
          const [whole, had] = value.split('.');
          for (const more of decimals(i + 1, had!))
            if (more.end > i + 1)
              out.push(piece(more.end, `${whole}.${more.digits}`, more.weight, null, more.ask, 1 - more.weight));
          const scale = lexicon.scales.get(tokens[i + 1]?.text ?? '');
          if (scale !== undefined && (tokens[i + 1]!.text.length > 1 || !tokens[i + 1]!.gap))
            out.push(piece(i + 2, shift(value, Math.log10(scale)), 1, null, false, 0.01));
        }
      }
      const ending = tokens[i + 1];
      if (ending && !ending.gap && numbers.ordinalEndings.includes(ending.text) && /^\d+$/.test(token.text)) {
        out.push(piece(i + 2, token.text, 1, 'ordinal', true, 0.01));
        // "5000ths" is how engines write five thousandths.
        const [, figure, zeros] = /^([1-9])(0+)$/.exec(token.text) ?? [];
        if (figure && zeros && ending.text === 'ths')
          out.push(piece(i + 2, shift(figure, -zeros.length), 1.5, 'fraction', true, 0.01));
      }
    }

    const fixed = numbers.fixed?.[token.text];
    if (fixed !== undefined) out.push(piece(i + 1, fixed, 1, null, false, 1));

    for (const whole of wholes(i, Number.POSITIVE_INFINITY)) {
      if (whole.end === i + 1 && token.kind === 'digits') continue;
      const natural = whole.apart === 1;
      out.push(
        piece(
          whole.end,
          String(whole.value),
          whole.apart,
          natural ? null : 'apart',
          false,
          natural ? (numbers.compoundBreak ?? 0.01) : whole.apart < 0.3 ? 1 : 0.4,
        ),
      );
    }
    out.push(...runs(i));

    // Decimals after a point.
    const heads = [...out].filter((head) => head.values.length === 1 && /^\d+$/.test(head.values[0]!) && !head.ask);
    if (has(numbers.ohs, i) || has(numbers.zeroBeforePoint, i)) heads.push(piece(i + 1, '0', 1, null, false, 1));
    if (point(i)) heads.push(piece(i, '0', 1, null, false, 1));
    for (const head of heads) {
      const mark = point(head.end);
      if (!mark) continue;
      for (const found of decimals(mark.next, ''))
        out.push(
          piece(
            found.end,
            `${head.values[0]}.${found.digits}`,
            head.weight * found.weight * (mark.loose ? 0.7 : 1),
            found.ask ? 'decimals' : head.reason === 'digit-by-digit' || head.reason === 'apart' ? head.reason : null,
            found.ask,
            mark.loose ? 0.6 : 0.01,
          ),
        );
    }
    // "25 comma 27" in a language of decimal points.
    for (const head of heads) {
      const spoken = has(numbers.comma, head.end);
      if (!spoken || head.end === i) continue;
      for (const found of decimals(head.end + 1, ''))
        out.push(piece(found.end, `${head.values[0]}.${found.digits}`, 0.3 * found.weight, 'other-country', true, 1));
    }

    // Fractions, alone and after a whole number.
    for (const { end, p, q, typed } of parts(i)) {
      const dated = typed && p >= q;
      if (p === q) continue;
      out.push(
        piece(end, fraction(p, q), dated ? 0.4 : 1, typed && p !== 1 ? 'fraction' : null, typed && p !== 1, 0.01),
      );
    }
    for (const head of heads) {
      if (head.end === i || head.reason !== null) continue;
      const start = has(numbers.and, head.end) ? head.end + 1 : head.end;
      for (const { end, p, q, follows } of parts(start)) {
        if (p >= q || (start === head.end && !follows)) continue;
        const whole = Number(head.values[0]);
        out.push(piece(end, add(head.values[0]!, fraction(p, q)), 1, null, false, 0.01));
        if (whole % 10 === 0 && whole > 10 && whole < 100 && p > 1 && p < 10)
          out.push(piece(end, fraction(whole + p, q), 0.4, 'fraction', true, 0.01));
      }
    }

    // "2/3/25", "25/27", "3/4": dates and lists in the clothes of fractions; "25-27", "555-1212".
    out.push(...chained(i));
    return out;
  };

  const chained = (i: number): Piece[] => {
    const out: Piece[] = [];
    for (const sign of ['/', '-']) {
      const values: string[] = [];
      let at = i;
      while (tokens[at]?.kind === 'digits' && /^\d+$/.test(tokens[at]!.text)) {
        values.push(tokens[at]!.text);
        at++;
        if (!isSign(sign, at) || tokens[at + 1]?.kind !== 'digits') break;
        if (sign === '-' && tokens[at]!.gap !== tokens[at + 1]!.gap) break;
        at++;
      }
      if (values.length < 2) continue;
      if (sign === '/' && values.length === 2 && (values[0] === values[1] || values[0] === '1')) continue;
      const list = values.map((value) => value.replace(/^0+(?=\d)/, ''));
      const joined = values.join('');
      if (sign === '/') out.push({ ...piece(at, '', 0.6, 'date', true, 0.01), values: list });
      else {
        const phone = values.at(-1)!.length >= 4;
        out.push({ ...piece(at, '', phone ? 0.3 : 0.6, phone ? 'phone-number' : 'range', true, 0.01), values: list });
        if (joined.length <= 7) out.push(piece(at, joined, phone ? 0.6 : 0.2, 'phone-number', true, 0.01));
        if (values.length === 2 && !phone) {
          const difference = Number(values[0]) - Number(values[1]);
          if (difference > 0) out.push(piece(at, String(difference), 0.1, 'sum', true, 0.01));
        }
      }
    }
    return out;
  };

  const pieces = (i: number): Piece[] => {
    const signed = after(numbers.minus, i) > i || isSign('-', i);
    if (signed)
      return unsigned(i + 1).map((p) => ({
        ...p,
        values: p.values.map((value, k) => (k === 0 ? `-${value}` : value)),
      }));
    if (has(numbers.plus, i) || isSign('+', i)) return unsigned(i + 1);
    return unsigned(i);
  };

  /** Where the next number may start after one ended, and how that separates them. */
  const gaps = (
    end: number,
  ): { next: number; factor: number; said: 'comma' | 'word' | null; reason: Reason | null }[] => {
    if (isSign(',', end) || isSign(';', end) || (isSign('.', end) && tokens[end + 1]?.gap === true)) {
      const between = after(words.between, end + 1);
      const loosePoint = isSign('.', end) && tokens[end - 1]?.kind === 'digits' && tokens[end + 1]?.kind === 'digits';
      return [
        { next: between, factor: loosePoint ? 0.6 : 1, said: between > end + 1 ? 'word' : 'comma', reason: null },
      ];
    }
    const between = after(words.between, end);
    if (between > end)
      return [{ next: isSign(',', between) ? between + 1 : between, factor: 1, said: 'word', reason: null }];
    if (has(numbers.comma, end)) return [{ next: end + 1, factor: 1, said: 'comma', reason: null }];
    const out: ReturnType<typeof gaps> = [{ next: end, factor: 1, said: null, reason: null }];
    if (has(numbers.and, end)) out.push({ next: end + 1, factor: 0.9, said: null, reason: null });
    if (has(words.range, end)) out.push({ next: end + 1, factor: 0.6, said: null, reason: 'range' });
    return out;
  };

  const memory = new Map<number, Parse[]>();
  const lists = (i: number): Parse[] => {
    const known = memory.get(i);
    if (known) return known;
    const all = pieces(i).filter((p) => p.weight > forgotten && p.values.every((value) => decimalShape.test(value)));
    const out: Parse[] = [];
    for (const p of all) {
      // What a longer number from here makes of stopping at this one.
      let stopping = 1;
      for (const other of all) {
        if (other.end <= p.end) continue;
        // One number that is all of what was said is hardly a list.
        const whole = i === 0 && other.end === tokens.length && other.breaking < 0.1;
        stopping = Math.min(stopping, whole ? 0.01 : other.breaking);
      }
      const own = p.reason ? [p.reason] : [];
      if (p.end === tokens.length) {
        out.push({ values: p.values, weight: p.weight, ask: p.ask, reasons: own });
        continue;
      }
      for (const gap of gaps(p.end)) {
        if (gap.next >= tokens.length) continue;
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
  return { lists };
}

const decimalShape = /^-?\d{1,7}(\.\d{1,9})?$/;

/** How large a number may follow to belong to this one: 10 after 20 … 90, 100 after 100 … 900, 1000 after thousands. */
function roomAfter(value: number): number {
  if (value >= 20 && value < 100 && value % 10 === 0) return 10;
  if (value >= 100 && value < 1000 && value % 100 === 0) return 100;
  if (value >= 1000 && value % 1000 === 0) return 1000;
  return 0;
}

const piece = (
  end: number,
  value: string,
  weight: number,
  reason: Reason | null,
  ask: boolean,
  breaking: number,
): Piece => ({ end, values: [value], weight, ask, reason, breaking });

/** p/q as a decimal: exact where it ends within three places, else to three. */
function fraction(p: number, q: number): string {
  return String(Number((p / q).toFixed(3)));
}

/** Whole number plus a fraction below one, as decimals. */
function add(whole: string, part: string): string {
  return part.startsWith('0.') ? whole + part.slice(1) : String(Number(whole) + Number(part));
}

/** Moves the decimal point of a decimal, to the right for positive places. Keeps every digit that was said. */
export function shift(value: string, places: number): string {
  const negative = value.startsWith('-');
  const [whole = '', decimals = ''] = value.replace('-', '').split('.');
  let digits = whole + decimals;
  let at = whole.length + places;
  if (at < 1) {
    digits = '0'.repeat(1 - at) + digits;
    at = 1;
  }
  digits = digits.padEnd(at, '0');
  const head = digits.slice(0, at).replace(/^0+(?=\d)/, '');
  const tail = digits.slice(at);
  return (negative ? '-' : '') + head + (tail ? `.${tail}` : '');
}
