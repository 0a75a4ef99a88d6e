import type { EventBody } from '../notebook/event.ts';
import type { Plan, PlannedRun } from '../notebook/plan.ts';
import type { Setup } from '../notebook/setup.ts';
import type { NotebookState } from '../notebook/state.ts';
import { poursInWords, written } from './pour-check.ts';
import { solutionsOf } from './reagent-name.ts';

/** One thing to do. */
export interface Step {
  /** As printed. */
  readonly text: string;
  /** What can hurt or go wrong here, printed beside it and read after it. */
  readonly caution?: string;
}

export interface ChecklistSection {
  readonly title: string;
  /** 'run': done for every run; printed once, read aloud for each run with its volumes. */
  readonly each: 'day' | 'run';
  readonly steps: readonly Step[];
}

/** A step in the order in which it is read aloud. */
export interface SpokenStep extends Step {
  readonly section: string;
  /** Label of the run it belongs to. */
  readonly run: string | null;
  readonly say: string;
}

/** What the checklist has to know of the reaction. */
export interface ChecklistReaction {
  /** Name of the gas: "oxygen". */
  readonly gas: string;
  /** What can hurt, one sentence each, by the moment at which it matters. */
  readonly always: readonly string[];
  readonly pouring: readonly string[];
  readonly running: readonly string[];
  readonly cleaning: readonly string[];
}

/** The line that stands on every run sheet. */
export const deferral =
  'The label on the bottle, the rules of your place and your supervisor come before anything on this sheet.';

/**
 * The day as a list of steps, made from the plan. The steps are common practice of collecting gas over water, no
 * source; the cautions are the usual ones and defer to label, local rules and supervisor.
 */
export function checklistOf(plan: Plan, setup: Setup, reaction: ChecklistReaction): readonly ChecklistSection[] {
  return [
    { title: 'Before you begin', each: 'day', steps: beginning(reaction) },
    { title: 'Labels to write', each: 'day', steps: labels(plan) },
    ...(plan.dilutions.length > 0 ? [{ title: 'Dilutions', each: 'day' as const, steps: dilutions(plan) }] : []),
    { title: 'Apparatus, in this order', each: 'day', steps: apparatus(setup, reaction) },
    { title: 'Each run', each: 'run', steps: runSteps(plan, setup, reaction, null) },
    { title: 'Changeover', each: 'run', steps: changeover },
    { title: 'Clean up', each: 'day', steps: cleanUp(reaction) },
  ];
}

/** The checklist as it is read aloud: the steps of a run come once for each planned run, with its volumes. */
export function stepsAloud(plan: Plan, setup: Setup, reaction: ChecklistReaction): readonly SpokenStep[] {
  const spoken = (section: string, run: string | null, steps: readonly Step[]): SpokenStep[] =>
    steps.map((step) => ({
      ...step,
      section,
      run,
      say: asSpoken(`${step.text}${step.caution ? ` ${step.caution}` : ''}`),
    }));
  const sections = checklistOf(plan, setup, reaction);
  const before = sections.slice(
    0,
    sections.findIndex((section) => section.each === 'run'),
  );
  const after = sections.slice(sections.findLastIndex((section) => section.each === 'run') + 1);
  const last = plan.runs.at(-1);
  return [
    ...before.flatMap(({ title, steps }) => spoken(title, null, steps)),
    ...plan.runs.flatMap((run) => [
      ...spoken(`Run ${run.label}`, run.label, runSteps(plan, setup, reaction, run)),
      ...(run === last ? [] : spoken(`Changeover after run ${run.label}`, run.label, changeover)),
    ]),
    ...after.flatMap(({ title, steps }) => spoken(title, null, steps)),
  ];
}

export interface StepAnswer {
  readonly events: readonly EventBody[];
  readonly say: string;
}

/**
 * "Next step", "previous step", "read step". `state.step` counts the steps reached, so 0 is before the first one;
 * the position is an event, so it survives a reload.
 */
export function stepTo(
  state: NotebookState,
  which: 'next' | 'previous' | 'read',
  steps: readonly SpokenStep[],
): StepAnswer {
  if (steps.length === 0) return { events: [], say: 'There is no run sheet yet, so there are no steps to read.' };
  const here = Math.min(state.step, steps.length);
  if (which === 'next' && here === steps.length) return { events: [], say: 'That was the last step.' };
  if (which === 'previous' && here <= 1) return reading(state, 1, steps, 'This is the first step. ');
  const target = which === 'next' ? here + 1 : which === 'previous' ? here - 1 : Math.max(1, here);
  return reading(state, target, steps, '');
}

function reading(state: NotebookState, target: number, steps: readonly SpokenStep[], prefix: string): StepAnswer {
  const step = steps[target - 1];
  if (!step) return { events: [], say: 'That was the last step.' };
  const heading = steps[target - 2]?.section === step.section ? '' : `${step.section}. `;
  return {
    events: target === state.step ? [] : [{ kind: 'step-reached', step: target }],
    say: `${prefix}${heading}${step.say}`,
  };
}

/** Words that a speaking engine reads as meant. */
export const asSpoken = (text: string): string =>
  text
    .replace(/ mL\b/g, ' millilitres')
    .replace(/\b1 millilitres\b/g, '1 millilitre')
    .replace(/ °C/g, ' degrees Celsius')
    .replace(/ %/g, ' per cent')
    .replace(/[“”]/g, '');

