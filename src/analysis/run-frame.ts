import { last, nth } from '../numerics/nth.ts';
import { growthPerM3 } from './gas-frame.ts';
import { atStartPressure, type RisingHead, raised, stretchAt } from './rising-head.ts';
import { type Measured, type Refused, type RunData, type RunReading, refuse } from './run-data.ts';

/**
 * A run made ready for fitting: used readings in order of time, times counted from the first of them, everything in
 * units of its own span so that no result depends on seconds or minutes, litres or millilitres. Volumes are at the
 * pressure of the start: where the rising level presses on the gas (`head`), they are not what was read.
 */
export interface RunFrame {
  /** Index in `run.readings` of each used reading. */
  readonly index: readonly number[];
  /** Time since the first used reading over the span, 0..1. */
  readonly t: readonly number[];
  /** (Reading - first reading) / volume scale. */
  readonly v: readonly number[];
  /** Standard uncertainties in the same units; zero and one when not stated. */
  readonly ut: readonly number[];
  readonly uv: readonly number[];
  readonly stated: boolean;
  /** Error of one reading (volume and moment together) to assume where nothing was stated and no scatter shows. */
  readonly assumed: number;
  /** What one reading is off at least, whatever the scatter: rounding of the figures, on the volume axis. */
  readonly floor: number;
  readonly firstTimeS: number;
  readonly timeScaleS: number;
  readonly firstM3: number;
  readonly volumeScaleM3: number;
  /** Baseline in frame units (usually below 0), when known. */
  readonly baseline: Measured | null;
  /** Ceiling counted from the baseline, frame units, when known. */
  readonly ceiling: Measured | null;
  /** Whether that ceiling is one fit for all runs. */
  readonly tied: boolean;
  /** Moment at which no gas had come yet, when stated. */
  readonly start: number | null;
  /** How volumes of the frame become readings of the cylinder; absent: they are. */
  readonly head?: RisingHead;
}

/**
 * Frame of a run, from the readings that are not set aside (or from `keep`, indices into `run.readings`).
 * @param ceiling water that full conversion would displace, m3, from the baseline (see `gas-frame.ts`); null: unknown
 * @param warmingPerS relative growth of the rate with time from a drift of temperature, 1/s: Ea dT/dt / (R T^2). The
 * clock of the frame then runs at the rate's own pace, s = expm1(w (t - t_mean))/w, in which the reaction at the
 * run's mean temperature is what the fits see (rate(t) = rate exp(w (t - t_mean)), integrated).
 * @returns a typed refusal for fewer than two readings, equal times, figures that are not finite
 */
export function frameRun(
  run: RunData,
  ceiling: Measured | null,
  keep?: readonly number[],
  warmingPerS = 0,
): { readonly ok: true; readonly frame: RunFrame } | Refused {
  const wanted = keep ?? run.readings.flatMap((reading, i) => (reading.setAside === undefined ? [i] : []));
  const paced = makePace(run, warmingPerS);
  const index = [...wanted].sort((a, b) => nth(run.readings, a).timeS - nth(run.readings, b).timeS || a - b);
  const called = index.map((i) => paced.reading(nth(run.readings, i)));
  // Without a baseline the pressure of the start is taken as that at the first reading: 2 mL later makes 0.06 %.
  const head = headOf(run, run.baselineM3?.value ?? called[0]?.volumeM3);
  const readings = head ? called.map((reading) => atStart(reading, head)) : called;
  if (readings.some(notFinite))
    return refuse('not-finite', `Run ${run.label} has a reading whose time or volume is not a number.`);
  if (readings.length < 2)
    return refuse(
      'too-few-readings',
      readings.length === 0
        ? `Run ${run.label} has no readings.`
        : `Run ${run.label} has one reading; a rate needs at least two.`,
    );
  const first = nth(readings, 0);
  const timeScaleS = last(readings).timeS - first.timeS;
  if (!(timeScaleS > 0))
    return refuse('equal-times', `All readings of run ${run.label} have the same time; a rate needs two moments.`);
  let low = first.volumeM3;
  let high = first.volumeM3;
  for (const { volumeM3 } of readings) {
    low = Math.min(low, volumeM3);
    high = Math.max(high, volumeM3);
  }
  // All readings equal: the slope is zero whatever the scale; the reading itself will do as a scale.
  const volumeScaleM3 = high > low ? high - low : Math.abs(high) || 1;
  const stated = run.uStated !== false && readings.every((r) => r.uTimeS > 0 || r.uVolumeM3 > 0);
  const slope = (last(readings).volumeM3 - first.volumeM3) / timeScaleS;
  let assumed = 0;
  for (const r of readings) assumed += (r.uVolumeM3 ** 2 + (slope * r.uTimeS) ** 2) / readings.length;
  // Beyond these sizes squares leave the range of floating point; no cylinder or clock does.
  if (!(volumeScaleM3 > 1e-40 && volumeScaleM3 < 1e40 && timeScaleS > 1e-40 && timeScaleS < 1e40))
    return refuse('not-finite', `The times or volumes of run ${run.label} are too large or too small to be true.`);
  const inFrame = (x: number): number => (x - first.volumeM3) / volumeScaleM3;
  return {
    ok: true,
    frame: {
      index,
      t: readings.map((r) => (r.timeS - first.timeS) / timeScaleS),
      v: readings.map((r) => inFrame(r.volumeM3)),
      ut: readings.map((r) => (stated ? r.uTimeS / timeScaleS : 0)),
      uv: readings.map((r) => (stated ? r.uVolumeM3 / volumeScaleM3 : 1)),
      stated,
      assumed: Math.sqrt(assumed) / volumeScaleM3,
      floor: stated ? 0 : roundingFloor(run, slope) / volumeScaleM3 + dust,
      firstTimeS: first.timeS,
      timeScaleS,
      firstM3: first.volumeM3,
      volumeScaleM3,
      baseline: run.baselineM3 ? { value: inFrame(run.baselineM3.value), u: run.baselineM3.u / volumeScaleM3 } : null,
      ceiling: ceiling ? ceilingIn(ceiling, head?.perM3 ?? 0, volumeScaleM3) : null,
      tied: run.ceilingTiedBy !== undefined,
      start: run.startS === undefined ? null : (paced.moment(run.startS) - first.timeS) / timeScaleS,
      ...(head ? { head } : {}),
    },
  };
}

