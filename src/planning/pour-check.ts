import { type PouredEvent, plannedRunOf, poursBefore, poursOf, replacedBy, volumesOf } from '../analysis/poured.ts';
import type { EventBody } from '../log/event.ts';
import type { Decimal } from '../log/meaning.ts';
import type { Plan, PlannedRun } from '../log/plan.ts';
import type { NotebookState } from '../log/state.ts';
import { filled, type PourSentences, pourSentencesFor } from './pour-sentences.ts';
import { matchReagent, type NamedSolution, solutionsOf } from './reagent-name.ts';

/** When and where a pour was called. */
export interface PourMoment {
  /** Notebook time, ms. */
  readonly timeMs: number;
  /** Id of the run in progress, if any. */
  readonly run: string | null;
  readonly call?: string;
}

export interface PourAnswer {
  readonly events: readonly EventBody[];
  /** What to say and show. */
  readonly say: string;
  /** 'differ': the low cue, and said aloud whatever the read-back setting is. */
  readonly tone: 'agree' | 'differ';
  /** true when `say` ends in a question for "affirm" or "negative". */
  readonly asks: boolean;
  /** How the spoken name was matched, for the history. */
  readonly why?: string;
}

/** A question about a pour that waits for "affirm" or "negative". */
export interface OpenPour {
  readonly pour: PouredEvent;
  readonly planned: PlannedRun;
  readonly solution: NamedSolution;
  /** Volume the plan puts in; 0 when the plan puts none of it into this flask. */
  readonly plannedMl: number;
  /** Volume called before the latest call of this solution: is the latest more of it, or all of it? */
  readonly beforeMl: number | null;
}

const english = pourSentencesFor('en');

/**
 * A difference of less than this part of the planned volume is carried into the concentrations without a question:
 * it is within what a graduated cylinder can be read to. Common practice, no source.
 */
const worthAsking = 0.02;

/**
 * Label of the run whose flask is being filled: the run in progress while it has no reading yet, else the first
 * planned run that comes after the latest one started and was not started itself. Null without a plan or when every
 * run has been started.
 */
export function runBeingPrepared(state: NotebookState): PlannedRun | null {
  const { plan } = state;
  if (!plan) return null;
  const open = state.runs.find((run) => run.id === state.openRun);
  if (open?.readings.every((reading) => reading.struck)) return plannedRunOf(plan, open.label);
  const started = new Set(state.runs.flatMap((run) => plannedRunOf(plan, run.label) ?? []));
  const latest = [...started].at(-1);
  const from = latest ? plan.runs.indexOf(latest) + 1 : 0;
  const rest = [...plan.runs.slice(from), ...plan.runs.slice(0, from)];
  return rest.find((run) => !started.has(run)) ?? null;
}

/** The question that is open now, derived from the log, so that it survives a reload. */
export function openPour(state: NotebookState, sentences: PourSentences = english): OpenPour | null {
  const { plan } = state;
  const planned = runBeingPrepared(state);
  if (!plan || !planned) return null;
  const pours = poursOfPlanned(state, planned);
  const pour = pours.at(-1);
  if (pour?.settled !== 'open') return null;
  const solution = solutionsOf(plan, sentences.water).find((entry) => entry.id === pour.solution);
  if (!solution) return null;
  const before = pours.slice(0, -1).findLast((entry) => entry.solution === pour.solution);
  return {
    pour,
    planned,
    solution,
    plannedMl: plannedMlOf(planned, solution.id),
    beforeMl: before && Number(before.value) > 0 ? Number(before.value) : null,
  };
}

/**
 * Compares a called pour with the run sheet.
 *
 * A volume as planned is agreed to. A second call that brings the total to the plan counts as the rest of it. Anything
 * else that differs is recorded as it stands, so that nothing is lost if nobody answers, and asked about.
 */
export function checkPour(
  state: NotebookState,
  said: { readonly value: Decimal; readonly reagent: string },
  moment: PourMoment,
  sentences: PourSentences = english,
): PourAnswer {
  const planned = runBeingPrepared(state);
  const record = recorder(said.reagent, planned, moment);
  if (!state.plan || !planned) {
    const known = state.plan ? matchReagent(said.reagent, solutionsOf(state.plan, sentences.water), []) : null;
    const solution = known?.kind === 'one' ? known.solution : null;
    return agreed(
      [record(said.value, solution, 'accepted')],
      filled(sentences, 'noneNext', { name: said.reagent, value: said.value }),
    );
  }
  const inRun = planned.pours.map((pour) => pour.solution);
  const match = matchReagent(said.reagent, solutionsOf(state.plan, sentences.water), inRun);
  if (match.kind !== 'one') {
    const choice =
      match.kind === 'several'
        ? filled(sentences, 'whichOne', {
            names: list(
              match.solutions.map((entry) => entry.name),
              sentences.or,
            ),
          })
        : filled(sentences, 'runGets', { run: planned.label, pours: poursInWords(state.plan, planned, sentences) });
    const events = [record(said.value, null, 'accepted')];
    return {
      events,
      say: filled(sentences, 'notedOnly', { name: said.reagent, value: said.value, more: choice }),
      tone: 'differ',
      asks: false,
    };
  }
  return { ...compare(state, planned, match.solution, said.value, record, sentences), why: match.why };
}

