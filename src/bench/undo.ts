import type { PageLanguage } from '../language/page-language.ts';
import type { EventBody, EventOf } from '../log/event.ts';
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
  return { events, ...whatOf(body, { event, before, state, t: undoTexts[language] }) };
}

/** What an act was, and whether it is asked about before it is taken back. */
type What = Omit<Undo, 'events'>;

const plain = (sentence: string): What => ({ sentence, asks: false });

/** What the descriptions of the acts are made from. */
interface Around {
  /** The event of the act. */
  readonly event: string;
  /** The act before it. */
  readonly before: EventBody | undefined;
  readonly state: NotebookState;
  readonly t: UndoTexts;
}

function whatOf(body: EventBody, around: Around): What {
  const tell = whats[body.kind] as ((body: EventBody, around: Around) => What) | undefined;
  return tell?.(body, around) ?? plain(around.t.lastAct);
}

/** What each kind of act was, in words. */
const whats: { readonly [kind in EventBody['kind']]?: (body: EventOf<kind>, around: Around) => What } = {
  titled: ({ title }, { t }) => ({ sentence: t.titled(short(title)), asks: true }),
  grouped: ({ group }, { t }) => plain(t.grouped(short(group))),
  'members-named': (_, { t }) => plain(t.members),
  'class-planned': (_, { t }) => plain(t.classPlanned),
  'run-renamed': ({ label }, { t }) => plain(t.runNamed(short(label))),
  'run-removed'({ run: id, how }, { state, t }) {
    const gone = state.removedRuns.find(({ run }) => run.id === id);
    return plain(t.runOut[how](gone ? t.run(gone.run.label) : t.aRun));
  },
  'run-returned': ({ run }, { state, t }) => plain(t.runReturned(labelOf(run, state, t))),
  'run-split': ({ label }, { t }) => plain(t.split(short(label))),
  'run-joined': ({ into }, { state, t }) => plain(t.joined(labelOf(into, state, t))),
  'runs-ordered': (_, { t }) => plain(t.ordered),
  'readings-entered': ({ timing, readings, label }, { t }) => plain(t.entered[timing](readings.length, short(label))),
  'set-up': (_, { t }) => ({ sentence: t.setUp, asks: true }),
  planned: (_, { t }) => ({ sentence: t.planned, asks: true }),
  'run-started'({ run, timeMs }, { before, state, t }) {
    const ended = before?.kind === 'run-ended' && before.timeMs === timeMs ? before.run : null;
    return start(run, ended, state, t);
  },
  'run-ended': ({ run }, { state, t }) => plain(t.ended(labelOf(run, state, t))),
  corrected({ reading: id, value }, { event, state, t }) {
    const reading = readingOf(id, state);
    const was = reading && valueBefore(reading.history, event);
    return plain(was ? t.corrected(was, value, at(reading, state)) : t.value(value));
  },
  struck: ({ reading }, { state, t }) => plain(t.struck(named(reading, state, t))),
  restored: ({ reading }, { state, t }) => plain(t.restored(named(reading, state, t))),
  'set-aside': ({ reading }, { state, t }) => plain(t.setAside(named(reading, state, t))),
  'put-back': ({ reading }, { state, t }) => plain(t.putBack(named(reading, state, t))),
  judged: (body, { state, t }) => judged(body, state, t),
  happened: ({ what }, { t }) => plain(t.happened(what)),
  baseline: ({ value }, { t }) => plain(t.baseline(value)),
  temperature: ({ value }, { t }) => plain(t.temperature(value)),
  poured: (body, { state, t }) => plain(pouring(body, state, t)),
  note: ({ text }, { t }) => plain(t.note(short(text))),
  'clock-settled': ({ byMs }, { t }) => plain(byMs === 0 ? t.timesKept : t.timesMoved),
  'condition-skipped': ({ condition }, { t }) => plain(t.skipped[condition]),
  'estimate-chosen': ({ run }, { state, t }) => plain(t.estimator(labelOf(run, state, t))),
};

function pouring(body: Extract<EventBody, { kind: 'poured' }>, state: NotebookState, t: UndoTexts): string {
  const now = t.amount(body.value, short(body.reagent));
  const before = state.timed.find(({ event }) => event === body.replaces);
  return before?.kind === 'poured' ? t.pourMended(t.amount(before.value, short(before.reagent)), now) : t.poured(now);
}

function start(id: string, ended: string | null, state: NotebookState, t: UndoTexts): What {
  const run = state.runs.find((known) => known.id === id);
  const count = run?.readings.length ?? 0;
  const again = state.acts.filter((act) => act.kind === 'run-started' && act.run === id).length > 1;
  const what = t.started(labelOf(id, state, t), ended && labelOf(ended, state, t));
  if (again) return plain(t.startedTwice(what));
  const waiting = state.calls.filter((call) => call.run === id && call.outcome === 'unresolved').length;
  if (count + waiting === 0) return plain(what);
  return { sentence: t.wouldBeInNoRun(what, count > 0 ? t.readings(count) : t.calls(waiting)), asks: true };
}

function judged(body: Extract<EventBody, { kind: 'judged' }>, state: NotebookState, t: UndoTexts): What {
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
