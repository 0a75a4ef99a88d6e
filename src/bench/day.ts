import { plannedRunOf, poursBefore, poursOf } from '../analysis/poured.ts';
import { dayLanguage } from '../language/page-language.ts';
import type { Condition, EventBody } from '../log/event.ts';
import type { Plan, PlannedRun } from '../log/plan.ts';
import { countingReadings, freshRunOf, nextRunLabel, openRunOf } from '../log/runs.ts';
import type { NotebookState, Run } from '../log/state.ts';
import { type DayPart, type SpokenStep, stepsAloud } from '../planning/checklist.ts';
import { checklistReactionOf } from '../planning/checklist-reaction.ts';
import { checklistSentencesFor } from '../planning/checklist-sentences.ts';
import { openPour, runBeingPrepared, written } from '../planning/pour-check.ts';
import { solutionsOf } from '../planning/reagent-name.ts';
import { dayTexts } from './day-texts.ts';
import { markText, nextMarkMl, spanReached } from './marks.ts';

/** Where in the day a notebook is: the step to do now. */
export interface Place {
  /** Counts the steps of `daySteps` from 1; 0: nothing was begun. */
  readonly step: number;
  readonly part: DayPart;
  /** Label of the run that it belongs to; null before the runs and after them. */
  readonly run: string | null;
}

/** Conditions that nobody gave and nobody left out on purpose. k cannot be stated in moles without them. */
export function missingConditions(state: NotebookState): readonly Condition[] {
  const noTemperature =
    state.setup.temperatureC === undefined &&
    state.plan?.runs.every((run) => run.temperatureC === undefined) !== false &&
    !state.timed.some((event) => event.kind === 'temperature');
  const missing: Condition[] = [
    ...(state.setup.pressure ? [] : ['pressure' as const]),
    ...(noTemperature ? ['temperature' as const] : []),
  ];
  return missing.filter((condition) => !state.skipped.includes(condition));
}

/**
 * Conditions that are asked for now: once, when the baseline of the first run is called; whoever follows the steps is
 * asked earlier, and not again.
 */
export function conditionsAsked(state: NotebookState): readonly Condition[] {
  const baselineMs = state.timed.findLast((event) => event.kind === 'baseline')?.timeMs;
  const isFirst = runsHere(state).every((run) => run === freshRunOf(state));
  return isFirst && baselineMs !== undefined && (state.stepMs ?? 0) < baselineMs ? missingConditions(state) : [];
}

/** The steps of the day; without a run sheet those that every day has. Runs that were not planned come last. */
export function daySteps(state: NotebookState, language = 'en'): readonly SpokenStep[] {
  const plan = state.plan ?? { reaction: 'own', stocks: [], dilutions: [], runs: [] };
  const started = state.runs.filter((run) => !plannedRunOf(plan, run.label)).map((run) => run.label);
  const labels = state.plan || openRunOf(state) ? started : [...started, nextRunLabel(state)];
  const runs = [...plan.runs, ...[...new Set(labels)].map((label): PlannedRun => ({ label, pours: [] }))];
  const whole: Plan = { ...plan, runs };
  const steps = stepsAloud(whole, state.setup, checklistReactionOf(plan, language), language);
  return state.plan ? steps : steps.filter(({ part }) => part !== 'label');
}

/**
 * Where in the day a notebook is, from what was called and which steps were read. The latest counts: a step that was
 * asked for by name, or what was done since.
 */
export function whereInTheDay(state: NotebookState, steps = daySteps(state)): Place {
  const step = Math.min(stepOf(state, steps), steps.length);
  const { part, run } = steps[Math.max(0, step - 1)] ?? { part: 'begin' as const, run: null };
  return { step, part, run };
}

function stepOf(state: NotebookState, steps: readonly SpokenStep[]): number {
  const asked = state.stepMs ?? Number.NEGATIVE_INFINITY;
  const done = doneSo(state, steps);
  if (asked > latestDoneMs(state) || done === 0) return state.step;
  if (openRunOf(state)) return done;
  return asked > latestEndMs(state) ? Math.max(done, state.step) : done;
}

const latestEndMs = (state: NotebookState): number =>
  Math.max(Number.NEGATIVE_INFINITY, ...runsHere(state).map((run) => run.endedMs ?? run.startedMs));

/** Runs that were done here; one that was typed in or came from a file is no part of the day. */
const runsHere = (state: NotebookState): readonly Run[] => state.runs.filter(({ entered }) => !entered);