/** What a called volume of one solution of the plan amounts to. */
function compare(
  state: NotebookState,
  planned: PlannedRun,
  solution: NamedSolution,
  value: Decimal,
  record: Recorder,
  sentences: PourSentences,
): PourAnswer {
  const { name } = solution;
  const called = Number(value);
  const plannedMl = plannedMlOf(planned, solution.id);
  const before = volumesOf(planned, poursOfPlanned(state, planned)).find((entry) => entry.solution === solution.id);
  const poured = before?.from === 'poured' ? before.volumeMl : 0;
  const plan = written(plannedMl);
  const rest = whatIsLeft(state, planned, solution.id, sentences);
  const say = (which: keyof PourSentences, more: Readonly<Record<string, string>> = {}): string =>
    filled(sentences, which, { name, value, plan, rest, ...more });
  if (same(called, plannedMl)) return agreed([record(value, solution, 'as-planned')], say('asPlanned'));
  if (poured > 0 && same(poured + called, plannedMl))
    return agreed([record(plan, solution, 'topped-up')], say('nowAsPlanned'));
  const open = record(value, solution, 'open');
  if (plannedMl === 0) return asked([open], questionOfStranger(state.plan, planned, solution, value, sentences));
  if (poured > 0) return asked([open], say('moreInAll', { total: written(poured + called) }));
  const difference = Math.abs(called - plannedMl);
  if (difference < worthAsking * plannedMl) return agreed([record(value, solution, 'accepted')], say('planTaken'));
  return asked([open], say('differs'));
}

/**
 * Settles the open question. "Yes": it stays as poured, or the second call of a solution was more of it. "No": the right
 * volume is asked for, or a solution that the plan does not put there is taken back.
 *
 * @returns null when no question is open
 */
export function answerPour(
  state: NotebookState,
  yes: boolean,
  moment: PourMoment,
  sentences: PourSentences = english,
): PourAnswer | null {
  const open = openPour(state, sentences);
  if (!open || !state.plan) return null;
  const { pour, planned, solution, plannedMl, beforeMl } = open;
  const record = recorder(pour.reagent, planned, moment);
  const volume = Number(pour.value);
  const rest = whatIsLeft(state, planned, solution.id, sentences);
  const say = (which: keyof PourSentences, value: string): string =>
    filled(sentences, which, { name: solution.name, value, plan: written(plannedMl), rest, run: planned.label });
  if (plannedMl === 0) return settleStranger(state.plan, planned, open, yes, record, sentences);
  if (beforeMl !== null) {
    const total = yes ? beforeMl + volume : volume;
    const settled = same(total, plannedMl) ? 'topped-up' : 'accepted';
    return agreed([record(written(total), solution, settled)], say('takenAsPoured', written(total)));
  }
  return yes
    ? agreed([record(pour.value, solution, 'accepted')], say('concentrationsFollow', pour.value))
    : asked([], say('rightVolume', pour.value));
}

/**
 * "No, twelve" after a pour: the volume that was really poured, in the place of the call. Compared with the plan as
 * the call was.
 */
export function putPouringRight(
  state: NotebookState,
  pour: PouredEvent,
  value: Decimal,
  moment: PourMoment,
  sentences: PourSentences = english,
): PourAnswer {
  const replacing = (answer: PourAnswer): PourAnswer => ({
    ...answer,
    events: answer.events.map((event) => (event.kind === 'poured' ? { ...event, replaces: pour.event } : event)),
  });
  if (Number(value) > largestMl) return asked([], filled(sentences, 'noFlask', { value }));
  const without = { ...state, timed: state.timed.filter(({ event }) => event !== pour.event) };
  const name =
    solutionsOf(state.plan ?? noPlan, sentences.water).find(({ id }) => id === pour.solution)?.name ?? pour.reagent;
  return replacing(checkPour(without, { value, reagent: name }, moment, sentences));
}

/** "Disregard" after a pour: it goes, with the calls that it put right. */
export const pourTakenBack = (state: NotebookState, pour: PouredEvent): readonly EventBody[] =>
  [pour, ...replacedBy(state, pour)].map(({ event }): EventBody => ({ kind: 'undone', event }));

/** No flask of a lesson holds more, mL. */
const largestMl = 10_000;

const noPlan: Plan = { reaction: 'own', stocks: [], dilutions: [], runs: [] };

