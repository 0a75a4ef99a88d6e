import type { PageLanguage } from '../language/page-language.ts';
import type { Dilution, Plan, PlannedRun } from '../log/plan.ts';
import { adviceTexts } from './advice-texts.ts';
import { joined } from './plan-design.ts';
import { written } from './pour-check.ts';
import { solutionsOf } from './reagent-name.ts';

/** What the whole plan takes of one bottle or dilution, mL. */
export interface BudgetLine {
  readonly solution: string;
  readonly name: string;
  readonly neededMl: number;
  /** What the bottle holds, or what the dilution gives as written; null when the sheet does not say. */
  readonly availableMl: number | null;
  readonly enough: boolean;
}

export interface Budget {
  readonly lines: readonly BudgetLine[];
  /** "After all runs a repeat of run 2 is still possible." */
  readonly repeats: string;
  /** What is short, in words. */
  readonly shortages: readonly string[];
}

/** Volume that one making of a dilution gives, mL (volumes taken as additive). */
export const madeMl = (dilution: Dilution): number =>
  dilution.makeUpToMl ?? dilution.takeMl + (dilution.addWaterMl ?? 0);

/**
 * How much of each bottle the plan needs, against what there is. A dilution is made once as written; what the runs
 * do not use of it is left for a repeat. Water is not counted.
 */
export function budgetOf(plan: Plan, language: PageLanguage = 'en'): Budget {
  const t = adviceTexts[language];
  const needs = needsOf(plan, plan.runs);
  const nameOf = new Map(solutionsOf(plan).map((entry) => [entry.id, entry.name]));
  const line = (solution: string, availableMl: number | null): BudgetLine => {
    const neededMl = needs.get(solution) ?? 0;
    return {
      solution,
      name: nameOf.get(solution) ?? solution,
      neededMl,
      availableMl,
      enough: availableMl === null || neededMl <= availableMl + 1e-9,
    };
  };
  const lines = [
    ...plan.stocks.map((stock) => line(stock.id, stock.availableMl ?? null)),
    ...plan.dilutions.map((dilution) => line(dilution.id, madeMl(dilution))),
  ];
  const shortages = lines
    .filter((entry) => !entry.enough)
    .map(({ name, neededMl, availableMl }) =>
      plan.dilutions.some((dilution) => nameOf.get(dilution.id) === name)
        ? t.dilutionShort(written(neededMl), name, written(availableMl ?? 0))
        : t.bottleShort(written(neededMl), name, written(availableMl ?? 0)),
    );
  return { lines, repeats: shortages.length > 0 ? '' : repeatsInWords(plan, lines, language), shortages };
}

/** Millilitres taken of each solution: what the runs pour, and what the dilutions take of their source. */
function needsOf(plan: Plan, runs: readonly PlannedRun[]): Map<string, number> {
  const needs = new Map<string, number>();
  const add = (solution: string, volumeMl: number): void => {
    needs.set(solution, (needs.get(solution) ?? 0) + volumeMl);
  };
  for (const run of runs) for (const pour of run.pours) add(pour.solution, pour.volumeMl);
  for (const dilution of plan.dilutions) add(dilution.from, dilution.takeMl);
  return needs;
}

function repeatsInWords(plan: Plan, lines: readonly BudgetLine[], language: PageLanguage): string {
  const t = adviceTexts[language];
  if (plan.runs.length === 0) return '';
  const known = lines.filter((line) => line.availableMl !== null && line.neededMl > 0);
  if (!known.some((line) => plan.stocks.some((stock) => stock.id === line.solution))) return t.amountsUnknown;
  const left = new Map(known.map((line) => [line.solution, (line.availableMl ?? 0) - line.neededMl]));
  const possible = plan.runs.filter((run) => canRepeat(plan, run, left)).map((run) => run.label);
  if (possible.length === 0) return t.noRepeat;
  if (possible.length === plan.runs.length && plan.runs.length > 1) return t.anyRepeat;
  return t.repeatOf(joined(possible, t.or));
}

/** Whether what is left is enough for one more flask; a dilution that has run out may be made again. */
function canRepeat(plan: Plan, run: PlannedRun, left: ReadonlyMap<string, number>): boolean {
  const rest = new Map(left);
  const take = (solution: string, volumeMl: number, depth: number): boolean => {
    const there = rest.get(solution);
    // A bottle whose content is not stated is taken as enough: the sentence is about those that are.
    if (there === undefined) return true;
    if (there + 1e-9 >= volumeMl) {
      rest.set(solution, there - volumeMl);
      return true;
    }
    const dilution = plan.dilutions.find((entry) => entry.id === solution);
    if (!dilution || depth > plan.dilutions.length || there + madeMl(dilution) < volumeMl) return false;
    rest.set(solution, there + madeMl(dilution) - volumeMl);
    return take(dilution.from, dilution.takeMl, depth + 1);
  };
  const totals = new Map<string, number>();
  for (const pour of run.pours) totals.set(pour.solution, (totals.get(pour.solution) ?? 0) + pour.volumeMl);
  return [...totals].every(([solution, volumeMl]) => take(solution, volumeMl, 0));
}
