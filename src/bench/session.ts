import type { Cue } from '../answering/cues.ts';
import type { ListeningEvent } from '../hearing/listening.ts';
import type { HeardCall } from '../hearing/pairing.ts';
import type { Hypothesis } from '../language/understand.ts';
import type { By, EventBody } from '../log/event.ts';
import type { Meaning } from '../log/meaning.ts';
import { durationText, endOf, openRunOf, zeroMs } from '../log/runs.ts';
import type { NotebookState } from '../log/state.ts';
import { type Act, act, type HandedOver, type Moment, type Reply, type Ruling, type Tone } from './act.ts';
import { heardEventsOf, hypothesesOf } from './heard-words.ts';
import { gridMoved, gridOf, type MarkGrid, spanReached } from './marks.ts';
import { impossibleReading, unlikelyReading } from './plausible.ts';
import type { Preferences } from './preferences.ts';
import type { Understanding } from './understanding.ts';

/**
 * The data's way: a sound becomes a durable call; its words are recorded and judged; what they mean is recorded with
 * it; only then does a cue sound. Everything goes through one queue, so that each step sees what the one before it
 * left behind. No DOM: tests drive it with a scripted listening and a clock of their own.
 */
export interface Session {
  /** What the person hears besides the notebook itself. */
  view(): SessionView;
  subscribe(listener: () => void): () => void;
  /** The door of listening. */
  hear(event: ListeningEvent): void;
  /** A key or a tap. `pageMs` is the moment it means (page time); for a typed number that of its first digit. */
  press(meaning: Meaning, pageMs: number): Promise<void>;
  /** Takes back the latest act that can be taken back; asks first where readings or the run sheet hang on it. */
  undo(): Promise<void>;
  /** Says something that the session did not find itself (warnings). Recorded nowhere. */
  tell(reply: Reply, cue?: Cue): void;
  /** Resolves when everything that came in so far is dealt with. */
  idle(): Promise<void>;
}

export interface SessionView {
  /** The latest exchange: what was heard and what was answered. */
  readonly exchange: Exchange | null;
  /** Words as they come in, before they are final. */
  readonly coming: string;
}

export interface Exchange {
  readonly heard: string;
  readonly answer: string;
  readonly tone: Tone;
  /** Notebook time of the answer, ms. */
  readonly atMs: number;
}

/** What other rooms decide about a meaning: the pour check, the checklist, answers to their questions. */
export interface Decision {
  readonly events: readonly EventBody[];
  readonly reply: Reply;
}

export interface Decisions {
  /** Null when it is nothing for the run sheet: no question is open, nothing was called before the run. */
  decide(state: NotebookState, meaning: HandedOver, moment: Moment, preferences: Preferences): Decision | null;
  /** The reply to what was done, with the next step of the day where that is to be said aloud. */
  lead(earlier: NotebookState, state: NotebookState, done: Act, reply: Reply, preferences: Preferences): Reply;
}

export interface SessionParts {
  state(): NotebookState;
  /** Adds events; resolves with null when they could not be made durable (the person was told why). */
  record(...bodies: EventBody[]): Promise<readonly { readonly id: string }[] | null>;
  /** Notebook time of a page time, ms. */
  timeOf(pageMs: number): number;
  now(): number;
  /** Keeps the sound of a call. */
  keepClip(call: string, sound: { samples: Float32Array; sampleRate: number }): Promise<void>;
  /** Null until it is loaded: words come only after it. */
  understanding(): Understanding | null;
  play(cue: Cue): void;
  /** Says a reply aloud. */
  say(reply: Reply): void;
  preferences(): Preferences;
  /** true while some ear that knows words is at work. Without one, a sound stands for the next mark. */
  hearsWords(): boolean;
  /** Fetched when first needed. */
  decisions?(): Promise<Decisions>;
  newId?(): string;
}

/** Commands after which another step of the day may be due. */
const leading: ReadonlySet<Meaning['kind']> = new Set(['baseline', 'temperature', 'pressure', 'start-run', 'end-run']);

