import type { NotebookExperiment } from '../analysis/notebook-analysis.ts';
import { type PouredVolume, plannedRunOf, pouredVolumes, unknownPours } from '../analysis/poured.ts';
import type { Experiment } from '../analysis/run-data.ts';
import type { PageLanguage } from '../language/page-language.ts';
import type { NotebookState, Run } from '../log/state.ts';
import { nth } from '../numerics/nth.ts';
import { solutionName } from './report-remarks.ts';
import { type Cell, type Column, type Table, textCell } from './table.ts';
import { resultTexts } from './texts.ts';
import { millilitres } from './unit.ts';

/**
 * A row a run, a column a solution; what differs from the plan is said in the cell and, in a sentence, below.
 * @returns null where nothing was planned and nothing called
 */
export function poursTable(
  state: NotebookState,
  found: NotebookExperiment,
  language: PageLanguage = 'en',
): Table | null {
  const t = resultTexts[language];
  const volumes = state.runs.map((run) => pouredVolumes(state, run));
  const solutions = [...new Set(volumes.flatMap((pours) => pours.map(({ solution }) => solution)))];
  const remarks = state.runs.flatMap((run, i) => pourRemarks(state, run, nth(found.runs, i).label, language));
  if (solutions.length === 0 && remarks.length === 0) return null;
  const columns: Column[] = [
    { key: 'run', label: t.run, kind: 'text' },
    ...solutions.map(
      (solution): Column => ({
        key: solution,
        label: solutionName(state, solution, language),
        unit: millilitres,
        kind: 'text',
      }),
    ),
    { key: 'total', label: t.pours.total, unit: millilitres, kind: 'text' },
  ];
  const rows = found.runs.map(({ label }, i): Cell[] => {
    const total = nth(volumes, i).reduce((sum, { volumeMl }) => sum + volumeMl, 0);
    return [
      textCell(label),
      ...solutions.map((solution) =>
        textCell(
          pourText(
            nth(volumes, i).find((pour) => pour.solution === solution),
            language,
          ),
        ),
      ),
      textCell(String(Number(total.toPrecision(6)))),
    ];
  });
  const law = pouredLawRemark(state, found.experiment, found.runs, language);
  return {
    title: t.pours.title,
    columns,
    rows,
    notes: [t.pours.plain, ...remarks, ...(law ? [law] : [])],
  };
}

/** What was poured into a run's flask otherwise than its plan says, a sentence each; `label` is the run's, as the tables name it. */
export function pourRemarks(state: NotebookState, run: Run, label: string, language: PageLanguage = 'en'): string[] {
  const unknown = unknownPours(state, run).map(({ value, reagent }) =>
    resultTexts[language].pours.unknown(label, value, reagent),
  );
  return [...differing(state, run).map((pour) => differenceText(state, label, pour, language)), ...unknown];
}

/**
 * That the rate law uses what was poured, and in which of `runs` that is not what was planned; null when in none.
 * Runs whose concentrations are not known are not in the law and are left out.
 */
export function pouredLawRemark(
  state: NotebookState,
  experiment: Experiment,
  runs: NotebookExperiment['runs'],
  language: PageLanguage = 'en',
): string | null {
  const known = new Set(experiment.runs.filter((run) => run.concentrations).map(({ label }) => label));
  const labels = runs.flatMap(({ id, label }) => {
    const run = state.runs.find((one) => one.id === id);
    return run && known.has(label) && differing(state, run).length > 0 ? [label] : [];
  });
  return labels.length === 0 ? null : resultTexts[language].pours.inLaw(labels);
}

/** Volumes that were called and are not the plan's. A run that the plan does not have differs from nothing. */
function differing(state: NotebookState, run: Run): readonly PouredVolume[] {
  if (!plannedRunOf(state.plan, run.label)) return [];
  return pouredVolumes(state, run).filter(
    ({ from, volumeMl, plannedMl }) => from === 'poured' && Math.abs(volumeMl - (plannedMl ?? 0)) > 1e-6,
  );
}

function differenceText(state: NotebookState, label: string, pour: PouredVolume, language: PageLanguage): string {
  const t = resultTexts[language];
  const { solution, volumeMl, plannedMl } = pour;
  const poured = volumeMl === 0 ? t.none : `${volumeMl} mL`;
  const planned = plannedMl === null ? t.none : `${plannedMl} mL`;
  return t.pours.differs(label, solutionName(state, solution, language), poured, planned, howKnown(pour, language));
}

function pourText(pour: PouredVolume | undefined, language: PageLanguage): string {
  if (!pour) return '0';
  const { volumeMl, plannedMl } = pour;
  const how = howKnown(pour, language);
  if (how === '') return String(volumeMl);
  const t = resultTexts[language].pours;
  const plan = plannedMl === null ? t.notInPlan : plannedMl === volumeMl ? '' : t.plan(plannedMl);
  return `${volumeMl} (${[plan, how].filter((part) => part !== '').join('; ')})`;
}

/** "called, taken as poured"; empty where nothing was called. */
function howKnown({ settled, putRight }: PouredVolume, language: PageLanguage): string {
  const t = resultTexts[language].pours;
  return settled === null ? '' : putRight ? t.putRight : t.settled[settled];
}
