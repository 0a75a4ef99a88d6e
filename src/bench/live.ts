import { type LagWarning, liveLag, liveRate, predictTime } from '../analysis/live.ts';
import { experimentOf } from '../analysis/notebook-analysis.ts';
import type { EstimatorName } from '../analysis/run-data.ts';
import { countingReadings } from '../log/runs.ts';
import type { NotebookState } from '../log/state.ts';
import { nextMarkMl } from './marks.ts';

/** The rate while the run goes on, from the third reading, and when marks are due. */
export interface LiveFigures {
  readonly rateMlPerS: number;
  /** Combined standard uncertainty, mL/s. */
  readonly uMlPerS: number;
  readonly estimator: EstimatorName;
  /** Readings that go together and were used. */
  readonly readings: number;
  /** Notebook time at which the next mark is due, ms; null when it cannot be said. */
  readonly nextMarkMs: number | null;
  /** Notebook time at which the span will be reached, ms; null when it is, or cannot be said. */
  readonly spanMs: number | null;
  /** Gas is still being held back, while the run can be started anew; null when it is not. */
  readonly lag: LagWarning | null;
}

/**
 * The same estimate as on Rates, of a run as it stands. Null before the third reading and where no rate can be had.
 * Cost: some 20 ms; call it beside the calls, never before an answer to one.
 */
export function liveFigures(state: NotebookState, run: string): LiveFigures | null {
  const made = experimentOf(state);
  const index = made.runs.findIndex((known) => known.id === run);
  const data = made.experiment.runs[index];
  const known = state.runs.find(({ id }) => id === run);
  if (!data || !known) return null;
  const rate = liveRate(data);
  if (!rate) return null;
  const last = countingReadings(known).at(-1)?.volumeMl ?? 0;
  const due = (volumeMl: number | null): number | null => {
    const found = volumeMl === null || volumeMl <= last ? null : predictTime(data.readings, volumeMl * 1e-6);
    return found && 1000 * found.timeS;
  };
  // A value in doubt is no sign that the gas comes faster.
  const inDoubt = new Set(
    known.readings.filter(({ outcome, settled }) => outcome === 'doubtful' && !settled).map(({ id }) => id),
  );
  const from = countingReadings(known)[0]?.volumeMl ?? null;
  return {
    rateMlPerS: rate.rateM3PerS * 1e6,
    uMlPerS: rate.u * 1e6,
    estimator: rate.estimator,
    readings: rate.readings,
    nextMarkMs: due(nextMarkMl(known, state.setup, state.calls)),
    spanMs: due(from === null ? null : from + state.setup.spanMl),
    lag: liveLag(data.readings.filter(({ id }) => id === undefined || !inDoubt.has(id))),
  };
}

/** "0.0832 ± 0.0011": the uncertainty with so many digits, the value to the same place. */
export function withUncertainty(value: number, u: number, digits: 1 | 2): string {
  if (!(u > 0)) return String(Number(value.toPrecision(4)));
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(u)));
  return `${value.toFixed(decimals)} ± ${u.toFixed(decimals)}`;
}
