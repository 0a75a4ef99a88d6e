import type { Cue } from '../answering/cues.ts';
import type { HeardCall } from '../hearing/pairing.ts';
import { wordsToSay } from '../language/call-words.ts';
import { dayLanguage, numbersIn, ownWords, type PageLanguage } from '../language/page-language.ts';
import type { Hypothesis } from '../language/understand.ts';
import type { By, EventBody } from '../log/event.ts';
import type { Meaning } from '../log/meaning.ts';
import { openRunOf } from '../log/runs.ts';
import type { NotebookState } from '../log/state.ts';
import { type Act, act, type HandedOver, type Moment, type Reply, type Ruling, type Tone } from './act.ts';
import { heardEventsOf, hypothesesOf } from './heard-words.ts';
import { gridMoved, gridOf, type MarkGrid, spanReached } from './marks.ts';
import { type Beginning, ownBeginning } from './own-beginning.ts';
import type { Preferences } from './preferences.ts';
import {
  byHand,
  changeOfMind,
  type Grounds,
  isFaint,
  joinedToLast,
  overSpeech,
  ownVoice,
  runAt,
  understood,
  withoutCall,
  withoutOwnWords,
  withoutWords,
} from './ruling.ts';
import { sessionTexts } from './session-texts.ts';
import type { Undo } from './undo.ts';

/**
 * The session as steps: what came in and the notebook as it stands give the next state and the effects to carry out.
 * Pure; `session.ts` carries out the effects. Two effects have an answer that goes on with the same piece of work:
 * `record` is answered by `stored`, `fetch-decisions` by `decisions`. What is left to do then is in `pending`.
 */
