import type { Doubt } from '../language/expectation.ts';
import { dayLanguage } from '../language/page-language.ts';
import type { Saying } from '../language/spoken.ts';
import type { By, EventBody, Outcome, Rival } from '../log/event.ts';
import type { Meaning } from '../log/meaning.ts';
import {
  currentRunOf,
  distinctLabel,
  durationText,
  freshRunOf,
  latestCallOf,
  latestReading,
  openRunOf,
  zeroMs,
} from '../log/runs.ts';
import type { Setup } from '../log/setup.ts';
import type { NotebookState, Reading, Run } from '../log/state.ts';
import { only } from '../numerics/nth.ts';
import { implausible } from '../planning/plausible-input.ts';
import { type ActTexts, actTexts } from './act-texts.ts';
import { dueMark, markText } from './marks.ts';
import { impossibleReading, unlikelyCorrection } from './plausible.ts';
import { latestPrepared } from './prepared.ts';

/** What was judged of an utterance before anything is done about it. */
export interface Ruling {
  readonly outcome: Outcome;
  readonly meaning: Meaning | null;
  readonly rivals: readonly Rival[];
  readonly reason: string;
  /** What was heard and what fits better, where that is the doubt. */
  readonly doubt?: Doubt;
  /** Most likely talk of others: kept with its sound, without an answer. */
  readonly aside?: boolean;
}

/** The call that is acted on; `call` is null for keys that are no call (pause, undo). */
export interface Moment {
  readonly call: string | null;
  /** Notebook time, ms. */
  readonly timeMs: number;
  /** Run that was open when it was called. */
  readonly run: string | null;
  readonly by: Extract<By, 'ear' | 'voice' | 'hand'>;
}

export type Tone = 'taken' | 'doubtful' | 'unresolved' | 'struck' | 'told' | 'trouble';

/** What is answered: shown in large letters, cued by its tone, and spoken where the person wants it. */
export interface Reply {
  readonly tone: Tone;
  readonly text: string;
  /** What is said aloud of it, in the words of the language; else `say`, else the text. */
  readonly saying?: Saying;
  readonly say?: string;
  /** The text in the language of the page, where calls are made in another. */
  readonly shown?: string;
  /** Spoken even when read-back is off: the person asked. */
  readonly asked?: boolean;
  /** Shown only, with no tone: it was said before. */
  readonly quiet?: boolean;
}

export interface Act {
  readonly verdict: Ruling;
  readonly events: readonly EventBody[];
  readonly reply: Reply;
  /**
   * Set for what the run sheet decides: pours, the steps of the day, answers to a question, and what puts right or takes
   * back what was called before a run.
   */
  readonly handOver: HandedOver | null;
}

export type HandedOver = Extract<
  Meaning,
  { kind: 'poured' | 'step' | 'reply' | 'ask' | 'correction' | 'settle' | 'disregard' | 'reading' }
>;

/** Makes an id for a run; injected in tests. */
export type NewId = () => string;

/**
 * What an utterance leads to. Pure: the state before it and what it was taken to mean give the events to record with
 * it and the reply. Every meaning has an answer, also the refusals ("no run is open").
 * @param language of the calls, BCP-47: that of the reply
 */