const cueOf: Readonly<Record<Tone, Cue>> = {
  taken: 'taken',
  told: 'taken',
  doubtful: 'doubtful',
  unresolved: 'unresolved',
  struck: 'struck',
  trouble: 'trouble',
};

/** How well a key press marks a moment, standard uncertainty in ms (common practice, no source). */
const uKeyMs = 20;

/** "Undo" once more answers the question whether to take so much back within so long, ms. */
const undoQuestionMs = 15_000;

/** Sounds without words outside runs are cued at most once in so long, ms. */
const idleQuietMs = 60_000;

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
  const phrases = call.heard.filter((heard) => heard.ear === ear && heard.alternatives.length > 0);
  const lengthMs = call.endMs === null ? 0 : call.endMs - call.onsetMs;
  const values = meaning.values.map((said, k) => {
    const apart =
      phrases.length === count ? phrases[k]!.firstWordsMs - phrases[0]!.firstWordsMs : (lengthMs * k) / count;
    return k === 0 ? said : { ...said, timeMs: timeMs + Math.max(0, apart) };
  });
  return { ...verdict, meaning: { ...meaning, values } };
}

/** The state as if a call had not been judged yet. */
function withoutCall(state: NotebookState, call: string): NotebookState {
  const runs = state.runs.map((run) =>
    run.readings.some((reading) => reading.call === call)
      ? { ...run, readings: run.readings.filter((reading) => reading.call !== call) }
      : run,
  );
  return { ...state, runs, calls: state.calls.filter((other) => other.id !== call) };
}

const judgedOf = (verdict: Ruling, call: string, by: By): EventBody => ({
  kind: 'judged',
  call,
  outcome: verdict.outcome,
  meaning: verdict.meaning,
  rivals: verdict.rivals.slice(0, 20),
  reason: verdict.reason.slice(0, 500),
  by,
});

/**
 * Standard uncertainty of the moment, ms. A call over the tool's own voice may have begun anywhere within its sound
 * (uniform over its length).
 */
function uOnsetOf({ uOnsetMs, onsetMs, endMs, during }: HeardCall): number {
  if (!during?.within || endMs === null || during.said.every(({ sinceMs }) => sinceMs >= 0)) return uOnsetMs;
  return Math.min(60_000, Math.max(uOnsetMs, (endMs - onsetMs) / Math.sqrt(12)));
}

interface Known {
  readonly id: string;
  readonly timing: HeardCall['timing'];
  readonly clip: boolean;
  /** Final words that were judged; a later answer with other words is judged again unless it was a command. */
  judged: string | null;
  recorded: Set<string>;
  /** Events of the command that was carried out for it. */
  carriedOut: readonly string[];
}

