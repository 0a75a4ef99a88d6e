import { held, nth } from '../numerics/nth.ts';
import { noClassPlan } from './class-plan.ts';
import { changeRun, type Draft, insertByTime } from './draft.ts';
import type { EventBody, EventOf, NotebookEvent } from './event.ts';
import { eventsBetweenRests, rest } from './rest.ts';
import { editRuns, enterReadings } from './run-edits.ts';
import { defaultSetup } from './setup.ts';
import { shownName } from './shown-name.ts';
import type { Call, Change, Joint, NotebookState, Reading, RemovedRun, Run, TimedEvent } from './state.ts';

/** Kinds of events that a person means by "undo": their own acts, not what was merely heard. */
const acts: ReadonlySet<EventBody['kind']> = new Set([
  'titled',
  'grouped',
  'members-named',
  'class-planned',
  'run-renamed',
  'run-removed',
  'run-returned',
  'run-split',
  'run-joined',
  'runs-ordered',
  'readings-entered',
  'set-up',
  'planned',
  'run-started',
  'run-ended',
  'corrected',
  'struck',
  'restored',
  'set-aside',
  'put-back',
  'happened',
  'baseline',
  'temperature',
  'poured',
  'note',
  'condition-skipped',
  'clock-settled',
  'estimate-chosen',
]);

/** The state of a list of events. Cost: O(n log n) in the events, once. */
export function reduce(events: readonly NotebookEvent[]): NotebookState {
  const fold = makeFold();
  fold.append(events);
  return fold.state();
}

/**
 * Ids of the events that count: all but those taken back. An undo that was itself undone takes nothing back, so the
 * list is read from its end.
 */
export function undoneEvents(events: readonly NotebookEvent[]): ReadonlySet<string> {
  const undone = new Set<string>();
  if (!events.some(({ body }) => body.kind === 'undone')) return undone;
  const place = new Map(events.map((event, index) => [event.id, index]));
  for (let i = events.length - 1; i >= 0; i--) {
    const { id, body } = nth(events, i);
    // Only what came before can be taken back; anything else is not an undo this tool wrote.
    if (body.kind === 'undone' && !undone.has(id) && (place.get(body.event) ?? i) < i) undone.add(body.event);
  }
  return undone;
}

/** A fold that goes on: `append` new events, `state` gives the value they amount to (old values stay as they were). */
export interface Fold {
  append(events: readonly NotebookEvent[]): void;
  /** As `append` for a whole log, in pieces with a rest in between. Nothing else may be appended meanwhile. */
  appendSlowly(events: readonly NotebookEvent[]): Promise<void>;
  state(): NotebookState;
}

export function makeFold(): Fold {
  const all: NotebookEvent[] = [];
  let draft = emptyDraft();
  return {
    append(events) {
      for (const event of events) all.push(event);
      if (events.some((event) => event.body.kind === 'undone')) {
        // Rare, and the only case in which the past counts differently: start over.
        const undone = undoneEvents(all);
        draft = emptyDraft();
        for (const event of all) if (!undone.has(event.id)) apply(draft, event);
      } else {
        for (const event of events) apply(draft, event);
      }
      draft.events = all.length;
    },
    async appendSlowly(events) {
      for (const event of events) all.push(event);
      const undone = undoneEvents(all);
      draft = emptyDraft();
      for (const [i, event] of all.entries()) {
        if (!undone.has(event.id)) apply(draft, event);
        if (i % eventsBetweenRests === eventsBetweenRests - 1) await rest();
      }
      draft.events = all.length;
    },
    state: () => snapshot(draft),
  };
}

function emptyDraft(): Draft {
  return {
    title: '',
    group: '',
    members: '',
    classPlan: noClassPlan,
    seed: 0,
    invented: false,
    createdWallMs: 0,
    setup: defaultSetup,
    plan: null,
    runs: new Map(),
    openRun: null,
    paused: false,
    calls: new Map(),
    callOrder: [],
    readings: new Map(),
    timed: [],
    step: 0,
    stepMs: null,
    skipped: [],
    joints: [],
    undoable: [],
    acts: [],
    events: 0,
    lastMs: 0,
    clipsDeleted: false,
  };
}

