import type { PageLanguage } from '../language/page-language.ts';
import type { EventBody } from '../log/event.ts';
import { durationText, zeroMs } from '../log/runs.ts';
import type { Change, NotebookState, Reading, Run } from '../log/state.ts';
import { type UndoTexts, undoTexts } from './undo-texts.ts';

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
export function undoSentence(state: NotebookState, language: PageLanguage = 'en'): string | null {
  return latestUndo(state, language)?.sentence ?? null;
}

/** The latest act that can be taken back, or null. */
export function latestUndo(state: NotebookState, language: PageLanguage = 'en'): Undo | null {
  const event = state.undoable.at(-1);
  const body = state.acts.at(-1);
  if (event === undefined || body === undefined) return null;
  const before = state.acts.at(-2);
  const events = [event];
  // A start that ended the run before it is one act.
  const eventBefore = state.undoable.at(-2);
  if (body.kind === 'run-started' && before?.kind === 'run-ended' && before.timeMs === body.timeMs && eventBefore)
    events.unshift(eventBefore);
  return { events, ...whatOf(body, event, before, state, undoTexts[language]) };
}

const plain = (sentence: string): Omit<Undo, 'events'> => ({ sentence, asks: false });

function whatOf(
  body: EventBody,
  event: string,
  before: EventBody | undefined,
  state: NotebookState,
  t: UndoTexts,
): Omit<Undo, 'events'> {
  switch (body.kind) {
    case 'titled':
      return { sentence: t.titled(short(body.title)), asks: true };
    case 'grouped':
      return plain(t.grouped(short(body.group)));
    case 'members-named':
      return plain(t.members);
    case 'class-planned':
      return plain(t.classPlanned);
    case 'run-renamed':
      return plain(t.runNamed(short(body.label)));
    case 'run-removed': {
      const gone = state.removedRuns.find(({ run }) => run.id === body.run);
      return plain(t.runOut[body.how](gone ? t.run(gone.run.label) : t.aRun));
    }
    case 'run-returned':
      return plain(t.runReturned(labelOf(body.run, state, t)));
    case 'run-split':
      return plain(t.split(short(body.label)));
    case 'run-joined':
      return plain(t.joined(labelOf(body.into, state, t)));
    case 'runs-ordered':
      return plain(t.ordered);
    case 'readings-entered':
      return plain(t.entered[body.timing](body.readings.length, short(body.label)));
    case 'set-up':
      return { sentence: t.setUp, asks: true };
    case 'planned':
      return { sentence: t.planned, asks: true };
    case 'run-started':
      return start(
        body.run,
        before?.kind === 'run-ended' && before.timeMs === body.timeMs ? before.run : null,
        state,
        t,
      );
    case 'run-ended':
      return plain(t.ended(labelOf(body.run, state, t)));
    case 'corrected': {
      const reading = readingOf(body.reading, state);
      const was = reading && valueBefore(reading.history, event);
      return plain(was ? t.corrected(was, body.value, at(reading, state)) : t.value(body.value));
    }
    case 'struck':
      return plain(t.struck(named(body.reading, state, t)));
    case 'restored':
      return plain(t.restored(named(body.reading, state, t)));
    case 'set-aside':
      return plain(t.setAside(named(body.reading, state, t)));
    case 'put-back':
      return plain(t.putBack(named(body.reading, state, t)));
    case 'judged':
      return judged(body, state, t);
    case 'happened':
      return plain(t.happened(t.happenings[body.what]));
    case 'baseline':
      return plain(t.baseline(body.value));
    case 'temperature':
      return plain(t.temperature(body.value));
    case 'poured':
      return plain(pouring(body, state, t));
    case 'note':
      return plain(t.note(short(body.text)));
    case 'clock-settled':
      return plain(body.byMs === 0 ? t.timesKept : t.timesMoved);
    case 'condition-skipped':
      return plain(t.skipped[body.condition]);
    case 'estimate-chosen':
      return plain(t.estimator(labelOf(body.run, state, t)));
    default:
      return plain(t.lastAct);
  }
}

function pouring(body: Extract<EventBody, { kind: 'poured' }>, state: NotebookState, t: UndoTexts): string {
  const now = t.amount(body.value, short(body.reagent));
  const before = state.timed.find(({ event }) => event === body.replaces);
  return before?.kind === 'poured' ? t.pourMended(t.amount(before.value, short(before.reagent)), now) : t.poured(now);
}

function start(id: string, ended: string | null, state: NotebookState, t: UndoTexts): Omit<Undo, 'events'> {
  const run = state.runs.find((known) => known.id === id);
  const count = run?.readings.length ?? 0;
  const again = state.acts.filter((act) => act.kind === 'run-started' && act.run === id).length > 1;
  const what = t.started(labelOf(id, state, t), ended && labelOf(ended, state, t));
  if (again) return plain(t.startedTwice(what));
  const waiting = state.calls.filter((call) => call.run === id && call.outcome === 'unresolved').length;
  if (count + waiting === 0) return plain(what);
  return { sentence: t.wouldBeInNoRun(what, count > 0 ? t.readings(count) : t.calls(waiting)), asks: true };
}

function judged(
  body: Extract<EventBody, { kind: 'judged' }>,
  state: NotebookState,
  t: UndoTexts,
): Omit<Undo, 'events'> {
  const call = state.calls.find((known) => known.id === body.call);
  const values = body.meaning?.kind === 'reading' ? body.meaning.values.map(({ value }) => value).join(', ') : null;
  const run = state.runs.find((known) => known.id === call?.run);
  const when = call && run ? durationText(call.onsetMs - zeroMs(run)) : null;
  if (values === null) return plain(t.noReading(when));
  return plain(
    call?.timing === 'key' && call.history.length < 2 ? t.reading(values, when) : t.valueForCall(values, when),
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

function named(id: string, state: NotebookState, t: UndoTexts): string {
  const reading = readingOf(id, state);
  return reading ? t.named(reading.value, at(reading, state)) : t.aReading;
}

function at(reading: Reading | null, state: NotebookState): string | null {
  const run = state.runs.find((known) => known.id === reading?.run);
  return reading && run ? durationText(reading.timeMs - zeroMs(run)) : null;
}

function labelOf(id: string, state: NotebookState, t: UndoTexts): string {
  const run: Run | undefined = state.runs.find((known) => known.id === id);
  return run ? t.run(run.label) : t.aRun;
}

const short = (text: string): string => (text.length > 40 ? `${text.slice(0, 39)}…` : text);
