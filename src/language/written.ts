import { last, nth } from '../numerics/nth.ts';
import type { Reason } from './reasons.ts';

/** One way to read a numeral as it was written. */
export interface Form {
  readonly values: readonly string[];
  readonly weight: number;
  readonly ask: boolean;
  readonly reason: Reason | null;
}

const form = (values: readonly string[], weight: number, reason: Reason | null, ask = false): Form => ({
  values,
  weight,
  ask,
  reason,
});

/**
 * Ways to read one numeral of a transcript: engines group thousands, make times of day of "one thirty", and join
 * numbers that were said apart. Empty when it is no number (two decimal points).
 */
export function written(text: string, decimalSign: '.' | ','): Form[] {
  if (/^\d+$/.test(text)) return digitRun(text);
  const [, hours, minutes] = /^(\d{1,4}):(\d{2})$/.exec(text) ?? [];
  if (hours !== undefined && minutes !== undefined) return timeOfDay(hours, minutes);
  if (text.includes(':')) return [];
  const signs = text.replace(/\d/g, '');
  const [whole = '', ...parts] = text.split(/[.,']/);
  if (signs === decimalSign) return [decimal(whole, nth(parts, 0)), ...joinedPair(whole, nth(parts, 0))];
  return (
    grouped(signs, whole, parts, decimalSign) ??
    otherCountry(signs, whole, parts, decimalSign) ??
    groupedWithDecimals(signs, whole, parts, decimalSign)
  );
}

const decimal = (whole: string, decimals: string): Form => form([`${bare(whole)}.${decimals}`], 1, null);

/** "1,234,567" or, as written in India, "12,34,567"; null where it is neither. */
function grouped(signs: string, whole: string, parts: readonly string[], decimalSign: '.' | ','): Form[] | null {
  const oneKindOfSign = /^['.,]+$/.test(signs) && !signs.includes(decimalSign) && new Set(signs).size === 1;
  if (!oneKindOfSign) return null;
  const all = form([bare(whole + parts.join(''))], 1, null);
  if (parts.every((part) => part.length === 3) && whole.length <= 3)
    // "1.234" under a decimal comma: the engine may have been set to another country.
    return signs === '.' ? [all, form([`${bare(whole)}.${parts[0]}`], 0.3, 'other-country', true)] : [all];
  const pairsThenThree = parts.slice(0, -1).every((part) => part.length === 2) && parts.at(-1)?.length === 3;
  return pairsThenThree && parts.length > 1 && whole.length <= 2 ? [all] : null;
}

/** One sign that the other country uses for decimals: "25,5" where the point is the decimal sign, or the other way. */
function otherCountry(signs: string, whole: string, parts: readonly string[], decimalSign: '.' | ','): Form[] | null {
  const [after = ''] = parts;
  if (signs === '.' && decimalSign === ',') return [decimal(whole, after)];
  if (signs !== ',' || decimalSign !== '.' || after.length > 2) return null;
  return [
    form([bare(whole), bare(after)], 0.6, 'two-in-one'),
    form([`${bare(whole)}.${after}`], 0.4, 'other-country', true),
  ];
}

/** "1,234.5" */
function groupedWithDecimals(signs: string, whole: string, parts: readonly string[], decimalSign: '.' | ','): Form[] {
  const group = decimalSign === '.' ? ',' : '.';
  const groups = parts.slice(0, -1);
  const mixed = signs.length > 1 && signs === group.repeat(signs.length - 1) + decimalSign;
  return mixed && groups.every((part) => part.length === 3) ? [decimal(whole + groups.join(''), last(parts))] : [];
}

/** Without leading zeros. */
const bare = (digits: string) => digits.replace(/^0+(?=\d)/, '');

function digitRun(text: string): Form[] {
  if (/^0\d/.test(text)) {
    const forms = [form([bare(text)], 0.6, 'leading-zero', true)];
    if (/^0\d$/.test(text)) forms.push(form([`0.${text[1]}`], 0.3, 'leading-zero', true));
    return forms;
  }
  return [form([text], 1, null), ...splits(text)];
}

/** "2527": numbers of one to three digits each that may have been joined. Pieces are never zero nor start with one. */
function splits(text: string): Form[] {
  if (text.length < 3 || text.length > 9) return [];
  const found: string[][] = [];
  const cut = (from: number, pieces: string[]) => {
    if (from === text.length) {
      if (pieces.length > 1) found.push(pieces);
      return;
    }
    if (text[from] === '0' || pieces.length >= 5) return;
    for (let to = from + 1; to <= Math.min(from + 3, text.length); to++) cut(to, [...pieces, text.slice(from, to)]);
  };
  cut(0, []);
  // The more pieces, the less likely; and people say pieces of the same length in a row.
  return found.map((pieces) => {
    const even = new Set(pieces.map((piece) => piece.length)).size === 1;
    return form(pieces, (even ? 0.12 : 0.06) * 0.7 ** (pieces.length - 2), 'two-in-one');
  });
}

/** "25.27" may be two readings that an engine joined. Remote: only the marks can make it likely. */
function joinedPair(whole: string, decimals: string): Form[] {
  return /^[1-9]\d?$/.test(whole) && /^[1-9]\d$/.test(decimals) ? [form([whole, decimals], 0.015, 'two-in-one')] : [];
}

function timeOfDay(hours: string, minutes: string): Form[] {
  const h = bare(hours);
  const joined = h + minutes;
  const forms = [form([joined], 0.35, 'time-of-day', true), form([`${h}.${minutes}`], 0.12, 'time-of-day', true)];
  if (minutes === '00') forms.unshift(form([h], 0.5, 'time-of-day', true));
  else {
    forms.push(form([h, bare(minutes)], 0.35, 'two-in-one', true));
    if (minutes.startsWith('0')) forms.push(form([h + minutes[1]], 0.35, 'time-of-day', true));
    if (h.length === 2) forms.push(form([...joined], 0.03, 'two-in-one', true));
  }
  return forms;
}
