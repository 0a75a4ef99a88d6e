import type { EventBody } from '../log/event.ts';
import { durationText, zeroMs } from '../log/runs.ts';
import type { Change, NotebookState, Reading, Run } from '../log/state.ts';

/** What "undo" would take back now. */
export interface Undo {
  /** Events to take back together: one act of a person. */
  readonly events: readonly string[];
  /** What that is, to be put after "Take back": "the correction of 12 mL to 14 mL". */
  readonly sentence: string;
  /** More hangs on it than the act itself (a run's readings, the run sheet): not without asking first. */
  readonly asks: boolean;
}

/** "The correction of 12 mL to 14 mL", or null when nothing can be taken back. */
export function undoSentence(state: NotebookState): string | null {
  return latestUndo(state)?.sentence ?? null;
}

/** The latest act that can be taken back, or null. */
export function latestUndo(state: NotebookState): Undo | null {
  const event = state.undoable.at(-1);
  const body = state.acts.at(-1);
  if (event === undefined || body === undefined) return null;
  const before = state.acts.at(-2);
  const events = [event];
  // A start that ended the run before it is one act.
  if (body.kind === 'run-started' && before?.kind === 'run-ended' && before.timeMs === body.timeMs)
    events.unshift(state.undoable.at(-2)!);
  return { events, ...whatOf(body, event, before, state) };
}

const plain = (sentence: string): Omit<Undo, 'events'> => ({ sentence, asks: false });

function whatOf(
  body: EventBody,
  event: string,
  before: EventBody | undefined,
  state: NotebookState,
): Omit<Undo, 'events'> {
  switch (body.kind) {
    case 'titled':
      return { sentence: `the naming of the notebook as “${short(body.title)}”`, asks: true };
    case 'grouped':
      return plain(`the naming of the group as “${short(body.group)}”`);
    case 'members-named':
      return plain('the names of the group’s members');
    case 'class-planned':
      return plain('the latest change of the groups and questions');
    case 'run-renamed':
      return plain(`the name “${short(body.label)}” of a run`);
    case 'run-removed': {
      const gone = state.removedRuns.find(({ run }) => run.id === body.run);
      const what = body.how === 'deleted' ? 'the deletion' : 'the setting aside';
      return plain(`${what} of ${gone ? `run ${gone.run.label}` : 'a run'}`);
    }
    case 'run-returned':
      return plain(`the return of ${labelOf(body.run, state)}`);
    case 'run-split':
      return plain(`the split that made run ${short(body.label)}`);
    case 'run-joined':
      return plain(`the joining of two runs into ${labelOf(body.into, state)}`);
    case 'runs-ordered':
      return plain('the new order of the runs');
    case 'readings-entered': {
      const how = body.timing === 'hand' ? 'typed' : 'taken from a file';
      return plain(
        `${counted(body.readings.length, 'reading')} of run ${short(body.label)} that ${body.readings.length === 1 ? 'was' : 'were'} ${how}`,
      );
    }
    case 'set-up':
      return { sentence: 'the latest change of cylinder, marks or uncertainties', asks: true };
    case 'planned':
      return { sentence: 'the latest change of the run sheet', asks: true };
    case 'run-started':
      return start(body.run, before?.kind === 'run-ended' && before.timeMs === body.timeMs ? before.run : null, state);
    case 'run-ended':
      return plain(`the end of ${labelOf(body.run, state)}`);
    case 'corrected': {
      const reading = readingOf(body.reading, state);
      const was = reading && valueBefore(reading.history, event);
      return plain(
        was ? `the correction of ${was} mL to ${body.value} mL${at(reading, state)}` : `the value ${body.value} mL`,
      );
    }
    case 'struck':
      return plain(`the striking of ${named(body.reading, state)}`);
    case 'restored':
      return plain(`the restoring of ${named(body.reading, state)}`);
    case 'set-aside':
      return plain(`the setting aside of ${named(body.reading, state)}`);
    case 'put-back':
      return plain(`the putting back of ${named(body.reading, state)}`);
    case 'judged':
      return judged(body, state);
    case 'happened':
      return plain(`the event “${body.what.replace('-', ' ')}”`);
    case 'baseline':
      return plain(`the baseline of ${body.value} mL`);
    case 'temperature':
      return plain(`the temperature of ${body.value} °C`);
    case 'poured':
      return plain(pouring(body, state));
    case 'note':
      return plain(`the note “${short(body.text)}”`);
    case 'clock-settled':
      return plain(body.byMs === 0 ? 'keeping the times over the gap' : 'the moved times before the gap');
    case 'condition-skipped':
      return plain(`leaving out the ${body.condition === 'pressure' ? 'air pressure' : 'temperature'}`);
    case 'estimate-chosen':
      return plain(`the choice of the way to the rate of ${labelOf(body.run, state)}`);
    default:
      return plain('the last act');
  }
}

