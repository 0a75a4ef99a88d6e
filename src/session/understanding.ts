import type { Call, NotebookState, Reading, Run } from '../notebook/state.ts';
import type { Prediction } from '../speech/course.ts';
import { type Context, type Earlier, type Judgement, judge, propose } from '../speech/expectation.ts';
import { type Hypothesis, understand } from '../speech/understand.ts';
import type { Words } from '../speech/words.ts';
import type { Verdict } from './act.ts';
import { nextMarkMl } from './marks.ts';

/** A call in its run: notebook time of its onset, ms, and the run it belongs to, if any. */
export interface CallMoment {
  readonly call: Call['id'];
  readonly onsetMs: number;
  readonly run: string | null;
}

/** From the words of a call to what it means, in the light of what is expected. */
export interface Understanding {
  judge(hypotheses: readonly Hypothesis[], moment: CallMoment, state: NotebookState): Verdict;
  /** What earlier calls of a run are taken to mean now, where that changed. */
  rejudge(run: string, state: NotebookState): readonly { readonly call: Call['id']; readonly verdict: Verdict }[];
  /** Values that a call without words probably had, for the proposal beside it. */
  propose(moment: CallMoment, state: NotebookState): Verdict['rivals'];
}

/** An answer to "fifteen or fifty?" comes within so long of the doubtful call, ms. */
const questionMs = 9000;

export function makeUnderstanding(words: () => Words): Understanding {
  return {
    judge(hypotheses, moment, state) {
      const understood = understand(hypotheses, words());
      return verdictOf(judge(understood, contextOf(moment, state), words()));
    },
    rejudge: () => [],
    propose: (moment, state) => propose(contextOf(moment, state)),
  };
}

const verdictOf = ({ outcome, meaning, rivals, reason }: Judgement): Verdict => ({ outcome, meaning, rivals, reason });

/** What is known beforehand of a call: the run so far, as the judgement wants it. */
export function contextOf(moment: CallMoment, state: NotebookState): Context {
  const run = state.runs.find((known) => known.id === moment.run) ?? null;
  const { stepMl, cylinder } = state.setup;
  const question = run && openQuestion(run, moment.onsetMs);
  return {
    frame: {
      stepMl,
      startMl: run?.baseline == null ? null : nextMarkMl({ ...run, readings: [] }, state.setup),
      capacityMl: cylinder.capacityMl,
      divisionMl: cylinder.divisionMl,
    },
    earlier: run ? earlierOf(run, moment, state) : [],
    prediction: run ? predictionOf(run, moment.onsetMs) : null,
    runOpen: run !== null,
    paused: state.paused,
    question: question ? { choices: question } : null,
    nextRun: nextRunLabel(state),
    disturbed: run !== null && isDisturbed(run, moment.onsetMs),
  };
}

/** Label of the run that is started next when none is said: one more than the highest number so far. */
export function nextRunLabel(state: NotebookState): string {
  const numbers = state.runs.map((run) => Number.parseInt(run.label, 10)).filter((number) => Number.isFinite(number));
  return String(Math.max(0, ...numbers) + 1);
}

/** Calls of the run before the moment, by time; struck ones and what was no reading left out. */
function earlierOf(run: Run, moment: CallMoment, state: NotebookState): Earlier[] {
  const earlier: Earlier[] = [];
  for (const reading of run.readings) {
    if (reading.struck || reading.call === moment.call || reading.timeMs >= moment.onsetMs) continue;
    earlier.push(earlierReading(reading));
  }
  for (const call of state.calls) {
    if (call.run !== run.id || call.id === moment.call || call.onsetMs >= moment.onsetMs) continue;
    if (call.outcome === 'unresolved') earlier.push({ timeS: call.onsetMs / 1000, value: null, settled: false });
  }
  return earlier.sort((a, b) => a.timeS - b.timeS);
}

function earlierReading(reading: Reading): Earlier {
  const rivals = reading.rivals.flatMap(({ meaning, p }) =>
    meaning.kind === 'reading' && meaning.values.length === 1 ? [{ value: meaning.values[0]!.value, p }] : [],
  );
  return {
    timeS: reading.timeMs / 1000,
    value: reading.value,
    settled: reading.settled,
    doubtful: reading.outcome === 'doubtful',
    rivals: rivals.filter(({ value }) => value !== reading.value),
  };
}

/** The values that are in question: those of the latest reading, while it is in doubt and fresh. */
function openQuestion(run: Run, nowMs: number): readonly string[] | null {
  const last = run.readings.filter((reading) => !reading.struck && reading.timeMs < nowMs).at(-1);
  if (last?.outcome !== 'doubtful' || last.settled || nowMs - last.timeMs > questionMs) return null;
  const rivals = earlierReading(last).rivals ?? [];
  return [last.value, ...rivals.slice(0, 2).map(({ value }) => value)];
}

/** A leak, a spill or swirling since the last reading: the trend no longer holds. */
function isDisturbed(run: Run, nowMs: number): boolean {
  const last = run.readings.filter((reading) => !reading.struck && reading.timeMs < nowMs).at(-1)?.timeMs ?? 0;
  return run.timed.some((event) => event.kind === 'happened' && event.timeMs > last && event.timeMs < nowMs);
}

function predictionOf(_run: Run, _onsetMs: number): Prediction | null {
  return null;
}