function snapshot(draft: Draft): NotebookState {
  const runs: Run[] = [];
  const removedRuns: RemovedRun[] = [];
  for (const entry of draft.runs.values()) {
    entry.value ??= {
      ...entry.run,
      readings: entry.readings.map((reading) => held(draft.readings, reading)),
      timed: [...entry.timed],
      baseline: lastBaseline(entry.timed),
    };
    if (entry.removed) removedRuns.push({ run: entry.value, ...entry.removed });
    else runs.push(entry.value);
  }
  return {
    title: draft.title,
    group: draft.group,
    members: draft.members,
    classPlan: draft.classPlan,
    seed: draft.seed,
    invented: draft.invented,
    createdWallMs: draft.createdWallMs,
    setup: draft.setup,
    plan: draft.plan,
    runs,
    removedRuns,
    openRun: draft.openRun,
    paused: draft.paused,
    // A key that was taken back leaves no call: it is recorded with its judgement in one piece, never without.
    calls: draft.callOrder
      .map((call) => held(draft.calls, call))
      .filter((call) => call.timing !== 'key' || call.outcome !== 'waiting'),
    timed: [...draft.timed],
    step: draft.step,
    stepMs: draft.stepMs,
    skipped: [...draft.skipped],
    joints: [...draft.joints],
    undoable: [...draft.undoable],
    acts: [...draft.acts],
    events: draft.events,
    lastMs: draft.lastMs,
    clipsDeleted: draft.clipsDeleted,
  };
}

function lastBaseline(timed: readonly TimedEvent[]): string | null {
  for (let i = timed.length - 1; i >= 0; i--) {
    const event = nth(timed, i);
    if (event.kind === 'baseline') return event.value;
  }
  return null;
}

function apply(draft: Draft, event: NotebookEvent): void {
  const { body } = event;
  const beforeMs = draft.lastMs;
  draft.lastMs = Math.max(draft.lastMs, event.atMs);
  if (acts.has(body.kind) || (body.kind === 'judged' && (body.by === 'hand' || body.by === 'voice'))) {
    draft.undoable.push(event.id);
    draft.acts.push(body);
  }
  const fold = folds[body.kind] as FoldOf<EventBody['kind']>;
  fold(draft, body, event, beforeMs);
}

/** @param beforeMs notebook time of the event before, ms */
type FoldOf<K extends EventBody['kind']> = (
  draft: Draft,
  body: EventOf<K>,
  event: NotebookEvent,
  beforeMs: number,
) => void;