export function makeSession(parts: SessionParts): Session {
  // Counted after one random beginning, which a link need not repeat for every call.
  const ownIds = crypto.randomUUID().slice(0, 6);
  let idsGiven = 0;
  const newId = parts.newId ?? (() => `${ownIds}-${++idsGiven}`);
  const known = new Map<string, Known>();
  const listeners = new Set<() => void>();
  let view: SessionView = { exchange: null, coming: '' };
  let tail: Promise<void> = Promise.resolve();
  /** An undo that was asked about, until it is said once more. */
  let askedToUndo: { key: string; atMs: number } | null = null;
  /** When a sound outside runs was last cued, notebook time, ms. */
  let lastIdleCueMs: number | null = null;

  const change = (next: Partial<SessionView>): void => {
    view = { ...view, ...next };
    for (const listener of listeners) listener();
  };
  const queue = (work: () => Promise<void>): Promise<void> => {
    const done = tail.then(work);
    // A failure here is a fault of ours; the next call must be dealt with all the same.
    tail = done.catch((error) => {
      console.error(error);
      answer({ tone: 'trouble', text: 'Something went wrong with the last call. It is kept: see Readings.' }, '');
    });
    return tail;
  };

  function answer(told: Reply, heard: string, cue: Cue = cueOf[told.tone]): void {
    const reply = { ...told, text: parts.understanding()?.withOwnCommands(told.text) ?? told.text };
    change({ exchange: { heard, answer: reply.text, tone: reply.tone, atMs: parts.now() }, coming: '' });
    parts.play(cue);
    const { readBack, silent } = parts.preferences();
    const wanted =
      reply.asked === true ||
      readBack === 'always' ||
      (readBack === 'when-doubtful' && (reply.tone === 'doubtful' || reply.tone === 'unresolved'));
    if (wanted && !silent) parts.say(reply);
  }

  /** Records in one piece and answers only when that is durable. Gives the ids of what the act itself recorded. */
  async function carryOut(
    done: Act,
    before: readonly EventBody[],
    moment: Moment,
    heard: string,
  ): Promise<readonly string[]> {
    const decided = await decide(done, moment);
    const verdict = done.verdict;
    const judged = moment.call === null ? [] : [judgedOf(verdict, moment.call, moment.by)];
    const wasReached = reachedSpan();
    const gridBefore = openGrid();
    const earlier = parts.state();
    const events = [...before, ...judged, ...decided.events];
    const stored = events.length === 0 ? [] : await parts.record(...events);
    const ofTheAct = (stored ?? []).slice(before.length + judged.length, events.length).map(({ id }) => id);
    if (stored === null) {
      answer({ tone: 'trouble', text: `${decided.reply.text}; not stored, in this page only` }, heard);
      return decided.events.map(() => 'not stored');
    }
    // What is plainly no reading (talk in the room) is shown, not cued: the tool does not chatter back.
    if (verdict.outcome === 'not-a-reading' && decided.reply.tone === 'told') {
      change({ exchange: { heard, answer: decided.reply.text, tone: 'told', atMs: parts.now() }, coming: '' });
      return ofTheAct;
    }
    // Between runs people talk, rinse and clatter: one warning that no run is open is enough for a while.
    if (heard === '' && moment.run === null && moment.by === 'ear') {
      const before = lastIdleCueMs;
      lastIdleCueMs = parts.now();
      if (before !== null && lastIdleCueMs - before < idleQuietMs) {
        change({ exchange: { heard, answer: decided.reply.text, tone: 'told', atMs: lastIdleCueMs }, coming: '' });
        return ofTheAct;
      }
    }
    if (decided.reply.quiet === true) {
      const { text, tone } = decided.reply;
      change({ exchange: { heard, answer: text, tone, atMs: parts.now() }, coming: '' });
      return ofTheAct;
    }
    const reached = !wasReached && reachedSpan();
    const moved = gridMoved(gridBefore, openGrid());
    if (reached) {
      const text = `${decided.reply.text}. Span reached: say “end run”`;
      answer({ ...decided.reply, text }, heard, 'span-reached');
    } else if (moved && decided.reply.tone === 'taken')
      answer({ ...decided.reply, ...moved, text: `${decided.reply.text}. ${moved.text}`, asked: true }, heard);
    else answer(await led(done, decided.reply, earlier), heard);
    if (verdict.meaning?.kind === 'reading' && moment.run !== null) await reconsider(moment.run);
    return ofTheAct;
  }

  async function decide(done: Act, moment: Moment): Promise<Decision> {
    const { handOver } = done;
    if (handOver === null) return done;
    const decisions = await parts.decisions?.();
    const decided = decisions?.decide(parts.state(), handOver, moment, parts.preferences());
    if (decided) return decided;
    if (handOver.kind === 'poured') {
      const { value, reagent } = handOver;
      const run = moment.run;
      const event: EventBody = { kind: 'poured', value, reagent, timeMs: moment.timeMs, run, settled: 'open' };
      if (moment.call !== null) event.call = moment.call;
      return { events: [event], reply: { tone: 'told', text: `Poured ${value} mL of ${reagent}` } };
    }
    const text =
      handOver.kind === 'step'
        ? 'There is no run sheet to read'
        : handOver.kind === 'ask'
          ? 'There are no figures of this run yet'
          : 'Nothing was asked';
    return { events: [], reply: { tone: 'trouble', text } };
  }

  function openGrid(): MarkGrid | null {
    const state = parts.state();
    const run = openRunOf(state);
    return run && gridOf(run, state.setup);
  }

  /** What was done before and after a run leads on to the next step; readings do not. */
  async function led(done: Act, reply: Reply, earlier: NotebookState): Promise<Reply> {
    const { handOver, verdict } = done;
    const kind = verdict.meaning?.kind;
    const leads = (handOver !== null && handOver.kind !== 'step') || (kind !== undefined && leading.has(kind));
    const decisions = leads ? await parts.decisions?.() : undefined;
    return decisions?.lead(earlier, parts.state(), done, reply, parts.preferences()) ?? reply;
  }

  function reachedSpan(): boolean {
    const state = parts.state();
    const run = openRunOf(state);
    return run !== null && spanReached(run, state.setup);
  }

  /** Later readings can change the mind about earlier ones: recorded, cued and shown, never silent. */
  async function reconsider(run: string): Promise<void> {
    const state = parts.state();
    const changed = parts.understanding()?.rejudge(run, state) ?? [];
    if (changed.length === 0) return;
    const bodies = changed.map(({ call, verdict }) => judgedOf(verdict, call, 'expectation'));
    if ((await parts.record(...bodies)) === null) return;
    const said = changed.map(({ call, verdict }) => changeOfMind(call, verdict, state)).join('. ');
    answer({ tone: 'doubtful', text: said, say: 'an earlier reading was changed' }, view.exchange?.heard ?? '');
  }

  function changeOfMind(call: string, verdict: Ruling, before: NotebookState): string {
    const old = before.calls.find((known) => known.id === call);
    const run = before.runs.find((known) => known.id === old?.run);
    const at = old && run ? ` at ${durationText(old.onsetMs - zeroMs(run))}` : '';
    const was =
      old?.meaning?.kind === 'reading' ? old.meaning.values.map((entry) => entry.value).join(', ') : 'a sound';
    if (verdict.meaning?.kind !== 'reading') return `The call${at} is in doubt`;
    const is = verdict.meaning.values.map((entry) => entry.value).join(', ');
    if (is === was) return verdict.outcome === 'doubtful' ? `${was}${at} is in doubt` : `${was}${at} is confirmed`;
    return `${was}${at} now taken as ${is}`;
  }

  /** The run a moment belongs to: the one that was going on then. */
  function runAt(timeMs: number): string | null {
    const { runs } = parts.state();
    for (let i = runs.length - 1; i >= 0; i--) {
      const run = runs[i]!;
      if (timeMs >= run.startedMs && (run.endedMs === null || timeMs <= run.endedMs)) return run.id;
    }
    return null;
  }

  async function onCall(call: HeardCall): Promise<void> {
    const entry = await called(call);
    if (!call.settled) return;
    await resolve(call, entry);
  }

  /** Makes sure that the call is on disk, with its sound. */
  async function called(call: HeardCall): Promise<Known> {
    const before = known.get(call.id);
    const sound = parts.preferences().clips ? call.utterance : null;
    const better = before && before.timing === 'words' && call.timing === 'sound';
    if (before && !better && (before.clip || !sound)) return before;
    const entry: Known = {
      id: before?.id ?? newId(),
      timing: call.timing,
      clip: sound !== null,
      // A moved moment is judged again, so that the reading moves with it.
      judged: better ? null : (before?.judged ?? null),
      recorded: before?.recorded ?? new Set(),
      carriedOut: before?.carriedOut ?? [],
    };
    known.set(call.id, entry);
    const onsetMs = parts.timeOf(call.onsetMs);
    await parts.record({
      kind: 'called',
      call: entry.id,
      onsetMs,
      endMs: call.endMs === null ? null : parts.timeOf(call.endMs),
      timing: call.timing,
      // A tenth of a millisecond is more than anyone knows, and a link need not carry the rest.
      uOnsetMs: Math.round(10 * uOnsetOf(call)) / 10,
      clip: entry.clip,
      run: runAt(onsetMs),
      ...(call.during?.within ? { overSpeech: true } : {}),
    });
    if (sound) {
      parts.keepClip(entry.id, sound).catch((error) => console.error('clip not kept', error));
    }
    return entry;
  }

  async function resolve(call: HeardCall, entry: Known): Promise<void> {
    const heard = hypothesesOf(call.heard).filter((hypothesis) => hypothesis.text !== '');
    const words = withoutOwnWords(heard, call);
    const own = words.length === 0 && (heard.length > 0 || call.during?.within === true);
    const signature = JSON.stringify([words, heard.length > 0]);
    if (entry.judged === signature) return;
    const state = parts.state();
    const now = state.calls.find((other) => other.id === entry.id);
    const onsetMs = now?.onsetMs ?? parts.timeOf(call.onsetMs);
    const moment: Moment = { call: entry.id, timeMs: onsetMs, run: now?.run ?? runAt(onsetMs), by: 'ear' };
    const heardEvents = heardEventsOf(call, entry.id, entry.recorded);
    entry.judged = signature;
    // A command is carried out once: later words about it are only kept, unless another ear contradicts it.
    if (now?.outcome === 'command') {
      await afterCommand(words, call, moment, entry, heardEvents);
      return;
    }
    if (own) {
      // Kept without a cue: an answer to the tool's own voice would be answered in turn.
      const verdict = heard.length > 0 ? ownVoice(heard, call) : overSpeech(moment, state);
      await parts.record(...heardEvents, judgedOf(verdict, entry.id, 'ear'));
      return;
    }
    const text = words[0]?.text ?? '';
    if (await joinedToLast(words, moment, heardEvents)) return;
    // What it was taken for so far is no ground for what it is.
    const others = withoutCall(state, entry.id);
    const verdict = words.length === 0 ? withoutWords(moment, others) : understood(words, call, moment, others);
    entry.carriedOut = await carryOut(act(verdict, moment, others, newId), heardEvents, moment, text);
  }

  /** A command was carried out, and more words came: an ear that plainly heard something else takes it back. */
  async function afterCommand(
    words: readonly Hypothesis[],
    call: HeardCall,
    moment: Moment,
    entry: Known,
    heardEvents: readonly EventBody[],
  ): Promise<void> {
    const state = parts.state();
    const done = state.calls.find((other) => other.id === entry.id);
    const verdict = words.length === 0 ? null : understood(words, call, moment, state);
    const changed = verdict !== null && JSON.stringify(verdict.meaning) !== JSON.stringify(done?.meaning ?? null);
    const severalEars = new Set(words.map(({ ear }) => ear)).size > 1;
    // What was done since may rest on it: then it stays.
    const isLatest = entry.carriedOut.length === 0 || entry.carriedOut.at(-1) === state.undoable.at(-1);
    if (!changed || !severalEars || !isLatest) {
      if (heardEvents.length > 0) await parts.record(...heardEvents);
      return;
    }
    await parts.record(...heardEvents, ...entry.carriedOut.map((event): EventBody => ({ kind: 'undone', event })));
    const others = withoutCall(parts.state(), entry.id);
    const again = understood(words, call, moment, others);
    entry.carriedOut = await carryOut(act(again, moment, others, newId), [], moment, words[0]?.text ?? '');
  }

  /** "twenty" … "five": the rest of the number that was begun just before. True when that was so. */
  async function joinedToLast(
    words: readonly Hypothesis[],
    moment: Moment,
    heardEvents: readonly EventBody[],
  ): Promise<boolean> {
    const understanding = parts.understanding();
    const [second] = words;
    const state = parts.state();
    const last = state.calls.findLast((other) => other.onsetMs < moment.timeMs && other.id !== moment.call);
    const first = last?.heard.at(-1)?.alternatives[0]?.text;
    if (!understanding || !second || !last || first === undefined || moment.call === null) return false;
    if (last.run === null || last.run !== moment.run || state.paused) return false;
    if (last.outcome !== 'taken' && last.outcome !== 'doubtful' && last.outcome !== 'unresolved') return false;
    const touched = state.runs.some((run) =>
      run.readings.some((one) => one.call === last.id && (one.settled || one.struck || one.setAside !== null)),
    );
    const gapMs = moment.timeMs - endOf(last);
    const value = touched ? null : understanding.joined(first, second.text, gapMs);
    if (value === null) return false;
    const others = withoutCall(withoutCall(state, last.id), moment.call);
    const begun: Moment = { call: last.id, timeMs: last.onsetMs, run: last.run, by: 'ear' };
    const at = { call: last.id, onsetMs: last.onsetMs, run: last.run };
    const verdict = understanding.judge([{ ...second, text: value, p: null }], at, others);
    if (verdict.meaning?.kind !== 'reading') return false;
    const rest: Ruling = {
      outcome: 'not-a-reading',
      meaning: null,
      rivals: [],
      reason: `the rest of ${value}, which was begun just before`,
    };
    const done = act({ ...verdict, reason: `${verdict.reason}; said in two parts` }, begun, others, newId);
    await carryOut(done, [...heardEvents, judgedOf(rest, moment.call, 'ear')], begun, `${first} ${second.text}`);
    return true;
  }

  function withoutOwnWords(heard: readonly Hypothesis[], call: HeardCall): readonly Hypothesis[] {
    const { during } = call;
    if (!during || heard.length === 0) return heard;
    return parts.understanding()?.withoutOwn(heard, { said: during.said, bySound: call.timing === 'sound' }) ?? heard;
  }

  /** The tool heard itself. The value is kept as a rival: a person may have called the same at the same moment. */
  function ownVoice(heard: readonly Hypothesis[], call: HeardCall): Ruling {
    const said = call.during?.said.at(-1)?.spoken ?? '';
    const value = parts.understanding()?.plainValue(heard) ?? null;
    const meaning: Meaning | null = value === null ? null : { kind: 'reading', values: [{ value }] };
    return {
      outcome: 'not-a-reading',
      meaning: null,
      rivals: meaning ? [{ meaning, p: 0.1, why: 'heard while the tool said the same' }] : [],
      reason: `the tool’s own voice (“${said}”)`,
    };
  }

  function overSpeech(moment: Moment, state: NotebookState): Ruling {
    return {
      outcome: 'unresolved',
      meaning: null,
      rivals: proposed(moment, state),
      reason: 'a sound while the tool was speaking: its own voice, or a call',
    };
  }

  function proposed(moment: Moment, state: NotebookState): Ruling['rivals'] {
    if (moment.run === null) return [];
    const at = { call: moment.call ?? '', onsetMs: moment.timeMs, run: moment.run };
    return parts.understanding()?.propose(at, state) ?? [];
  }

  function withoutWords(moment: Moment, state: NotebookState): Ruling {
    const { soundMarks } = parts.preferences();
    if (soundMarks || !parts.hearsWords()) {
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
      rivals: proposed(moment, state),
      reason: 'a sound without words',
    };
  }

  function understood(words: readonly Hypothesis[], call: HeardCall, moment: Moment, state: NotebookState): Ruling {
    const sounds = phrasesOf(call);
    const at = { call: moment.call ?? '', onsetMs: moment.timeMs, run: moment.run, ...(sounds > 1 ? { sounds } : {}) };
    const judged = parts.understanding()?.judge(words, at, state);
    if (!judged) throw new Error('words came before understanding was loaded');
    const verdict = withMoments(judged, call, moment);
    const tentative = call.heard.length > 0 && call.heard.every((heard) => heard.tentative);
    if (!tentative || verdict.meaning === null) return verdict;
    // The recogniser stopped before its final words: a number may be cut off ("twenty" of "twenty-five").
    const reason = `${verdict.reason}; the recogniser stopped before it was sure`;
    if (verdict.meaning.kind === 'reading') return { ...verdict, outcome: 'doubtful', reason };
    return 'value' in verdict.meaning ? { outcome: 'unresolved', meaning: null, rivals: [], reason } : verdict;
  }

  /** A typed number is held against the cylinder and the run, as a spoken one is; its moment is kept in any case. */
  function byHand(meaning: Meaning, moment: Moment, state: NotebookState): Ruling {
    const taken: Ruling = { outcome: 'taken', meaning, rivals: [], reason: 'by hand' };
    const run = state.runs.find((one) => one.id === moment.run);
    const value = meaning.kind === 'reading' ? meaning.values[0]?.value : undefined;
    if (!run || value === undefined || state.paused) return taken;
    const impossible = impossibleReading(value, state.setup);
    const doubt = impossible ?? unlikelyReading(value, moment.timeMs, run, state.setup);
    if (doubt === null) return taken;
    const at = { call: moment.call ?? '', onsetMs: moment.timeMs, run: run.id };
    const rivals = (parts.understanding()?.propose(at, state) ?? []).filter(
      (rival) => rival.meaning.kind !== 'reading' || rival.meaning.values[0]?.value !== value,
    );
    return impossible === null
      ? { ...taken, outcome: 'doubtful', rivals, reason: doubt }
      : { outcome: 'unresolved', meaning: null, rivals, reason: `${doubt}; the moment is kept` };
  }

  return {
    view: () => view,
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    hear(event) {
      if (event.kind === 'call') void queue(() => onCall(event.call));
      else if (event.kind === 'heard' && (!event.heard.final || event.heard.alternatives.length === 0))
        // A final answer without words takes back what was coming.
        change({ coming: event.heard.final ? '' : (event.heard.alternatives[0]?.text.trim() ?? '') });
    },
    press(meaning, pageMs) {
      const timeMs = parts.timeOf(pageMs);
      return queue(async () => {
        const isCall = meaning.kind === 'reading' || meaning.kind === 'mark';
        const run = runAt(timeMs);
        const call = isCall ? newId() : null;
        const moment: Moment = { call, timeMs, run, by: 'hand' };
        const state = parts.state();
        const before: EventBody[] =
          call === null
            ? []
            : [
                {
                  kind: 'called',
                  call,
                  onsetMs: timeMs,
                  endMs: null,
                  timing: 'key',
                  uOnsetMs: uKeyMs,
                  clip: false,
                  run,
                },
              ];
        const verdict = byHand(meaning, moment, state);
        await carryOut(act(verdict, moment, state, newId), before, moment, '');
      });
    },
    undo() {
      return queue(async () => {
        const { latestUndo } = await import('./undo.ts');
        const undo = latestUndo(parts.state());
        if (undo === null) {
          answer({ tone: 'trouble', text: 'There is nothing to take back' }, '');
          return;
        }
        const key = undo.events.join(' ');
        const agreed = askedToUndo?.key === key && parts.now() - askedToUndo.atMs < undoQuestionMs;
        if (undo.asks && !agreed) {
          askedToUndo = { key, atMs: parts.now() };
          answer({ tone: 'doubtful', text: `Take back ${undo.sentence}? Undo once more to do so.` }, '');
          return;
        }
        askedToUndo = null;
        const stored = await parts.record(...undo.events.map((event): EventBody => ({ kind: 'undone', event })));
        const text = `Taken back: ${undo.sentence}`;
        answer(
          stored === null
            ? { tone: 'trouble', text: `${text}; not stored, in this page only` }
            : { tone: 'struck', text },
          '',
        );
      });
    },
    tell: (reply, cue) => answer(reply, '', cue),
    idle: () => tail,
  };
}
