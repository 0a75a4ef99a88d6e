import type { PageLanguage } from '../language/page-language.ts';
import type { Call, NotebookState, Reading, Run } from '../log/state.ts';
import { causeTexts } from './cause-texts.ts';
import { type Column, type ColumnOf, plainFigure, type Table, tableOf, textCell } from './table.ts';
import { resultTexts } from './texts.ts';
import { millilitres, seconds } from './unit.ts';

/** What a reading counts as in the fits. */
export type ReadingStatus = 'used' | 'used, in doubt' | 'set aside' | 'struck';

export function statusOf(reading: Reading): ReadingStatus {
  if (reading.struck) return 'struck';
  if (reading.setAside) return 'set aside';
  return reading.outcome === 'doubtful' && !reading.settled ? 'used, in doubt' : 'used';
}

/** "called late: looked away": why a reading is set aside, or an empty text. */
export function reasonOf(reading: Reading, language: PageLanguage = 'en'): string {
  if (!reading.setAside) return '';
  const { cause, why } = reading.setAside;
  const word = causeTexts[language][cause];
  return why.trim() === '' ? word : `${word}: ${why.trim()}`;
}

/** The moment from which a run's times are counted: its first reading that is not struck, else its start. */
export const zeroOf = (run: Run): number => run.readings.find((reading) => !reading.struck)?.timeMs ?? run.startedMs;

/** "19 → 18 (by voice)": what was changed about a reading after it was first taken, in order. */
export function changesOf(reading: Reading, language: PageLanguage = 'en'): string {
  const t = resultTexts[language].readings;
  const setAside = t.statuses['set aside'];
  const found: string[] = [];
  let value: string | null = null;
  for (const change of reading.history) {
    switch (change.what) {
      case 'judged':
      case 'corrected':
        if (value !== null && change.value !== null && change.value !== value)
          found.push(`${value} → ${change.value} (${t.by[change.by]})`);
        value = change.value ?? value;
        break;
      case 'struck':
        found.push(t.struckBy(t.by[change.by]));
        break;
      case 'restored':
        found.push(t.restored);
        break;
      case 'set-aside':
        found.push(setAside);
        break;
      case 'put-back':
        found.push(t.putBack);
        break;
    }
  }
  // What is set aside now stands in its own column.
  return found.filter((line, i) => !(line === setAside && i === found.length - 1)).join('; ');
}

/** Best words that were heard of a call, or an empty text. */
export function heardOf(call: Call | undefined): string {
  const heard = call?.heard ?? [];
  const last = heard.findLast((words) => words.final) ?? heard.at(-1);
  return last?.alternatives[0]?.text.trim() ?? '';
}

/** u(time, s) and u(volume, mL) of a reading as the computation takes them. */
export type ReadingUncertainty = (
  run: Run,
  reading: Reading,
) => { readonly uTimeS: number; readonly uVolumeMl: number } | null;

/** A reading as the table of readings sees it. */
interface ReadingRow {
  readonly run: Run;
  readonly reading: Reading;
  readonly number: number;
  readonly zeroMs: number;
  readonly call: Call | undefined;
  readonly u: ReturnType<ReadingUncertainty>;
}

function readingColumns(language: PageLanguage): ColumnOf<ReadingRow>[] {
  const t = resultTexts[language].readings;
  const text = (key: string, label: string, of: (row: ReadingRow) => string): ColumnOf<ReadingRow> => ({
    key,
    label,
    kind: 'text',
    cell: (row) => textCell(of(row)),
  });
  return [
    text('run', resultTexts[language].run, ({ run }) => run.label),
    text('reading', t.reading, ({ number }) => String(number)),
    {
      key: 'time',
      label: t.time,
      unit: seconds,
      kind: 'figure',
      latex: 't',
      cell: ({ reading, zeroMs, u }) => plainFigure(clean((reading.timeMs - zeroMs) / 1000), u?.uTimeS),
    },
    {
      key: 'volume',
      label: t.volume,
      unit: millilitres,
      kind: 'figure',
      latex: 'V',
      cell: ({ reading, u }) => plainFigure(reading.volumeMl, u?.uVolumeMl),
    },
    text('as_said', t.asSaid, ({ reading }) => reading.value),
    text('heard', t.heard, ({ call }) => heardOf(call)),
    text('timed_by', t.timedBy, ({ reading }) => t.timings[reading.timing]),
    text('status', t.status, ({ reading }) => t.statuses[statusOf(reading)]),
    text('reason', t.reason, ({ reading }) => reasonOf(reading, language)),
    text('changes', t.changes, ({ reading }) => changesOf(reading, language)),
  ];
}

/**
 * Every reading of every run, used or not, with what became of it. Times count from the run's first reading.
 */
export function readingsTable(
  state: NotebookState,
  uncertainty: ReadingUncertainty = () => null,
  language: PageLanguage = 'en',
): Table {
  const calls = new Map(state.calls.map((call) => [call.id, call]));
  const rows = state.runs.flatMap((run) => {
    const zeroMs = zeroOf(run);
    return run.readings.map(
      (reading, i): ReadingRow => ({
        run,
        reading,
        number: i + 1,
        zeroMs,
        call: calls.get(reading.call),
        u: uncertainty(run, reading),
      }),
    );
  });
  return tableOf(resultTexts[language].readings.title(state.title), readingColumns(language), rows);
}

/** Milliseconds have at most one decimal; a difference of two must not show more. */
const clean = (seconds: number): number => Number(seconds.toFixed(4));

/** The table as it is printed: what was decided about a reading in one column. */
export function readingsSheet(table: Table, language: PageLanguage = 'en'): Table {
  const wanted = new Set(['run', 'reading', 'time', 'volume', 'as_said', 'heard', 'timed_by', 'status']);
  const joined = new Set(['changes', 'reason']);
  const pick = <Item>(items: readonly Item[], keys: ReadonlySet<string>): Item[] =>
    items.filter((_, i) => keys.has(table.columns[i]?.key ?? ''));
  const remarks: Column = { key: 'remarks', label: resultTexts[language].readings.remarks, kind: 'text' };
  return {
    ...table,
    columns: [...pick(table.columns, wanted), remarks],
    rows: table.rows.map((row) => [
      ...pick(row, wanted),
      textCell(
        pick(row, joined)
          // What was changed comes before why it was set aside.
          .reverse()
          .flatMap((cell) => (cell.kind === 'text' && cell.text !== '' ? [cell.text] : []))
          .join('; '),
      ),
    ]),
  };
}
