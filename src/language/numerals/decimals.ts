import { digit } from './digits.ts';
import { type Piece, piece, type Row } from './row.ts';
import { small, wholes } from './whole.ts';

/** Decimals from token i on; `so` are decimals already had. */
export interface Decimals {
  end: number;
  digits: string;
  weight: number;
  ask: boolean;
}
export function decimals(row: Row, i: number, so: string): Decimals[] {
  const token = row.tokens[i];
  if (!token) return so ? [{ end: i, digits: so, weight: 1, ask: false }] : [];
  const nexts: { end: number; digits: string; go: number; ask?: boolean }[] = [];
  const one = digit(row, i);
  if (token.kind === 'digits') {
    if (/^\d+$/.test(token.text)) {
      const zeros = /^0*$/.test(so);
      const go = token.text.startsWith('0') || zeros ? 1 : token.text.length === 1 ? 0.6 : 0.1;
      nexts.push({ end: i + 1, digits: token.text, go });
    }
  } else if (one) nexts.push({ end: one.end, digits: one.text, go: /^0/.test(one.text) ? 1 : 0.985 });
  if (token.kind === 'word') {
    const found = small(row, i).filter(({ figures }) => !figures);
    const longest = Math.max(0, ...found.map(({ end }) => end));
    for (const { end, value } of found) {
      const natural = end === longest ? 1 : 0.01;
      if (value >= 10) nexts.push({ end, digits: String(value), go: natural * (/^0*$/.test(so) ? 1 : 0.2) });
    }
    if (so === '')
      for (const whole of wholes(row, i, 1000))
        if (whole.value >= 100 && whole.apart === 1)
          nexts.push({ end: whole.end, digits: String(whole.value), go: 0.9, ask: true });
  }
  const out: Decimals[] = [];
  let stop = 1;
  for (const next of nexts) {
    stop = Math.min(stop, 1 - next.go);
    for (const rest of decimals(row, next.end, so + next.digits))
      out.push({ ...rest, weight: rest.weight * next.go, ask: rest.ask || next.ask === true });
  }
  if (so && (nexts.length === 0 || stop > 0))
    out.push({ end: i, digits: so, weight: nexts.length ? stop : 1, ask: false });
  return out;
}

/** Index after a decimal point that stands at i, or null. A "." must be followed by a figure. */
export function point(row: Row, i: number): { next: number; loose: boolean } | null {
  if (row.has(row.numbers.point, i)) return { next: i + 1, loose: false };
  const signed = row.isSign('.', i) || (row.decimalSign === ',' && row.isSign(',', i) && !row.tokens[i + 1]?.gap);
  const next = row.tokens[i + 1];
  return signed && next ? { next: i + 1, loose: next.gap } : null;
}

/** Decimals after a point, for numbers that end where it stands; "25 comma 27" in a language of decimal points. */
export function afterPoint(row: Row, i: number, heads: readonly Piece[]): Piece[] {
  const out: Piece[] = [];
  for (const head of heads) {
    const mark = point(row, head.end);
    if (!mark) continue;
    for (const found of decimals(row, mark.next, ''))
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
    const spoken = row.has(row.numbers.comma, head.end);
    if (!spoken || head.end === i) continue;
    for (const found of decimals(row, head.end + 1, ''))
      out.push(piece(found.end, `${head.values[0]}.${found.digits}`, 0.3 * found.weight, 'other-country', true, 1));
  }

  return out;
}