/** What each kind of event does to the state. */
const folds: { readonly [kind in EventBody['kind']]: FoldOf<kind> } = {
  created(draft, { title, seed, invented }, { wallMs }) {
    Object.assign(draft, { title: shownName(title), seed, invented, createdWallMs: wallMs });
  },
  opened(draft, { joined }, event, beforeMs) {
    if (joined === 'first') return;
    const why = joined === 'unknown' ? 'unknown-gap' : 'reload';
    addJoint(draft, event, { atMs: event.atMs, fromMs: beforeMs, why, missedMs: 0 });
  },
  'clock-doubted'(draft, { gapMs }, event, beforeMs) {
    // Within a page the times go on: what is later than the event before came after the gap.
    const atMs = Math.min(event.atMs, beforeMs + 0.1);
    addJoint(draft, event, { atMs, fromMs: beforeMs, why: 'clock-doubted', missedMs: gapMs });
  },
  'clock-settled': settleJoint,
  titled(draft, { title }) {
    draft.title = shownName(title);
  },
  grouped(draft, { group }) {
    draft.group = shownName(group);
  },
  'members-named'(draft, { members }) {
    draft.members = shownName(members);
  },
  'class-planned'(draft, { classPlan }) {
    draft.classPlan = classPlan;
  },
  'run-renamed': editRuns,
  'run-removed': editRuns,
  'run-returned': editRuns,
  'run-split': editRuns,
  'run-joined': editRuns,
  'runs-ordered': editRuns,
  'readings-entered': (draft, body, event) => enterReadings(draft, event, body),
  'set-up'(draft, { setup }) {
    draft.setup = setup;
  },
  planned(draft, { plan }) {
    draft.plan = plan;
  },
  'run-started': (draft, body, event) => startRun(draft, event, body),
  'run-ended'(draft, { run, timeMs }, { atMs }) {
    if (draft.openRun === run) draft.openRun = null;
    changeRun(draft, run, (entry) => {
      entry.run = { ...entry.run, endedMs: timeMs ?? atMs };
    });
  },
  called: addCall,
  heard: addWords,
  judged: (draft, body, event) => applyJudged(draft, event, body),
  corrected(draft, { reading, value, by }, event) {
    changeReading(draft, reading, (before) => ({
      ...before,
      value,
      volumeMl: Number(value),
      marked: false,
      outcome: 'taken',
      settled: by === 'voice' || by === 'hand' || before.settled,
      history: [...before.history, change(event, by, 'corrected', value, '')],
    }));
  },
  struck: (draft, { reading, by }, event) => noteOnReading(draft, reading, event, by, 'struck', { struck: true }),
  restored: (draft, { reading }, event) => noteOnReading(draft, reading, event, 'hand', 'restored', { struck: false }),
  'set-aside': (draft, { reading, cause, why }, event) =>
    noteOnReading(draft, reading, event, 'hand', 'set-aside', { setAside: { cause, why } }, why),
  'put-back': (draft, { reading }, event) =>
    noteOnReading(draft, reading, event, 'hand', 'put-back', { setAside: null }),
  happened: addTimed,
  baseline: addTimed,
  temperature: addTimed,
  poured: addTimed,
  note: addTimed,
  paused(draft) {
    draft.paused = true;
  },
  resumed(draft) {
    draft.paused = false;
  },
  'step-reached'(draft, { step }, { atMs }) {
    draft.step = step;
    draft.stepMs = atMs;
  },
  'condition-skipped'(draft, { condition }) {
    if (!draft.skipped.includes(condition)) draft.skipped.push(condition);
  },
  'estimate-chosen': (draft, { run, estimator }) =>
    changeRun(draft, run, (entry) => {
      entry.run = { ...entry.run, estimator };
    }),
  'clips-deleted'(draft) {
    draft.clipsDeleted = true;
    for (const [id, call] of draft.calls) if (call.clip) draft.calls.set(id, { ...call, clip: false });
  },
  undone() {},
};

/** A new answer of an ear; it replaces the unfinished one of the same ear just before. */
function addWords(draft: Draft, { call, ear, alternatives, final, lagMs }: EventOf<'heard'>): void {
  changeCall(draft, call, (before) => {
    const last = before.heard.at(-1);
    const kept = last && last.ear === ear && !last.final ? before.heard.slice(0, -1) : before.heard;
    return { ...before, heard: [...kept, { ear, alternatives, final, lagMs: lagMs ?? null }] };
  });
}

function noteOnReading(
  draft: Draft,
  id: string,
  event: NotebookEvent,
  by: Change['by'],
  what: Change['what'],
  part: Partial<Reading>,
  why = '',
): void {
  changeReading(draft, id, (reading) => ({
    ...reading,
    ...part,
    history: [...reading.history, change(event, by, what, reading.value, why)],
  }));
}

function addJoint(draft: Draft, event: NotebookEvent, joint: Omit<Joint, 'event' | 'settled'>): void {
  draft.joints.push({ event: event.id, ...joint, settled: false });
}

/** What the run had before the joint moves; what came after, and every other run, stays. */
function settleJoint(draft: Draft, { joint, run, byMs }: EventOf<'clock-settled'>): void {
  const found = draft.joints.find(({ event }) => event === joint);
  if (!found || found.settled) return;
  draft.joints = draft.joints.map((one) => (one === found ? { ...one, settled: true } : one));
  if (byMs === 0) return;
  const moved = (ms: number): number => (ms < found.atMs ? ms + byMs : ms);
  for (const [id, call] of draft.calls) {
    if (call.run !== run || call.onsetMs >= found.atMs) continue;
    draft.calls.set(id, { ...call, onsetMs: moved(call.onsetMs), endMs: call.endMs && moved(call.endMs) });
  }
  draft.timed = draft.timed.map((timed) => (timed.run === run ? { ...timed, timeMs: moved(timed.timeMs) } : timed));
  changeRun(draft, run, (entry) => {
    for (const id of entry.readings) {
      const reading = draft.readings.get(id);
      if (reading) draft.readings.set(id, { ...reading, timeMs: moved(reading.timeMs) });
    }
    entry.timed = entry.timed.map((timed) => ({ ...timed, timeMs: moved(timed.timeMs) }));
    entry.run = { ...entry.run, startedMs: moved(entry.run.startedMs) };
  });
}

