import type { NotebookAnalysis } from '../analysis/notebook-analysis.ts';
import { type PouredEvent, replacedBy } from '../analysis/poured.ts';
import { generalCautions } from '../chemistry/cautions.ts';
import type { Reaction } from '../chemistry/reactions.ts';
import { happeningTexts } from '../language/happening-texts.ts';
import { named, numbersIn, type PageLanguage } from '../language/page-language.ts';
import type { NotebookState, Run, TimedEvent } from '../log/state.ts';
import { chemistryText } from '../planning/chemistry-sentences.ts';
import { nameIn } from '../planning/names.ts';
import { cautionText } from '../planning/plan-mixture.ts';
import { flagText, noteText } from './analysis-texts.ts';

import { statusOf, zeroOf } from './readings-table.ts';
import { resultTexts } from './texts.ts';
import { furtherReasons, verdictText } from './verdict-texts.ts';

/** Name of a stock or dilution of the plan, by its id. */
export const solutionName = (state: NotebookState, id: string, language: PageLanguage): string =>
  nameIn(
    [...(state.plan?.stocks ?? []), ...(state.plan?.dilutions ?? [])].find((solution) => solution.id === id)?.name ??
      id,
    language,
  );

/** What limits the figures, a sentence each: flags not dealt with, doubts, gaps of the clock, what was not stated. */
export function limitsOf(
  state: NotebookState,
  { analysis, notes, reaction }: NotebookAnalysis,
  language: PageLanguage = 'en',
): string[] {
  const t = resultTexts[language].limits;
  const limits: string[] = [];
  if (state.invented) limits.push(t.invented);
  for (const { run, how, why } of state.removedRuns) limits.push(t.removed(named(run.label), how, named(why)));
  if (analysis.verdict.standing !== 'fits' && analysis.verdict.standing !== 'no-law')
    limits.push(verdictText(analysis.verdict, language));
  // Times that may be wrong come before what the fits say of them.
  for (const run of state.runs) {
    const joints = state.joints.filter(({ atMs }) => atMs > run.startedMs && atMs < (run.endedMs ?? state.lastMs));
    for (const joint of joints) limits.push(t.joint(run.label, t.joints[joint.why]));
  }
  limits.push(...furtherReasons(analysis.verdict, language));
  for (const result of analysis.runs) {
    if (!result.ok) continue;
    // One cause may have put several readings off: its sentence is said once.
    const sentences = result.flags.map((flag) => flagText(flag, result.run, language));
    for (const sentence of new Set(sentences)) limits.push(t.flagged(result.run.label, sentence));
  }
  const readings = state.runs.flatMap((run) => run.readings);
  const doubtful = readings.filter((reading) => statusOf(reading) === 'used, in doubt').length;
  if (doubtful > 0) limits.push(t.doubtful(doubtful));
  const open = state.calls.filter(
    (call) => call.run !== null && (call.outcome === 'unresolved' || call.outcome === 'waiting'),
  ).length;
  if (open > 0) limits.push(t.open(open));
  const baseless = state.runs.filter((run) => run.baseline === null).map((run) => run.label);
  if (baseless.length > 0) limits.push(t.noBaseline(baseless.join(', ')));
  limits.push(...notes.map((note) => noteText(note, language)));
  limits.push(...(reaction?.remarks ?? []).map((remark) => chemistryText(remark, language)));
  return limits;
}

/** What happened in a run and before it, a line each; of a pour that was put right there is one line, at its own moment. */
export function happeningsOf(state: NotebookState, run: Run, language: PageLanguage = 'en'): string[] {
  const replaced = new Set(run.timed.flatMap((timed) => (timed.kind === 'poured' ? (timed.replaces ?? []) : [])));
  return [...run.timed]
    .filter(({ event }) => !replaced.has(event))
    .sort((a, b) => a.timeMs - b.timeMs)
    .map((timed) => happeningText(state, run, timed, language));
}

/** One timed event as a line: "Run 1, 54.0 s: leak." */
function happeningText(state: NotebookState, run: Run, timed: TimedEvent, language: PageLanguage): string {
  const t = resultTexts[language].limits;
  const seconds = (timed.timeMs - zeroOf(run)) / 1000;
  const moment = `${seconds < 0 ? '−' : ''}${Math.abs(seconds).toFixed(1)}`;
  const when = t.moment(run.label, numbersIn(language, moment));
  switch (timed.kind) {
    case 'happened':
      return `${when}: ${happeningTexts[language][timed.what]}.`;
    case 'baseline':
      return `${when}: ${t.baseline(timed.value)}.`;
    case 'temperature':
      return `${when}: ${t.temperature(timed.value)}.`;
    case 'poured': {
      const called = replacedBy(state, timed).at(-1);
      return `${when}: ${t.poured(pourText(state, timed, language), called ? pourText(state, called, language) : null)}.`;
    }
    case 'note':
      return `${when}: ${t.note(timed.text)}`;
  }
}

const pourText = (state: NotebookState, pour: PouredEvent, language: PageLanguage): string =>
  resultTexts[language].limits.pour(
    pour.value,
    pour.solution === null ? pour.reagent : solutionName(state, pour.solution, language),
  );

/** Cautions for doing it again, and who has the last word. */
export function cautionsOf(reaction: Reaction | null, language: PageLanguage = 'en'): string[] {
  const own = reaction?.cautions ?? [];
  return [
    ...new Set([...own, ...generalCautions].map((caution) => cautionText(caution, language))),
    resultTexts[language].limits.lastWord,
  ];
}
