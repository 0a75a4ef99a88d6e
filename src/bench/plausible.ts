import { predictFrom } from '../language/trend.ts';
import { countingReadings, durationText, zeroMs } from '../log/runs.ts';
import type { Setup } from '../log/setup.ts';
import type { Reading, Run } from '../log/state.ts';

/** A sentence when the cylinder cannot show such a reading, else null. Marks on glass are read to a hundredth at best. */
export function impossibleReading(value: string, setup: Setup): string | null {
  const { capacityMl, divisionMl } = setup.cylinder;
  const ml = Number(value);
  if (ml < 0) return `${value} mL is below the cylinder’s zero`;
  if (ml > capacityMl + 1e-9) return `${value} mL is more than the cylinder shows (${capacityMl} mL)`;
  const hundredths = (100 * ml) / divisionMl;
  if (Math.abs(hundredths - Math.round(hundredths)) > 1e-6)
    return `${value} mL is finer than divisions of ${divisionMl} mL can be read`;
  return null;
}

/** More marks than this are not passed over unseen (reasoned; the judgement of words uses the same number). */
const farSteps = 3;

/**
 * A reason to doubt a reading that was typed at `timeMs`, else null: it does not rise, lies many marks beyond the last
 * one, or far from what the readings before it predict. After a leak, a spill or swirling nothing is predicted.
 */
export function unlikelyReading(value: string, timeMs: number, run: Run, setup: Setup): string | null {
  const before = countingReadings(run).filter((reading) => reading.timeMs < timeMs);
  const last = before.at(-1);
  const lastMs = last?.timeMs ?? 0;
  if (run.timed.some((event) => event.kind === 'happened' && event.timeMs > lastMs && event.timeMs < timeMs))
    return null;
  const ml = Number(value);
  if (!last)
    return run.baseline !== null && ml < Number(run.baseline) - 1e-9
      ? `${value} mL is below the baseline of ${run.baseline} mL`
      : null;
  if (ml <= last.volumeMl + 1e-9) return `${value} mL after ${last.value} mL: readings rise`;
  const points = before.map((reading) => ({ timeS: reading.timeMs / 1000, volumeMl: reading.volumeMl }));
  const predicted = predictFrom(points, timeMs / 1000);
  if (!predicted)
    return ml - last.volumeMl > farSteps * setup.stepMl + 1e-9
      ? `${value} mL lies more than ${farSteps} marks above ${last.value} mL`
      : null;
  return Math.abs(ml - predicted.volumeMl) > Math.max(4 * predicted.uMl, 1.5 * setup.stepMl)
    ? `${value} mL was typed where some ${Math.round(predicted.volumeMl)} mL were due`
    : null;
}

/** A reason to doubt the value that a reading is corrected to, else null: it must lie between its neighbours. */
export function unlikelyCorrection(value: string, reading: Reading, run: Run): string | null {
  const others = countingReadings(run).filter((one) => one.id !== reading.id);
  const before = others.findLast((one) => one.timeMs < reading.timeMs);
  const after = others.find((one) => one.timeMs > reading.timeMs);
  const ml = Number(value);
  const at = (one: Reading): string => `${one.value} mL at ${durationText(one.timeMs - zeroMs(run))}`;
  if (before && ml <= before.volumeMl) return `not above ${at(before)}`;
  return after && ml >= after.volumeMl ? `not below ${at(after)}` : null;
}
