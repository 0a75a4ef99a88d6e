import type { NotebookState } from '../notebook/state.ts';
import { type CsvCell, csvText, type DecimalSign } from './csv.ts';
import type { Cell, Table } from './table.ts';

/**
 * Every reading as CSV. The names of the first columns are those that `npm run rates` reads; the ends of the names are
 * UCUM codes. Set-aside and struck readings stay in, with their status, which the command goes by.
 */
export function readingsCsv(state: NotebookState, table: Table, decimal: DecimalSign = '.'): string {
  const baselines = new Map(state.runs.map((run) => [run.label, run.baseline]));
  const at = (row: readonly Cell[], key: string): Cell => row[table.columns.findIndex((column) => column.key === key)]!;
  const text = (row: readonly Cell[], key: string): CsvCell => {
    const cell = at(row, key);
    return { text: cell.kind === 'text' ? cell.text : '' };
  };
  const number = (row: readonly Cell[], key: string, part: 'value' | 'u'): CsvCell => {
    const cell = at(row, key);
    const value = cell.kind === 'figure' ? cell[part] : undefined;
    return { number: value === undefined || value === null || !Number.isFinite(value) ? null : String(value) };
  };
  const header = [
    'run',
    'time_s',
    'volume_mL',
    'baseline_mL',
    'status',
    'reading',
    'u_time_s',
    'u_volume_mL',
    'as_taken',
    'heard',
    'timed_by',
    'reason',
    'changes',
  ];
  const rows = table.rows.map((row): CsvCell[] => {
    const run = at(row, 'run');
    return [
      text(row, 'run'),
      number(row, 'time', 'value'),
      number(row, 'volume', 'value'),
      { number: (run.kind === 'text' && baselines.get(run.text)) || null },
      text(row, 'status'),
      text(row, 'reading'),
      number(row, 'time', 'u'),
      number(row, 'volume', 'u'),
      text(row, 'as_said'),
      text(row, 'heard'),
      text(row, 'timed_by'),
      text(row, 'reason'),
      text(row, 'changes'),
    ];
  });
  return csvText([header.map((name) => ({ text: name })), ...rows], decimal);
}
