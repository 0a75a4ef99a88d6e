import type { NotebookExperiment } from '../analysis/notebook-analysis.ts';
import { type PouredVolume, plannedRunOf, pouredVolumes, unknownPours } from '../analysis/poured.ts';
import type { Experiment } from '../analysis/run-data.ts';
import type { NotebookState, Run } from '../log/state.ts';
import { solutionName } from './report-remarks.ts';
import { type Cell, type Column, type Table, textCell } from './table.ts';
import { millilitres } from './unit.ts';

const settledText = {
  'as-planned': 'called, as planned',
  accepted: 'called, taken as poured',
  'topped-up': 'called, topped up',
  open: 'called, difference not settled',
} as const;

/**
 * A row a run, a column a solution; what differs from the plan is said in the cell and, in a sentence, below.
 * @returns null where nothing was planned and nothing called
 */
export function poursTable(state: NotebookState, found: NotebookExperiment): Table | null {
  const volumes = state.runs.map((run) => pouredVolumes(state, run));
  const solutions = [...new Set(volumes.flatMap((pours) => pours.map(({ solution }) => solution)))];
  const remarks = state.runs.flatMap((run, i) => pourRemarks(state, run, found.runs[i]!.label));
  if (solutions.length === 0 && remarks.length === 0) return null;
  const columns: Column[] = [
    { key: 'run', label: 'run', kind: 'text' },
    ...solutions.map(
      (solution): Column => ({
        key: solution,
        label: solutionName(state, solution),
        unit: millilitres,
        kind: 'text',
      }),
    ),
    { key: 'total', label: 'in all', unit: millilitres, kind: 'text' },
  ];
  const rows = found.runs.map(({ label }, i): Cell[] => {
    const total = volumes[i]!.reduce((sum, { volumeMl }) => sum + volumeMl, 0);
    return [
      textCell(label),
      ...solutions.map((solution) => textCell(pourText(volumes[i]!.find((pour) => pour.solution === solution)))),
      textCell(String(Number(total.toPrecision(6)))),
    ];
  });
  const law = pouredLawRemark(state, found.experiment, found.runs);
  return {
    title: 'Planned and poured',
    columns,
    rows,
    notes: ['A volume without a remark is the plan’s; nothing was called.', ...remarks, ...(law ? [law] : [])],
  };
}

/** What was poured into a run's flask otherwise than its plan says, a sentence each; `label` is the run's, as the tables name it. */
export function pourRemarks(state: NotebookState, run: Run, label: string): string[] {
  const unknown = unknownPours(state, run).map(
    ({ value, reagent }) =>
      `Run ${label}: ${value} mL of “${reagent}” was called as poured; it is none of the run sheet’s solutions and is left out of the concentrations.`,
  );
  return [...differing(state, run).map((pour) => differenceText(state, label, pour)), ...unknown];
}

/**
 * That the rate law goes by what was poured, and in which of `runs` that is not what was planned; null when in none.
 * Runs whose concentrations are not known are not in the law and are left out.
 */
export function pouredLawRemark(
  state: NotebookState,
  experiment: Experiment,
  runs: NotebookExperiment['runs'],
): string | null {
  const known = new Set(experiment.runs.filter((run) => run.concentrations).map(({ label }) => label));
  const labels = runs.flatMap(({ id, label }) => {
    const run = state.runs.find((one) => one.id === id);
    return run && known.has(label) && differing(state, run).length > 0 ? [label] : [];
  });
  const last = labels.at(-1);
  if (last === undefined) return null;
  const named = labels.length === 1 ? `Run ${last} was` : `Runs ${labels.slice(0, -1).join(', ')} and ${last} were`;
  return `${named} poured otherwise than planned; concentrations, orders and k go by what was poured.`;
}

/** Volumes that were called and are not the plan's. A run that the plan does not have differs from nothing. */
function differing(state: NotebookState, run: Run): readonly PouredVolume[] {
  if (!plannedRunOf(state.plan, run.label)) return [];
  return pouredVolumes(state, run).filter(
    ({ from, volumeMl, plannedMl }) => from === 'poured' && Math.abs(volumeMl - (plannedMl ?? 0)) > 1e-6,
  );
}

function differenceText(state: NotebookState, label: string, pour: PouredVolume) {
  const { solution, volumeMl, plannedMl } = pour;
  const poured = volumeMl === 0 ? 'none' : `${volumeMl} mL`;
  const planned = plannedMl === null ? 'none' : `${plannedMl} mL`;
  const how = howKnown(pour);
  return `Run ${label}, ${solutionName(state, solution)}: ${poured} was poured where ${planned} was planned${how === '' ? '' : ` (${how})`}.`;
}

function pourText(pour: PouredVolume | undefined): string {
  if (!pour) return '0';
  const { volumeMl, plannedMl } = pour;
  const how = howKnown(pour);
  if (how === '') return String(volumeMl);
  const plan = plannedMl === null ? 'not in the plan' : plannedMl === volumeMl ? '' : `plan ${plannedMl}`;
  return `${volumeMl} (${[plan, how].filter((part) => part !== '').join('; ')})`;
}

/** "called, taken as poured"; empty where nothing was called. */
const howKnown = ({ settled, putRight }: PouredVolume): string =>
  settled === null ? '' : putRight ? 'put right by hand' : settledText[settled];