export function act(verdict: Ruling, moment: Moment, state: NotebookState, newId: NewId, language = 'en'): Act {
  const { meaning } = verdict;
  const t = actTexts[dayLanguage(language)];
  if (meaning === null) return refused(verdict, moment, state.paused, t);
  const handOver = handedOver(meaning, state);
  if (handOver !== null) return { ...command(verdict, [], ''), handOver };
  switch (meaning.kind) {
    case 'reading':
    case 'mark':
      return takeReading(verdict, meaning, moment, state, t);
    case 'correction':
      return correct(verdict, meaning.value, moment, state, t);
    case 'settle':
      return settle(verdict, meaning.value, moment, state, t);
    case 'disregard':
      return disregard(verdict, moment, state, t);
    case 'say-again':
      return sayAgain(verdict, state, t);
    case 'stand-by':
      return command(verdict, [{ kind: 'paused' }], t.standingBy);
    case 'go-ahead':
      return command(verdict, [{ kind: 'resumed' }], t.goingOn);
    case 'start-run':
      return startRun(verdict, meaning.run, moment, state, newId, t);
    case 'end-run':
      return endRun(verdict, moment, state, t);
    case 'baseline': {
      const refusal = impossibleReading(meaning.value, state.setup, dayLanguage(language));
      if (refusal) return idle(verdict, t.noBaseline(refusal));
      return command(
        verdict,
        [{ kind: 'baseline', value: meaning.value, ...timed(moment) }],
        t.baseline(meaning.value),
      );
    }
    case 'temperature':
      return (
        refusedCondition(verdict, 'temperatureC', meaning.value, language) ??
        command(
          verdict,
          [{ kind: 'temperature', value: meaning.value, ...timed(moment) }],
          t.temperature(meaning.value),
        )
      );
    case 'pressure':
      return (
        refusedCondition(verdict, 'pressureHPa', meaning.value, language) ??
        command(
          verdict,
          [{ kind: 'set-up', setup: { ...state.setup, pressure: { kind: 'station', hPa: Number(meaning.value) } } }],
          t.pressure(meaning.value),
        )
      );
    case 'happening':
      return command(verdict, [{ kind: 'happened', what: meaning.what, ...timed(moment) }], t.happened(meaning.what));
    case 'poured':
    case 'step':
    case 'reply':
    case 'ask':
      return { ...command(verdict, [], ''), handOver: meaning };
    case 'note':
      return command(verdict, [{ kind: 'note', text: meaning.text, ...timed(moment) }], t.noted(meaning.text));
  }
}

/**
 * What the run sheet decides. "No, twelve", "disregard" and, while a pour is asked about, a number alone speak of what
 * was called last.
 */
function handedOver(meaning: Meaning, state: NotebookState): HandedOver | null {
  switch (meaning.kind) {
    case 'poured':
    case 'step':
    case 'reply':
    case 'ask':
      return meaning;
    case 'correction':
    case 'settle':
    case 'disregard':
      return latestPrepared(state) === null ? null : meaning;
    case 'reading': {
      const latest = latestPrepared(state);
      const asked = latest?.kind === 'poured' && latest.settled === 'open' && openRunOf(state) === null;
      return asked && meaning.values.length === 1 ? meaning : null;
    }
    default:
      return null;
  }
}

/** "Temperature 296": refused, with the slip that it looks like. */
function refusedCondition(
  verdict: Ruling,
  kind: 'temperatureC' | 'pressureHPa',
  value: string,
  tag: string,
): Act | null {
  const language = dayLanguage(tag);
  const sentence = implausible(kind, Number(value), language);
  return sentence === null ? null : idle(verdict, actTexts[language].notTaken(sentence));
}

const timed = (moment: Moment): { timeMs: number; run: string | null; call?: string } =>
  moment.call === null
    ? { timeMs: moment.timeMs, run: moment.run }
    : { timeMs: moment.timeMs, run: moment.run, call: moment.call };

function command(verdict: Ruling, events: readonly EventBody[], text: string, saying?: Saying): Act {
  return {
    verdict: { ...verdict, outcome: 'command' },
    events,
    reply: { tone: 'told', text, ...(saying ? { saying } : {}) },
    handOver: null,
  };
}

/** A command that could not be carried out: recorded, said, nothing changed. */
function idle(verdict: Ruling, text: string): Act {
  return {
    verdict: { ...verdict, outcome: 'command', reason: text },
    events: [],
    reply: { tone: 'trouble', text },
    handOver: null,
  };
}

