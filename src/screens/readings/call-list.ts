import type { PageLanguage } from '../../language/page-language.ts';
import type { Call, NotebookState, Reading, Run } from '../../log/state.ts';
import { only } from '../../numerics/nth.ts';
import { type CallState, texts } from './catalogue.ts';

/** Calls of one run, or of no run, by time. Ids only: a row looks its call up, so that rows survive changes. */
export interface CallGroup {
  readonly run: string | null;
  readonly calls: readonly string[];
}

/** Every call, grouped by run in the order of the runs; what was called outside runs comes last. */
export function groupsOf(state: NotebookState): readonly CallGroup[] {
  const byRun = new Map<string | null, string[]>(state.runs.map((run) => [run.id, []]));
  const outside: string[] = [];
  for (const call of state.calls) (call.run === null ? outside : (byRun.get(call.run) ?? outside)).push(call.id);
  const groups: CallGroup[] = [...byRun].map(([run, calls]) => ({ run, calls }));
  return outside.length > 0 ? [...groups, { run: null, calls: outside }] : groups;
}

/** true for a call that a person should look at: in doubt, or without a value, and not settled by anybody. */
export function isOpenDoubt(call: Call, readingOf: (id: string) => Reading | undefined): boolean {
  if (call.outcome === 'unresolved') return true;
  return call.readings.some((id) => {
    const reading = readingOf(id);
    return reading !== undefined && reading.outcome === 'doubtful' && !reading.settled && !reading.struck;
  });
}

/** Values a call may have had, likeliest first, each once: what it was taken for, then its rivals. */
export function choicesOf(call: Call, reading: Reading | undefined): readonly string[] {
  const values = reading ? [reading.value] : [];
  for (const { meaning } of call.rivals) {
    const volume = meaning.kind === 'reading' ? only(meaning.values) : undefined;
    if (volume) values.push(volume.value);
  }
  return [...new Set(values)];
}

/** How the moment was obtained, and how well: one line. */
export function timingText(call: Pick<Call, 'timing' | 'uOnsetMs'>, language: PageLanguage = 'en'): string {
  const u = (call.uOnsetMs / 1000).toFixed(2);
  return texts[language].timing[call.timing](language === 'de' ? u.replace('.', ',') : u);
}

/** State of a call, for the row. */
export function stateText(call: Call, reading: Reading | undefined): CallState {
  if (reading?.struck) return 'struck';
  if (reading?.setAside) return 'set aside';
  if (reading && reading.outcome === 'doubtful' && !reading.settled) return 'in doubt';
  if (call.outcome === 'unresolved') return 'no value yet';
  if (call.outcome === 'waiting') return 'not judged';
  if (call.outcome === 'command') return 'command';
  if (call.outcome === 'not-a-reading') return 'no reading';
  if (reading?.timing === 'hand') return 'typed';
  if (reading?.timing === 'file') return 'from a file';
  return reading?.marked ? 'mark' : '';
}

/** A plain decimal out of what was typed, or null. A comma may be the decimal sign. */
export function typedValue(text: string): string | null {
  const plain = text
    .trim()
    .replace(',', '.')
    .replace(/\s*ml$/i, '');
  if (!/^\d{1,7}(\.\d{1,9})?$/.test(plain)) return null;
  return plain.replace(/^0+(?=\d)/, '');
}

/** Looks up readings of a state by id. Built once per state. */
export function readingsById(runs: readonly Run[]): ReadonlyMap<string, Reading> {
  const found = new Map<string, Reading>();
  for (const run of runs) for (const reading of run.readings) found.set(reading.id, reading);
  return found;
}

/** The run that a call outside runs most likely belongs to: the next one started after it, else the last before it. */
export function runForOutside(call: Pick<Call, 'onsetMs'>, runs: readonly Run[]): Run | undefined {
  return runs.find((run) => run.startedMs >= call.onsetMs) ?? runs.findLast((run) => run.startedMs < call.onsetMs);
}
