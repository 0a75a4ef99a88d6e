import { csvNumber, readCsv } from '../files/csv.ts';
import { tableRefusals as t } from '../files/table-refusals.ts';
import { checksumOf } from '../log/checksum.ts';
import { type Checked, refusal } from '../log/refusal.ts';
import { shownName } from '../log/shown-name.ts';
import type { ClassEntry } from './class-entry.ts';
import { usable } from './class-result.ts';

/**
 * Values that somebody else published or worked out: CSV with columns `name,value,u` (u: standard uncertainty; a column
 * `variance` will do in its place). Names of columns in any case, others are passed over.
 */
export function entriesOfTable(text: string): Checked<readonly ClassEntry[]> {
  const read = readCsv(text);
  if (!read.ok) return read;
  const [header, ...rows] = read.rows;
  const names = header?.map((cell) => cell.trim().toLowerCase()) ?? [];
  /** Place of a column, undefined where the table has none of this name. */
  const find = (name: string): number | undefined => {
    const place = names.indexOf(name);
    return place < 0 ? undefined : place;
  };
  const [name, value, u] = [find('name'), find('value'), find('u')];
  const spreads = u ?? find('variance');
  if (value === undefined || spreads === undefined) return refusal(t.valueColumns, 'not a table');
  if (rows.length > 100_000) return refusal(t.manyRows);
  const twice = ['name', 'value', 'u', 'variance'].find((one) => names.indexOf(one) !== names.lastIndexOf(one));
  if (twice !== undefined) return refusal(t.twice(twice));
  // A decimal comma between commas: "0,0087" would be read as 0, with a u of 87.
  const long = rows.findIndex((row) => row.slice(names.length).some((cell) => cell.trim() !== ''));
  if (long >= 0) return refusal(t.manyCells(read.lines[long + 1]));
  const sum = checksumOf(text);
  const entries: ClassEntry[] = [];
  for (const [i, row] of rows.entries()) {
    const x = csvNumber(row[value] ?? '', read.decimal);
    const given = csvNumber(row[spreads] ?? '', read.decimal);
    const spread = given === null || u !== undefined ? given : Math.sqrt(given);
    if (x === null || spread === null || !(spread > 0)) return refusal(t.noValue(i + 2));
    const quantity = { value: x, u: spread, unit: '' };
    if (!usable(quantity)) return refusal(t.valueSize(i + 2));
    entries.push({
      // Another table is other groups, whatever their names; the same table again is not.
      id: `table-${sum}-${i}`,
      name: (name === undefined ? '' : shownName(row[name] ?? '')) || `row ${i + 1}`,
      title: '',
      group: '',
      members: '',
      begunWallMs: null,
      events: 0,
      invented: false,
      origin: `table-${sum}-${i}`,
      readings: null,
      reaction: null,
      unit: 'value',
      orders: null,
      law: 'value from a table',
      quantities: { value: quantity },
      lack: null,
      did: [],
      rows: [],
      referenceK: null,
      activation: null,
      stocks: [],
      hPa: null,
      added: [],
      notebook: null,
    });
  }
  return entries.length > 0 ? { ok: true, value: entries } : refusal(t.noRows);
}
