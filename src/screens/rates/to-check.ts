import type { NotebookAnalysis } from '../../analysis/notebook-analysis.ts';
import type { Flag } from '../../analysis/outliers.ts';
import type { RunData } from '../../analysis/run-data.ts';
import type { NotebookState } from '../../log/state.ts';
import { isOpenDoubt, readingsById } from '../readings/call-list.ts';

/** One thing to check: a doubtful call, or readings that one cause put off (a missed mark shifts all that follow). */
export interface CheckItem {
  /** Stays the same while the rest of the notebook changes. */
  readonly key: string;
  readonly run: string;
  readonly label: string;
  readonly entries: readonly CheckEntry[];
}

export interface CheckEntry {
  readonly call: string;
  /** Null for a call that has no value yet. */
  readonly reading: string | null;
  /** What the rest of the run says against it, with the run as it was computed. */
  readonly flag: { readonly flag: Flag; readonly run: RunData } | null;
}

/** All that waits for a person, in the order of runs and times: the same as on Readings, as far as it is in a run. */
export function itemsToCheck(state: NotebookState, found: NotebookAnalysis): readonly CheckItem[] {
  const readings = readingsById(state.runs);
  return found.runs.flatMap(({ id, label, readings: ids }, i): CheckItem[] => {
    const doubts = state.calls.filter((call) => call.run === id && isOpenDoubt(call, (one) => readings.get(one)));
    const inDoubt = new Set(doubts.flatMap((call) => call.readings));
    const result = found.analysis.runs[i];
    const flags = new Map((result?.ok ? result.flags : []).map((flag) => [ids[flag.index], flag]));
    const flagOf = (reading: string | null): CheckEntry['flag'] => {
      const flag = reading === null ? undefined : flags.get(reading);
      return flag && result?.ok ? { flag, run: result.run } : null;
    };
    const doubtful = doubts.map((call): CheckItem => {
      const reading = call.readings.length === 1 ? (call.readings[0] ?? null) : null;
      return { key: call.id, run: id, label, entries: [{ call: call.id, reading, flag: flagOf(reading) }] };
    });
    const grouped = new Map<string, CheckEntry[]>();
    for (const [reading, flag] of flags) {
      const call = reading === undefined ? undefined : readings.get(reading)?.call;
      if (reading === undefined || call === undefined || inDoubt.has(reading)) continue;
      grouped.set(flag.sentence, [...(grouped.get(flag.sentence) ?? []), { call, reading, flag: flagOf(reading) }]);
    }
    const flagged = [...grouped.values()].map(
      (entries): CheckItem => ({ key: `flag ${entries[0]?.reading}`, run: id, label, entries }),
    );
    return [...doubtful, ...flagged];
  });
}

/** How many readings wait. */
export const countOf = (items: readonly CheckItem[]): number =>
  items.reduce((sum, { entries }) => sum + entries.length, 0);

/** Any reading as something to look at, from its place in the plot. */
export function itemOf(state: NotebookState, found: NotebookAnalysis, reading: string): CheckItem | null {
  const index = found.runs.findIndex(({ readings }) => readings.includes(reading));
  const named = found.runs[index];
  const call = readingsById(state.runs).get(reading)?.call;
  const result = found.analysis.runs[index];
  if (!named || call === undefined) return null;
  const flag = result?.ok ? result.flags.find((one) => named.readings[one.index] === reading) : undefined;
  return {
    key: `picked ${reading}`,
    run: named.id,
    label: named.label,
    entries: [{ call, reading, flag: flag && result?.ok ? { flag, run: result.run } : null }],
  };
}