/** A run that is started again, before it had readings, starts later or gets another label; what it has stays. */
function startRun(draft: Draft, event: NotebookEvent, body: EventOf<'run-started'>): void {
  const startedMs = body.timeMs ?? event.atMs;
  const known = draft.runs.get(body.run);
  draft.openRun = body.run;
  draft.paused = false;
  draft.runs.set(body.run, {
    run: { id: body.run, label: body.label, startedMs, endedMs: null, estimator: known?.run.estimator ?? null },
    readings: known?.readings ?? [],
    timed: known?.timed ?? [],
    value: null,
  });
  adoptCalls(draft, body.run, startedMs);
  adoptPreparation(draft, body.run, body.label);
}

function change(
  event: NotebookEvent,
  by: Change['by'],
  what: Change['what'],
  value: string | null,
  reason: string,
): Change {
  return { event: event.id, atMs: event.atMs, by, what, value, reason };
}

function addCall(draft: Draft, body: EventOf<'called'>): void {
  const known = draft.calls.get(body.call);
  if (known) {
    // Words came first and timed it; now its sound did. Better moment, same call.
    const { onsetMs, endMs, timing, uOnsetMs, clip } = body;
    // A call made before its run was started is put into it by hand; one that has a run stays there.
    const run = known.run ?? body.run;
    draft.calls.set(body.call, { ...known, onsetMs, endMs, timing, uOnsetMs, clip: clip || known.clip, run });
    draft.callOrder.splice(draft.callOrder.lastIndexOf(body.call), 1);
    insertByTime(draft.callOrder, body.call, (id) => held(draft.calls, id).onsetMs);
    return;
  }
  draft.calls.set(body.call, {
    id: body.call,
    onsetMs: body.onsetMs,
    endMs: body.endMs,
    timing: body.timing,
    uOnsetMs: body.uOnsetMs,
    clip: body.clip,
    run: body.run,
    ...(body.overSpeech ? { overSpeech: true } : {}),
    heard: [],
    outcome: 'waiting',
    meaning: null,
    rivals: [],
    reason: '',
    by: 'ear',
    readings: [],
    history: [],
  });
  insertByTime(draft.callOrder, body.call, (id) => held(draft.calls, id).onsetMs);
}

function applyJudged(draft: Draft, event: NotebookEvent, body: EventOf<'judged'>): void {
  const call = draft.calls.get(body.call);
  if (!call) return;
  const machine = body.by === 'ear' || body.by === 'expectation';
  // A person's word outranks the machine's: what somebody settled is not judged again by itself.
  const settled =
    call.by === 'hand' || call.by === 'voice' || call.readings.some((r) => draft.readings.get(r)?.settled);
  if (machine && settled) return;

  const before = call.readings;
  const after: string[] = [];
  if (body.meaning?.kind === 'reading' && body.outcome !== 'unresolved') {
    body.meaning.values.forEach((said, index) => {
      const id = `${call.id}#${index}`;
      const old = draft.readings.get(id);
      const entry = change(event, body.by, 'judged', said.value, body.reason);
      draft.readings.set(id, {
        id,
        call: call.id,
        run: call.run,
        timeMs: said.timeMs ?? call.onsetMs,
        uTimeMs: call.uOnsetMs,
        timing: call.timing,
        value: said.value,
        volumeMl: Number(said.value),
        marked: body.meaning?.kind === 'reading' && body.meaning.marked === true,
        outcome: body.outcome === 'doubtful' ? 'doubtful' : 'taken',
        // A person's value that contradicts the run stays a question until somebody confirms it.
        settled: !machine && body.outcome !== 'doubtful',
        rivals: body.rivals,
        ...(old?.enteredS === undefined ? {} : { enteredS: old.enteredS }),
        ...(old?.uVolumeMl === undefined ? {} : { uVolumeMl: old.uVolumeMl }),
        struck: old?.struck ?? false,
        setAside: old?.setAside ?? null,
        history: [...(old?.history ?? []), entry],
      });
      after.push(id);
    });
  }
  for (const id of before) if (!after.includes(id)) draft.readings.delete(id);
  draft.calls.set(call.id, {
    ...call,
    outcome: body.outcome,
    meaning: body.meaning,
    rivals: body.rivals,
    reason: body.reason,
    by: body.by,
    readings: after,
    history: [
      ...call.history,
      change(event, body.by, 'judged', after[0] ? held(draft.readings, after[0]).value : null, body.reason),
    ],
  });
  if (call.run === null) return;
  changeRun(draft, call.run, (entry) => {
    // Most calls are judged once: a run of many readings is not to be copied for each of them.
    if (before.length > 0) entry.readings = entry.readings.filter((id) => !before.includes(id));
    for (const id of after) insertByTime(entry.readings, id, (r) => held(draft.readings, r).timeMs);
  });
}