function refused(verdict: Ruling, moment: Moment, isPaused: boolean, t: ActTexts): Act {
  const proposal = verdict.rivals.map((rival) => rival.meaning).find((meaning) => meaning.kind === 'reading');
  const value = proposal?.kind === 'reading' ? proposal.values[0]?.value : undefined;
  const reply: Reply =
    verdict.outcome === 'unresolved' && moment.by === 'hand'
      ? { tone: 'unresolved', text: t.impossible(verdict.reason), saying: { kind: 'unresolved' } }
      : verdict.outcome === 'unresolved'
        ? {
            tone: 'unresolved',
            text: t.notUnderstood(value ?? null),
            saying: { kind: 'unresolved' },
          }
        : { tone: 'told', text: isPaused ? t.paused : t.noReading(verdict.reason) };
  return { verdict, events: [], reply, handOver: null };
}

function takeReading(
  verdict: Ruling,
  meaning: Extract<Meaning, { kind: 'reading' | 'mark' }>,
  moment: Moment,
  state: NotebookState,
  t: ActTexts,
): Act {
  const run = state.runs.find((known) => known.id === moment.run) ?? null;
  // The number is kept as a rival, so that it can be put into a run later.
  const rivals: Rival[] = meaning.kind === 'reading' ? [{ meaning, p: 1, why: 'heard' }, ...verdict.rivals] : [];
  const notTaken = (reason: string): Act => ({
    verdict: { outcome: 'not-a-reading', meaning: null, rivals: rivals.slice(0, 20), reason },
    events: [],
    reply: { tone: 'trouble', text: reason },
    handOver: null,
  });
  if (!run) return notTaken(t.noRun);
  if (state.paused) return notTaken(t.paused);
  let reading: Extract<Meaning, { kind: 'reading' }>;
  let { outcome, reason, rivals: others } = verdict;
  if (meaning.kind === 'mark') {
    // A procedure word in speech, a reading in the log.
    if (outcome === 'command') outcome = 'taken';
    const { markMl, otherMl, unknown } = dueMark(run, state.setup, state.calls);
    // The moment is kept: a correction right after it gives the first volume.
    if (unknown) return askForFirst(verdict, run, state, t);
    if (markMl === null) return notTaken(t.noMark);
    reading = markReading(markMl, state.setup);
    if (otherMl !== undefined) {
      if (outcome !== 'doubtful') reason = 'counted on from a value in doubt';
      outcome = 'doubtful';
      const other = { p: doubtedP, why: 'counted on from the readings that are sure' };
      if (otherMl !== null) others = [{ meaning: markReading(otherMl, state.setup), ...other }, ...others];
    }
  } else reading = meaning;
  const taken: Ruling = { ...verdict, outcome, meaning: reading, rivals: others, reason };
  return { verdict: taken, events: [], reply: readingReply(taken, reading, run, moment.timeMs, t), handOver: null };
}

const noFirst = 'no first volume was called yet';

/**
 * No volume was called yet, so a mark has none: the moment is kept, and the volume asked for. Once: the sounds after the
 * first are only kept.
 */
function askForFirst(verdict: Ruling, run: Run, state: NotebookState, t: ActTexts): Act {
  const askedBefore = state.calls.some((call) => call.run === run.id && call.reason === noFirst);
  return {
    verdict: { ...verdict, outcome: 'unresolved', meaning: null, rivals: [], reason: noFirst },
    events: [],
    reply: { tone: 'unresolved', text: t.startVolume, ...(askedBefore ? { quiet: true } : { asked: true }) },
    handOver: null,
  };
}

/** What is left for other values beside one in doubt (the same as in the judgement of words). */
const doubtedP = 0.3;

const markReading = (markMl: number, setup: Setup): Extract<Meaning, { kind: 'reading' }> => ({
  kind: 'reading',
  values: [{ value: markText(markMl, setup) }],
  marked: true,
});

