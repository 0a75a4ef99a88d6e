import type { Call, Change, NotebookState, Reading, Run } from '../log/state.ts';
import { type Cell, type Column, plainFigure, type Table, textCell } from './table.ts';
import { millilitres, seconds } from './unit.ts';

/** What a reading counts as in the fits. */
export type ReadingStatus = 'used' | 'used, in doubt' | 'set aside' | 'struck';

export function statusOf(reading: Reading): ReadingStatus {
  if (reading.struck) return 'struck';
  if (reading.setAside) return 'set aside';
  return reading.outcome === 'doubtful' && !reading.settled ? 'used, in doubt' : 'used';
}

const causeWords: Readonly<Record<NonNullable<Reading['setAside']>['cause'], string>> = {
  misheard: 'misheard number',
  'shifted-mark': 'missed or doubled mark',
  'late-call': 'late call',
  surge: 'surge or settling',
  'slow-down': 'leak or slow-down',
  'stirring-change': 'stirring change',
  unexplained: 'unexplained',
  'own-judgement': 'own judgement',
};

/** "late call: looked away": why a reading is set aside, or an empty text. */
export function reasonOf(reading: Reading): string {
  if (!reading.setAside) return '';
  const { cause, why } = reading.setAside;
  return why.trim() === '' ? causeWords[cause] : `${causeWords[cause]}: ${why.trim()}`;
}

const timingWords: Readonly<Record<Reading['timing'], string>> = {
  sound: 'sound',
  words: 'first words',
  key: 'key',
  hand: 'typed',
};
export const timingOf = (reading: Reading): string => timingWords[reading.timing];

/** The moment from which a run's times are counted: its first reading that is not struck, else its start. */
export const zeroOf = (run: Run): number => run.readings.find((reading) => !reading.struck)?.timeMs ?? run.startedMs;

/** "19 → 18 (by voice)": what was changed about a reading after it was first taken, in order. */
export function changesOf(reading: Reading): string {
  const lines: string[] = [];
  let value: string | null = null;
  for (const change of reading.history) {
    if (change.what === 'judged' || change.what === 'corrected') {
      if (value !== null && change.value !== null && change.value !== value)
        lines.push(`${value} → ${change.value} (${byWords[change.by]})`);
      value = change.value ?? value;
    } else if (change.what === 'struck') lines.push(`struck (${byWords[change.by]})`);
    else if (change.what === 'restored') lines.push('restored');
    else if (change.what === 'set-aside') lines.push('set aside');
    else if (change.what === 'put-back') lines.push('put back');
  }
  // What is set aside now stands in its own column.
  return lines.filter((line, i) => !(line === 'set aside' && i === lines.length - 1)).join('; ');
}

const byWords: Readonly<Record<Change['by'], string>> = {
  ear: 'words heard later',
  expectation: 'judged again by later readings',
  voice: 'by voice',
  hand: 'by hand',
};

/** Best words that were heard of a call, or an empty text. */
export function heardOf(call: Call | undefined): string {
  const heard = call?.heard ?? [];
  const last = heard.findLast((words) => words.final) ?? heard.at(-1);
  return last?.alternatives[0]?.text.trim() ?? '';
}

const columns: readonly Column[] = [
  { key: 'run', label: 'run', kind: 'text' },
  { key: 'reading', label: 'reading', kind: 'text' },
  { key: 'time', label: 'time', unit: seconds, kind: 'figure', latex: 't' },
  { key: 'volume', label: 'cylinder', unit: millilitres, kind: 'figure', latex: 'V' },
  { key: 'as_said', label: 'as taken', kind: 'text' },
  { key: 'heard', label: 'heard', kind: 'text' },
  { key: 'timed_by', label: 'timed by', kind: 'text' },
  { key: 'status', label: 'status', kind: 'text' },
  { key: 'reason', label: 'reason', kind: 'text' },
  { key: 'changes', label: 'changes', kind: 'text' },
];

/** u(time, s) and u(volume, mL) of a reading as the computation takes them. */
export type ReadingUncertainty = (
  run: Run,
  reading: Reading,
) => { readonly uTimeS: number; readonly uVolumeMl: number } | null;

/**
 * Every reading of every run, used or not, with what became of it. Times count from the run's first reading.
 */
export function readingsTable(state: NotebookState, uncertainty: ReadingUncertainty = () => null): Table {
  const calls = new Map(state.calls.map((call) => [call.id, call]));
  const rows = state.runs.flatMap((run) => {
    const zero = zeroOf(run);
    return run.readings.map((reading, i): Cell[] => {
      const u = uncertainty(run, reading);
      return [
        textCell(run.label),
        textCell(String(i + 1)),
        plainFigure(clean((reading.timeMs - zero) / 1000), u?.uTimeS),
        plainFigure(reading.volumeMl, u?.uVolumeMl),
        textCell(reading.value),
        textCell(heardOf(calls.get(reading.call))),
        textCell(timingOf(reading)),
        textCell(statusOf(reading)),
        textCell(reasonOf(reading)),
        textCell(changesOf(reading)),
      ];
    });
  });
  return { title: `Readings of “${state.title}”`, columns, rows, notes: [] };
}

/** Milliseconds have at most one decimal; a difference of two must not show more. */
const clean = (seconds: number): number => Number(seconds.toFixed(4));

/** The table as it is printed: what was decided about a reading in one column. */
export function readingsSheet(table: Table): Table {
  const at = (key: string): number => table.columns.findIndex((column) => column.key === key);
  const kept = ['run', 'reading', 'time', 'volume', 'as_said', 'heard', 'timed_by', 'status'].map(at);
  const joined = ['changes', 'reason'].map(at);
  return {
    ...table,
    columns: [...kept.map((i) => table.columns[i]!), { key: 'remarks', label: 'what was done about it', kind: 'text' }],
    rows: table.rows.map((row) => [
      ...kept.map((i) => row[i]!),
      textCell(
        joined
          .flatMap((i) => {
            const cell = row[i]!;
            return cell.kind === 'text' && cell.text !== '' ? [cell.text] : [];
          })
          .join('; '),
      ),
    ]),
  };
}
