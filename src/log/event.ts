import { z } from 'zod/mini';
import { ClassPlan } from './class-plan.ts';
import { Decimal, HappeningKind, Meaning } from './meaning.ts';
import { Plan } from './plan.ts';
import { Setup } from './setup.ts';

/**
 * The truth: what happened, in order, never edited. Every screen is a function of this list. A correction is an
 * event, so is an undo. Times are notebook time in ms (see `clock.ts`): monotonic, going on over reloads, blind to
 * changes of the wall clock.
 */

/** Version of the event schema. Raise it with a migration in `migrate.ts` when a stored event changes its meaning. */
export const schemaVersion = 1;

const id = z.string().check(z.minLength(1), z.maxLength(60));
/** Latest notebook time, ms: three centuries. */
export const latestMs = 1e13;
/** Most openings of a notebook. */
export const mostPages = 10_000_000;
/** A day at the bench has some dozens of runs; a class one after the other on one device has hundreds. */
export const mostRuns = 2000;
const ms = z.number().check(z.gte(0), z.lte(latestMs));
/** Moment of something in a run: before the notebook's beginning where a pause that the clock missed was put in. */
const moment = z.number().check(z.gte(-1e13), z.lte(1e13));
/**
 * Wall clock, ms since 1970, within what a date can hold (ECMAScript: 8.64e15 ms to either side). Every number, text and
 * list of this schema has bounds; a new field brings its own, or a file from outside can make a screen fail.
 */
export const wallClock = z.number().check(z.gte(-8.64e15), z.lte(8.64e15));
const runLabel = z.string().check(z.minLength(1), z.maxLength(40));
const words = z.string().check(z.maxLength(2000));

/** Who decided. 'ear': from the words alone; 'expectation': judged again after later readings. */
export const By = z.enum(['ear', 'expectation', 'voice', 'hand']);
export type By = z.infer<typeof By>;

/** How a moment was obtained: onset of the sound, first words of the recogniser, a key or tap, typed in, from a file. */
export const Timing = z.enum(['sound', 'words', 'key', 'hand', 'file']);
export type Timing = z.infer<typeof Timing>;

export const Outcome = z.enum(['taken', 'doubtful', 'unresolved', 'command', 'not-a-reading']);
export type Outcome = z.infer<typeof Outcome>;

export const Rival = z.object({
  meaning: Meaning,
  p: z.number().check(z.gte(0), z.lte(1)),
  why: z.string().check(z.maxLength(400)),
});
export type Rival = z.infer<typeof Rival>;

/** A time and a volume that were measured elsewhere, on paper or by another program. */
export const EnteredReading = z.object({
  /** Seconds since `fromMs`, as written: "95.5". */
  time: Decimal,
  /** mL, as written. */
  value: Decimal,
  /** Standard uncertainty of the time, ms. */
  uTimeMs: z.number().check(z.gte(0), z.lte(60_000)),
  /** Standard uncertainty of the volume, mL, where one is stated. */
  uVolumeMl: z.optional(z.number().check(z.gte(0), z.lte(1000))),
});
export type EnteredReading = z.infer<typeof EnteredReading>;

/** Why a reading may be off, in the order in which the analysis tries the causes; the last is the person's alone. */
export const Cause = z.enum([
  'misheard',
  'shifted-mark',
  'late-call',
  'surge',
  'slow-down',
  'stirring-change',
  'unexplained',
  'own-judgement',
]);
export type Cause = z.infer<typeof Cause>;

/** Conditions that every run shares and that the day asks for once. */
export const Condition = z.enum(['pressure', 'temperature']);
export type Condition = z.infer<typeof Condition>;

