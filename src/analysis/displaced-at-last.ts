import type { RunData } from './run-data.ts';

/**
 * Water displaced up to the last reading that counts, m3, from the baseline, or from the first reading where no baseline
 * was called; 0 without readings. By time, not by size: a number heard far too large is not what the cylinder held.
 */
export function displacedAtLast({ readings, baselineM3 }: RunData): number {
  const counted = readings.filter(({ setAside }) => setAside === undefined);
  let [first] = counted;
  if (!first) return 0;
  let last = first;
  for (const reading of counted) {
    if (reading.timeS < first.timeS) first = reading;
    if (reading.timeS > last.timeS) last = reading;
  }
  return Math.max(0, last.volumeM3 - (baselineM3?.value ?? first.volumeM3));
}