function readingReply(
  verdict: Ruling,
  meaning: Extract<Meaning, { kind: 'reading' }>,
  run: Run,
  timeMs: number,
  t: ActTexts,
): Reply {
  const values = meaning.values.map((entry) => entry.value);
  const first = run.readings.every((reading) => reading.struck);
  const at = first ? t.timeZero : durationText(timeMs - zeroMs(run));
  if (verdict.outcome !== 'doubtful') {
    const text = t.reading(values.join(', '), at);
    const value = only(values);
    return value === undefined
      ? { tone: 'taken', text }
      : { tone: 'taken', text, saying: { kind: 'logged', value, doubtful: false } };
  }
  const others = rivalValues(verdict).filter((value) => !values.includes(value));
  const [value] = values;
  const [other] = others;
  const { doubt } = verdict;
  if (doubt && values.length === 1 && (value === doubt.heard || value === doubt.fits))
    return {
      tone: 'doubtful',
      text: t.heardFits(doubt.heard, doubt.fits),
      saying: { kind: 'heard-fits', ...doubt },
    };
  if (value !== undefined && other !== undefined && values.length === 1)
    return {
      tone: 'doubtful',
      text: t.which(value, other),
      saying: { kind: 'choice', choices: [value, other] },
    };
  const text = t.inDoubt(values.join(', '), at);
  return value !== undefined && values.length === 1
    ? { tone: 'doubtful', text, saying: { kind: 'logged', value, doubtful: true } }
    : { tone: 'doubtful', text };
}

/** The single values among the rivals, likeliest first. */
export function rivalValues(verdict: Pick<Ruling, 'rivals'>): string[] {
  return verdict.rivals.flatMap(({ meaning }) => (meaning.kind === 'reading' && only(meaning.values)?.value) || []);
}

const placeOf = (reading: Reading, run: Run): string => durationText(reading.timeMs - zeroMs(run));

/** A call that is unresolved and later than every reading: what a "correction" or "disregard" right after it means. */
function unresolvedLast(state: NotebookState, run: Run): string | null {
  const call = latestCallOf(state, run);
  return call?.outcome === 'unresolved' ? call.id : null;
}

function correct(verdict: Ruling, value: string, moment: Moment, state: NotebookState, t: ActTexts): Act {
  const refusal = impossibleReading(value, state.setup, t.language);
  if (refusal) return idle(verdict, t.nothingChanged(refusal));
  const run = currentRunOf(state);
  const by = moment.by === 'hand' ? 'hand' : 'voice';
  const open = run && unresolvedLast(state, run);
  if (run && open)
    return command(verdict, [givenValue(open, value, by)], t.takenAs(value), {
      kind: 'corrected',
      value,
    });
  const reading = run && latestReading(run);
  if (!run || !reading) return idle(verdict, t.nothingToCorrect);
  const done = command(
    verdict,
    [{ kind: 'corrected', reading: reading.id, value, by, ...(moment.call === null ? {} : { call: moment.call }) }],
    t.corrected(reading.value, value, placeOf(reading, run)),
    { kind: 'corrected', value },
  );
  const doubt = unlikelyCorrection(value, reading, run, t.language);
  return doubt ? { ...done, reply: { ...done.reply, tone: 'doubtful', text: `${done.reply.text}, ${doubt}` } } : done;
}

/** The judgement by which a person gives a call its value. */
export function givenValue(call: string, value: string, by: 'voice' | 'hand'): EventBody {
  return {
    kind: 'judged',
    call,
    outcome: 'taken',
    meaning: { kind: 'reading', values: [{ value }] },
    rivals: [],
    reason: by === 'voice' ? 'given by voice' : 'given by hand',
    by,
  };
}

