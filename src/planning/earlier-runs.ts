import { pouredVolumes } from '../analysis/poured.ts';
import { countingReadings } from '../log/runs.ts';
import type { NotebookState, Run } from '../log/state.ts';
import { fitRepeatedMedians } from '../numerics/repeated-medians.ts';
import type { EarlierRun } from './plan-advice.ts';

/** Readings that the starting rate is taken from, from the first one on. */
const firstReadings = 6;

/**
 * Finished runs of this notebook as a guide for the next ones. Their rate is the repeated-medians slope of the first
 * six readings: good enough to predict a duration, and one misheard value does not move it. The Rates screen does
 * it properly.
 */
export function earlierRuns(state: NotebookState): readonly EarlierRun[] {
  return state.runs.flatMap((run): EarlierRun[] => {
    if (run.endedMs === null) return [];
    const readings = countingReadings(run).slice(0, firstReadings);
    if (readings.length < 4) return [];
    const seconds = readings.map((reading) => reading.timeMs / 1000);
    if (new Set(seconds).size < 2) return [];
    const { slope } = fitRepeatedMedians(
      seconds,
      readings.map((reading) => reading.volumeMl),
    );
    if (!(slope > 0)) return [];
    return [
      {
        label: run.label,
        rateMlPerS: slope,
        volumes: pouredVolumes(state, run),
        temperatureC: meanTemperature(run),
      },
    ];
  });
}

function meanTemperature(run: Run): number | null {
  const called = run.timed.flatMap((event) => (event.kind === 'temperature' ? [Number(event.value)] : []));
  return called.length === 0 ? null : called.reduce((sum, value) => sum + value, 0) / called.length;
}
