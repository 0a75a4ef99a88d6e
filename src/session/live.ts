import { gainUncertainty, readingUncertainty } from '../chemistry/glassware.ts';
import { lineRate } from '../kinetics/line-rate.ts';
import type { RunData, RunReading } from '../kinetics/run-data.ts';
import { frameRun } from '../kinetics/run-frame.ts';
import type { Setup } from '../notebook/setup.ts';
import type { Reading, Run } from '../notebook/state.ts';
import { countingReadings, durationText, nextMarkMl, originMl } from './marks.ts';

/** The rate while the run goes on, from the third reading: the straight line through what there is. */
export interface LiveRate {
  readonly rateMlPerS: number;
  /** Combined standard uncertainty, mL/s. */
  readonly uMlPerS: number;
  /** Rate and uncertainty, the latter with two digits: "0.0832 ± 0.0011". */
  readonly text: string;
  /** Notebook time at which the next mark is due, ms; null when it cannot be said. */
  readonly nextMarkMs: number | null;
  /** Notebook time at which the span will be reached, ms. */
  readonly spanMs: number | null;
}

/** Spread of one caller's moments where no rehearsal has measured it, s (from memory: 50 to 100 ms within a person). */
const usualCallS = 0.08;

/** Cost: some microseconds a reading; null before the third reading and where no rate can be had. */
export function liveRate(run: Run, setup: Setup): LiveRate | null {
  const readings = countingReadings(run);
  if (readings.length < 3) return null;
  const gain = gainUncertainty(setup.cylinder.capacityMl * 1e-6, setup.cylinder.accuracy);
  const data: RunData = {
    label: run.label,
    readings: readings.map((reading) => readingOf(reading, setup)),
    gainURelative: gain,
  };
  const framed = frameRun(data, null);
  if (!framed.ok) return null;
  const line = lineRate(framed.frame, gain);
  if (!line.ok) return null;
  const rateMlPerS = line.rateM3PerS * 1e6;
  const uMlPerS = line.u * 1e6;
  const last = readings.at(-1)!;
  const due = (volumeMl: number | null): number | null =>
    volumeMl === null || !(rateMlPerS > 0) ? null : last.timeMs + (1000 * (volumeMl - last.volumeMl)) / rateMlPerS;
  const from = originMl(run);
  const end = from === null ? null : from + setup.spanMl;
  return {
    rateMlPerS,
    uMlPerS,
    text: withUncertainty(rateMlPerS, uMlPerS),
    nextMarkMs: due(nextMarkMl(run, setup)),
    spanMs: end !== null && end > last.volumeMl ? due(end) : null,
  };
}

function readingOf(reading: Reading, setup: Setup): RunReading {
  const callS = reading.timing === 'hand' ? 0 : (setup.uCallMs ?? usualCallS * 1000) / 1000;
  const lines = reading.volumeMl / setup.cylinder.divisionMl;
  const onLine = Math.abs(lines - Math.round(lines)) < 1e-6;
  return {
    timeS: reading.timeMs / 1000,
    volumeM3: reading.volumeMl * 1e-6,
    uTimeS: Math.hypot(reading.uTimeMs / 1000, callS),
    uVolumeM3: readingUncertainty(setup.cylinder.divisionMl * 1e-6, onLine ? 'at-mark' : 'between'),
  };
}

/** "0.0832 ± 0.0011": the uncertainty with two digits, the value to the same place. */
export function withUncertainty(value: number, u: number): string {
  if (!(u > 0)) return String(Number(value.toPrecision(4)));
  const place = Math.floor(Math.log10(u)) - 1;
  const decimals = Math.max(0, -place);
  const rounded = (x: number): string => (decimals > 0 ? x.toFixed(decimals) : String(Math.round(x)));
  return `${rounded(value)} ± ${rounded(u)}`;
}

/** Said once per run and kind. */
export interface Warning {
  readonly kind: 'no-reading' | 'slower' | 'surge';
  readonly text: string;
}

/**
 * What is not as it should be with the run in progress. The last two intervals together are compared with the median
 * of those before, so that one late or early call raises no alarm. The limits are common practice, no source.
 */
export function warningsOf(run: Run, nowMs: number): readonly Warning[] {
  // A reading in doubt is a question of hearing, not of the reaction.
  const readings = countingReadings(run).filter((reading) => reading.outcome === 'taken');
  const last = readings.at(-1);
  if (!last || readings.length < 3) return [];
  const warnings: Warning[] = [];
  const gaps = readings.slice(1).map((reading, index) => reading.timeMs - readings[index]!.timeMs);
  const waited = nowMs - last.timeMs;
  if (waited > Math.max(15_000, 3 * middle(gaps)))
    warnings.push({ kind: 'no-reading', text: `No reading for ${durationText(waited)}` });
  const rates = readings
    .slice(1)
    .map(
      (reading, index) => (reading.volumeMl - readings[index]!.volumeMl) / (reading.timeMs - readings[index]!.timeMs),
    );
  const before = rates.slice(0, -2);
  const twoBack = readings.at(-3);
  if (before.length < 3 || !twoBack) return warnings;
  const usual = middle(before);
  const lately = (last.volumeMl - twoBack.volumeMl) / (last.timeMs - twoBack.timeMs);
  if (lately < 0.62 * usual)
    warnings.push({ kind: 'slower', text: 'Slower than it was: a leak, a loose stopper, swirling stopped?' });
  if (lately > 1.6 * usual) warnings.push({ kind: 'surge', text: 'A surge: swirled, or warmed up?' });
  return warnings;
}

function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}
