import { clearKey } from '../language/clear.ts';
import { type OwnWords, withoutOwn } from '../language/echo.ts';
import { type Context, type Earlier, type Judgement, judge, propose } from '../language/expectation.ts';
import { type RunCall, rejudge } from '../language/rejudge.ts';
import { predictFrom } from '../language/trend.ts';
import { continues, type Hypothesis, type Understood, understand } from '../language/understand.ts';
import type { Words } from '../language/words.ts';
import { countingReadings, endOf, isOwnSound, nextRunLabel } from '../log/runs.ts';
import type { Call, HeardWords, NotebookState, Reading, Run } from '../log/state.ts';
import { only } from '../numerics/nth.ts';
import type { Ruling } from './act.ts';
import { gridOf } from './marks.ts';

/** A call in its run: notebook time of its onset, ms, and the run it belongs to, if any. */
export interface CallMoment {
  readonly call: Call['id'];
  readonly onsetMs: number;
  readonly run: string | null;
  /** Phrases that an ear made of the sound, where it made several: two speak for two readings in one breath. */
  readonly sounds?: number;
  /** Set where its words were softer than the caller's calls (`EarCall`). */
  readonly nearness?: number;
}

/** From the words of a call to what it means, given what is expected. */
export interface Understanding {
  judge(hypotheses: readonly Hypothesis[], moment: CallMoment, state: NotebookState): Ruling;
  /** What earlier calls of a run are taken to mean now, where that changed. */
  rejudge(run: string, state: NotebookState): readonly { readonly call: Call['id']; readonly verdict: Ruling }[];
  /** What of the hypotheses is not the tool's own voice. */
  withoutOwn(hypotheses: readonly Hypothesis[], own: OwnWords): readonly Hypothesis[];
  /** The number that two texts are together, said with so long between them, ms; null when they are two. */
  joined(first: string, second: string, gapMs: number): string | null;
  /** The one value that texts say plainly, or null. */
  plainValue(hypotheses: readonly Hypothesis[]): string | null;
  /** Values that a call without words probably had, for the proposal beside it. */
  propose(moment: CallMoment, state: NotebookState): Ruling['rivals'];
}

/** An answer to "fifteen or fifty?" comes within so long of the doubtful call, ms. */
const questionMs = 9000;

export function makeUnderstanding(words: () => Words): Understanding {
  return {
    judge(hypotheses, moment, state) {
      const understood = understand(hypotheses, words());
      return verdictOf(judge(understood, contextOf(moment, state, words()), words()));
    },
    rejudge(run, state) {
      const calls = runCallsOf(run, state, words());
      const { frame } = contextOf({ call: '', onsetMs: Number.POSITIVE_INFINITY, run }, state, words());
      return rejudge(calls, frame, words()).map(({ id, judgement }) => ({ call: id, verdict: verdictOf(judgement) }));
    },
    withoutOwn: (hypotheses, own) => withoutOwn(hypotheses, own, words()),
    joined: (first, second, gapMs) => continues(first, second, gapMs, words()),
    plainValue(hypotheses) {
      const best = understand(hypotheses, words()).candidates[0]?.candidate;
      return best?.kind === 'reading' && best.values.length === 1 ? (best.values[0] ?? null) : null;
    },
    propose: (moment, state) => propose(contextOf(moment, state, words())),
  };
}

const verdictOf = ({ outcome, meaning, rivals, reason, doubt, aside }: Judgement): Ruling => ({
  outcome,
  meaning,
  rivals,
  reason,
  ...(doubt ? { doubt } : {}),
  ...(aside ? { aside } : {}),
});

/** What is known beforehand of a call: the run so far, as the judgement wants it. */
export function contextOf(moment: CallMoment, state: NotebookState, words: Words): Context {
  const run = state.runs.find((known) => known.id === moment.run) ?? null;
  const { cylinder } = state.setup;
  const grid = run && gridOf(run, state.setup);
  const stepMl = grid?.stepMl ?? state.setup.stepMl;
  const question = run && openQuestion(run, moment.onsetMs, stepMl);
  return {
    frame: {
      stepMl,
      startMl: state.setup.firstMarkMl ?? null,
      ...(grid ? { anchorMl: grid.anchorMl } : {}),
      ...(run && countingReadings(run).length === 1 && state.setup.firstMarkMl === undefined
        ? { marksUnsure: true }
        : {}),
      ...(run?.baseline == null ? {} : { baselineMl: Number(run.baseline) }),
      capacityMl: cylinder.capacityMl,
      divisionMl: cylinder.divisionMl,
    },
    earlier: run ? earlierOf(run, moment, state, words) : [],
    prediction: run ? predictionOf(run, moment.onsetMs) : null,
    runOpen: run !== null,
    paused: state.paused,
    question: question ? { choices: question } : null,
    nextRun: nextRunLabel(state),
    disturbed: run !== null && isDisturbed(run, moment.onsetMs),
    ...(moment.sounds === undefined ? {} : { sounds: moment.sounds }),
    ...(moment.nearness === undefined ? {} : { nearness: moment.nearness }),
  };
}

/** Calls of the run before the moment, by time; struck ones and what was no reading left out. */
function earlierOf(run: Run, moment: CallMoment, state: NotebookState, words: Words): Earlier[] {
  const earlier: Earlier[] = [];
  const calls = new Map(state.calls.map((call) => [call.id, call]));
  for (const reading of run.readings) {
    if (reading.struck || reading.call === moment.call || reading.timeMs >= moment.onsetMs) continue;
    const call = calls.get(reading.call);
    const understood = call ? understandingOf(call, words) : null;
    earlier.push({
      ...earlierReading(reading),
      clear: understood === null || clearKey(understood) === reading.value,
    });
  }
  for (const call of state.calls) {
    if (call.run !== run.id || call.id === moment.call || call.onsetMs >= moment.onsetMs) continue;
    if (call.outcome === 'unresolved' && !isOwnSound(call))
      earlier.push({ timeS: call.onsetMs / 1000, value: null, settled: false });
  }
  return earlier.sort((a, b) => a.timeS - b.timeS);
}

