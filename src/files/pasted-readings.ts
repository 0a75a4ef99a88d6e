import type { PageLanguage } from '../language/page-language.ts';
import type { EnteredReading, EventBody } from '../log/event.ts';
import { csvNumber, type DecimalSign, readCsv } from './csv.ts';
import { pastedTexts } from './pasted-texts.ts';

/** What the person said about columns that do not say it themselves. */
export interface ColumnChoice {
  /** Unit of times that are plain numbers. */
  readonly timeUnit?: 's' | 'min';
  readonly volumeUnit?: 'mL' | 'L';
  /** What the first column of numbers is. */
  readonly first?: 'time' | 'volume';
}

/** What columns may leave open. */
export type Asked = 'time-unit' | 'volume-unit' | 'first';

export interface PastedRun {
  readonly label: string;
  readonly readings: readonly EnteredReading[];
}

/** Times and volumes of one or several runs. `asks`: what the columns left open and was guessed. */
export type PastedReadings =
  | {
      readonly ok: true;
      readonly runs: readonly PastedRun[];
      readonly stated: boolean;
      readonly asks: readonly Asked[];
      readonly choice: Required<ColumnChoice>;
      readonly notes: readonly string[];
    }
  | { readonly ok: false; readonly sentence: string };

type Role = 'run' | 'time' | 'volume' | 'u_time' | 'u_volume' | 'status' | 'number' | 'other';

interface Column {
  readonly name: string;
  readonly role: Role;
  readonly unit: string;
}

class Unreadable extends Error {}

/** Standard uncertainty of a time for which a file states none, ms: half a second at most, evenly (a judgement). */
const uUnstatedMs = 300;

/**
 * Reads pasted or saved columns of times and volumes: tabs, commas, semicolons or spaces between the cells, decimal points or
 * commas, seconds, minutes or `m:ss`, with a header or without. Several runs stand in a column `run`, below each other
 * with an empty line between, or side by side (one column of volumes and a column of times a run, or the other way round,
 * or pairs). The columns of `rates-csv.ts` are understood as they are there.
 * @example
 * const read = pastedReadings('0:00\t14\n1:05\t16', 'en');
 * read.ok && read.runs[0]?.readings[1]?.time // => '65'
 */
export function pastedReadings(text: string, language: PageLanguage, choice: ColumnChoice = {}): PastedReadings {
  const t = pastedTexts[language];
  const read = readCsv(withTabs(text));
  if (!read.ok) return { ok: false, sentence: read.sentences[language] };
  if (read.rows.length === 0) return { ok: false, sentence: t.empty };
  const { decimal } = read;
  const isValue = (cell: string): boolean => cell.trim() === '' || secondsOf(cell, decimal) !== null;
  const headed = !(read.rows[0] ?? []).every(isValue);
  const rows = headed ? read.rows.slice(1) : read.rows;
  const lines = headed ? read.lines.slice(1) : read.lines;
  const width = Math.max(...read.rows.map((row) => row.length));
  const columns = Array.from({ length: width }, (_, i) =>
    columnOf(
      headed ? (read.rows[0]?.[i] ?? '') : '',
      rows.map((row) => row[i] ?? ''),
      decimal,
    ),
  );
  try {
    return runsOf({ rows, lines, columns, decimal }, choice, t);
  } catch (error) {
    if (error instanceof Unreadable) return { ok: false, sentence: error.message };
    throw error;
  }
}

interface Grid {
  readonly rows: readonly (readonly string[])[];
  readonly lines: readonly number[];
  readonly columns: readonly Column[];
  readonly decimal: DecimalSign;
}

type Texts = (typeof pastedTexts)['en'];

