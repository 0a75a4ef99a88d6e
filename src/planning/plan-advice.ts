import type { PouredVolume } from '../analysis/poured.ts';
import { atStartPressure } from '../analysis/rising-head.ts';
import type { Prepared } from '../chemistry/preparation.ts';
import { rateConstantAt } from '../chemistry/reactions.ts';
import type { PageLanguage } from '../language/page-language.ts';
import type { Plan, PlannedRun } from '../log/plan.ts';
import type { Setup } from '../log/setup.ts';
import { adviceTexts } from './advice-texts.ts';
import { chemistryText } from './chemistry-sentences.ts';
import { type Budget, budgetOf } from './plan-budget.ts';
import { type DesignPoint, isolations, joined, missingOrders } from './plan-design.ts';
import { type FlaskMixture, mixtureOf, type PlanReaction, planReactionOf, preparedOf } from './plan-mixture.ts';
import { written } from './pour-check.ts';
import { courseOf } from './run-prediction.ts';

/** What one run's flask amounts to. */
export interface FlaskAdvice extends FlaskMixture {
  readonly label: string;
  readonly course: FlaskCourse | null;
}

export interface FlaskCourse {
  readonly rateMlPerS: number;
  /** Water displaced at full conversion, mL. */
  readonly ceilingMl: number;
  /** Seconds from mixing to the first mark and to the end of the span; null when it never gets there. */
  readonly firstMarkS: number | null;
  readonly spanS: number | null;
  /** Part of the limiting reagent that is gone at the end of the span, 0..1. */
  readonly conversion: number;
}

/** A run that was done before, as a better guide than a published constant. */
export interface EarlierRun {
  readonly label: string;
  /** Starting rate, mL of displaced water a second. */
  readonly rateMlPerS: number;
  /** What was in its flask. */
  readonly volumes: readonly PouredVolume[];
  readonly temperatureC: number | null;
}

export interface PlanAdvice {
  readonly reaction: PlanReaction;
  readonly flasks: readonly FlaskAdvice[];
  /** What the runs isolate, a sentence each. */
  readonly isolates: readonly string[];
  /** What is wrong with the plan, a sentence each. */
  readonly warnings: readonly string[];
  readonly budget: Budget;
  /** Where the predicted rates come from; null when nothing can be predicted. */
  readonly courseFrom: string | null;
}

/** A span that uses up more than this part of the limiting reagent hardly measures a starting rate. */
const longSpan = 0.5;
/** The part of the reagent that a comfortable span uses up. */
const shortSpan = 0.2;
/** Calls cannot follow each other faster than this, s (common practice, no source). */
const fastestCallS = 2;
/** Nobody calls for longer than this in a lesson, s. */
const longestRunS = 30 * 60;

/**
 * Everything the run sheet says about a plan: concentrations, what the runs isolate, how long they take, whether the
 * gas fits the cylinder, whether the bottles suffice, and what is wrong, in words.
 *
 * @param earlier runs of the same reaction done before; the latest that can be compared is preferred to published values
 */
export function adviceOf(
  plan: Plan,
  setup: Setup,
  earlier: readonly EarlierRun[] = [],
  language: PageLanguage = 'en',
): PlanAdvice {
  const reaction = planReactionOf(plan, language);
  const { orderSpecies, nameOf } = reaction;
  const prepared = preparedOf(plan);
  const guide = guideOf(prepared, setup, reaction, earlier, language);
  const flasks = plan.runs.map((run): FlaskAdvice => {
    const pours = run.pours.map(planned);
    const mixture = mixtureOf(prepared, setup, reaction, pours, run.temperatureC ?? null, language, run.solids);
    return { ...mixture, label: run.label, course: flaskCourse(mixture, reaction, setup, guide) };
  });
  const points = flasks.flatMap((flask, index): DesignPoint[] => {
    if (flask.unknown !== null) return [];
    const concentrations = Object.fromEntries(flask.species.map((entry) => [entry.key, entry.molPerL]));
    return [{ label: flask.label, concentrations, temperatureC: plan.runs[index]?.temperatureC ?? null }];
  });
  const budget = budgetOf(plan, language);
  return {
    reaction,
    flasks,
    isolates: isolations(points, orderSpecies, nameOf, language),
    warnings: [
      ...missingOrders(points, orderSpecies, nameOf, language),
      ...gathered(
        flasks.flatMap((flask) => flaskWarnings(flask, setup, reaction, language)),
        language,
      ),
      ...budget.shortages,
    ],
    budget,
    courseFrom: courseFrom(flasks, guide, language),
  };
}

