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
  const nexts = nextDecimals(row, i, so);
  const out: Decimals[] = [];
  let stop = 1;
  for (const next of nexts) {
    stop = Math.min(stop, 1 - next.go);
    for (const rest of decimals(row, next.end, so + next.digits))
      out.push({ ...rest, weight: rest.weight * next.go, ask: rest.ask || next.ask === true });
  }
  if (so && stop > 0) out.push({ end: i, digits: so, weight: stop, ask: false });
  return out;
}

/** What may go on with the decimals, and how likely it is that it does. */
interface NextDecimals {
  readonly end: number;
  readonly digits: string;
  readonly go: number;
  readonly ask?: boolean;
}

function nextDecimals(row: Row, i: number, so: string): NextDecimals[] {
  const token = row.tokens[i];
  if (!token) return [];
  if (token.kind === 'digits') return figureNext(token.text, i, so);
  const one = digit(row, i);
  const nexts: NextDecimals[] = one
    ? [{ end: one.end, digits: one.text, go: one.text.startsWith('0') ? 1 : 0.985 }]
    : [];
  return token.kind === 'word' ? [...nexts, ...wordsNext(row, i, so)] : nexts;
}

/** "25 point 05", "25 point 2 5": figures that an engine wrote. */
function figureNext(text: string, i: number, so: string): NextDecimals[] {
  if (!/^\d+$/.test(text)) return [];
  const certain = text.startsWith('0') || onlyZeros(so);
  return [{ end: i + 1, digits: text, go: certain ? 1 : text.length === 1 ? 0.6 : 0.1 }];
}

/** "point twenty five"; "point one hundred and five" only to ask about. */
function wordsNext(row: Row, i: number, so: string): NextDecimals[] {
  const found = small(row, i).filter(({ figures }) => !figures);
  const longest = Math.max(0, ...found.map(({ end }) => end));
  const belowHundred = found
    .filter(({ value }) => value >= 10)
    .map(({ end, value }) => {
      const natural = end === longest ? 1 : 0.01;
      return { end, digits: String(value), go: natural * (onlyZeros(so) ? 1 : 0.2) };
    });
  if (so !== '') return belowHundred;
  const hundreds = wholes(row, i, 1000)
    .filter(({ value, apart }) => value >= 100 && apart === 1)
    .map(({ end, value }) => ({ end, digits: String(value), go: 0.9, ask: true }));
  return [...belowHundred, ...hundreds];
}

const onlyZeros = (digits: string): boolean => /^0*$/.test(digits);

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