function pouring(body: Extract<EventBody, { kind: 'poured' }>, state: NotebookState): string {
  const now = `${body.value} mL of ${short(body.reagent)}`;
  const before = state.timed.find(({ event }) => event === body.replaces);
  return before?.kind === 'poured'
    ? `the putting right of ${before.value} mL of ${short(before.reagent)} to ${now}`
    : `the pouring of ${now}`;
}

function start(id: string, ended: string | null, state: NotebookState): Omit<Undo, 'events'> {
  const run = state.runs.find((known) => known.id === id);
  const count = run?.readings.length ?? 0;
  const again = state.acts.filter((act) => act.kind === 'run-started' && act.run === id).length > 1;
  const what = `the start of ${labelOf(id, state)}${ended ? `, so that ${labelOf(ended, state)} goes on` : ''}`;
  if (again) return plain(`${what}, which was started twice`);
  const waiting = state.calls.filter((call) => call.run === id && call.outcome === 'unresolved').length;
  if (count + waiting === 0) return plain(what);
  const hanging = count > 0 ? counted(count, 'reading') : counted(waiting, 'call');
  return { sentence: `${what} (${hanging} would be in no run)`, asks: true };
}

function judged(body: Extract<EventBody, { kind: 'judged' }>, state: NotebookState): Omit<Undo, 'events'> {
  const call = state.calls.find((known) => known.id === body.call);
  const values = body.meaning?.kind === 'reading' ? body.meaning.values.map(({ value }) => value).join(', ') : null;
  const run = state.runs.find((known) => known.id === call?.run);
  const when = call && run ? ` at ${durationText(call.onsetMs - zeroMs(run))}` : '';
  if (values === null) return plain(`the judgement that the call${when} is no reading`);
  return plain(
    call?.timing === 'key' && call.history.length < 2
      ? `the reading of ${values} mL${when}`
      : `the value of ${values} mL for the call${when}`,
  );
}

function valueBefore(history: readonly Change[], event: string): string | null {
  const index = history.findIndex((entry) => entry.event === event);
  return history.slice(0, Math.max(0, index)).findLast((entry) => entry.value !== null)?.value ?? null;
}

function readingOf(id: string, state: NotebookState): Reading | null {
  for (const run of state.runs) {
    const found = run.readings.find((reading) => reading.id === id);
    if (found) return found;
  }
  return null;
}

function named(id: string, state: NotebookState): string {
  const reading = readingOf(id, state);
  return reading ? `${reading.value} mL${at(reading, state)}` : 'a reading';
}

function at(reading: Reading | null, state: NotebookState): string {
  const run = state.runs.find((known) => known.id === reading?.run);
  return reading && run ? ` at ${durationText(reading.timeMs - zeroMs(run))}` : '';
}

function labelOf(id: string, state: NotebookState): string {
  const run: Run | undefined = state.runs.find((known) => known.id === id);
  return run ? `run ${run.label}` : 'a run';
}

const counted = (count: number, noun: string): string => `${count} ${count === 1 ? noun : `${noun}s`}`;
const short = (text: string): string => (text.length > 40 ? `${text.slice(0, 39)}…` : text);
