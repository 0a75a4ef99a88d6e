import { type Refusal, refusal } from '../log/refusal.ts';
import { tableRefusals } from './table-refusals.ts';
/** A decimal comma needs another separator; spreadsheets of such languages expect a semicolon. */
export type DecimalSign = '.' | ',';

/**
 * A cell of a file for spreadsheets. Numbers come as digits with a point; text is what people said or typed and is
 * not to be trusted.
 */
export type CsvCell = { readonly number: string | null } | { readonly text: string };

/**
 * CSV as RFC 4180 has it: commas, double quotes doubled, lines ended by CR LF. With a decimal comma the separator is a
 * semicolon. Text that a spreadsheet would run as a formula is made harmless, see `harmless`.
 */
export function csvText(rows: readonly (readonly CsvCell[])[], decimal: DecimalSign = '.'): string {
  const separator = decimal === ',' ? ';' : ',';
  return rows
    .map((row) => `${row.map((cell) => quoted(cellText(cell, decimal), separator)).join(separator)}\r\n`)
    .join('');
}

/** Tab-separated for pasting: no quotes, so tabs and line ends inside a cell become spaces. */
export function tsvText(rows: readonly (readonly CsvCell[])[], decimal: DecimalSign = '.'): string {
  const line = (row: readonly CsvCell[]): string =>
    row.map((cell) => cellText(cell, decimal).replace(/[\t\r\n]+/g, ' ')).join('\t');
  return `${rows.map(line).join('\n')}\n`;
}

function cellText(cell: CsvCell, decimal: DecimalSign): string {
  if ('text' in cell) return harmless(cell.text);
  return decimal === ',' ? (cell.number ?? '').replace('.', ',') : (cell.number ?? '');
}

const quoted = (text: string, separator: string): string =>
  text.includes(separator) || /["\r\n]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;

/**
 * Text that begins with = + - @ (also after white space and marks that are not seen, and in their full-width forms) is a formula to a spreadsheet:
 * an apostrophe in front makes it text. A plain number such as -5 stays a number. Common practice, no source.
 */
export function harmless(text: string): string {
  const risky = /^[\s\p{Cc}\p{Cf}]*[=+\-@\uff1d\uff0b\uff0d\uff20|]|^[\t\r\n]/u.test(text);
  const plainNumber = /^[+-]?\d+([.,]\d+)?(e[+-]?\d+)?$/i.test(text);
  return risky && !plainNumber ? `'${text}` : text;
}

/** What stands between the columns. */
export type Separator = ',' | ';' | '\t';

export type CsvRead =
  | {
      readonly ok: true;
      readonly rows: readonly (readonly string[])[];
      /** Line of the file on which each row begins, from 1. */
      readonly lines: readonly number[];
      readonly decimal: DecimalSign;
      readonly separator: Separator;
    }
  | Refusal;

/**
 * Reads CSV by RFC 4180, with comma, semicolon or tab as the separator (told from the first line outside quotes) and
 * any line ends; a byte-order mark and rows of empty cells are skipped. With a semicolon or tab, a decimal comma is assumed
 * when no cell is a number with a point and some cell is one with a comma; between commas, where such cells are quoted.
 * A first line `sep=;` names the separator, as some spreadsheets write it.
 */
export function readCsv(text: string): CsvRead {
  const marked = text.replace(/^\ufeff/, '');
  const named = /^"?sep=([,;\t])"?\r?(\n|$)/i.exec(marked);
  const clean = marked.slice(named?.[0].length ?? 0);
  const separator = (['\t', ';', ','] as const).find((sign) => sign === named?.[1]) ?? separatorOf(clean);
  const rows: string[][] = [];
  const lines: number[] = [];
  let row: string[] = [];
  let at = 0;
  let line = named ? 2 : 1;
  let begun = line;
  while (at < clean.length) {
    let cell = '';
    if (clean[at] === '"') {
      const end = endOfQuoted(clean, at + 1);
      if (end < 0) return refusal(tableRefusals.openQuote(line));
      cell = clean.slice(at + 1, end).replaceAll('""', '"');
      line += cell.match(/\r\n|\r|\n/g)?.length ?? 0;
      at = end + 1;
      const next = clean[at];
      if (next !== undefined && next !== separator && next !== '\r' && next !== '\n')
        return refusal(tableRefusals.afterQuote(line));
    } else {
      const start = at;
      while (at < clean.length && clean[at] !== separator && clean[at] !== '\r' && clean[at] !== '\n') at++;
      cell = clean.slice(start, at);
    }
    row.push(cell);
    if (clean[at] === separator) {
      at++;
      if (at === clean.length) row.push('');
      else continue;
    }
    if (clean[at] === '\r') at++;
    if (clean[at] === '\n') at++;
    if (row.some((cell) => cell.trim() !== '')) {
      rows.push(row);
      lines.push(begun);
    }
    row = [];
    line++;
    begun = line;
  }
  return { ok: true, rows, lines, decimal: decimalOf(rows), separator };
}

function endOfQuoted(text: string, from: number): number {
  for (let at = text.indexOf('"', from); at >= 0; at = text.indexOf('"', at + 2)) if (text[at + 1] !== '"') return at;
  return -1;
}

function separatorOf(text: string): Separator {
  let inQuotes = false;
  const counts = { ',': 0, ';': 0, '\t': 0 };
  for (const char of text) {
    if (char === '"') inQuotes = !inQuotes;
    else if (!inQuotes && (char === '\n' || char === '\r')) break;
    else if (!inQuotes && (char === ',' || char === ';' || char === '\t')) counts[char]++;
  }
  if (counts['\t'] > 0) return '\t';
  return counts[';'] > 0 ? ';' : ',';
}

function decimalOf(rows: readonly (readonly string[])[]): DecimalSign {
  const cells = rows.flat();
  const point = cells.some((cell) => /^\s*[+-]?\d*\.\d+(e[+-]?\d+)?\s*$/i.test(cell));
  const comma = cells.some((cell) => /^\s*[+-]?\d*,\d+(e[+-]?\d+)?\s*$/i.test(cell));
  return comma && !point ? ',' : '.';
}

/** A number of a CSV cell, or null when it is not a plain finite number. */
export function csvNumber(cell: string, decimal: DecimalSign = '.'): number | null {
  const text = cell.trim().replace(/^\u2212/, '-');
  const plain = decimal === ',' ? text.replace(',', '.') : text;
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain)) return null;
  const value = Number(plain);
  return Number.isFinite(value) ? value : null;
}