function changeCall(draft: Draft, id: string, next: (call: Call) => Call): void {
  const call = draft.calls.get(id);
  if (call) draft.calls.set(id, next(call));
}

function changeReading(draft: Draft, id: string, next: (reading: Reading) => Reading): void {
  const reading = draft.readings.get(id);
  if (!reading) return;
  draft.readings.set(id, next(reading));
  if (reading.run !== null) changeRun(draft, reading.run, () => {});
}

function addTimed(
  draft: Draft,
  body: EventOf<'happened' | 'baseline' | 'temperature' | 'poured' | 'note'>,
  { id: event }: NotebookEvent,
): void {
  const base = { event, timeMs: body.timeMs, run: body.run, call: body.call ?? null };
  const timed: TimedEvent =
    body.kind === 'happened'
      ? { ...base, kind: 'happened', what: body.what }
      : body.kind === 'note'
        ? { ...base, kind: 'note', text: body.text }
        : body.kind === 'poured'
          ? {
              ...base,
              kind: 'poured',
              value: body.value,
              reagent: body.reagent,
              solution: body.solution ?? null,
              forRun: body.forRun ?? null,
              settled: body.settled,
              replaces: body.replaces ?? null,
            }
          : { ...base, kind: body.kind, value: body.value };
  draft.timed.push(timed);
  if (body.run !== null) changeRun(draft, body.run, (entry) => entry.timed.push(timed));
}

/**
 * "Start run one" is understood a second or two after it was said; what was called meanwhile, or since a start that
 * was put in by hand, belongs to the run. Readings that such calls already gave go with them.
 */
function adoptCalls(draft: Draft, run: string, sinceMs: number): void {
  const entry = held(draft.runs, run);
  for (let i = draft.callOrder.length - 1; i >= 0; i--) {
    const call = held(draft.calls, nth(draft.callOrder, i));
    if (call.onsetMs < sinceMs) break;
    if (call.run !== null) continue;
    draft.calls.set(call.id, { ...call, run });
    for (const id of call.readings) {
      draft.readings.set(id, { ...held(draft.readings, id), run });
      insertByTime(entry.readings, id, (r) => held(draft.readings, r).timeMs);
    }
  }
}

/**
 * What was called between two runs belongs to the next: the baseline before mixing, the pours, the bath's
 * temperature. They are shown with the run that starts after them.
 */
function adoptPreparation(draft: Draft, run: string, label: string): void {
  const entry = held(draft.runs, run);
  let since = Number.NEGATIVE_INFINITY;
  for (const other of draft.runs.values()) {
    // A run that was typed in, or came from a file, was not prepared here.
    if (other !== entry && !other.run.entered) since = Math.max(since, other.run.endedMs ?? other.run.startedMs);
  }
  const there = new Set(entry.timed);
  for (const timed of draft.timed) {
    const prepared = timed.run === null && timed.timeMs >= since;
    const meant = timed.kind !== 'poured' || timed.forRun === null || timed.forRun === label;
    if (prepared && meant && !there.has(timed)) entry.timed.push(timed);
  }
}