function runsOf(grid: Grid, choice: ColumnChoice, t: Texts): PastedReadings {
  const { columns } = grid;
  const asks: Asked[] = [];
  const pairs = pairsOf(columns, choice, asks, t);
  const clocked = pairs.some(({ time }) => grid.rows.some((row) => (row[time] ?? '').includes(':')));
  const made = unitsOf(columns, pairs, clocked, choice, asks);
  const place = (role: Role): number => columns.findIndex((column) => column.role === role);
  const places = { uTime: place('u_time'), uVolume: place('u_volume'), status: place('status'), run: place('run') };
  const factors = {
    time: made.timeUnit === 'min' && !clocked ? 60 : 1,
    volume: made.volumeUnit === 'L' ? 1000 : 1,
  };
  const { found, left } = readingsOf(grid, pairs, places, factors, t);
  const runs = [...found].map(([label, readings]) => ({ label, readings }));
  if (runs.length === 0) throw new Unreadable(t.noNumbers);
  if (runs.length > 50 || runs.some(({ readings }) => readings.length > 2000)) throw new Unreadable(t.many);
  const short = runs.find(({ readings }) => readings.length < 2);
  if (short) throw new Unreadable(t.few(short.label));
  const others = columns.filter(({ role, name }) => role === 'other' && name !== '').map(({ name }) => name);
  const notes = [...(others.length > 0 ? [t.notTaken(others.join(', '))] : []), ...(left ? [t.setAside] : [])];
  return { ok: true, runs, stated: isStated(places), asks, choice: made, notes };
}

/** Units of the columns by their headings, else as chosen; what no heading tells is asked. */
function unitsOf(
  columns: readonly Column[],
  pairs: readonly Pair[],
  clocked: boolean,
  choice: ColumnChoice,
  asks: Asked[],
): Required<ColumnChoice> {
  const has = (kind: 'time' | 'volume', unit: RegExp): boolean =>
    pairs.some((pair) => unit.test(columns[pair[kind]]?.unit ?? ''));
  const minutes = has('time', /^(min|minuten?|minutes?)$/i);
  const seconds = has('time', /^(s|sec|sek|seconds?|sekunden?)$/i);
  if (!clocked && !minutes && !seconds) asks.push('time-unit');
  const litres = has('volume', /^(l|dm3|dm³|liters?|litres?)$/i);
  const millilitres = has('volume', /^(ml|cm3|cm³|cc)$/i);
  if (!litres && !millilitres) asks.push('volume-unit');
  return {
    timeUnit: (seconds || minutes ? null : choice.timeUnit) ?? (minutes ? 'min' : 's'),
    volumeUnit: (litres || millilitres ? null : choice.volumeUnit) ?? (litres ? 'L' : 'mL'),
    first: pairs[0] && pairs[0].time > pairs[0].volume ? 'volume' : 'time',
  };
}

/** Where the columns stand that are no times or volumes; -1: there is none. */
type Places = Readonly<Record<'uTime' | 'uVolume' | 'status' | 'run', number>>;

/** The table says how sure its figures are. */
const isStated = ({ uTime, uVolume }: Places): boolean => uTime >= 0 || uVolume >= 0;

/** The readings by run; `left`: some were struck or set aside, and left out. */
function readingsOf(
  grid: Grid,
  pairs: readonly Pair[],
  places: Places,
  factors: { readonly time: number; readonly volume: number },
  t: Texts,
): { readonly found: ReadonlyMap<string, readonly EnteredReading[]>; readonly left: boolean } {
  const { rows, lines } = grid;
  const { uTime, uVolume, status, run } = places;
  const found = new Map<string, EnteredReading[]>();
  let left = false;
  const cell = (row: number, column: number): string => cellAt(grid, row, column);
  const uncertainty = (row: number, column: number): number =>
    column >= 0 ? Math.abs(numberAt(grid, row, column, t)) : 0;
  for (const [index, pair] of pairs.entries()) {
    let block = 1;
    for (const row of rows.keys()) {
      if (row > 0 && (lines[row] ?? 0) - (lines[row - 1] ?? 0) > 1) block++;
      if (cell(row, pair.time) === '' || cell(row, pair.volume) === '') continue;
      if (/^(struck|set aside)$/i.test(cell(row, status))) {
        left = true;
        continue;
      }
      const ofPair = pairs.length > 1 ? (pair.label ?? String(index + 1)) : String(block);
      const label = run >= 0 ? cell(row, run) || '1' : ofPair;
      const own = found.get(label) ?? [];
      own.push({
        time: figureAt(grid, row, pair.time, factors.time, t),
        value: figureAt(grid, row, pair.volume, factors.volume, t),
        uTimeMs: isStated(places) ? uncertainty(row, uTime) * 1000 : uUnstatedMs,
        ...(isStated(places) ? { uVolumeMl: uncertainty(row, uVolume) } : {}),
      });
      found.set(label.slice(0, 40), own);
    }
  }
  return { found, left };
}

