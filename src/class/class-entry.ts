import { analyseExperiment, type ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import { experimentOf, type NotebookExperiment } from '../analysis/notebook-analysis.ts';
import { pouredVolumes } from '../analysis/poured.ts';
import { reduce } from '../log/reduce.ts';
import type { Notebook, NotebookState } from '../log/state.ts';
import { constantOf, lawText } from '../results/rate-table.ts';
import { speciesText } from '../results/species.ts';

/** One group's result with what it did, small enough to keep a thousand of: what the Class screen is about. */
export interface ClassEntry {
  readonly id: string;
  /** Title of the notebook, or the name in a table of values. */
  readonly name: string;
  readonly events: number;
  readonly invented: boolean;
  /** What results must share to be combined: reaction, unit and accepted orders. */
  readonly kind: string;
  /** "rate = k [H₂O₂] [I⁻]", or what stands in its place. */
  readonly law: string;
  readonly quantities: Readonly<Record<string, Quantity>>;
  /** Why there is no k, when there is none. */
  readonly missing: string | null;
  readonly did: readonly RunDone[];
}

/** A value that groups can be compared in: "k", "order in H₂O₂". */
export interface Quantity {
  readonly value: number;
  readonly u: number;
  readonly unit: string;
}

/** What a group did in one run. */
export interface RunDone {
  readonly label: string;
  /** By name of the solution, mL. */
  readonly volumesMl: Readonly<Record<string, number>>;
  readonly temperatureC: number | null;
  /** Whether the gas above the reaction is allowed for, some percent of k. */
  readonly headspaceCounts: boolean;
  readonly used: number;
  readonly setAside: number;
}

/**
 * A notebook's result. The same computation as everywhere, without the fit of all readings at once and the search for
 * outliers, which the class does not show. Cost: some 5 ms for three runs.
 */
export function entryOf(notebook: Notebook): ClassEntry {
  const state = reduce(notebook.events);
  const found = experimentOf(state);
  const analysis = analyseExperiment(found.experiment, { withoutWhole: true, withoutFlags: true });
  const { law } = analysis;
  const quantities: Record<string, Quantity> = {};
  const k = constantOf(law, analysis.unit);
  if (law.ok && law.accepted && k && law.accepted.u !== null && law.accepted.u > 0)
    quantities.k = { value: law.accepted.k * k.factor, u: law.accepted.u * k.factor, unit: k.unit.printed };
  if (law.ok)
    for (const [species, order] of Object.entries(law.orders))
      if (order.u > 0 && Number.isFinite(order.u))
        quantities[`order in ${speciesText(species)}`] = { value: order.value, u: order.u, unit: '' };
  const text = lawText(law);
  return {
    id: notebook.id,
    name: state.title.trim() || 'untitled',
    events: notebook.events.length,
    invented: state.invented,
    kind: `${state.plan?.reaction ?? 'no plan'} | ${analysis.unit} | ${text ?? 'no law'}`,
    law: text ?? 'no rate law',
    quantities,
    missing: quantities.k ? null : whyNoK(analysis),
    did: doneOf(state, found),
  };
}

function whyNoK({ law }: ExperimentAnalysis): string {
  if (!law.ok) return law.sentence;
  if (!law.accepted) return law.problems[0]?.sentence ?? 'No whole or half orders fit these runs.';
  return 'The uncertainty of k is not known.';
}

function doneOf(state: NotebookState, { experiment }: NotebookExperiment): RunDone[] {
  const names = new Map(
    [...(state.plan?.stocks ?? []), ...(state.plan?.dilutions ?? [])].map((solution) => [solution.id, solution.name]),
  );
  return state.runs.map((run, i) => {
    const data = experiment.runs[i];
    const aside = data?.readings.filter((reading) => reading.setAside !== undefined).length ?? 0;
    return {
      label: data?.label ?? run.label,
      volumesMl: Object.fromEntries(
        pouredVolumes(state, run).map(({ solution, volumeMl }) => [names.get(solution) ?? solution, volumeMl]),
      ),
      temperatureC: data?.temperatureK ? Number((data.temperatureK.value - 273.15).toFixed(2)) : null,
      headspaceCounts: data?.gas?.back !== undefined,
      used: (data?.readings.length ?? 0) - aside,
      setAside: aside,
    };
  });
}