function settle(verdict: Ruling, value: string, moment: Moment, state: NotebookState, t: ActTexts): Act {
  const refusal = impossibleReading(value, state.setup, t.language);
  if (refusal) return idle(verdict, t.nothingChanged(refusal));
  const run = currentRunOf(state);
  if (!run) return idle(verdict, t.nothingToSettle);
  const by = moment.by === 'hand' ? 'hand' : 'voice';
  const unresolved = unresolvedLast(state, run);
  if (unresolved)
    return command(verdict, [givenValue(unresolved, value, by)], t.takenAs(value), {
      kind: 'corrected',
      value,
    });
  const doubtful = run.readings.filter((reading) => reading.outcome === 'doubtful' && !reading.settled).at(-1);
  if (!doubtful) return correct(verdict, value, moment, state, t);
  return command(
    verdict,
    [{ kind: 'corrected', reading: doubtful.id, value, by, ...(moment.call === null ? {} : { call: moment.call }) }],
    t.settled(value, placeOf(doubtful, run)),
    { kind: 'corrected', value },
  );
}

function disregard(verdict: Ruling, moment: Moment, state: NotebookState, t: ActTexts): Act {
  const run = currentRunOf(state);
  const by = moment.by === 'hand' ? 'hand' : 'voice';
  const open = run && unresolvedLast(state, run);
  if (open) {
    return struck(
      verdict,
      { kind: 'judged', call: open, outcome: 'not-a-reading', meaning: null, rivals: [], reason: 'disregarded', by },
      t.soundStruck,
    );
  }
  const reading = run && latestReading(run);
  if (!run || !reading) return idle(verdict, t.nothingToStrike);
  return struck(
    verdict,
    { kind: 'struck', reading: reading.id, by, ...(moment.call === null ? {} : { call: moment.call }) },
    t.struck(reading.value, placeOf(reading, run)),
    reading.value,
  );
}

function struck(verdict: Ruling, event: EventBody, text: string, value?: string): Act {
  return {
    verdict: { ...verdict, outcome: 'command' },
    events: [event],
    reply: { tone: 'struck', text, ...(value === undefined ? {} : { saying: { kind: 'struck', value } }) },
    handOver: null,
  };
}

function sayAgain(verdict: Ruling, state: NotebookState, t: ActTexts): Act {
  const run = currentRunOf(state);
  const reading = run && latestReading(run);
  if (!run || !reading) return idle(verdict, t.noReadingYet);
  const text = t.reading(reading.value, placeOf(reading, run));
  const done = command(verdict, [], text, { kind: 'latest', value: reading.value, time: placeOf(reading, run) });
  return { ...done, reply: { ...done.reply, asked: true } };
}

function startRun(
  verdict: Ruling,
  wanted: string,
  moment: Moment,
  state: NotebookState,
  newId: NewId,
  t: ActTexts,
): Act {
  const fresh = freshRunOf(state);
  const label = distinctLabel(
    wanted,
    state.runs.filter((run) => run !== fresh).map((run) => run.label),
  );
  const start = { kind: 'run-started', label, timeMs: moment.timeMs } as const;
  if (fresh) {
    // Said or pressed twice, or meant for another flask: no empty run is left behind.
    const text = fresh.label === label ? t.startsNow(label) : t.renamed(fresh.label, label);
    return command(verdict, [{ ...start, run: fresh.id }], text);
  }
  const open = openRunOf(state);
  const ended: EventBody[] = open ? [{ kind: 'run-ended', run: open.id, timeMs: moment.timeMs }] : [];
  const text = open ? t.endedAndStarted(open.label, label) : t.started(label);
  return command(verdict, [...ended, { ...start, run: newId() }], text);
}

function endRun(verdict: Ruling, moment: Moment, state: NotebookState, t: ActTexts): Act {
  const open = openRunOf(state);
  if (!open) return idle(verdict, t.noRunOpen);
  const count = open.readings.filter((reading) => !reading.struck).length;
  return command(verdict, [{ kind: 'run-ended', run: open.id, timeMs: moment.timeMs }], t.ended(open.label, count));
}
