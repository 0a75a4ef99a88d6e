import { nth } from '../../numerics/nth.ts';
import { type Piece, piece, type Row } from './row.ts';
import { wholesShort } from './whole.ts';

/** p/q, and where it ends. */
export interface Part {
  end: number;
  p: number;
  q: number;
  /** Written with a plain slash: may be a date. */
  typed: boolean;
  /** May follow a whole number without "and": "25 1/2", but not "one half". */
  follows: boolean;
}
/** p/q from token i on: "half", "1/2", "3 fifths", "1 over 3". */
export function parts(row: Row, i: number): Part[] {
  const out: Part[] = [];
  const first = row.has(row.numbers.articles, i) ? i + 1 : i;
  const alone = row.numbers.parts[row.tokens[first]?.text ?? ''];
  const glued = row.numbers.gluedParts?.includes(row.tokens[first]?.text ?? '') === true;
  if (alone !== undefined) out.push({ end: first + 1, p: 1, q: alone, typed: false, follows: glued || first > i });
  for (const { end, value: p } of wholesShort(row, i)) {
    const wordOf = row.tokens[end]?.text ?? '';
    const named = row.numbers.parts[wordOf];
    if (named !== undefined && row.numbers.gluedParts?.includes(wordOf) !== true)
      out.push({ end: end + 1, p, q: named, typed: false, follows: false });
    const slash = row.isSign('/', end)
      ? '/'
      : row.isSign('\u2044', end)
        ? '\u2044'
        : row.has(row.numbers.over, end)
          ? 'over'
          : null;
    if (slash === null) continue;
    for (const { end: to, value: q } of wholesShort(row, end + 1)) {
      if (q > 0 && !row.isSign('/', to)) out.push({ end: to, p, q, typed: slash === '/', follows: slash !== 'over' });
    }
  }
  return out;
}

/** Fractions, alone and after a whole number. */
export function fractions(row: Row, i: number, heads: readonly Piece[]): Piece[] {
  const out: Piece[] = [];
  for (const { end, p, q, typed } of parts(row, i)) {
    const dated = typed && p >= q;
    if (p === q) continue;
    out.push(piece(end, fraction(p, q), dated ? 0.4 : 1, typed && p !== 1 ? 'fraction' : null, typed && p !== 1, 0.01));
  }
  for (const head of heads) {
    if (head.end === i || head.reason !== null) continue;
    const start = row.has(row.numbers.and, head.end) ? head.end + 1 : head.end;
    for (const { end, p, q, follows } of parts(row, start)) {
      if (p >= q || (start === head.end && !follows)) continue;
      const whole = Number(head.values[0]);
      out.push(piece(end, add(nth(head.values, 0), fraction(p, q)), 1, null, false, 0.01));
      if (whole % 10 === 0 && whole > 10 && whole < 100 && p > 1 && p < 10)
        out.push(piece(end, fraction(whole + p, q), 0.4, 'fraction', true, 0.01));
    }
  }

  return out;
}

/** p/q as a decimal: exact where it ends within three places, else to three. */
function fraction(p: number, q: number): string {
  return String(Number((p / q).toFixed(3)));
}

/** Whole number plus a fraction below one, as decimals. */
function add(whole: string, part: string): string {
  return part.startsWith('0.') ? whole + part.slice(1) : String(Number(whole) + Number(part));
}
