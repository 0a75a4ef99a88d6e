import type { HeardCall } from '../hearing/pairing.ts';
import { plainFrom } from '../language/expectation.ts';
import type { Hypothesis } from '../language/understand.ts';
import { durationText, endOf, zeroMs } from '../log/runs.ts';
import type { Call, NotebookState } from '../log/state.ts';
import type { Moment, Ruling } from './act.ts';
import { impossibleReading, unlikelyReading } from './plausible.ts';
import type { Preferences } from './preferences.ts';
import type { sessionTexts } from './session-texts.ts';
import type { Understanding } from './understanding.ts';

/** What a ruling rests on, beside the notebook. */
export interface Grounds {
  /** Null until it is loaded: words come only after it. */
  readonly understanding: Understanding | null;
  readonly preferences: Preferences;
  /** true while some ear that knows words is at work. Without one, a sound stands for the next mark. */
  readonly hearsWords: boolean;
}

/** The state as if a call had not been judged yet. */
export function withoutCall(state: NotebookState, call: string): NotebookState {
  const runs = state.runs.map((run) =>
    run.readings.some((reading) => reading.call === call)
      ? { ...run, readings: run.readings.filter((reading) => reading.call !== call) }
      : run,
  );
  return { ...state, runs, calls: state.calls.filter((other) => other.id !== call) };
}

/** The run that a moment (notebook time, ms) belongs to: the one that was going on then. */
export function runAt({ runs }: NotebookState, timeMs: number): string | null {
  const run = runs.findLast(({ startedMs, endedMs }) => timeMs >= startedMs && (endedMs === null || timeMs <= endedMs));
  return run?.id ?? null;
}

/** What was heard, without what the tool itself said then. */
export function withoutOwnWords(
  heard: readonly Hypothesis[],
  { during, timing }: HeardCall,
  { understanding }: Grounds,
): readonly Hypothesis[] {
  if (!during || heard.length === 0) return heard;
  return understanding?.withoutOwn(heard, { said: during.said, bySound: timing === 'sound' }) ?? heard;
}

/** The tool heard itself. The value is kept as a rival: a person may have called the same at the same moment. */
export function ownVoice(heard: readonly Hypothesis[], call: HeardCall, { understanding }: Grounds): Ruling {
  const said = call.during?.said.at(-1)?.spoken ?? '';
  const value = understanding?.plainValue(heard) ?? null;
  const why = 'heard while the tool said the same';
  return {
    outcome: 'not-a-reading',
    meaning: null,
    rivals: value === null ? [] : [{ meaning: { kind: 'reading', values: [{ value }] }, p: 0.1, why }],
    reason: `the tool’s own voice (“${said}”)`,
  };
}

/** A sound over the tool's speech, in which no ear found words. */
export function overSpeech(moment: Moment, state: NotebookState, grounds: Grounds): Ruling {
  return {
    outcome: 'unresolved',
    meaning: null,
    rivals: proposed(moment, state, grounds),
    reason: 'a sound while the tool was speaking: its own voice, or a call',
  };
}

/** A sound in which no ear found words. */
export function withoutWords(moment: Moment, state: NotebookState, grounds: Grounds): Ruling {
  const { soundMarks } = grounds.preferences;
  if (soundMarks || !grounds.hearsWords) {
    return {
      outcome: soundMarks ? 'taken' : 'doubtful',
      meaning: { kind: 'mark' },
      rivals: [],
      reason: soundMarks ? 'sound mark' : 'nothing here knows words at present: taken as the next mark',
    };
  }
  return {
    outcome: 'unresolved',
    meaning: null,
    rivals: proposed(moment, state, grounds),
    reason: 'a sound without words',
  };
}

function proposed(moment: Moment, state: NotebookState, { understanding }: Grounds): Ruling['rivals'] {
  if (moment.run === null) return [];
  const at = { call: moment.call ?? '', onsetMs: moment.timeMs, run: moment.run };
  return understanding?.propose(at, state) ?? [];
}

