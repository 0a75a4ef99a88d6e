import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import type { ChainChoice } from '../analysis/uncertainty.ts';

/** What an analysis decided, for drawing errors through the same chain. */
export function chainChoice({ runs, law, whole }: ExperimentAnalysis): ChainChoice {
  const used = runs.flatMap((run) => (run.ok && run.used ? [{ label: run.run.label, estimate: run.used }] : []));
  const accepted = whole.ok ? whole.accepted?.orders : undefined;
  return {
    estimators: Object.fromEntries(used.map(({ label, estimate }) => [label, estimate.estimator])),
    orders: accepted ?? (law.ok ? (law.accepted?.orders ?? {}) : {}),
    scatter: Object.fromEntries(used.map(({ label, estimate }) => [label, estimate.scatter.scale])),
  };
}