const beginning = (reaction: ChecklistReaction): Step[] => [
  {
    text: 'Goggles on, and gloves for the solutions. Read the label of every bottle.',
    caution: [...reaction.always, deferral].join(' '),
  },
  {
    text: 'Know where spills, waste and the eye wash are dealt with.',
  },
];

function labels(plan: Plan): Step[] {
  const used = usedSolutions(plan);
  const names = used.map((entry) => entry.name);
  return [
    { text: `Flasks: ${joined(plan.runs.map((run) => run.label)) || 'one for each run'}.` },
    { text: `A measuring cylinder or pipette for each solution, and never swapped: ${joined(names)}.` },
    ...(plan.dilutions.length > 0
      ? [
          {
            text: `Bottles for the dilutions: ${joined(plan.dilutions.map((entry) => entry.name))}, with today’s date.`,
          },
        ]
      : []),
    { text: 'A beaker for waste.' },
  ];
}

function dilutions(plan: Plan): Step[] {
  const names = new Map(solutionsOf(plan).map((entry) => [entry.id, entry.name]));
  return plan.dilutions.map((dilution) => {
    const take = `${dilution.name}: take ${written(dilution.takeMl)} mL of ${names.get(dilution.from) ?? dilution.from}`;
    const water =
      dilution.makeUpToMl !== undefined
        ? `make up to ${written(dilution.makeUpToMl)} mL with water`
        : dilution.addWaterMl !== undefined
          ? `add ${written(dilution.addWaterMl)} mL of water`
          : 'use it as it is';
    return { text: `${take}, ${water}, and mix.` };
  });
}

const apparatus = (setup: Setup, reaction: ChecklistReaction): Step[] => [
  {
    text: 'Push the tubes onto the glass of the stoppers.',
    caution: 'Wet both, gloves on, a cloth round the hand, hold close to the end and turn: glass snaps.',
  },
  {
    text: 'Fill the water bottle nearly to the top. The short tube in its stopper takes the gas in, the long one that reaches to the bottom lets the water out.',
  },
  {
    text: `Stand the ${written(setup.cylinder.capacityMl)} mL cylinder upright where you read it at eye level. Hang the end of the water tube into it, and see that it stays inside when you let go.`,
  },
  {
    text: 'See that the outlet is free: blow gently into the gas tube until water drips and the water tube stays full.',
    caution: `Never close a vessel that makes ${reaction.gas}: with no way out it bursts.`,
  },
  {
    text: 'Try the stoppers, dry and snug, turned in a little. A leak looks like a slow reaction.',
  },
  {
    text: 'Let water, solutions and flasks reach the temperature of the room.',
  },
];

function runSteps(plan: Plan, setup: Setup, reaction: ChecklistReaction, run: PlannedRun | null): Step[] {
  const step = written(setup.stepMl);
  // Printed, and read aloud before the first run: said before every run, nobody would listen any more.
  const first = run === null || run === plan.runs[0];
  const warm =
    run?.temperatureC === undefined
      ? { text: 'Call the temperature: “temperature”, then the number.' }
      : {
          text: `Bring flask and solutions to ${written(run.temperatureC)} °C, then call “temperature” and the number.`,
        };
  return [
    {
      text: run
        ? `Pour for run ${run.label}: ${poursInWords(plan, run)}. The last one stays in its cylinder until everything is ready. Call each: “poured”, the number, “of”, the name.`
        : 'Pour the volumes of the table into the labelled flask, all but the last one. Call each: “poured”, the number, “of”, the name.',
      ...careful(first ? reaction.pouring : []),
    },
    warm,
    { text: 'Tube end in the cylinder, water tube full: call “baseline” and what the cylinder reads.' },
    {
      text: `Call “start run ${run?.label ?? 'one'}”. Pour the last solution in, close with the stopper at once, swirl.`,
      ...careful([...(first ? reaction.running : []), 'Hold the stopper, keep the face away from the flask.']),
    },
    { text: 'Swirl until gas flows, wait for a steady flow, then call the first reading.' },
    {
      text: `Call the number at every ${step} mL up to ${written(setup.spanMl)} mL. Keep stirring the same way all the time.`,
    },
    { text: 'Say “end run”. Open the stopper before the flask cools, or water is sucked back.' },
  ];
}

const changeover: readonly Step[] = [
  {
    text: 'Open the stopper first, then empty the flask into the waste.',
    caution: 'Gas may go on for a while: leave the waste open.',
  },
  { text: 'Rinse the flask twice with water. Let it drain; it need not be dry.' },
  { text: 'Pour back some water from the cylinder into the water bottle, enough for the next run.' },
];

const cleanUp = (reaction: ChecklistReaction): Step[] => [
  {
    text: 'Waste and leftovers where the rules of your place say; nothing back into a bottle.',
    ...careful(reaction.cleaning),
  },
  { text: 'Rinse flasks, cylinders and tubes. Take tube and glass apart while wet, gloves on.' },
  { text: 'Wipe up spills at once, wash your hands.' },
];

const careful = (sentences: readonly string[]): { caution?: string } =>
  sentences.length === 0 ? {} : { caution: sentences.join(' ') };

/** Stocks, dilutions and water that some run gets, in the order of the run sheet. */
function usedSolutions(plan: Plan): readonly { readonly id: string; readonly name: string }[] {
  const used = new Set(
    plan.runs.flatMap((run) => run.pours.filter((pour) => pour.volumeMl > 0).map((pour) => pour.solution)),
  );
  return solutionsOf(plan).filter((entry) => used.has(entry.id));
}

const joined = (parts: readonly string[]): string => parts.join(', ');
