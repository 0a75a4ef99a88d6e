import { nth, only } from '../../numerics/nth.ts';
import { written } from '../written.ts';
import type { Row } from './row.ts';

/** Whole numbers with scales: "two hundred and five", "3 thousand", "100 5". `apart`: digits stood where words would. */
export interface Whole {
  end: number;
  value: number;
  apart: number;
  digits: boolean;
}
/**
 * 0 to 99 as words, all lengths. Figures stand for their words when they touch others ("20 five", "4 20 10" for
 * quatre-vingt-dix); `figures` says so.
 */
export function small(row: Row, i: number): { end: number; value: number; figures: boolean }[] {
  const found: { end: number; value: number; figures: boolean }[] = [];
  let phrase = '';
  let figures = false;
  for (let end = i; end < Math.min(row.tokens.length, i + row.lexicon.longest); end++) {
    const token = nth(row.tokens, end);
    let word = token.text;
    if (token.kind === 'digits') {
      if (!/^(0|[1-9]\d?)$/.test(token.text)) break;
      word = row.lexicon.spelled[Number(token.text)] ?? '';
      figures = true;
    } else if (token.kind === 'sign') break;
    phrase = phrase ? `${phrase} ${word}` : word;
    const value = row.lexicon.small.get(phrase);
    if (value !== undefined && !(figures && end === i)) found.push({ end: end + 1, value, figures });
  }
  return found;
}

export const plainDigits = (row: Row, i: number): number | null =>
  row.tokens[i]?.kind === 'digits' && /^(0|[1-9]\d*)$/.test(row.tokens[i].text) ? Number(row.tokens[i].text) : null;

/** Whole numbers from token i on, below a limit. */
export function wholes(row: Row, i: number, below: number): Whole[] {
  const out: Whole[] = small(row, i).map(({ end, value, figures }) => ({
    end,
    value,
    apart: figures ? 0.6 : 1,
    digits: figures,
  }));
  const digits = plainDigits(row, i);
  // "a 100"
  const after1 = row.has(row.numbers.articles, i) ? plainDigits(row, i + 1) : null;
  if (after1 !== null && /^10+$/.test(String(after1)) && after1 >= 100)
    out.push({ end: i + 2, value: after1, apart: 1, digits: true });
  if (digits !== null && digits < below * 10) out.push({ end: i + 1, value: digits, apart: 1, digits: true });
  const grouped =
    row.tokens[i]?.kind === 'digits' && digits === null ? written(row.tokens[i].text, row.decimalSign)[0] : undefined;
  if (grouped && grouped.weight === 1 && /^\d+$/.test(only(grouped.values) ?? ''))
    out.push({ end: i + 1, value: Number(grouped.values[0]), apart: 1, digits: true });
  out.push(...scaled(row, i, below));
  out.push(...writtenApart(row, i, out));
  return out;
}

/** "two hundred and five", "a hundred", "3 thousand". */
function scaled(row: Row, i: number, below: number): Whole[] {
  const out: Whole[] = [];
  for (const { value: scale, words: names } of row.numbers.scales) {
    if (scale >= below) continue;
    const heads: Whole[] = wholes(row, i, scale);
    if (row.has(row.numbers.articles, i)) heads.push({ end: i + 1, value: 1, apart: 1, digits: false });
    // A bare "hundred" counts only as the whole of what was said, or before its rest.
    if (i === 0) heads.push({ end: i, value: 1, apart: 1, digits: false });
    for (const head of heads) {
      if (!row.has(names, head.end) || head.value === 0) continue;
      const shown = nth(row.tokens, head.end);
      if (shown.text.length === 1 && (shown.gap ? shown.text !== 'k' : false)) continue;
      if (scale === 100 && (head.value > 29 || (head.value % 10 === 0 && head.value > 0))) continue;
      const end = head.end + 1;
      const value = head.value * scale;
      out.push({ end, value, apart: head.apart, digits: false });
      if (names.includes(row.tokens[end]?.text ?? '')) continue;
      for (const start of new Set([end, row.has(row.numbers.and, end) ? end + 1 : end])) {
        for (const rest of wholes(row, start, scale)) {
          if (rest.value > 0 && rest.value < scale)
            out.push({ end: rest.end, value: value + rest.value, apart: head.apart * rest.apart, digits: false });
        }
      }
    }
  }
  return out;
}

/** "20 5", "20 five", "100 and 5", "1000 1": a number and the rest of it, apart. */
function writtenApart(row: Row, i: number, heads: readonly Whole[]): Whole[] {
  const out: Whole[] = [];
  for (const head of heads) {
    const room = roomAfter(head.value);
    if (room === 0 || (head.apart !== 1 && head.end - i > 2)) continue;
    const comma = row.isSign(',', head.end) || row.isSign('.', head.end);
    const and = row.has(row.numbers.and, head.end) && head.value >= 100;
    const start = comma || and ? head.end + 1 : head.end;
    if (comma && row.tokens[start] && !row.tokens[start].gap) continue;
    for (const rest of wholesShort(row, start)) {
      if (rest.value === 0 || rest.value >= room) continue;
      const known = !comma && [...heads, ...out].some((other) => other.end === rest.end);
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
}

export function wholesShort(row: Row, i: number): Whole[] {
  const out: Whole[] = small(row, i).map(({ end, value, figures }) => ({ end, value, apart: 1, digits: figures }));
  const digits = plainDigits(row, i);
  if (digits !== null) out.push({ end: i + 1, value: digits, apart: 1, digits: true });
  return out;
}

/** How large a number may follow to belong to this one: 10 after 20 … 90, 100 after 100 … 900, 1000 after thousands. */
function roomAfter(value: number): number {
  if (value >= 20 && value < 100 && value % 10 === 0) return 10;
  if (value >= 100 && value < 1000 && value % 100 === 0) return 100;
  if (value >= 1000 && value % 1000 === 0) return 1000;
  return 0;
}
