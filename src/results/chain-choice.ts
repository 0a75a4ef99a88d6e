import type { ExperimentAnalysis } from '../analysis/analyse-experiment.ts';
import type { RunAnalysis } from '../analysis/analyse-run.ts';
import type { ChainChoice, CurveEffect } from '../analysis/uncertainty.ts';
import type { WholeResult } from '../analysis/whole-result.ts';

/** What an analysis decided, for drawing errors through the same chain. */
export function chainChoice({ runs, law, whole }: ExperimentAnalysis): ChainChoice {
  const used = runs.flatMap((run) => (run.ok && run.used ? [{ label: run.run.label, estimate: run.used, run }] : []));
  const accepted = whole.ok ? whole.accepted : null;
  const orders = accepted?.orders ?? (law.ok ? (law.accepted?.orders ?? {}) : {});
  return {
    estimators: Object.fromEntries(used.map(({ label, estimate }) => [label, estimate.estimator])),
    orders,
    scatter: Object.fromEntries(used.map(({ label, estimate }) => [label, estimate.scatter.scale])),
    curves: {
      rates: Object.fromEntries(used.map(({ label, run }) => [label, curveEffect(run)])),
      // Averaged over two curves, k is not quite that of the likelier one.
      whole: accepted ? { factor: accepted.k / accepted.fit.k, u: uBeyond(accepted) } : { factor: 1, u: 0 },
      fit: accepted ? fitOptions(accepted.options) : {},
    },
  };
}

/** What a repeat of the readings would not show: the other curve, and a drift known beforehand only. */
function uBeyond({ fit, budget }: NonNullable<WholeResult['accepted']>): number {
  const ofReadings = budget.find(({ source }) => source === 'times and readings')?.u ?? 0;
  return Math.sqrt(Math.max(0, ofReadings ** 2 - fit.uRelative ** 2 + fit.uPrior ** 2));
}

function fitOptions({ lagStartS, activationJPerMol }: NonNullable<WholeResult['accepted']>['options']) {
  return {
    ...(lagStartS === undefined ? {} : { lagStartS }),
    ...(activationJPerMol === undefined ? {} : { activationJPerMol }),
  };
}

/** The run's rate from the curves of all runs against that of its plain curve. */
function curveEffect({ used, estimates }: RunAnalysis): CurveEffect {
  const plain = used && estimates[used.estimator];
  if (!used || !plain?.ok || !(plain.rateM3PerS > 0)) return { factor: 1, u: 0 };
  const own = used.uReadings / used.rateM3PerS;
  return {
    factor: used.rateM3PerS / plain.rateM3PerS,
    u: Math.sqrt(Math.max(0, own ** 2 - (plain.uReadings / plain.rateM3PerS) ** 2)),
  };
}