const planned = (pour: PlannedRun['pours'][number]): PouredVolume => ({
  solution: pour.solution,
  volumeMl: pour.volumeMl,
  plannedMl: pour.volumeMl,
  vesselMl: pour.vesselMl ?? null,
  from: 'planned',
  settled: null,
  putRight: false,
});

interface Guide {
  /** k for d[gas]/dt at a temperature, in mol, L, s. */
  kAt(temperatureC: number): number;
  readonly words: string;
}

function guideOf(
  prepared: Prepared,
  setup: Setup,
  reaction: PlanReaction,
  earlier: readonly EarlierRun[],
  language: PageLanguage,
): Guide | null {
  const t = adviceTexts[language];
  const heated =
    (value: number, fromC: number, source: string) =>
    (toC: number): number =>
      reaction.activationJPerMol === null
        ? value
        : rateConstantAt({ value, temperatureK: fromC + 273.15, source }, reaction.activationJPerMol, toC + 273.15);
  for (const run of [...earlier].reverse()) {
    const flask = mixtureOf(prepared, setup, reaction, run.volumes, run.temperatureC);
    const unit =
      flask.unknown === null && flask.mixture ? courseOf({ ...flask.mixture, k: 1, orders: reaction.orders }) : null;
    if (!unit || !(run.rateMlPerS > 0)) continue;
    const orders = reaction.orderSpecies.map((key) =>
      t.orderIn(reaction.orders[key] ?? 0, reaction.nameOf(key), reaction.assumed.includes(key)),
    );
    return {
      kAt: heated(run.rateMlPerS / unit.rateMlPerS, flask.temperatureC, 'this notebook'),
      words: t.fromEarlier(run.label, joined(orders, t.and)),
    };
  }
  if (!reaction.published || reaction.assumed.length > 0) return null;
  const { k, temperatureC, source } = reaction.published;
  return {
    kAt: heated(k, temperatureC, source),
    words: t.fromPublished(source),
  };
}

function flaskCourse(
  mixture: FlaskMixture,
  reaction: PlanReaction,
  setup: Setup,
  guide: Guide | null,
): FlaskCourse | null {
  if (mixture.unknown !== null || !mixture.mixture || !guide) return null;
  // How fast the surface of a solid shrinks is not predicted.
  if (mixture.solids.some(({ key }) => key === mixture.mixture?.limiting)) return null;
  const course = courseOf({ ...mixture.mixture, k: guide.kAt(mixture.temperatureC), orders: reaction.orders });
  return (
    course && {
      rateMlPerS: course.rateMlPerS,
      ceilingMl: course.ceiling.volumeMl,
      firstMarkS: course.secondsTo(setup.stepMl),
      spanS: course.secondsTo(setup.spanMl),
      conversion: course.ceiling.conversionAt(setup.spanMl),
    }
  );
}

function courseFrom(flasks: readonly FlaskAdvice[], guide: Guide | null, language: PageLanguage): string | null {
  const predicted = flasks.filter((flask) => flask.course !== null);
  if (!guide || predicted.length === 0) return null;
  const room = predicted.find((flask) => !flask.temperatureStated);
  return room ? guide.words + adviceTexts[language].noTemperature(room.temperatureC) : guide.words;
}

/** What is said of a run, to be put together with the same of other runs: "Runs 1 and 2: ...". */
interface RunWarning {
  readonly label: string;
  readonly words: string;
}

