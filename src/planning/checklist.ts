import type { PageLanguage } from '../language/page-language.ts';
import type { Plan, PlannedRun } from '../log/plan.ts';
import type { Setup } from '../log/setup.ts';
import { type ChecklistSentences, checklistSentencesFor } from './checklist-sentences.ts';
import { poursInWords, written } from './pour-check.ts';
import { type PourSentences, pourSentencesFor } from './pour-sentences.ts';
import { solutionsOf } from './reagent-name.ts';
import { solidsInWords } from './solid-words.ts';

/** Parts of the day, in order; the parts from `pour` to `change-over` come once for each run. */
export type DayPart =
  | 'begin'
  | 'label'
  | 'dilute'
  | 'set-up'
  | 'pressure'
  | 'pour'
  | 'temperature'
  | 'baseline'
  | 'start'
  | 'first-reading'
  | 'read'
  | 'end'
  | 'change-over'
  | 'clean-up';

/** One thing to do. */
export interface Step {
  readonly part: DayPart;
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
export const deferral = checklistSentencesFor('en').deferral;

/** A language's sentences, and how to fill them in. */
interface Aloud {
  readonly s: ChecklistSentences;
  readonly pours: PourSentences;
  readonly language: PageLanguage;
  say(which: keyof ChecklistSentences, values?: Readonly<Record<string, string>>): string;
}

function aloudIn(language: string): Aloud {
  const s = checklistSentencesFor(language);
  const value = (text: string): string => text.replace(/^(\d+)\.(\d+)$/, `$1${s.decimalSign}$2`);
  return {
    s,
    pours: pourSentencesFor(language),
    language: language.toLowerCase().split('-')[0] === 'de' ? 'de' : 'en',
    say: (which, values = {}) => s[which].replace(/\{(\w+)\}/g, (_, key: string) => value(values[key] ?? '')),
  };
}

/**
 * The day as a list of steps, made from the plan. The steps are common practice of collecting gas over water, no
 * source; the cautions are the usual ones and defer to label, local rules and supervisor.
 */
export function checklistOf(
  plan: Plan,
  setup: Setup,
  reaction: ChecklistReaction,
  language = 'en',
): readonly ChecklistSection[] {
  const aloud = aloudIn(language);
  const { s } = aloud;
  return [
    { title: s.beforeYouBegin, each: 'day', steps: beginning(reaction, aloud) },
    { title: s.labelsToWrite, each: 'day', steps: labels(plan, aloud) },
    ...(plan.dilutions.length > 0 ? [{ title: s.dilutions, each: 'day' as const, steps: dilutions(plan, aloud) }] : []),
    { title: s.apparatus, each: 'day', steps: apparatus(setup, reaction, aloud) },
    { title: s.eachRun, each: 'run', steps: runSteps(plan, setup, reaction, null, aloud) },
    { title: s.changeover, each: 'run', steps: changeover(aloud) },
    { title: s.cleanUp, each: 'day', steps: cleanUp(reaction, aloud) },
  ];
}

/** The checklist as it is read aloud: the steps of a run come once for each planned run, with its volumes. */
export function stepsAloud(
  plan: Plan,
  setup: Setup,
  reaction: ChecklistReaction,
  language = 'en',
): readonly SpokenStep[] {
  const aloud = aloudIn(language);
  const spoken = (section: string, run: string | null, steps: readonly Step[]): SpokenStep[] =>
    steps.map((step) => ({
      ...step,
      section,
      run,
      say: asSpoken(`${step.text}${step.caution ? ` ${step.caution}` : ''}`, aloud.s),
    }));
  const sections = checklistOf(plan, setup, reaction, language);
  const before = sections.slice(
    0,
    sections.findIndex((section) => section.each === 'run'),
  );
  const after = sections.slice(sections.findLastIndex((section) => section.each === 'run') + 1);
  const last = plan.runs.at(-1);
  return [
    ...before.flatMap(({ title, steps }) => spoken(title, null, steps)),
    ...plan.runs.flatMap((run) => [
      ...spoken(aloud.say('run', { run: run.label }), run.label, runSteps(plan, setup, reaction, run, aloud)),
      ...(run === last ? [] : spoken(aloud.say('changeoverAfter', { run: run.label }), run.label, changeover(aloud))),
    ]),
    ...after.flatMap(({ title, steps }) => spoken(title, null, steps)),
  ];
}

/** Words that a speaking engine reads as meant. */
export const asSpoken = (text: string, s: ChecklistSentences = checklistSentencesFor('en')): string =>
  text
    .replace(/ mL\b/g, ` ${s.millilitres}`)
    .replace(new RegExp(`(?<![\\d.,])1 ${s.millilitres}\\b`, 'g'), `1 ${s.millilitre}`)
    .replace(/ g\b/g, ` ${s.grams}`)
    .replace(new RegExp(`(?<![\\d.,])1 ${s.grams}\\b`, 'g'), `1 ${s.gram}`)
    .replace(/ cm\b/g, ` ${s.centimetres}`)
    .replace(/ °C/g, ` ${s.degrees}`)
    .replace(/(\d) K\b/g, `$1 ${s.kelvin}`)
    .replace(/ hPa\b/g, ` ${s.hectopascal}`)
    .replace(/ %/g, ` ${s.percent}`)
    .replace(/[“”„]/g, '');

const beginning = (reaction: ChecklistReaction, { s }: Aloud): Step[] => [
  {
    part: 'begin',
    text: s.goggles,
    caution: [...reaction.always, s.deferral].join(' '),
  },
  { part: 'begin', text: s.whereSpills },
];

function labels(plan: Plan, { s, say }: Aloud): Step[] {
  const used = usedSolutions(plan, s.water);
  const names = joined(used.map((entry) => entry.name));
  return [
    { part: 'label', text: say('flasks', { names: joined(plan.runs.map((run) => run.label)) || s.oneEach }) },
    ...(names === '' ? [] : [{ part: 'label' as const, text: say('measures', { names }) }]),
    ...(plan.dilutions.length > 0
      ? [{ part: 'label' as const, text: say('bottles', { names: joined(plan.dilutions.map((entry) => entry.name)) }) }]
      : []),
    { part: 'label', text: s.wasteBeaker },
  ];
}

function dilutions(plan: Plan, { s, say }: Aloud): Step[] {
  const names = new Map(solutionsOf(plan, s.water).map((entry) => [entry.id, entry.name]));
  return plan.dilutions.map((dilution) => {
    const water =
      dilution.makeUpToMl !== undefined
        ? say('makeUp', { volume: written(dilution.makeUpToMl) })
        : dilution.addWaterMl !== undefined
          ? say('addWater', { volume: written(dilution.addWaterMl) })
          : s.asItIs;
    const from = names.get(dilution.from) ?? dilution.from;
    return {
      part: 'dilute',
      text: say('dilute', { name: dilution.name, volume: written(dilution.takeMl), from, water }),
    };
  });
}

function apparatus(setup: Setup, reaction: ChecklistReaction, { s, say }: Aloud): Step[] {
  const gas = reaction.gas in s ? s[reaction.gas as keyof ChecklistSentences] : reaction.gas;
  return [
    { part: 'set-up', text: s.tubes, caution: s.glassSnaps },
    { part: 'set-up', text: s.fillBottle },
    { part: 'set-up', text: say('standCylinder', { volume: written(setup.cylinder.capacityMl) }) },
    { part: 'set-up', text: s.outlet, caution: say('neverClosed', { gas }) },
    { part: 'set-up', text: s.stoppers },
    { part: 'set-up', text: s.roomTemperature },
    { part: 'pressure', text: s.callPressure },
  ];
}

function runSteps(plan: Plan, setup: Setup, reaction: ChecklistReaction, run: PlannedRun | null, aloud: Aloud): Step[] {
  const { s, say, pours } = aloud;
  const step = written(setup.stepMl);
  // Printed, and read aloud before the first run: said before every run, nobody would listen any more.
  const first = run === null || run === plan.runs[0];
  const pourText =
    run === null
      ? s.pourTable
      : run.pours.length === 0
        ? say('mixRun', { run: run.label })
        : say('pourRun', { run: run.label, pours: poursInWords(plan, run, pours), first: firstPour(plan, run, s) });
  const warm =
    run?.temperatureC === undefined ? s.callTemperature : say('bringTo', { value: written(run.temperatureC) });
  return [
    ...weighing(plan, run, aloud),
    {
      part: 'pour',
      text: pourText,
      ...careful(first ? reaction.pouring : []),
    },
    { part: 'temperature', text: warm },
    { part: 'baseline', text: s.baseline },
    {
      part: 'start',
      text: say('startRun', { run: run?.label ?? s.firstLabel }),
      ...careful([...(first ? reaction.running : []), s.holdStopper]),
    },
    { part: 'first-reading', text: s.firstReading },
    { part: 'read', text: say('callEvery', { step, span: written(setup.spanMl) }) },
    { part: 'end', text: s.endRun },
  ];
}

/** Solids are weighed before the solutions are poured: the flask that makes gas is then closed at once. */
function weighing(plan: Plan, run: PlannedRun | null, { s, say, language }: Aloud): Step[] {
  const listed = run
    ? solidsInWords(plan, run, language)
    : plan.runs.flatMap((one) => solidsInWords(plan, one, language));
  if (listed.length === 0) return [];
  const solids = joined(listed).replace(/(\d)\.(\d)/g, `$1${s.decimalSign}$2`);
  return [{ part: 'pour', text: run ? say('weighRun', { run: run.label, solids }) : s.weighTable }];
}

/** "20 of water": an example of a call, of the run's own first solution. */
function firstPour(plan: Plan, run: PlannedRun, s: ChecklistSentences): string {
  const pour = run.pours.find(({ volumeMl }) => volumeMl > 0);
  const name = solutionsOf(plan, s.water).find(({ id }) => id === pour?.solution)?.name ?? pour?.solution ?? '';
  return `${written(pour?.volumeMl ?? 0).replace('.', s.decimalSign)} ${s.of} ${name}`;
}

const changeover = ({ s }: Aloud): readonly Step[] => [
  { part: 'change-over', text: s.emptyFlask, caution: s.wasteOpen },
  { part: 'change-over', text: s.rinseFlask },
  { part: 'change-over', text: s.pourBack },
];

const cleanUp = (reaction: ChecklistReaction, { s }: Aloud): Step[] => [
  { part: 'clean-up', text: s.leftovers, ...careful(reaction.cleaning) },
  { part: 'clean-up', text: s.rinseAll },
  { part: 'clean-up', text: s.wipe },
];

const careful = (sentences: readonly string[]): { caution?: string } =>
  sentences.length === 0 ? {} : { caution: sentences.join(' ') };

/** Stocks, dilutions and water that some run gets, in the order of the run sheet. */
function usedSolutions(plan: Plan, water: string): readonly { readonly id: string; readonly name: string }[] {
  const used = new Set(
    plan.runs.flatMap((run) => run.pours.filter((pour) => pour.volumeMl > 0).map((pour) => pour.solution)),
  );
  return solutionsOf(plan, water).filter((entry) => used.has(entry.id));
}

const joined = (parts: readonly string[]): string => parts.join(', ');