export const EventBody = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('created'),
    title: z.string().check(z.maxLength(200)),
    /** Seed of every random number drawn for this notebook, so that Monte Carlo results repeat. */
    seed: z.int().check(z.gte(0), z.lte(0xffffffff)),
    /** true for the demo: the figures are invented. */
    invented: z.boolean(),
    app: z.string().check(z.maxLength(40)),
  }),
  /** A page opened this notebook (again). `joined`: how notebook time was carried over the gap. */
  z.object({
    kind: z.literal('opened'),
    joined: z.enum(['first', 'wall-clock', 'unknown']),
  }),
  /**
   * Wall clock and page clock drifted apart by `gapMs` since the event before this one: the device slept, or somebody set
   * its clock.
   */
  z.object({ kind: z.literal('clock-doubted'), gapMs: wallClock }),
  /**
   * What a person decided about a joint (the event of a reopening, or of a doubted clock) inside a run: its times stand, or what came before it
   * in that run moves by `byMs`, so that the gap becomes the true one.
   */
  z.object({ kind: z.literal('clock-settled'), joint: id, run: id, byMs: z.number().check(z.gte(-1e13), z.lte(1e13)) }),
  z.object({ kind: z.literal('titled'), title: z.string().check(z.maxLength(200)) }),
  /** Who worked: the name by which a class knows the notebook. */
  z.object({ kind: z.literal('grouped'), group: z.string().check(z.maxLength(80)) }),
  /** The people of the group; a link leaves them out unless that is wished. */
  z.object({ kind: z.literal('members-named'), members: z.string().check(z.maxLength(400)) }),
  z.object({ kind: z.literal('class-planned'), classPlan: ClassPlan }),
  z.object({ kind: z.literal('set-up'), setup: Setup }),
  z.object({ kind: z.literal('planned'), plan: Plan }),
  /** `timeMs`: the moment it was called, where that is known; words are understood a second or two later. */
  z.object({
    kind: z.literal('run-started'),
    run: id,
    label: runLabel,
    timeMs: z.optional(moment),
  }),
  z.object({ kind: z.literal('run-ended'), run: id, timeMs: z.optional(moment) }),
  z.object({ kind: z.literal('run-renamed'), run: id, label: runLabel }),
  /** A whole run out of the computation: set aside with a reason, or deleted. `run-returned` brings it back. */
  z.object({
    kind: z.literal('run-removed'),
    run: id,
    how: z.enum(['set-aside', 'deleted']),
    why: z.string().check(z.maxLength(500)),
  }),
  z.object({ kind: z.literal('run-returned'), run: id }),
  /** The reading `at` and all after it become the run `into`. */
  z.object({ kind: z.literal('run-split'), run: id, at: id, into: id, label: runLabel }),
  /** All of `run` becomes part of `into`. */
  z.object({ kind: z.literal('run-joined'), run: id, into: id }),
  /** The runs in a new order; those not named keep theirs, after the others. */
  z.object({ kind: z.literal('runs-ordered'), runs: z.array(id).check(z.maxLength(mostRuns)) }),
  /**
   * Readings typed in or taken from a file, as one act. A run that is not there yet is made. `stated`: whether the
   * uncertainties were stated; where they were not, the fits use the scatter.
   */
  z.object({
    kind: z.literal('readings-entered'),
    run: id,
    label: runLabel,
    timing: z.enum(['hand', 'file']),
    stated: z.boolean(),
    /** Notebook time from which the readings' seconds count. */
    fromMs: moment,
    readings: z.array(EnteredReading).check(z.minLength(1), z.maxLength(2000)),
  }),
  /**
   * An utterance, a key or a tap: a moment with perhaps a sound clip. Recorded before anything is understood. A
   * second one for the same call replaces its moment (words were there before the sound was); the judgement after it
   * moves the readings.
   */
  z.object({
    kind: z.literal('called'),
    call: id,
    onsetMs: moment,
    endMs: z.nullable(moment),
    timing: Timing,
    /** Standard uncertainty of `onsetMs` from the machine alone, ms. */
    uOnsetMs: z.number().check(z.gte(0), z.lte(60_000)),
    clip: z.boolean(),
    run: z.nullable(id),
    /** The tool itself was speaking then: the sound may be its own voice. */
    overSpeech: z.optional(z.boolean()),
  }),
  /** What an ear made of a call. */
  z.object({
    kind: z.literal('heard'),
    call: id,
    ear: z.enum(['browser', 'own', 'sound', 'rehearsal']),
    alternatives: z
      .array(z.object({ text: words, p: z.nullable(z.number().check(z.gte(0), z.lte(1))) }))
      .check(z.maxLength(30)),
    final: z.boolean(),
    /** Page time from onset to this answer, ms. */
    lagMs: z.optional(wallClock),
  }),
  /** What the call was taken to mean. A later judgement of the same call replaces an earlier one. */
  z.object({
    kind: z.literal('judged'),
    call: id,
    outcome: Outcome,
    meaning: z.nullable(Meaning),
    rivals: z.array(Rival).check(z.maxLength(20)),
    reason: z.string().check(z.maxLength(500)),
    by: By,
  }),
  z.object({ kind: z.literal('corrected'), reading: id, value: Decimal, by: By, call: z.optional(id) }),
  z.object({ kind: z.literal('struck'), reading: id, by: By, call: z.optional(id) }),
  z.object({ kind: z.literal('restored'), reading: id }),
  z.object({ kind: z.literal('set-aside'), reading: id, cause: Cause, why: z.string().check(z.maxLength(500)) }),
  z.object({ kind: z.literal('put-back'), reading: id }),
  /** Something that happened at a moment: swirling, a leak, a spill. */
  z.object({
    kind: z.literal('happened'),
    what: HappeningKind,
    timeMs: moment,
    run: z.nullable(id),
    call: z.optional(id),
  }),
  z.object({
    kind: z.literal('baseline'),
    value: Decimal,
    timeMs: moment,
    run: z.nullable(id),
    call: z.optional(id),
  }),
  z.object({
    kind: z.literal('temperature'),
    value: Decimal,
    timeMs: moment,
    run: z.nullable(id),
    call: z.optional(id),
  }),
  /** What really went in. `solution` is the id of a stock or dilution of the plan when it could be told. */
  z.object({
    kind: z.literal('poured'),
    value: Decimal,
    reagent: z.string().check(z.maxLength(80)),
    solution: z.optional(z.string().check(z.maxLength(80))),
    timeMs: moment,
    run: z.nullable(id),
    /** Label of the planned run that was being prepared. */
    forRun: z.optional(z.string().check(z.maxLength(40))),
    /** How a difference from the plan was settled. */
    settled: z.enum(['as-planned', 'accepted', 'topped-up', 'open']),
    call: z.optional(id),
    /** The event of an earlier pour that this one puts right, by hand: it stands in its place. */
    replaces: z.optional(id),
  }),
  z.object({
    kind: z.literal('note'),
    text: words,
    timeMs: moment,
    run: z.nullable(id),
    call: z.optional(id),
  }),
  /** The tool asked for a condition, and the person went on without it. */
  z.object({ kind: z.literal('condition-skipped'), condition: Condition }),
  z.object({ kind: z.literal('paused') }),
  z.object({ kind: z.literal('resumed') }),
  /** Where the person stands on the checklist of the run sheet. */
  z.object({ kind: z.literal('step-reached'), step: z.int().check(z.gte(0), z.lte(10_000)) }),
  z.object({
    kind: z.literal('estimate-chosen'),
    run: id,
    estimator: z.nullable(z.enum(['line', 'quadratic', 'firstOrder'])),
  }),
  /** Takes back the event with that id (which may itself be an undo). */
  z.object({ kind: z.literal('undone'), event: id }),
  z.object({ kind: z.literal('clips-deleted') }),
]);
export type EventBody = z.infer<typeof EventBody>;
export type EventOf<K extends EventBody['kind']> = Extract<EventBody, { kind: K }>;

export const NotebookEvent = z.object({
  /** Unique in the world: notebook id and number make one. */
  id,
  /** Position in the notebook, from 1, without holes. */
  seq: z.int().check(z.gte(1), z.lte(10_000_000)),
  /** Notebook time at which it was recorded, ms. */
  atMs: ms,
  /** Wall clock at that moment, ms since 1970: for people, never for arithmetic. */
  wallMs: wallClock,
  /** Counts the page openings of this notebook: times within one are linked by one monotonic clock. */
  page: z.int().check(z.gte(1), z.lte(mostPages)),
  body: EventBody,
});
export type NotebookEvent = z.infer<typeof NotebookEvent>;
