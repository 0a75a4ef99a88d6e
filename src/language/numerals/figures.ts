import { last, only } from '../../numerics/nth.ts';
import { written } from '../written.ts';
import { decimals } from './decimals.ts';
import { type Piece, piece, type Row } from './row.ts';
import { shift } from './shift.ts';

/** A numeral in figures as it stands, and what may follow it: more decimals, a scale ("164.58 thousand"), "25th". */
export function figures(row: Row, i: number): Piece[] {
  const token = row.tokens[i];
  return token?.kind === 'digits' ? [...asItStands(row, i, token.text), ...ordinal(row, i, token.text)] : [];
}

function asItStands(row: Row, i: number, text: string): Piece[] {
  const out: Piece[] = [];
  for (const { values, weight, ask, reason } of written(text, row.decimalSign)) {
    out.push({ end: i + 1, values, weight, ask, reason, breaking: 1 });
    const value = only(values);
    const [whole, had] = value?.split('.') ?? [];
    if (value !== undefined && had && reason === null) {
      for (const more of decimals(row, i + 1, had))
        if (more.end > i + 1)
          out.push(piece(more.end, `${whole}.${more.digits}`, more.weight, null, more.ask, 1 - more.weight));
      const next = row.tokens[i + 1];
      const scale = row.lexicon.scales.get(next?.text ?? '');
      if (next && scale !== undefined && (next.text.length > 1 || !next.gap))
        out.push(piece(i + 2, shift(value, Math.log10(scale)), 1, null, false, 0.01));
    }
  }
  return out;
}

function ordinal(row: Row, i: number, text: string): Piece[] {
  const out: Piece[] = [];
  const ending = row.tokens[i + 1];
  if (ending && !ending.gap && row.numbers.ordinalEndings.includes(ending.text) && /^\d+$/.test(text)) {
    out.push(piece(i + 2, text, 1, 'ordinal', true, 0.01));
    // "5000ths" is how engines write five thousandths.
    const [, figure, zeros] = /^([1-9])(0+)$/.exec(text) ?? [];
    if (figure && zeros && ending.text === 'ths')
      out.push(piece(i + 2, shift(figure, -zeros.length), 1.5, 'fraction', true, 0.01));
  }
  return out;
}

/** "2/3/25", "25/27", "3/4": dates and lists in the clothes of fractions; "25-27", "555-1212". */
export function chained(row: Row, i: number): Piece[] {
  const out: Piece[] = [];
  for (const sign of ['/', '-']) {
    const values: string[] = [];
    let at = i;
    for (;;) {
      const token = row.tokens[at];
      if (token?.kind !== 'digits' || !/^\d+$/.test(token.text)) break;
      values.push(token.text);
      at++;
      const next = row.tokens[at + 1];
      if (!row.isSign(sign, at) || next?.kind !== 'digits') break;
      if (sign === '-' && row.tokens[at]?.gap !== next.gap) break;
      at++;
    }
    if (values.length < 2) continue;
    if (sign === '/' && values.length === 2 && (values[0] === values[1] || values[0] === '1')) continue;
    const list = values.map((value) => value.replace(/^0+(?=\d)/, ''));
    const joined = values.join('');
    if (sign === '/') out.push({ ...piece(at, '', 0.6, 'date', true, 0.01), values: list });
    else {
      const phone = last(values).length >= 4;
      out.push({ ...piece(at, '', phone ? 0.3 : 0.6, phone ? 'phone-number' : 'range', true, 0.01), values: list });
      if (joined.length <= 7) out.push(piece(at, joined, phone ? 0.6 : 0.2, 'phone-number', true, 0.01));
      if (values.length === 2 && !phone) {
        const difference = Number(values[0]) - Number(values[1]);
        if (difference > 0) out.push(piece(at, String(difference), 0.1, 'sum', true, 0.01));
      }
    }
  }
  return out;
}