/** When something was last done that shows where in the day we are, notebook time, ms. */
function latestDoneMs(state: NotebookState): number {
  const prepared = state.timed.filter(({ kind }) => kind === 'poured' || kind === 'baseline' || kind === 'temperature');
  const read = openRunOf(state)?.readings.at(-1)?.timeMs ?? Number.NEGATIVE_INFINITY;
  return Math.max(latestEndMs(state), read, ...prepared.map(({ timeMs }) => timeMs));
}

/** The step that what was called leads to; 0 when nothing was called. */
function doneSo(state: NotebookState, steps: readonly SpokenStep[]): number {
  const find = (part: DayPart, label: string | null | undefined): number =>
    1 + steps.findIndex((step) => step.part === part && (label === undefined || step.run === label));
  const stepsOf = (label: string): string => plannedRunOf(state.plan, label)?.label ?? label;
  const open = openRunOf(state);
  const prepared = preparation(state);
  if (open) {
    const part = spanReached(open, state.setup) ? 'end' : open.readings.length > 0 ? 'read' : 'first-reading';
    return find(part, stepsOf(open.label));
  }
  if (prepared.label !== null) {
    if (prepared.baseline) return find('start', prepared.label);
    if (prepared.poured) return find(prepared.temperature ? 'baseline' : 'temperature', prepared.label);
    if (prepared.begun) return find('pour', prepared.label);
  }
  const last = runsHere(state).at(-1);
  if (!last) return 0;
  const changeOver = find('change-over', stepsOf(last.label));
  // After the last planned run, and where a run was repeated after it, the day goes on with cleaning up.
  return (state.plan && runBeingPrepared(state) === null) || changeOver === 0 ? find('clean-up', null) : changeOver;
}

/** What was called for the run that comes next, since the last one ended. */
function preparation(state: NotebookState) {
  const open = openRunOf(state);
  const planned = runBeingPrepared(state);
  const since = latestEndMs(state);
  const called = (kind: 'baseline' | 'temperature'): boolean =>
    state.timed.some((event) => event.kind === kind && event.timeMs >= since);
  const pours = planned ? (open ? poursOf(state, open) : poursBefore(state, planned.label)) : [];
  const left = planned ? notPoured(planned, pours) : [];
  const last = planned?.pours.findLast((pour) => pour.volumeMl > 0)?.solution;
  const poured =
    planned !== null && pours.length > 0 && left.every(({ solution }) => solution === last) && openPour(state) === null;
  return {
    label: planned?.label ?? (state.plan ? null : (freshRunOf(state)?.label ?? nextRunLabel(state))),
    baseline: called('baseline'),
    temperature: called('temperature'),
    /** All but the last solution, which starts the reaction, are in the flask. */
    poured,
    begun: pours.length > 0 || called('temperature'),
    left,
  };
}

const notPoured = (planned: PlannedRun, pours: readonly { readonly solution: string | null }[]) =>
  planned.pours.filter(({ solution, volumeMl }) => volumeMl > 0 && !pours.some((pour) => pour.solution === solution));

export interface StepAnswer {
  readonly events: readonly EventBody[];
  readonly say: string;
}

/**
 * "Next step", "done", "skip", "what now", "previous step".
 *
 * @param led false: what the last act led to was not said aloud, so "next step" says that first
 */
export function stepTo(
  state: NotebookState,
  which: 'next' | 'previous' | 'read',
  language = 'en',
  led = true,
): StepAnswer {
  const s = checklistSentencesFor(language);
  const t = dayTexts[dayLanguage(language)];
  const steps = daySteps(state, language);
  const here = whereInTheDay(state, steps).step;
  const asked = conditionsAsked(state);
  if (which === 'next' && asked.length > 0) {
    const events = asked.map((condition): EventBody => ({ kind: 'condition-skipped', condition }));
    return { events, say: `${t.skipped(asked)} ${t.next(stepInWords(state, steps, here, language, false))}` };
  }
  if (which === 'previous') {
    const target = Math.max(1, here - 1);
    const say = stepInWords(state, steps, target, language, true);
    return { events: reach(state, target), say: here <= 1 ? `${s.firstStep} ${say}` : say };
  }
  if (which === 'read') {
    const say = dueStep(state, language, steps);
    return asked.length > 0
      ? { events: [], say }
      : { events: reach(state, Math.max(1, here)), say: greeting(state, s.noSheet) + say };
  }
  const untold = !led && here > 0 && here !== state.step;
  const left = untold ? [] : leftOut(state, steps[here - 1]);
  const target = untold ? here : nextStep(state, steps, here);
  const first = here === 0 ? greeting(state, s.noSheet) : '';
  if (target > steps.length) return { events: [], say: t.allDone };
  return {
    events: [
      ...left.map((condition): EventBody => ({ kind: 'condition-skipped', condition })),
      ...reach(state, target),
    ],
    say: `${left.length > 0 ? `${t.skipped(left)} ` : first}${stepInWords(state, steps, target, language, false)}`,
  };
}