const cellAt = ({ rows }: Grid, row: number, column: number): string => (rows[row]?.[column] ?? '').trim();

function numberAt(grid: Grid, row: number, column: number, t: Texts): number {
  const cell = cellAt(grid, row, column);
  const value = secondsOf(cell, grid.decimal);
  const line = grid.lines[row] ?? 0;
  if (value === null) throw new Unreadable(t.notNumber(line, cell.slice(0, 40)));
  if (!(Math.abs(value) < 1e7)) throw new Unreadable(t.large(line));
  return value;
}

/** A figure as it was written, where that is plain; else its value, times the factor of its unit. */
function figureAt(grid: Grid, row: number, column: number, factor: number, t: Texts): string {
  const value = numberAt(grid, row, column, t);
  const plain = cellAt(grid, row, column)
    .replace(/^\u2212/, '-')
    .replace(grid.decimal, '.');
  return factor === 1 && /^-?\d{1,7}(\.\d{1,9})?$/.test(plain) ? plain : decimalText(value * factor);
}

interface Pair {
  readonly time: number;
  readonly volume: number;
  readonly label?: string;
}

/** Which column of times belongs to which column of volumes. */
function pairsOf(columns: readonly Column[], choice: ColumnChoice, asks: Asked[], t: Texts): Pair[] {
  const places = (role: Role): number[] => columns.flatMap((column, i) => (column.role === role ? [i] : []));
  let times = places('time');
  let volumes = places('volume');
  const open = places('number');
  if (times.length === 0 && volumes.length === 0) {
    if (open.length < 2) throw new Unreadable(open.length === 1 ? t.oneColumn : t.noNumbers);
    asks.push('first');
    const [first = 0, ...rest] = open;
    if (choice.first === 'volume') [volumes, times] = [[first], rest];
    else [times, volumes] = [[first], rest];
  } else if (times.length === 0) times = open;
  else if (volumes.length === 0) volumes = open;
  if (times.length === 0 || volumes.length === 0) throw new Unreadable(t.noNumbers);
  const label = (i: number): { label?: string } => {
    const name = columns[i]?.name ?? '';
    const number =
      /(?:run|lauf|versuch|r|l|#)\s*_?(\w{1,3})\b/i.exec(name)?.[1] ?? /\b(\d{1,3}[a-z]?)\b/.exec(name)?.[1];
    return number === undefined ? {} : { label: number };
  };
  if (times.length === volumes.length)
    return times.map((time, i) => ({ time, volume: volumes[i] ?? 0, ...label(times[i] ?? 0) }));
  if (times.length === 1) return volumes.map((volume) => ({ time: times[0] ?? 0, volume, ...label(volume) }));
  return times.map((time) => ({ time, volume: volumes[0] ?? 0, ...label(time) }));
}

/** What a column is, by its heading, else by what stands in it. */
function columnOf(heading: string, cells: readonly string[], decimal: DecimalSign): Column {
  const name = heading.replace(/\s+/g, ' ').trim();
  const own = /[([/]\s*([a-zµ]+[3³]?)\s*[)\]]?\s*$/i.exec(name)?.[1] ?? /_(s|min|ml|l)$/i.exec(name)?.[1] ?? '';
  const column = (role: Role, unit = own): Column => ({ name, role, unit });
  if (/^u_time/i.test(name)) return column('u_time');
  if (/^u_vol/i.test(name)) return column('u_volume');
  if (/^status$/i.test(name)) return column('status');
  if (/^(run|lauf|versuch|trial|nr\.?|no\.?)$/i.test(name)) return column('run');
  const filled = cells.filter((cell) => cell.trim() !== '');
  const numbers = filled.length > 0 && filled.some((cell) => secondsOf(cell, decimal) !== null);
  if (/\b(time|zeit|dauer|elapsed)\b|^(time|zeit|t\d*\b)/i.test(name) || /^(s|sec|min)$/i.test(own))
    return column('time');
  if (/^(s|sec|seconds|sekunden|min|minutes|minuten)$/i.test(name)) return column('time', name);
  if (/^(vol|v\b|gas|ml\b|cm3|reading|ablesung|stand)/i.test(name) || /^(ml|cm3|cm³|l)$/i.test(own))
    return column('volume', own || (/^(ml|cm3)/i.exec(name)?.[0] ?? ''));
  if (filled.some((cell) => cell.includes(':')) && numbers) return column('time');
  if (numbers && (name === '' || /\b(run|lauf|versuch|#)?\s*\d{1,3}[a-z]?$/i.test(name)) && !/^(u_|conc)/i.test(name))
    return column('number');
  return column('other');
}

/** A number, or a time such as 1:05.3 or 0:01:05, in seconds; null for anything else. */
function secondsOf(cell: string, decimal: DecimalSign): number | null {
  const text = cell.trim();
  const clock = /^(?:(\d{1,2}):)?(\d{1,3}):(\d{2}(?:[.,]\d+)?)$/.exec(text);
  if (clock) {
    const [, hours = '0', minutes = '0', seconds = '0'] = clock;
    const tail = seconds.replace(',', '.');
    const decimals = tail.split('.')[1]?.length ?? 0;
    return Number((3600 * Number(hours) + 60 * Number(minutes) + Number(tail)).toFixed(decimals));
  }
  return csvNumber(text, decimal);
}

const decimalText = (value: number): string => String(Number(value.toFixed(9)));

/** Columns apart by spaces, as copied from a page: spaces between numbers become tabs. */
function withTabs(text: string): string {
  if (/[\t;]/.test(text)) return text;
  const lines = text.split(/\r\n|\r|\n/).filter((line) => line.trim() !== '');
  const spaced = lines.filter((line) => /^\s*[\d.,:\u2212-]+(\s+[\d.,:\u2212-]+)+\s*$/.test(line) && !/,\s/.test(line));
  if (spaced.length < Math.max(1, lines.length - 1)) return text;
  return text
    .replace(/[^\S\r\n]+$/gm, '')
    .replace(/^[^\S\r\n]+/gm, '')
    .replace(/[^\S\r\n]+/g, '\t');
}

/** The readings as events, ending now. @param newId makes an id for each run */
export function enteredEvents(
  runs: readonly PastedRun[],
  how: { readonly timing: 'hand' | 'file'; readonly stated: boolean; readonly nowMs: number },
  labelFor: (wanted: string, taken: readonly string[]) => string,
  taken: readonly string[],
  newId: () => string,
): EventBody[] {
  const labels = [...taken];
  return runs.map(({ label, readings }) => {
    const own = labelFor(label, labels);
    labels.push(own);
    const lastMs = Math.max(...readings.map(({ time }) => Number(time) * 1000));
    const firstMs = Math.min(...readings.map(({ time }) => Number(time) * 1000));
    // Notebook time has no moments before its beginning.
    const fromMs = Math.max(how.nowMs - lastMs, -firstMs, 0);
    return {
      kind: 'readings-entered',
      run: newId(),
      label: own,
      timing: how.timing,
      stated: how.stated,
      fromMs: Math.round(fromMs * 10) / 10,
      readings: [...readings],
    };
  });
}