/** What the words of a call mean. Throws when words come before the understanding is loaded. */
export function understood(
  words: readonly Hypothesis[],
  call: HeardCall,
  moment: Moment,
  state: NotebookState,
  { understanding }: Grounds,
): Ruling {
  const sounds = phrasesOf(call);
  const near = nearnessOf(call);
  const at = {
    call: moment.call ?? '',
    onsetMs: moment.timeMs,
    run: moment.run,
    ...(sounds > 1 ? { sounds } : {}),
    ...(near === null ? {} : { nearness: near }),
  };
  if (!understanding) throw new Error('words came before understanding was loaded');
  const verdict = withMoments(understanding.judge(words, at, state), call, moment);
  const tentative = call.heard.length > 0 && call.heard.every((heard) => heard.tentative);
  if (!tentative || verdict.meaning === null) return verdict;
  // The recogniser stopped before its final words: a number may be cut off ("twenty" of "twenty-five").
  const reason = `${verdict.reason}; the recogniser stopped before it was sure`;
  if (verdict.meaning.kind === 'reading') return { ...verdict, outcome: 'doubtful', reason };
  return 'value' in verdict.meaning ? { outcome: 'unresolved', meaning: null, rivals: [], reason } : verdict;
}

/** What its words count for, where every ear that heard some found them softer than the caller's calls; else null. */
function nearnessOf({ heard }: HeardCall): number | null {
  const near = heard.map(({ nearness }) => nearness ?? null);
  return near.length === 0 || near.includes(null) ? null : Math.max(...near.map(Number));
}

/** Softer than the caller's calls, and nothing in it was plainly heard. */
export function isFaint(words: readonly Hypothesis[], call: HeardCall): boolean {
  const near = nearnessOf(call);
  return near !== null && (words[0]?.p ?? 1) < near * plainFrom;
}

/** Most phrases that one ear made of a call. */
function phrasesOf({ heard }: HeardCall): number {
  const counts = new Map<string, number>();
  for (const { ear, alternatives } of heard) if (alternatives.length > 0) counts.set(ear, (counts.get(ear) ?? 0) + 1);
  return Math.max(0, ...counts.values());
}

/**
 * Several values in one breath each get a moment of their own: as far apart as their words came, where each was a
 * phrase; else spread evenly over the sound.
 */
function withMoments(verdict: Ruling, call: HeardCall, { timeMs }: Moment): Ruling {
  const { meaning } = verdict;
  if (meaning?.kind !== 'reading' || meaning.values.length < 2) return verdict;
  const count = meaning.values.length;
  const ear = call.heard.at(-1)?.ear;
  const firstWordsMs = call.heard
    .filter((heard) => heard.ear === ear && heard.alternatives.length > 0)
    .map((heard) => heard.firstWordsMs);
  const [first = 0] = firstWordsMs;
  const lengthMs = call.endMs === null ? 0 : call.endMs - call.onsetMs;
  const values = meaning.values.map((said, k) => {
    const apart = firstWordsMs.length === count ? (firstWordsMs[k] ?? first) - first : (lengthMs * k) / count;
    return k === 0 ? said : { ...said, timeMs: timeMs + Math.max(0, apart) };
  });
  return { ...verdict, meaning: { ...meaning, values } };
}

