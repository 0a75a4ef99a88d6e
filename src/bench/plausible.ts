import { catalogue, type PageLanguage } from '../language/page-language.ts';
import { predictFrom } from '../language/trend.ts';
import { countingReadings, durationText, zeroMs } from '../log/runs.ts';
import type { Setup } from '../log/setup.ts';
import type { Reading, Run } from '../log/state.ts';

const texts = catalogue(
  {
    belowZero: (ml: string) => `${ml} mL is below the cylinder’s zero`,
    beyond: (ml: string, capacityMl: number) => `${ml} mL is more than the cylinder shows (${capacityMl} mL)`,
    tooFine: (ml: string, divisionMl: number) => `${ml} mL is finer than divisions of ${divisionMl} mL can be read`,
    notAbove: (ml: string, at: string) => `not above ${ml} mL at ${at}`,
    notBelow: (ml: string, at: string) => `not below ${ml} mL at ${at}`,
  },
  {
    belowZero: (ml) => `${ml} mL liegt unter der Null des Zylinders`,
    beyond: (ml, capacityMl) => `${ml} mL ist mehr, als der Zylinder zeigt (${capacityMl} mL)`,
    tooFine: (ml, divisionMl) => `${ml} mL ist feiner, als sich Teilstriche von ${divisionMl} mL ablesen lassen`,
    notAbove: (ml, at) => `nicht über ${ml} mL bei ${at}`,
    notBelow: (ml, at) => `nicht unter ${ml} mL bei ${at}`,
  },
);

/** A sentence when the cylinder cannot show such a reading, else null. Marks on glass are read to a hundredth at best. */
export function impossibleReading(value: string, setup: Setup, language: PageLanguage): string | null {
  const { capacityMl, divisionMl } = setup.cylinder;
  const t = texts[language];
  const ml = Number(value);
  if (ml < 0) return t.belowZero(value);
  if (ml > capacityMl + 1e-9) return t.beyond(value, capacityMl);
  const hundredths = (100 * ml) / divisionMl;
  if (Math.abs(hundredths - Math.round(hundredths)) > 1e-6) return t.tooFine(value, divisionMl);
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
export function unlikelyCorrection(
  value: string,
  reading: Reading,
  run: Run,
  language: PageLanguage = 'en',
): string | null {
  const t = texts[language];
  const others = countingReadings(run).filter((one) => one.id !== reading.id);
  const before = others.findLast((one) => one.timeMs < reading.timeMs);
  const after = others.find((one) => one.timeMs > reading.timeMs);
  const ml = Number(value);
  const at = (one: Reading): string => durationText(one.timeMs - zeroMs(run));
  if (before && ml <= before.volumeMl) return t.notAbove(before.value, at(before));
  return after && ml >= after.volumeMl ? t.notBelow(after.value, at(after)) : null;
}
