import type { Run } from '../log/state.ts';
import type { RunData, RunReading } from './run-data.ts';

/** Error of a reading where a file states none: used only when a run has no scatter of its own (two readings). */
export const unstated = { timeS: 0.1, volumeM3: 0.1e-6 };

/**
 * A run that came whole from a file is computed as `npm run rates` computes that file: its own seconds, its own
 * uncertainties or none, no marks, and 0 mL as the baseline where the first reading says so.
 * @param data the run as any other would be computed
 * @returns `data` unchanged for a run that was called, or that has readings from elsewhere too
 */
export function asInFile(run: Run, data: RunData): RunData {
  const { entered } = run;
  const kept = run.readings.filter((reading) => !reading.struck);
  if (entered?.timing !== 'file' || kept.some(({ enteredS }) => enteredS === undefined)) return data;
  const readings = data.readings.map((reading, i): RunReading => {
    const own = kept[i];
    if (own?.enteredS === undefined) return reading;
    return {
      ...reading,
      timeS: Number(own.enteredS),
      uTimeS: entered.stated ? own.uTimeMs / 1000 : unstated.timeS,
      uVolumeM3: entered.stated ? (own.uVolumeMl ?? 0) * 1e-6 : unstated.volumeM3,
    };
  });
  const { stepM3: _step, gainURelative: _gain, baselineM3, ...rest } = data;
  const assumed = baselineM3 ? null : assumedBaseline(readings);
  const start = baselineM3 ? baselineM3.value * 1e6 : assumed;
  const finest = (texts: readonly string[]): number =>
    Math.min(...texts.map((text) => 10 ** -(text.split('.')[1]?.length ?? 0)));
  return {
    ...rest,
    readings,
    ...(baselineM3 ? { baselineM3 } : assumed === null ? {} : { baselineM3: { value: assumed * 1e-6, u: 0 } }),
    ...possibleStart(readings, start),
    uStated: entered.stated,
    ...(entered.stated
      ? {}
      : {
          resolution: {
            timeS: finest(kept.map(({ enteredS }) => enteredS ?? '')),
            volumeM3: finest(kept.map(({ value }) => value)) * 1e-6,
          },
        }),
  };
}

/**
 * Without a baseline column: 0 mL when the first reading lies so near to it that no mark between was passed over (1.5
 * times the first rise), else unknown.
 */
export function assumedBaseline(readings: readonly RunReading[]): number | null {
  const sorted = [...readings].sort((a, b) => a.timeS - b.timeS);
  const first = sorted[0]?.volumeM3 ?? 0;
  const next = sorted.find((reading) => reading.volumeM3 > first)?.volumeM3;
  return next !== undefined && first >= 0 && first <= 1.5 * (next - first) ? 0 : null;
}

/**
 * 0 s may be the moment of mixing, or just where a clock was started: with no `start_s` the curve held to it is shown
 * beside the free one. Not where a reading lies before it, or at it with gas already there.
 */
export function possibleStart(
  readings: readonly RunReading[],
  baselineMl: number | null,
): Pick<RunData, 'possibleStart'> {
  const volumeM3 = (baselineMl ?? 0) * 1e-6;
  const allowed = ({ timeS, volumeM3: read }: RunReading): boolean => timeS > 0 || (timeS === 0 && read === volumeM3);
  return readings.every(allowed) ? { possibleStart: { timeS: 0, volumeM3 } } : {};
}