/** How the rising level presses on the gas of a run; null where nothing of it is stated, or no reading is there. */
function headOf(run: RunData, originM3: number | undefined): RisingHead | null {
  const perM3 = growthPerM3(run);
  return perM3 === 0 || originM3 === undefined ? null : { originM3, perM3 };
}

const atStart = (reading: RunReading, head: RisingHead): RunReading => ({
  ...reading,
  volumeM3: raised(head, reading.volumeM3),
  uVolumeM3: reading.uVolumeM3 * Math.max(0, stretchAt(head.perM3, reading.volumeM3 - head.originM3)),
});

const ceilingIn = ({ value, u }: Measured, perM3: number, volumeScaleM3: number): Measured => ({
  value: atStartPressure(perM3, value) / volumeScaleM3,
  u: (u * stretchAt(perM3, value)) / volumeScaleM3,
});

/** Figures computed to the last digit of a computer differ from a curve by less than this share of the span. */
const dust = 1e-9;

/**
 * Standard deviation of a rounded reading, m3: the last place over root 12 (GUM 4.3.7), of the time through the slope.
 * The place of the volumes counts only when it is finer than a tenth of the smallest rise: a reading called at a mark of
 * 2 mL and written "12" is not rounded to 1 mL.
 */
function roundingFloor(run: RunData, slope: number): number {
  if (!run.resolution) return 0;
  const volumes = run.readings.map((reading) => reading.volumeM3).sort((a, b) => a - b);
  let rise = Number.POSITIVE_INFINITY;
  for (let i = 1; i < volumes.length; i++) {
    const step = nth(volumes, i) - nth(volumes, i - 1);
    if (step > 0) rise = Math.min(rise, step);
  }
  const { timeS, volumeM3 } = run.resolution;
  return Math.hypot(slope * timeS, volumeM3 <= 0.1001 * rise ? volumeM3 : 0) / Math.sqrt(12);
}

interface Pace {
  readonly moment: (timeS: number) => number;
  readonly reading: (reading: RunReading) => RunReading;
}

/** Times on the clock of a reaction that warms or cools. */
function makePace(run: RunData, warmingPerS: number): Pace {
  if (warmingPerS === 0) return { moment: (timeS) => timeS, reading: (reading) => reading };
  const times = run.readings.map((reading) => reading.timeS);
  const middle = times.reduce((sum, t) => sum + t, 0) / times.length;
  const moment = (timeS: number): number => middle + Math.expm1(warmingPerS * (timeS - middle)) / warmingPerS;
  return {
    moment,
    reading: (reading) => ({
      ...reading,
      timeS: moment(reading.timeS),
      uTimeS: reading.uTimeS * Math.exp(warmingPerS * (reading.timeS - middle)),
    }),
  };
}

const notFinite = (reading: RunReading): boolean =>
  !(
    Number.isFinite(reading.timeS) &&
    Number.isFinite(reading.volumeM3) &&
    Number.isFinite(reading.uTimeS) &&
    Number.isFinite(reading.uVolumeM3) &&
    reading.uTimeS >= 0 &&
    reading.uVolumeM3 >= 0
  );