/** A typed number is held against the cylinder and the run, as a spoken one is; its moment is kept in any case. */
export function byHand(
  meaning: NonNullable<Ruling['meaning']>,
  moment: Moment,
  state: NotebookState,
  { understanding }: Grounds,
): Ruling {
  const taken: Ruling = { outcome: 'taken', meaning, rivals: [], reason: 'by hand' };
  const run = state.runs.find((one) => one.id === moment.run);
  const value = meaning.kind === 'reading' ? meaning.values[0]?.value : undefined;
  if (!run || value === undefined || state.paused) return taken;
  const impossible = impossibleReading(value, state.setup, 'en');
  const doubt = impossible ?? unlikelyReading(value, moment.timeMs, run, state.setup);
  if (doubt === null) return taken;
  const at = { call: moment.call ?? '', onsetMs: moment.timeMs, run: run.id };
  const rivals = (understanding?.propose(at, state) ?? []).filter(
    (rival) => rival.meaning.kind !== 'reading' || rival.meaning.values[0]?.value !== value,
  );
  return impossible === null
    ? { ...taken, outcome: 'doubtful', rivals, reason: doubt }
    : { outcome: 'unresolved', meaning: null, rivals, reason: `${doubt}; the moment is kept` };
}

/** A number that was said in two sounds: "twenty" … "five". */
export interface JoinedNumber {
  /** Of the first sound: the number of both. */
  readonly verdict: Ruling;
  readonly begun: Moment;
  /** Of the second sound: no reading of its own. */
  readonly rest: Ruling;
  readonly text: string;
  /** The notebook as if neither sound had been judged. */
  readonly others: NotebookState;
}

/** The number that was begun just before and that these words end; null where they do not. */
export function joinedToLast(
  words: readonly Hypothesis[],
  moment: Moment & { readonly call: string },
  state: NotebookState,
  { understanding }: Grounds,
): JoinedNumber | null {
  const [second] = words;
  const last = state.calls.findLast((other) => other.onsetMs < moment.timeMs && other.id !== moment.call);
  const first = last?.heard.at(-1)?.alternatives[0]?.text;
  if (!understanding || !second || !last || first === undefined) return null;
  if (last.run === null || last.run !== moment.run || state.paused || !mayGoOn(last, state)) return null;
  const value = understanding.joined(first, second.text, moment.timeMs - endOf(last));
  if (value === null) return null;
  const others = withoutCall(withoutCall(state, last.id), moment.call);
  const at = { call: last.id, onsetMs: last.onsetMs, run: last.run };
  const verdict = understanding.judge([{ ...second, text: value, p: null }], at, others);
  if (verdict.meaning?.kind !== 'reading') return null;
  return {
    verdict: { ...verdict, reason: `${verdict.reason}; said in two parts` },
    begun: { call: last.id, timeMs: last.onsetMs, run: last.run, by: 'ear' },
    rest: {
      outcome: 'not-a-reading',
      meaning: null,
      rivals: [],
      reason: `the rest of ${value}, which was begun just before`,
    },
    text: `${first} ${second.text}`,
    others,
  };
}

/** The number of a call may still be begun only: nobody has touched what it gave. */
function mayGoOn(call: Call, state: NotebookState): boolean {
  if (call.outcome !== 'taken' && call.outcome !== 'doubtful' && call.outcome !== 'unresolved') return false;
  return !state.runs.some((run) =>
    run.readings.some((one) => one.call === call.id && (one.settled || one.struck || one.setAside !== null)),
  );
}

/**
 * The sentence that says how later readings changed what a call is taken for.
 * @param before the notebook before the change
 */
export function changeOfMind(call: string, verdict: Ruling, before: NotebookState, t: typeof sessionTexts.en): string {
  const old = before.calls.find((known) => known.id === call);
  const run = before.runs.find((known) => known.id === old?.run);
  const at = old && run ? t.at(durationText(old.onsetMs - zeroMs(run))) : '';
  const was = old?.meaning?.kind === 'reading' ? old.meaning.values.map((entry) => entry.value).join(', ') : t.aSound;
  if (verdict.meaning?.kind !== 'reading') return t.callInDoubt(at);
  const is = verdict.meaning.values.map((entry) => entry.value).join(', ');
  if (is === was) return verdict.outcome === 'doubtful' ? t.inDoubt(was, at) : t.confirmed(was, at);
  return t.nowTakenAs(was, at, is);
}