/** Volumes of a planned run in words: "peroxide 10, iodide 5 and water 15". */
export function poursInWords(plan: Plan, planned: PlannedRun, sentences: PourSentences = english): string {
  const names = new Map(solutionsOf(plan, sentences.water).map((entry) => [entry.id, entry.name]));
  return list(
    planned.pours
      .filter((pour) => pour.volumeMl > 0)
      .map((pour) => {
        const volume = written(pour.volumeMl).replace('.', sentences.decimalSign);
        return `${names.get(pour.solution) ?? pour.solution} ${volume}`;
      }),
    sentences.and,
  );
}

/** A volume as the log keeps it: no more than three decimals, no trailing zeros. */
export const written = (volumeMl: number): Decimal => String(Number(volumeMl.toFixed(3)));

const same = (a: number, b: number): boolean => Math.abs(a - b) < 1e-6;

const agreed = (events: readonly EventBody[], say: string): PourAnswer => ({
  events,
  say: say.trim(),
  tone: 'agree',
  asks: false,
});
const asked = (events: readonly EventBody[], say: string): PourAnswer => ({ events, say, tone: 'differ', asks: true });

type Recorder = (value: Decimal, solution: NamedSolution | null, settled: PouredEvent['settled']) => EventBody;

const recorder =
  (reagent: string, planned: PlannedRun | null, moment: PourMoment): Recorder =>
  (value, solution, settled) => ({
    kind: 'poured',
    value,
    reagent: reagent.slice(0, 80),
    ...(solution ? { solution: solution.id } : {}),
    timeMs: moment.timeMs,
    run: moment.run,
    ...(planned ? { forRun: planned.label } : {}),
    settled,
    ...(moment.call === undefined ? {} : { call: moment.call }),
  });

const plannedMlOf = (planned: PlannedRun, solution: string): number =>
  planned.pours.reduce((sum, pour) => sum + (pour.solution === solution ? pour.volumeMl : 0), 0);

function poursOfPlanned(state: NotebookState, planned: PlannedRun): readonly PouredEvent[] {
  const open = state.runs.find((run) => run.id === state.openRun);
  return open && plannedRunOf(state.plan, open.label) === planned
    ? poursOf(state, open)
    : poursBefore(state, planned.label);
}

/** "Next: water 15." or "The flask of run 2 is complete." after `now` went in. */
function whatIsLeft(state: NotebookState, planned: PlannedRun, now: string, sentences: PourSentences): string {
  if (!state.plan) return '';
  const called = new Set(poursOfPlanned(state, planned).map((pour) => pour.solution));
  const next = planned.pours.find((pour) => pour.volumeMl > 0 && pour.solution !== now && !called.has(pour.solution));
  if (!next) return filled(sentences, 'allPoured', { run: planned.label });
  const name =
    solutionsOf(state.plan, sentences.water).find((entry) => entry.id === next.solution)?.name ?? next.solution;
  const isLast = next === planned.pours.findLast((pour) => pour.volumeMl > 0);
  return filled(sentences, isLast ? 'lastWaits' : 'next', { name, plan: written(next.volumeMl) });
}

/** The planned solution of the same species that has not been called: the unknown name may mean it. */
function standsFor(plan: Plan, planned: PlannedRun, stranger: NamedSolution): NamedSolution | null {
  const inRun = new Set(planned.pours.filter((pour) => pour.volumeMl > 0).map((pour) => pour.solution));
  return (
    solutionsOf(plan).find(
      (entry) => inRun.has(entry.id) && entry.species === stranger.species && entry.id !== stranger.id,
    ) ?? null
  );
}

function questionOfStranger(
  plan: Plan | null,
  planned: PlannedRun,
  stranger: NamedSolution,
  value: Decimal,
  sentences: PourSentences,
): string {
  const meant = plan && standsFor(plan, planned, stranger);
  const values = { run: planned.label, name: stranger.name, value, meant: meant?.name ?? '' };
  return filled(sentences, meant ? 'getsNot' : 'getsNo', values);
}

function settleStranger(
  plan: Plan,
  planned: PlannedRun,
  open: OpenPour,
  yes: boolean,
  record: Recorder,
  sentences: PourSentences,
): PourAnswer {
  const { pour, solution } = open;
  if (!yes) {
    const pours = poursInWords(plan, planned, sentences);
    return agreed(
      [{ kind: 'undone', event: pour.event }],
      filled(sentences, 'takenBack', { run: planned.label, pours }),
    );
  }
  const meant = standsFor(plan, planned, solution);
  const events = [record(pour.value, solution, 'accepted')];
  if (meant) events.unshift(record('0', meant, 'accepted'));
  const values = { name: solution.name, value: pour.value, meant: meant?.name ?? '' };
  return agreed(events, filled(sentences, meant ? 'instead' : 'concentrationsFollow', values));
}

function list(parts: readonly string[], joint: string): string {
  const last = parts.at(-1) ?? '';
  return parts.length < 2 ? last : `${parts.slice(0, -1).join(', ')} ${joint} ${last}`;
}
