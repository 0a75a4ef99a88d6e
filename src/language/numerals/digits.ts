import { type Piece, piece, type Row } from './row.ts';

/** One digit said by itself, or repeated ("double five"). */
export function digit(row: Row, i: number): { end: number; text: string } | null {
  const token = row.tokens[i];
  if (!token) return null;
  if (token.kind === 'digits' && token.text.length === 1) return { end: i + 1, text: token.text };
  if (token.kind !== 'word') return null;
  if (row.numbers.ohs.includes(token.text)) return { end: i + 1, text: '0' };
  const times = row.numbers.repeats[token.text];
  if (times !== undefined) {
    const next = digit(row, i + 1);
    return next && next.text.length === 1 ? { end: next.end, text: next.text.repeat(times) } : null;
  }
  const value = row.lexicon.small.get(token.text);
  return value !== undefined && value < 10 ? { end: i + 1, text: String(value) } : null;
}

/** Digits said one by one, from two on. */
export function runs(row: Row, i: number): Piece[] {
  const out: Piece[] = [];
  let text = '';
  let at = i;
  for (let one = digit(row, at); one; one = digit(row, at)) {
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
}
