import type { RunAnalysis } from './analyse-run.ts';
import { slopeOn } from './estimate.ts';
import type { Refused } from './run-data.ts';
import { mostGas } from './tied-ceilings.ts';

/** A starting rate higher than the slope at the first reading by less than this share is near enough. */
const nearEnough = 0.1;
/** Standard uncertainties of the slope within which the two are not told apart. */
const beyondChance = 2;

/**
 * Whether a run's rate, the slope of its parabola at the first reading or a mean, is no starting rate: so much gas had come
 * before that reading that the rate had fallen by then. Looks at how the slope of the parabola falls with the gas between
 * first and last reading and goes on along a straight line to zero gas. A rate that falls with a power above zero falls at
 * least so fast before, so that this is the least that is missing. Where less gas came between the readings than before
 * them, they cannot tell whether it fell, so that the likeliest fall counts; else a fall by chance does not. Needs a baseline.
 */
export function isLate({ run, frame, used, estimates, ceilingM3 }: RunAnalysis): boolean {
  if (!used || used.at === 'zero-gas' || ceilingM3 || !run.baselineM3) return false;
  const before = frame.firstM3 - run.baselineM3.value;
  const gained = mostGas(run) - before;
  if (!(before > 0 && gained > 0)) return false;
  const most = before > gained;
  if (used.at === 'whole-run' && !most) return false;
  const { shape } = used.at === 'whole-run' && estimates.quadratic.ok ? estimates.quadratic : used;
  const fallen = slopeOn(shape, frame.firstTimeS) - slopeOn(shape, frame.firstTimeS + frame.timeScaleS);
  const missing = (fallen * before) / gained;
  return missing > Math.max(nearEnough * used.rateM3PerS, most ? 0 : beyondChance * used.u);
}

/** Labels of the runs whose rate is no starting rate, see `isLate`; with one of them no k is stated. */
export const lateRuns = (runs: readonly (RunAnalysis | Refused)[]): string[] =>
  runs.flatMap((run) => (run.ok && isLate(run) ? [run.run.label] : []));