function earlierReading(reading: Reading): Earlier {
  const rivals = reading.rivals.flatMap(({ meaning, p }) => {
    const volume = meaning.kind === 'reading' ? only(meaning.values) : undefined;
    return volume ? [{ value: volume.value, p }] : [];
  });
  return {
    timeS: reading.timeMs / 1000,
    value: reading.value,
    settled: reading.settled,
    doubtful: reading.outcome === 'doubtful',
    rivals: rivals.filter(({ value }) => value !== reading.value),
  };
}

/**
 * The values that are in question ("fifteen or fifty?"): those of the latest reading, while it is in doubt and fresh.
 * A rival that may as well be one of the next marks is left out: saying it is taken for the next reading, and a bare
 * number must never swallow one; "that was …" settles it.
 */
function openQuestion(run: Run, nowMs: number, stepMl: number): readonly string[] | null {
  const last = run.readings.filter((reading) => !reading.struck && reading.timeMs < nowMs).at(-1);
  if (last?.outcome !== 'doubtful' || last.settled || nowMs - last.timeMs > questionMs) return null;
  const rival = earlierReading(last).rivals?.[0]?.value;
  const ahead = rival === undefined ? 0 : Number(rival) - last.volumeMl;
  // The value itself may be said for the mark after the rival, once the water had the time.
  const rising = nowMs - last.timeMs >= risingShare * usualGapMs(run, last);
  const mayBeNext = (ahead > 0 || rising) && Math.abs(ahead) <= 3 * stepMl + 1e-9;
  return rival === undefined || mayBeNext ? null : [last.value, rival];
}

/** Share of the usual time between two calls from which the next one may come (reasoned). */
const risingShare = 0.6;

/** ms between the latest reading and the one before; endless for the first. */
function usualGapMs(run: Run, last: Reading): number {
  const before = run.readings.filter((reading) => !reading.struck && reading.timeMs < last.timeMs).at(-1);
  return before ? last.timeMs - before.timeMs : Number.POSITIVE_INFINITY;
}

/** A leak, a spill or swirling since the last reading: the trend no longer holds. */
function isDisturbed(run: Run, nowMs: number): boolean {
  const last = run.readings.filter((reading) => !reading.struck && reading.timeMs < nowMs).at(-1)?.timeMs ?? 0;
  return run.timed.some((event) => event.kind === 'happened' && event.timeMs > last && event.timeMs < nowMs);
}

/** What the readings before a moment predict for it. */
function predictionOf(run: Run, onsetMs: number): Context['prediction'] {
  const points = countingReadings(run)
    .filter(({ timeMs, outcome, settled }) => timeMs < onsetMs && (outcome === 'taken' || settled))
    .map((reading) => ({ timeS: reading.timeMs / 1000, volumeMl: reading.volumeMl }));
  return predictFrom(points, onsetMs / 1000);
}

/** What the words of a call were understood as; worked out once per answer. */
const understoodOf = new WeakMap<readonly HeardWords[], Understood>();

/** Calls of a run that are, or could be, readings, as the second judgement wants them. */
function runCallsOf(run: string, state: NotebookState, words: Words): RunCall[] {
  const readings = new Map(state.runs.find((known) => known.id === run)?.readings.map((one) => [one.id, one]));
  return state.calls.flatMap((call, index): RunCall[] => {
    const reading = call.readings.map((id) => readings.get(id)).find((one) => one !== undefined);
    const open = call.outcome === 'taken' || call.outcome === 'doubtful' || call.outcome === 'unresolved';
    if (call.run !== run || !open || reading?.struck || isOwnSound(call)) return [];
    return [
      {
        id: call.id,
        timeS: call.onsetMs / 1000,
        understood: joinedUnderstanding(call, state.calls[index + 1], words) ?? understandingOf(call, words),
        settled: reading?.settled ? reading.value : null,
        marked: reading?.marked ?? false,
        current:
          call.meaning?.kind === 'reading' && reading
            ? { values: call.meaning.values.map(({ value }) => value), doubtful: call.outcome === 'doubtful' }
            : null,
      },
    ];
  });
}

/** What a call was understood as whose number was finished by the next sound: the number of both. */
function joinedUnderstanding(call: Call, next: Call | undefined, words: Words): Understood | null {
  const value =
    call.meaning?.kind === 'reading' && call.meaning.values.length === 1 ? call.meaning.values[0]?.value : null;
  const first = call.heard.at(-1);
  const rest = next?.heard.at(-1)?.alternatives[0]?.text;
  const text = first?.alternatives[0]?.text;
  if (!value || !first || text === undefined || rest === undefined || next?.outcome !== 'not-a-reading') return null;
  const gapMs = next.onsetMs - endOf(call);
  return continues(text, rest, gapMs, words) === value
    ? understand([{ text: value, p: null, ear: first.ear }], words)
    : null;
}

function understandingOf(call: Call, words: Words): Understood | null {
  const { heard } = call;
  const known = understoodOf.get(heard);
  if (known) return known;
  const hypotheses = heard.flatMap(({ ear, alternatives }) => alternatives.map(({ text, p }) => ({ text, p, ear })));
  if (hypotheses.length === 0) return null;
  const understood = understand(hypotheses, words);
  understoodOf.set(heard, understood);
  return understood;
}
