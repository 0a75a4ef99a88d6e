import type { ClassPlan } from './class-plan.ts';
import type { By, Cause, Condition, EventBody, NotebookEvent, Outcome, Rival, Timing } from './event.ts';
import type { HappeningKind, Meaning } from './meaning.ts';
import type { Plan } from './plan.ts';
import type { Setup } from './setup.ts';

/** What a notebook amounts to: the fold of its events (`reduce.ts`). Values only; nothing here is ever edited. */
export interface NotebookState {
  readonly title: string;
  /** Name of the group that worked; empty: not given. */
  readonly group: string;
  /** The people of the group, as typed. */
  readonly members: string;
  /** Group names and questions of the work sheet, as handed out. */
  readonly classPlan: ClassPlan;
  readonly seed: number;
  /** true for the demo: the figures are invented. */
  readonly invented: boolean;
  readonly createdWallMs: number;
  readonly setup: Setup;
  readonly plan: Plan | null;
  readonly runs: readonly Run[];
  /** Runs taken out whole, by `run-removed`. */
  readonly removedRuns: readonly RemovedRun[];
  /** Id of the run in progress. */
  readonly openRun: string | null;
  /** "stand by" was said: readings are not taken. */
  readonly paused: boolean;
  /** Every utterance, key and tap, by onset. */
  readonly calls: readonly Call[];
  /** Happenings, baselines, temperatures, pours and notes by time, those outside runs included. */
  readonly timed: readonly TimedEvent[];
  /** Position on the run sheet's checklist. */
  readonly step: number;
  /** Notebook time at which `step` was reached, ms; null before the first. */
  readonly stepMs: number | null;
  /** Conditions that were asked for and left out. */
  readonly skipped: readonly Condition[];
  /** Moments (notebook time) at which the clock was joined over a reload or doubted. */
  readonly joints: readonly Joint[];
  /** Events that can be taken back, latest last (ids), leaving out those that are themselves undone. */
  readonly undoable: readonly string[];
  /** What each of `undoable` was, in the same order. */
  readonly acts: readonly EventBody[];
  readonly events: number;
  readonly lastMs: number;
  readonly clipsDeleted: boolean;
}

export interface Joint {
  /** The event that noted it. */
  readonly event: string;
  /** What is earlier than this came before it, notebook time. */
  readonly atMs: number;
  /** The last thing recorded before it, notebook time. */
  readonly fromMs: number;
  readonly why: 'reload' | 'unknown-gap' | 'clock-doubted';
  /** By how much the wall clock moved against the page's, ms; 0 at a reload. */
  readonly missedMs: number;
  /** A person decided what happens to the times. */
  readonly settled: boolean;
}

export interface RemovedRun {
  readonly run: Run;
  readonly how: 'set-aside' | 'deleted';
  readonly why: string;
}

export interface Run {
  readonly id: string;
  /** As called: "start run one" is "1". */
  readonly label: string;
  readonly startedMs: number;
  readonly endedMs: number | null;
  /** By time; struck and set-aside ones included. */
  readonly readings: readonly Reading[];
  readonly estimator: 'line' | 'quadratic' | 'firstOrder' | null;
  /** Cylinder reading before mixing, as said: the latest called for this run. */
  readonly baseline: string | null;
  readonly timed: readonly TimedEvent[];
  /** The run was typed in or came from a file. `stated`: with uncertainties of its readings. */
  readonly entered?: { readonly timing: 'hand' | 'file'; readonly stated: boolean };
}

export interface Reading {
  /** `${call}#0`, `#1` … when several values were said in one breath. */
  readonly id: string;
  readonly call: string;
  readonly run: string | null;
  readonly timeMs: number;
  /** Standard uncertainty of the moment from the machine, ms (the caller's own spread comes on top). */
  readonly uTimeMs: number;
  readonly timing: Timing;
  /** Seconds as typed or as in the file, where the reading came that way. */
  readonly enteredS?: string;
  /** Standard uncertainty of the volume, mL, where one was stated with it. */
  readonly uVolumeMl?: number;
  /** As said: "25.0". */
  readonly value: string;
  readonly volumeMl: number;
  /** Taken at a "mark": the value is the expected mark, not a spoken number. */
  readonly marked: boolean;
  readonly outcome: 'taken' | 'doubtful';
  /** A person confirmed or gave the value. */
  readonly settled: boolean;
  readonly rivals: readonly Rival[];
  readonly struck: boolean;
  readonly setAside: { readonly cause: Cause; readonly why: string } | null;
  readonly history: readonly Change[];
}

/** One line of a reading's or call's history. */
export interface Change {
  readonly event: string;
  readonly atMs: number;
  readonly by: By;
  readonly what: 'judged' | 'corrected' | 'struck' | 'restored' | 'set-aside' | 'put-back';
  /** Value after the change, where there is one. */
  readonly value: string | null;
  readonly reason: string;
}

export interface Call {
  readonly id: string;
  readonly onsetMs: number;
  readonly endMs: number | null;
  readonly timing: Timing;
  readonly uOnsetMs: number;
  readonly clip: boolean;
  readonly run: string | null;
  /** The tool itself was speaking then: without words it may be its own voice, and no mark is taken for passed. */
  readonly overSpeech?: boolean;
  readonly heard: readonly HeardWords[];
  /** 'waiting' until the first judgement. */
  readonly outcome: Outcome | 'waiting';
  readonly meaning: Meaning | null;
  readonly rivals: readonly Rival[];
  readonly reason: string;
  readonly by: By;
  /** Ids of the readings it gave. */
  readonly readings: readonly string[];
  readonly history: readonly Change[];
}

export interface HeardWords {
  readonly ear: 'browser' | 'own' | 'sound' | 'rehearsal';
  readonly alternatives: readonly { readonly text: string; readonly p: number | null }[];
  readonly final: boolean;
  readonly lagMs: number | null;
}

export type TimedEvent = {
  readonly event: string;
  readonly timeMs: number;
  readonly run: string | null;
  readonly call: string | null;
} & (
  | { readonly kind: 'happened'; readonly what: HappeningKind }
  | { readonly kind: 'baseline'; readonly value: string }
  | { readonly kind: 'temperature'; readonly value: string }
  | {
      readonly kind: 'poured';
      readonly value: string;
      readonly reagent: string;
      readonly solution: string | null;
      readonly forRun: string | null;
      readonly settled: 'as-planned' | 'accepted' | 'topped-up' | 'open';
      /** Event of the pour that this one puts right, by hand. */
      readonly replaces: string | null;
    }
  | { readonly kind: 'note'; readonly text: string }
);

/** A notebook as it is exchanged and reduced: identity plus log. */
export interface Notebook {
  readonly id: string;
  readonly events: readonly NotebookEvent[];
}