/** The step that is due, or the conditions that are asked for: what the voice reads, and what the Bench shows. */
export function dueStep(state: NotebookState, language: string, steps = daySteps(state, language)): string {
  const asked = conditionsAsked(state);
  if (asked.length > 0) return dayTexts[dayLanguage(language)].missing(asked);
  return stepInWords(state, steps, Math.max(1, whereInTheDay(state, steps).step), language, true);
}

const greeting = (state: NotebookState, noSheet: string): string => (state.plan || state.step > 0 ? '' : `${noSheet} `);

/** Recorded even where it is the same step: it was asked for now. */
const reach = (state: NotebookState, step: number): EventBody[] =>
  step === state.step && state.stepMs !== null && state.stepMs > latestDoneMs(state)
    ? []
    : [{ kind: 'step-reached', step }];

/** The condition that going on from a step leaves out. */
function leftOut(state: NotebookState, step: SpokenStep | undefined): readonly Condition[] {
  const condition = step?.part === 'pressure' || step?.part === 'temperature' ? step.part : null;
  return missingConditions(state).filter((missing) => missing === condition);
}

/** The first step after `here` that is not done already. */
function nextStep(state: NotebookState, steps: readonly SpokenStep[], here: number): number {
  const prepared = preparation(state);
  const isDone = ({ part, run }: SpokenStep): boolean =>
    (part === 'pressure' && !missingConditions(state).includes('pressure')) ||
    (run === prepared.label && run !== null && isPrepared(part, prepared));
  let next = here + 1;
  for (let step = steps[next - 1]; step && isDone(step); step = steps[next - 1]) next++;
  return next;
}

const isPrepared = (part: DayPart, { poured, temperature, baseline }: ReturnType<typeof preparation>): boolean =>
  (part === 'pour' && poured) || (part === 'temperature' && temperature) || (part === 'baseline' && baseline);

/** A step as it is said, with its heading where that is new and the words that answer it where nothing else does. */
function stepInWords(
  state: NotebookState,
  steps: readonly SpokenStep[],
  target: number,
  language: string,
  whole: boolean,
): string {
  const step = steps[target - 1];
  const t = dayTexts[dayLanguage(language)];
  if (!step) return t.allDone;
  const special = sentenceNow(state, step, language);
  if (special !== null) return special;
  const opens = steps[target - 2]?.section !== step.section;
  const answer = answered.has(step.part) && (opens || whole) ? ` ${t.sayDone}` : '';
  return `${opens ? `${step.section}. ` : ''}${step.text}${step.caution ? ` ${step.caution}` : ''}${answer}`;
}

/** Parts of the day in which only the person knows when a step is done. */
const answered: ReadonlySet<DayPart> = new Set(['begin', 'label', 'dilute', 'set-up', 'change-over', 'clean-up']);

/** What to call now, where the notebook knows it more exactly than the sheet. */
function sentenceNow(state: NotebookState, step: SpokenStep, language: string): string | null {
  const t = dayTexts[dayLanguage(language)];
  const open = openRunOf(state);
  if (step.part === 'read' && open && step.run !== null) {
    const ml = nextMarkMl(open, state.setup);
    return ml === null || countingReadings(open).length === 0
      ? null
      : t.callNext(open.label, markText(ml, state.setup));
  }
  const prepared = preparation(state);
  const [next] = prepared.left;
  if (step.part !== 'pour' || step.run !== prepared.label || !next || !state.plan || !prepared.begun) return null;
  const name =
    solutionsOf(state.plan, checklistSentencesFor(language).water).find(({ id }) => id === next.solution)?.name ??
    next.solution;
  return t.pourNext(prepared.label ?? '', name, written(next.volumeMl));
}

/**
 * What the tool says of its own accord after something was done: the conditions that are missing, or the next step;
 * null when that has not changed.
 */
export function leadAfter(earlier: NotebookState, state: NotebookState, language = 'en'): string | null {
  const t = dayTexts[dayLanguage(language)];
  const asked = conditionsAsked(state);
  const askedBefore = conditionsAsked(earlier);
  if (asked.length > 0 && askedBefore.join() !== asked.join()) return t.missing(asked);
  const steps = daySteps(state, language);
  const { step, part } = whereInTheDay(state, steps);
  const answered = asked.length < askedBefore.length;
  // The answer to a pour names the next one itself.
  const poured = part === 'pour' && state.timed.length > earlier.timed.length && state.timed.at(-1)?.kind === 'poured';
  if (step === 0 || poured || (step === whereInTheDay(earlier).step && !answered)) return null;
  return t.next(stepInWords(state, steps, step, language, true));
}