export interface SessionState {
  readonly view: SessionView;
  /** What is known of the calls so far, by the id of hearing. */
  readonly known: ReadonlyMap<string, KnownCall>;
  /** An undo that was asked about, until it is said once more. Notebook time, ms. */
  readonly askedToUndo: { readonly key: string; readonly atMs: number } | null;
  /** When a sound outside runs was last cued, notebook time, ms. */
  readonly lastIdleCueMs: number | null;
  /** Ids given out so far, after `idPrefix`. */
  readonly idsGiven: number;
  readonly idPrefix: string;
  readonly pending: Pending | null;
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

interface KnownCall {
  /** Of the call in the notebook. */
  readonly id: string;
  readonly timing: HeardCall['timing'];
  readonly clip: boolean;
  /** Final words that were judged; a later answer with other words is judged again unless it was a command. */
  readonly judged: string | null;
  readonly recorded: ReadonlySet<string>;
  /** Events of the command that was carried out for it. */
  readonly carriedOut: readonly string[];
  /** Words whose sentences begin apart, the sound from which they count, and where that put the call. */
  readonly apart?: { readonly words: readonly Hypothesis[]; readonly sound: Beginning; readonly onsetMs: number };
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

/** What a step may look at: everything as it stands now. */
export interface SessionWorld extends Grounds {
  readonly notebook: NotebookState;
  /** Notebook time, ms. */
  readonly nowMs: number;
  /** Language of what is shown; what is said aloud is in that of the calls. */
  readonly shownIn: PageLanguage;
}

/** A call as hearing gives it, with its moments in notebook time, ms. */
interface TimedCall {
  readonly call: HeardCall;
  readonly onsetMs: number;
  readonly endMs: number | null;
}

export type SessionEvent =
  | ({ readonly kind: 'called' } & TimedCall)
  | { readonly kind: 'words-coming'; readonly text: string }
  /** A key or a tap at a notebook time, ms. */
  | { readonly kind: 'pressed'; readonly meaning: Meaning; readonly timeMs: number }
  /** Somebody wants the latest act taken back; null: there is none. `shown`: its sentence in the page's language. */
  | { readonly kind: 'undo-asked'; readonly undo: Undo | null; readonly shown?: string }
  | { readonly kind: 'told'; readonly reply: Reply; readonly cue: Cue | undefined }
  /** The answer to `record`: the ids of the events; null when they could not be made durable. */
  | { readonly kind: 'stored'; readonly ids: readonly string[] | null }
  /** The answer to `fetch-decisions`. */
  | { readonly kind: 'decisions'; readonly decisions: Decisions | null }
  /** A fault of ours broke off the piece of work. */
  | { readonly kind: 'failed' };

export type SessionEffect =
  | { readonly kind: 'record'; readonly bodies: readonly EventBody[] }
  | { readonly kind: 'fetch-decisions' }
  | { readonly kind: 'keep-clip'; readonly call: string; readonly sound: NonNullable<HeardCall['utterance']> }
  | { readonly kind: 'play'; readonly cue: Cue }
  | { readonly kind: 'say'; readonly reply: Reply };

export interface SessionStep {
  readonly state: SessionState;
  readonly effects: readonly SessionEffect[];
}

/** Something that is being done about an utterance or a key. */
interface Deed {
  readonly done: Act;
  /** Recorded in one piece with it, before it. */
  readonly before: readonly EventBody[];
  readonly moment: Moment;
  readonly heard: string;
  /** The call (id of hearing) that keeps what was carried out for it. */
  readonly of: string | null;
}

/** What is left to do when the answer to an effect comes. */
type Pending =
  | { readonly after: 'called'; readonly timed: TimedCall; readonly sound: HeardCall['utterance'] }
  | { readonly after: 'kept' }
  | { readonly after: 'deciding'; readonly deed: Deed }
  /** `earlier`: the notebook before it was recorded. */
  | { readonly after: 'doing'; readonly deed: Deed; readonly decided: Decision; readonly earlier: NotebookState }
  | { readonly after: 'leading'; readonly deed: Deed; readonly reply: Reply; readonly earlier: NotebookState }
  | { readonly after: 'rejudging'; readonly said: InBoth }
  | {
      readonly after: 'contradicting';
      readonly words: readonly Hypothesis[];
      readonly call: HeardCall;
      readonly moment: Moment;
    }
  | { readonly after: 'undoing'; readonly sentence: InBoth };

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

/** A session in which nothing has happened yet. @param idPrefix begins every id that the session gives */
export function newSession(idPrefix: string): SessionState {
  return {
    view: { exchange: null, coming: '' },
    known: new Map(),
    askedToUndo: null,
    lastIdleCueMs: null,
    idsGiven: 0,
    idPrefix,
    pending: null,
  };
}

/** What a step has come to so far: made anew for each step, so that the state before it stays as it was. */
interface Draft {
  readonly world: SessionWorld;
  readonly state: { -readonly [key in keyof SessionState]: SessionState[key] };
  readonly effects: SessionEffect[];
}

export function sessionStep(state: SessionState, event: SessionEvent, world: SessionWorld): SessionStep {
  const draft: Draft = { world, state: { ...state }, effects: [] };
  switch (event.kind) {
    case 'called':
      takeCall(draft, event);
      break;
    case 'words-coming':
      draft.state.view = { ...state.view, coming: event.text };
      break;
    case 'pressed':
      press(draft, event.meaning, event.timeMs);
      break;
    case 'undo-asked':
      takeBack(draft, event.undo, event.shown ?? event.undo?.sentence ?? '');
      break;
    case 'told':
      answer(draft, event.reply, '', event.cue);
      break;
    case 'stored':
    case 'decisions':
      goOn(draft, event);
      break;
    case 'failed': {
      draft.state.pending = null;
      answer(draft, { tone: 'trouble', ...inBoth(draft, (t) => t.failed) }, '');
    }
  }
  return { state: draft.state, effects: draft.effects };
}

function goOn(draft: Draft, event: Extract<SessionEvent, { kind: 'stored' | 'decisions' }>): void {
  const { pending } = draft.state;
  draft.state.pending = null;
  if (event.kind === 'decisions') {
    if (pending?.after === 'deciding') decide(draft, pending.deed, event.decisions);
    else if (pending?.after === 'leading') lead(draft, pending, event.decisions);
    return;
  }
  const { ids } = event;
  switch (pending?.after) {
    case 'called': {
      const id = draft.state.known.get(pending.timed.call.id)?.id;
      if (pending.sound && id !== undefined) draft.effects.push({ kind: 'keep-clip', call: id, sound: pending.sound });
      resolve(draft, pending.timed);
      return;
    }
    case 'doing':
      afterDoing(draft, pending, ids);
      return;
    case 'rejudging':
      if (ids === null) return;
      answer(
        draft,
        { tone: 'doubtful', ...pending.said, say: textsOf(draft).earlierChanged },
        draft.state.view.exchange?.heard ?? '',
      );
      return;
    case 'contradicting': {
      const { words, call, moment } = pending;
      judgeWords(draft, words, call, moment, []);
      return;
    }
    case 'undoing': {
      const done: Reply = { tone: 'struck', ...inBoth(draft, (t, which) => t.takenBack(pending.sentence[which])) };
      answer(draft, ids === null ? notStored(draft, done) : done, '');
    }
  }
}

const languageOf = (draft: Draft): string => draft.world.preferences.language;
const textsOf = (draft: Draft) => sessionTexts[dayLanguage(languageOf(draft))];

/** A sentence in the language of the calls (`text`) and in that of the page (`shown`). */
type InBoth = Required<Pick<Reply, 'text' | 'shown'>>;

/** @param sentence made of texts and, where other sentences are in it, of those in the same language */
const inBoth = (draft: Draft, sentence: (t: typeof sessionTexts.en, which: keyof InBoth) => string): InBoth => ({
  text: sentence(textsOf(draft), 'text'),
  shown: asShown(draft, sentence(sessionTexts[draft.world.shownIn], 'shown')),
});

/** A sentence of the page's language; the words to say in it are in the language of the calls. */
const asShown = (draft: Draft, sentence: string): string =>
  wordsToSay(sentence, draft.world.shownIn, languageOf(draft));

/** Where page and calls have one language, a reply is shown as it is said. */
const bothOf = ({ text, shown = text }: Reply): InBoth => ({ text, shown });

const notStored = (draft: Draft, reply: Reply): Reply => ({
  tone: 'trouble',
  ...inBoth(draft, (t, which) => t.notStored(bothOf(reply)[which])),
});

/** What the ruling makes happen. The reply to it is put into both languages: `act` itself changes nothing. */
function actOn(draft: Draft, ruling: Ruling, moment: Moment, notebook: NotebookState): Act {
  const done = act(ruling, moment, notebook, () => newId(draft), languageOf(draft));
  const { shownIn } = draft.world;
  if (shownIn === dayLanguage(languageOf(draft))) return done;
  const shown = asShown(draft, act(ruling, moment, notebook, () => '', shownIn).reply.text);
  return { ...done, reply: { ...done.reply, shown } };
}

const newId = (draft: Draft): string => `${draft.state.idPrefix}${++draft.state.idsGiven}`;

function record(draft: Draft, bodies: readonly EventBody[], pending: Pending): void {
  draft.effects.push({ kind: 'record', bodies });
  draft.state.pending = pending;
}

function fetchDecisions(draft: Draft, pending: Pending): void {
  draft.effects.push({ kind: 'fetch-decisions' });
  draft.state.pending = pending;
}

function remember(draft: Draft, call: string, known: KnownCall): void {
  draft.state.known = new Map(draft.state.known).set(call, known);
}

function show(draft: Draft, heard: string, { text, shown }: Pick<Reply, 'text' | 'shown'>, tone: Tone): void {
  const { shownIn, nowMs } = draft.world;
  const answered = numbersIn(shownIn, shown ?? text);
  draft.state.view = { exchange: { heard, answer: answered, tone, atMs: nowMs }, coming: '' };
}

function answer(draft: Draft, told: Reply, heard: string, cue: Cue = cueOf[told.tone]): void {
  const { preferences } = draft.world;
  const local = (sentence: string): string => numbersIn(dayLanguage(languageOf(draft)), sentence);
  const reply = {
    ...told,
    text: local(told.text),
    ...(told.say === undefined ? {} : { say: local(told.say) }),
  };
  show(draft, heard, told, reply.tone);
  draft.effects.push({ kind: 'play', cue });
  const { readBack, silent } = preferences;
  const wanted =
    reply.asked === true ||
    readBack === 'always' ||
    (readBack === 'when-doubtful' && (reply.tone === 'doubtful' || reply.tone === 'unresolved'));
  if (wanted && !silent) draft.effects.push({ kind: 'say', reply });
}

// A call: first on disk, with its sound; then its words are judged.

function takeCall(draft: Draft, timed: TimedCall): void {
  const { call, onsetMs, endMs } = timed;
  const before = draft.state.known.get(call.id);
  const sound = draft.world.preferences.clips ? call.utterance : null;
  const better = before?.timing === 'words' && call.timing === 'sound';
  if (before && !better && (before.clip || !sound)) {
    resolve(draft, timed);
    return;
  }
  const known: KnownCall = {
    id: before?.id ?? newId(draft),
    timing: call.timing,
    clip: sound !== null,
    // A moved moment is judged again, so that the reading moves with it.
    judged: better ? null : (before?.judged ?? null),
    recorded: before?.recorded ?? new Set(),
    carriedOut: before?.carriedOut ?? [],
    ...(before?.apart ? { apart: before.apart } : {}),
  };
  remember(draft, call.id, known);
  const called: EventBody = {
    kind: 'called',
    call: known.id,
    onsetMs,
    endMs,
    timing: call.timing,
    // A tenth of a millisecond is more than anyone knows, and a link need not carry the rest.
    uOnsetMs: Math.round(10 * uOnsetOf(call)) / 10,
    clip: known.clip,
    run: runAt(draft.world.notebook, onsetMs),
    ...(call.during?.within ? { overSpeech: true } : {}),
  };
  record(draft, [called], { after: 'called', timed, sound });
}

/**
 * Standard uncertainty of the moment, ms. A call over the tool's own voice may have begun anywhere within its sound
 * (uniform over its length).
 */
function uOnsetOf({ uOnsetMs, onsetMs, endMs, during }: HeardCall): number {
  if (!during?.within || endMs === null || during.said.every(({ sinceMs }) => sinceMs >= 0)) return uOnsetMs;
  return Math.min(60_000, Math.max(uOnsetMs, (endMs - onsetMs) / Math.sqrt(12)));
}

/** Judges the words of a settled call, once for each set of words. */
function resolve(draft: Draft, timed: TimedCall): void {
  const { call } = timed;
  const known = draft.state.known.get(call.id);
  if (!known || !call.settled) return;
  const { world } = draft;
  const state = world.notebook;
  const heard = hypothesesOf(call.heard).filter((hypothesis) => hypothesis.text !== '');
  const words = withoutOwnWords(heard, call, world);
  const own = words.length === 0 && (heard.length > 0 || call.during?.within === true);
  const judged = JSON.stringify([words, heard.length > 0]);
  if (known.judged === judged) return;
  const now = state.calls.find((other) => other.id === known.id);
  const onsetMs = now?.onsetMs ?? timed.onsetMs;
  const moment = { call: known.id, timeMs: onsetMs, run: now?.run ?? runAt(state, onsetMs), by: 'ear' } as const;
  const { events, recorded } = heardEventsOf(call, known.id, known.recorded);
  remember(draft, call.id, { ...known, judged, recorded });
  // A command is carried out once: later words about it are only kept, unless another ear contradicts it.
  if (now?.outcome === 'command') {
    afterCommand(draft, words, call, moment, known.carriedOut, events);
    return;
  }
  if (own) {
    // Kept without a cue: an answer to the tool's own voice would be answered in turn.
    const verdict = heard.length > 0 ? ownVoice(heard, call, world) : overSpeech(moment, state, world);
    record(draft, [...events, judgedOf(verdict, known.id, 'ear')], { after: 'kept' });
    return;
  }
  // What others say is no second half of the caller's number.
  const joined = isFaint(words, call) ? null : joinedToLast(words, moment, state, world);
  if (joined) {
    const done = actOn(draft, joined.verdict, joined.begun, joined.others);
    const before = [...events, judgedOf(joined.rest, known.id, 'ear')];
    carryOut(draft, { done, before, moment: joined.begun, heard: joined.text, of: null });
    return;
  }
  judgeWords(draft, words, call, moment, events);
}

function judgeWords(
  draft: Draft,
  words: readonly Hypothesis[],
  call: HeardCall,
  moment: Moment,
  before: readonly EventBody[],
): void {
  const { world } = draft;
  // What it was taken for so far is no ground for what it is.
  const others = withoutCall(world.notebook, moment.call ?? '');
  const verdict =
    words.length === 0 ? withoutWords(moment, others, world) : understood(words, call, moment, others, world);
  if (verdict.aside) {
    // Others talk all the time: it is kept, and what the caller was told last stays on the screen.
    record(draft, [...before, judgedOf(verdict, moment.call ?? '', 'ear')], { after: 'kept' });
    return;
  }
  rememberApart(draft, call.id, words);
  const moved = movedTo(draft, call.id, verdict);
  const at = moved[0] ? { ...moment, timeMs: moved[0].onsetMs } : moment;
  const done = actOn(draft, verdict, at, others);
  carryOut(draft, { done, before: [...before, ...moved], moment: at, heard: words[0]?.text ?? '', of: call.id });
}

/** Keeps where the sentences of a call begin: what it is taken for may change, and its moment with it. */
function rememberApart(draft: Draft, id: string, words: readonly Hypothesis[]): void {
  const known = draft.state.known.get(id);
  const call = draft.world.notebook.calls.find((one) => one.id === known?.id);
  if (!known || !call || !words.some(({ begins }) => begins)) return;
  // Words that come later count from the sound too, not from where the call was put meanwhile.
  const sound = known.apart?.onsetMs === call.onsetMs ? known.apart.sound : call;
  remember(draft, id, { ...known, apart: { words, sound, onsetMs: call.onsetMs } });
}

/** The call put where the sentence begins that it is taken for now, as an event; none where it stays. */
function movedTo(draft: Draft, id: string, verdict: Ruling): Extract<EventBody, { kind: 'called' }>[] {
  const { notebook, understanding } = draft.world;
  const known = draft.state.known.get(id);
  const call = notebook.calls.find((one) => one.id === known?.id);
  // Whatever else moved it since, a clock put right, knew more.
  if (!known?.apart || !call || call.onsetMs !== known.apart.onsetMs) return [];
  const own = ownBeginning(known.apart.words, verdict, known.apart.sound, understanding);
  if (!own) return [];
  // Over the tool's own voice it may have begun anywhere within its sound.
  const uOnsetMs = call.overSpeech ? Math.max(own.uOnsetMs, known.apart.sound.uOnsetMs) : own.uOnsetMs;
  if (own.onsetMs === call.onsetMs && uOnsetMs === call.uOnsetMs) return [];
  remember(draft, id, { ...known, apart: { ...known.apart, onsetMs: own.onsetMs } });
  const { endMs, timing, clip, run } = call;
  return [{ kind: 'called', call: call.id, onsetMs: own.onsetMs, endMs, timing, uOnsetMs, clip, run }];
}

/** A command was carried out, and more words came: an ear that plainly heard something else takes it back. */
function afterCommand(
  draft: Draft,
  words: readonly Hypothesis[],
  call: HeardCall,
  moment: Moment,
  carriedOut: readonly string[],
  heardEvents: readonly EventBody[],
): void {
  const state = draft.world.notebook;
  const done = state.calls.find((other) => other.id === moment.call);
  const verdict = words.length === 0 ? null : understood(words, call, moment, state, draft.world);
  const changed = verdict !== null && JSON.stringify(verdict.meaning) !== JSON.stringify(done?.meaning ?? null);
  const severalEars = new Set(words.map(({ ear }) => ear)).size > 1;
  // What was done since may rest on it: then it stays.
  const isLatest = carriedOut.length === 0 || carriedOut.at(-1) === state.undoable.at(-1);
  if (!changed || !severalEars || !isLatest) {
    if (heardEvents.length > 0) record(draft, heardEvents, { after: 'kept' });
    return;
  }
  const undone = carriedOut.map((event): EventBody => ({ kind: 'undone', event }));
  record(draft, [...heardEvents, ...undone], { after: 'contradicting', words, call, moment });
}

// A deed: decided, recorded in one piece, and answered only when that is durable.

function carryOut(draft: Draft, deed: Deed): void {
  if (deed.done.handOver === null) perform(draft, deed, deed.done);
  else fetchDecisions(draft, { after: 'deciding', deed });
}

function decide(draft: Draft, deed: Deed, decisions: Decisions | null): void {
  const { done, moment } = deed;
  const { notebook, preferences } = draft.world;
  const { handOver } = done;
  if (handOver === null) return;
  const decided = decisions?.decide(notebook, handOver, moment, preferences);
  if (!decisions || !decided) {
    perform(draft, deed, withoutRunSheet(draft, handOver, moment));
    return;
  }
  const { shownIn } = draft.world;
  // Decided once more for its words alone, as `actOn` does.
  const inPage = decisions.decide(notebook, handOver, moment, { ...preferences, language: shownIn });
  const shown = asShown(draft, inPage?.reply.text ?? decided.reply.text);
  perform(draft, deed, { ...decided, reply: { ...decided.reply, shown } });
}

function withoutRunSheet(draft: Draft, handOver: HandedOver, moment: Moment): Decision {
  if (handOver.kind === 'poured') {
    const { value, reagent } = handOver;
    const { timeMs, run, call } = moment;
    const event: EventBody = { kind: 'poured', value, reagent, timeMs, run, settled: 'open' };
    if (call !== null) event.call = call;
    return { events: [event], reply: { tone: 'told', ...inBoth(draft, (t) => t.poured(value, reagent)) } };
  }
  const why = handOver.kind === 'step' ? 'noRunSheet' : handOver.kind === 'ask' ? 'noFigures' : 'nothingAsked';
  return { events: [], reply: { tone: 'trouble', ...inBoth(draft, (t) => t[why]) } };
}

const judgementOf = ({ done, moment }: Deed): EventBody[] =>
  moment.call === null ? [] : [judgedOf(done.verdict, moment.call, moment.by)];

function perform(draft: Draft, deed: Deed, decided: Decision): void {
  const bodies = [...deed.before, ...judgementOf(deed), ...decided.events];
  const pending = { after: 'doing', deed, decided, earlier: draft.world.notebook } as const;
  if (bodies.length > 0) record(draft, bodies, pending);
  else afterDoing(draft, pending, []);
}

function afterDoing(
  draft: Draft,
  { deed, decided, earlier }: Extract<Pending, { after: 'doing' }>,
  ids: readonly string[] | null,
): void {
  const { done, heard, moment } = deed;
  const { reply } = decided;
  const from = deed.before.length + judgementOf(deed).length;
  const ofTheAct = ids?.slice(from, from + decided.events.length) ?? decided.events.map(() => 'not stored');
  const known = deed.of === null ? undefined : draft.state.known.get(deed.of);
  if (deed.of !== null && known) remember(draft, deed.of, { ...known, carriedOut: ofTheAct });
  if (ids === null) {
    answer(draft, notStored(draft, reply), heard);
    return;
  }
  // What is plainly no reading (talk in the room) is shown, not cued: the tool does not chatter back.
  if (done.verdict.outcome === 'not-a-reading' && reply.tone === 'told') {
    show(draft, heard, reply, 'told');
    return;
  }
  // Between runs people talk, rinse and clatter: one warning that no run is open is enough for a while.
  if (heard === '' && moment.run === null && moment.by === 'ear') {
    const before = draft.state.lastIdleCueMs;
    const { nowMs } = draft.world;
    draft.state.lastIdleCueMs = nowMs;
    if (before !== null && nowMs - before < idleQuietMs) {
      show(draft, heard, reply, 'told');
      return;
    }
  }
  if (reply.quiet === true) {
    show(draft, heard, reply, reply.tone);
    return;
  }
  answerDeed(draft, deed, reply, earlier);
}

function answerDeed(draft: Draft, deed: Deed, reply: Reply, earlier: NotebookState): void {
  const { done, heard } = deed;
  const { notebook } = draft.world;
  const reached = !reachedSpan(earlier) && reachedSpan(notebook);
  const movedIn = (language: PageLanguage) => gridMoved(openGrid(earlier), openGrid(notebook), language);
  const moved = movedIn(dayLanguage(languageOf(draft)));
  if (reached) {
    const both = inBoth(draft, (t, which) => t.spanReached(bothOf(reply)[which]));
    answer(draft, { ...reply, ...both }, heard, 'span-reached');
  } else if (moved && reply.tone === 'taken') {
    const { text, shown } = bothOf(reply);
    const both = { text: `${text}. ${moved.text}`, shown: `${shown}. ${movedIn(draft.world.shownIn)?.text}` };
    answer(draft, { ...reply, ...moved, ...both, asked: true }, heard);
  } else if (leads(done)) {
    fetchDecisions(draft, { after: 'leading', deed, reply, earlier });
    return;
  } else answer(draft, reply, heard);
  reconsider(draft, deed);
}

/** What was done before and after a run leads on to the next step; readings do not. */
function leads({ handOver, verdict }: Act): boolean {
  const kind = verdict.meaning?.kind;
  return (handOver !== null && handOver.kind !== 'step') || (kind !== undefined && leading.has(kind));
}

function lead(
  draft: Draft,
  { deed, reply, earlier }: Extract<Pending, { after: 'leading' }>,
  decisions: Decisions | null,
): void {
  const { notebook, preferences } = draft.world;
  answer(draft, decisions?.lead(earlier, notebook, deed.done, reply, preferences) ?? reply, deed.heard);
  reconsider(draft, deed);
}

/** Later readings can change the mind about earlier ones: recorded, cued and shown, never silent. */
function reconsider(draft: Draft, { done, moment }: Deed): void {
  if (done.verdict.meaning?.kind !== 'reading' || moment.run === null) return;
  const { notebook, understanding } = draft.world;
  const changed = understanding?.rejudge(moment.run, notebook) ?? [];
  if (changed.length === 0) return;
  const bodies = changed.flatMap(({ call, verdict }) => {
    const [id] = [...draft.state.known].find(([, known]) => known.id === call) ?? [];
    return [...(id === undefined ? [] : movedTo(draft, id, verdict)), judgedOf(verdict, call, 'expectation')];
  });
  const said = inBoth(draft, (t) =>
    changed.map(({ call, verdict }) => changeOfMind(call, verdict, notebook, t)).join('. '),
  );
  record(draft, bodies, { after: 'rejudging', said });
}

function openGrid(state: NotebookState): MarkGrid | null {
  const run = openRunOf(state);
  return run && gridOf(run, state.setup);
}

function reachedSpan(state: NotebookState): boolean {
  const run = openRunOf(state);
  return run !== null && spanReached(run, state.setup);
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

// Keys.

function press(draft: Draft, meaning: Meaning, timeMs: number): void {
  const { world } = draft;
  const run = runAt(world.notebook, timeMs);
  const call = meaning.kind === 'reading' || meaning.kind === 'mark' ? newId(draft) : null;
  const moment: Moment = { call, timeMs, run, by: 'hand' };
  const shared = { endMs: null, timing: 'key', uOnsetMs: uKeyMs, clip: false } as const;
  const before: EventBody[] = call === null ? [] : [{ kind: 'called', call, onsetMs: timeMs, run, ...shared }];
  const ruling = byHand(meaning, moment, world.notebook, world);
  const done = actOn(draft, ruling, moment, world.notebook);
  carryOut(draft, { done, before, moment, heard: '', of: null });
}

function takeBack(draft: Draft, undo: Undo | null, shown: string): void {
  if (undo === null) {
    answer(draft, { tone: 'trouble', ...inBoth(draft, (t) => t.nothingToTakeBack) }, '');
    return;
  }
  const sentence: InBoth = { text: undo.sentence, shown: ownWords(shown) };
  const { nowMs } = draft.world;
  const { askedToUndo } = draft.state;
  const key = undo.events.join(' ');
  const agreed = askedToUndo?.key === key && nowMs - askedToUndo.atMs < undoQuestionMs;
  if (undo.asks && !agreed) {
    draft.state.askedToUndo = { key, atMs: nowMs };
    answer(draft, { tone: 'doubtful', ...inBoth(draft, (t, which) => t.takeBack(sentence[which])) }, '');
    return;
  }
  draft.state.askedToUndo = null;
  const bodies = undo.events.map((event): EventBody => ({ kind: 'undone', event }));
  record(draft, bodies, { after: 'undoing', sentence });
}