function gathered(warnings: readonly RunWarning[], language: PageLanguage): string[] {
  const t = adviceTexts[language];
  const byWords = new Map<string, string[]>();
  for (const { label, words } of warnings) byWords.set(words, [...(byWords.get(words) ?? []), label]);
  return [...byWords].map(([words, labels]) => `${t.runs(joined(labels, t.and), labels.length > 1)}: ${words}`);
}

function flaskWarnings(flask: FlaskAdvice, setup: Setup, reaction: PlanReaction, language: PageLanguage): RunWarning[] {
  const t = adviceTexts[language];
  const { label, course } = flask;
  const warn = (words: string): RunWarning => ({ label, words });
  const capacityMl = setup.cylinder.capacityMl;
  const span = `${written(setup.spanMl)} mL`;
  const warnings = flask.coarse.map(warn);
  if (flask.unknown !== null) warnings.push(warn(chemistryText(flask.unknown, language)));
  for (const { name, molPerL } of flask.species)
    if (flask.unknown === null && molPerL === 0) warnings.push(warn(t.nothingOf(name)));
  if (setup.spanMl > capacityMl) warnings.push(warn(t.cylinderFull(written(capacityMl), span)));
  const warming = warmingOf(flask, setup, reaction);
  if (warming !== null)
    warnings.push(
      warn(
        t.warms(
          warming.riseK.toPrecision(2),
          warming.fasterBy === null ? null : String(Number((100 * warming.fasterBy).toPrecision(2))),
        ),
      ),
    );
  if (flask.mixture === null) warnings.push(warn(t.noGas));
  const { ceiling } = flask;
  if (ceiling === null) return warnings;
  const ceilingMl = ceiling.volumeMl;
  const full = `${Math.round(ceilingMl)} mL`;
  if (ceilingMl > capacityMl) warnings.push(warn(t.overflows(full, written(capacityMl))));
  const conversion = ceiling.conversionAt(setup.spanMl);
  const shorter = Math.max(setup.stepMl, Math.floor((shortSpan * ceilingMl) / setup.stepMl + 1e-9) * setup.stepMl);
  if (conversion >= 1) warnings.push(warn(t.tooLittleGas(full, span)));
  else if (conversion > longSpan)
    warnings.push(
      warn(
        t.longSpan(
          span,
          Math.round(conversion * 100),
          written(shorter),
          Math.round(ceiling.conversionAt(shorter) * 100),
        ),
      ),
    );
  if (!course) return warnings;
  const perMarkS = setup.stepMl / course.rateMlPerS;
  if (perMarkS < fastestCallS) warnings.push(warn(t.tooFast(perMarkS.toPrecision(2))));
  if (course.spanS !== null && course.spanS > longestRunS) warnings.push(warn(t.tooSlow(inMinutes(course.spanS))));
  return warnings;
}

/** Self-heating up to the end of the span, or to the end of the reagent, if all the heat stays in the liquid. */
function warmingOf({ unknown, ceiling, mixture, temperatureC }: FlaskAdvice, setup: Setup, reaction: PlanReaction) {
  if (unknown !== null || !mixture || !(mixture.solutionL > 0)) return null;
  const { solutionL, litresPerMol, perM3 } = mixture;
  const lastMl = Math.min(setup.spanMl, ceiling?.volumeMl ?? setup.spanMl);
  const gasMol = (atStartPressure(perM3, lastMl * 1e-6) * 1000) / litresPerMol;
  return reaction.warming(gasMol, solutionL / 1000, temperatureC + 273.15);
}

/** "45 s", "2 min 10 s", "35 min", "3 h 20 min". */
export function inMinutes(seconds: number): string {
  if (seconds < 90) return `${Math.round(seconds)} s`;
  const rounded = seconds < 600 ? Math.round(seconds / 10) * 10 : Math.round(seconds / 60) * 60;
  const minutes = Math.floor(rounded / 60);
  if (minutes >= 90) return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  return rounded % 60 === 0 ? `${minutes} min` : `${minutes} min ${rounded % 60} s`;
}
