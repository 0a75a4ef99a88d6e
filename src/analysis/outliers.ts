import { nth } from '../numerics/nth.ts';
import { type Break, findCeilingHinge, findHinge, findShift } from './breaks.ts';
import { confusableWith } from './confusions.ts';
import { type Detected, detectOutliers, fitForPrice, priceOf, smoothFitOfAll } from './detect-outliers.ts';
import { type SmoothFit, type SmoothKind, smootherSumOfSquares, smoothKindOf } from './robust-curve.ts';
import type { FlagCause, RunData, RunEvent } from './run-data.ts';
import type { RunFrame } from './run-frame.ts';
import { unbroken } from './unbroken.ts';

/** A reading that the rest of the run speaks against, with the likeliest cause. Nothing is done about it here. */
export interface Flag {
  /** Index in `run.readings`. */
  readonly index: number;
  readonly cause: FlagCause;
  /** The value that would fit, m3: for a misheard number, and for readings after a missed or doubled mark. */
  readonly suggestedM3?: number;
  /** How far off: residual from the curve through the others over its standard deviation. */
  readonly standardDeviations: number;
  /** What the curve through the others says, m3. */
  readonly expectedM3: number;
  /** For a late call: by how much, s. */
  readonly lateS?: number;
  /** A called event that goes with it. */
  readonly event?: RunEvent;
  readonly sentence: string;
}

/**
 * Readings of a run that do not go with the others, each with the likeliest cause, tested in this order: misheard
 * number, missed or doubled mark, late call, surge or settling at the start, leak or slow-down, stirring change,
 * unexplained. A clean run has any flag with 5 % probability at most; a rate that really changes smoothly has none.
 *
 * @param frame the run's frame (readings already set aside are not looked at)
 * @param stepM3 distance between marks when known; otherwise told from the readings
 * Cost: some 10 ms for eleven readings that are off, 1 ms for clean ones; more than 2000 readings are judged one by one
 * only, without a search for breaks.
 */
export function flagOutliers(run: RunData, frame: RunFrame): readonly Flag[] {
  return foundFlags(run, frame).map((flag) => ({ ...flag, sentence: unbroken(flag.sentence) }));
}

function foundFlags(run: RunData, frame: RunFrame): readonly Flag[] {
  const n = frame.t.length;
  if (n < (frame.stated ? 4 : 5)) return [];
  const stepM3 = run.stepM3 ?? stepOf(run, frame);
  const kind = smoothKindOf(frame);
  const whole = smoothFitOfAll(frame, kind);
  if (!whole) return [];
  const found = detectOutliers(frame, kind, whole);
  if (!found) return [];
  const breakFound = n > 200 ? null : searchBreak(frame, kind, stepM3, whole, found);
  if (breakFound?.kind === 'shift') return shiftFlags(run, frame, breakFound);
  if (breakFound?.kind === 'hinge')
    return !frame.stated && smoothAfterAll(frame, breakFound.sumOfSquares, priceOf.hinge)
      ? []
      : hingeFlags(run, frame, breakFound, found);
  const { length } = found.outliers;
  if (length === 0 || smoothAfterAll(frame, found.fit.sumOfSquares, priceOf.outlier * length)) return [];
  const one = [...found.outliers].sort((a, b) => a - b).map((i) => explain(run, frame, found, i, stepM3));
  return slowingAtTheEnd(run, frame, one);
}

/**
 * Several last readings, each further behind the curve than the one before, are no row of late calls: the gas itself
 * came more slowly. A single last one stays a late call.
 */
function slowingAtTheEnd(run: RunData, frame: RunFrame, flags: readonly Flag[]): readonly Flag[] {
  const behind = (flag: Flag): number => flag.expectedM3 - nth(run.readings, flag.index).volumeM3;
  let count = 0;
  while (count < flags.length) {
    const flag = nth(flags, flags.length - 1 - count);
    const next = flags[flags.length - count];
    if (flag.index !== frame.index[frame.index.length - 1 - count]) break;
    if (!(behind(flag) > 0) || (next && behind(flag) > behind(next))) break;
    count++;
  }
  const last = flags.slice(flags.length - count);
  const late = last.filter(({ cause }) => cause === 'late-call' || cause === 'slow-down').length;
  if (count < 2 || late * 2 < count) return flags;
  const from = inMl(nth(run.readings, nth(last, 0).index).volumeM3);
  return [
    ...flags.slice(0, flags.length - count),
    ...last.map(
      ({ suggestedM3: _, lateS: __, ...flag }): Flag => ({
        ...flag,
        cause: 'slow-down',
        sentence: `From ${from} mL on each reading is further behind than the one before: the gas came more slowly than the curve leads to. Look for a leak or a loose stopper.`,
      }),
    ),
  ];
}

/**
 * The better of the two breaks, when it accounts for the run better than single outliers do: fit for its price, see
 * `priceOf`.
 */
function searchBreak(
  frame: RunFrame,
  kind: SmoothKind,
  stepM3: number | null,
  whole: SmoothFit,
  found: Detected,
): Break | null {
  const asOutliers = fitForPrice(frame, found.fit.sumOfSquares, priceOf.outlier * found.outliers.length);
  const shift = stepM3 === null ? null : findShift(frame, kind, stepM3 / frame.volumeScaleM3, whole);
  if (shift?.kind === 'shift') {
    if (fitForPrice(frame, shift.fit.sumOfSquares, priceOf.shift) < asOutliers) return shift;
  }
  for (const hinge of [findHinge(frame, whole), findCeilingHinge(frame, whole)])
    if (hinge?.kind === 'hinge' && fitForPrice(frame, hinge.sumOfSquares, priceOf.hinge) < asOutliers) return hinge;
  return null;
}

/**
 * Whether a smooth curve of another order accounts for the run better than what was found in it: a table of a
 * second-order reaction, written to three figures, departs from every first-order curve by more than its rounding, and
 * has no wild reading. Not asked of a missed mark, which no curve with one bend more imitates, nor of a break where
 * uncertainties were stated.
 */
function smoothAfterAll(frame: RunFrame, sumOfSquares: number, price: number): boolean {
  return fitForPrice(frame, smootherSumOfSquares(frame), priceOf.bend) <= fitForPrice(frame, sumOfSquares, price);
}

function shiftFlags(run: RunData, frame: RunFrame, { from, add, steps, fit }: Break & { kind: 'shift' }): Flag[] {
  const addM3 = add * frame.volumeScaleM3;
  const missed = steps > 0;
  const count = Math.abs(steps) === 1 ? 'one mark' : 'two marks';
  const since = inMl(nth(run.readings, nth(frame.index, from)).volumeM3);
  return frame.index.slice(from).map((index, k) => {
    const i = from + k;
    const value = nth(run.readings, index).volumeM3;
    return {
      index,
      cause: 'shifted-mark',
      suggestedM3: clean(value + addM3),
      standardDeviations: -add * Math.sqrt(nth(fit.weights, i)),
      expectedM3: value + addM3 - nth(fit.residuals, i) * frame.volumeScaleM3,
      sentence: missed
        ? `From ${since} mL on, every reading is ${count} too low: ${count === 'one mark' ? 'a mark was' : 'two marks were'} missed.`
        : `From ${since} mL on, every reading is ${count} too high: ${count === 'one mark' ? 'a mark was' : 'two marks were'} counted twice.`,
    } satisfies Flag;
  });
}

function hingeFlags(run: RunData, frame: RunFrame, hinge: Break & { kind: 'hinge' }, found: Detected): Flag[] {
  const n = frame.t.length;
  const { at, ratio } = hinge;
  const event = nearestEvent(run, frame, at);
  const percent = Math.round(Math.abs(1 - ratio) * 100);
  const atStart = at <= Math.max(2, Math.floor(n / 4));
  const stirred = event && (event.what === 'swirling' || event.what === 'swirl-stopped');
  const leaked = event && (event.what === 'leak' || event.what === 'spill');
  const cause: FlagCause = stirred
    ? 'stirring-change'
    : leaked
      ? 'slow-down'
      : atStart
        ? 'surge'
        : ratio < 1
          ? 'slow-down'
          : 'stirring-change';
  const positions = atStart && cause === 'surge' ? range(0, at) : range(at + 1, n);
  const where = `${inMl(nth(run.readings, nth(frame.index, at)).volumeM3)} mL`;
  const called = event ? ` (${event.what.replace('-', ' ')} was called there)` : '';
  const sentence =
    cause === 'surge'
      ? `The flow settled only at ${where}: before that it was ${percent} % ${ratio < 1 ? 'faster' : 'slower'}.`
      : cause === 'slow-down'
        ? `From ${where} on the gas comes ${percent} % ${ratio < 1 ? 'slower' : 'faster'}, all at once${called}: look for a leak or a loose stopper.`
        : `At ${where} the rate changes by ${percent} % all at once${called}: the stirring changed.`;
  return positions.map((i) => ({
    index: nth(frame.index, i),
    cause,
    standardDeviations: nth(found.studentised, i),
    expectedM3: nth(run.readings, nth(frame.index, i)).volumeM3 - nth(found.fit.residuals, i) * frame.volumeScaleM3,
    ...(event ? { event } : {}),
    sentence,
  }));
}

function explain(run: RunData, frame: RunFrame, found: Detected, i: number, stepM3: number | null): Flag {
  const n = frame.t.length;
  const index = nth(frame.index, i);
  const reading = nth(run.readings, index);
  const residualM3 = nth(found.fit.residuals, i) * frame.volumeScaleM3;
  const expectedM3 = reading.volumeM3 - residualM3;
  const spreadM3 = nth(found.spread, i) * frame.volumeScaleM3;
  const base = { index, standardDeviations: nth(found.studentised, i), expectedM3 };
  const value = inMl(reading.volumeM3);
  const expected = (expectedM3 * 1e6).toFixed(1);

  const said = nearestConfusable(reading.volumeM3, expectedM3, spreadM3, stepM3, run);
  if (said !== null)
    return {
      ...base,
      cause: 'misheard',
      suggestedM3: said,
      sentence: `${value} mL does not go with the others, which say ${expected} mL; ${inMl(said)} mL would, and may have been misheard as ${value}.`,
    };
  const slope = nth(found.fit.slopes, i) * (frame.volumeScaleM3 / frame.timeScaleS);
  const lateS = slope > 0 ? -residualM3 / slope : 0;
  const gap = i > 0 ? (nth(frame.t, i) - nth(frame.t, i - 1)) * frame.timeScaleS : Number.POSITIVE_INFINITY;
  if (residualM3 < 0 && lateS < gap)
    return {
      ...base,
      cause: 'late-call',
      lateS,
      sentence: `${value} mL was called about ${lateS.toPrecision(2)} s late: by then ${expected} mL had come.`,
    };
  if (i <= 1)
    return {
      ...base,
      cause: 'surge',
      sentence: `The start of the run does not go with the rest: ${value} mL was read where the later flow leads back to ${expected} mL.`,
    };
  if (i >= n - 2 && residualM3 < 0)
    return {
      ...base,
      cause: 'slow-down',
      sentence: `Towards the end less gas came than the curve leads to: ${value} mL instead of ${expected} mL.`,
    };
  const event = nearestEvent(run, frame, i);
  if (event)
    return {
      ...base,
      cause: event.what === 'leak' || event.what === 'spill' ? 'slow-down' : 'stirring-change',
      event,
      sentence: `${value} mL does not go with the others (${expected} mL expected); ${event.what.replace('-', ' ')} was called there.`,
    };
  return {
    ...base,
    cause: 'unexplained',
    sentence: `${value} mL does not go with the others, which say ${expected} mL; no cause was found.`,
  };
}

/**
 * The confusable value nearest to what the curve says, when it lies within 4 standard deviations of it and removes
 * most of the discrepancy. In a run called at marks only a mark can have been said.
 */
function nearestConfusable(
  volumeM3: number,
  expectedM3: number,
  spreadM3: number,
  stepM3: number | null,
  run: RunData,
): number | null {
  const off = Math.abs(volumeM3 - expectedM3);
  let best: number | null = null;
  const known = new Set(run.readings.map((r) => Math.round(r.volumeM3 * 1e9)));
  for (const ml of confusableWith(volumeM3 * 1e6, stepM3 === null ? null : stepM3 * 1e6)) {
    const candidate = clean(ml * 1e-6);
    if (stepM3 !== null && !isMark(candidate, stepM3, run)) continue;
    const distance = Math.abs(candidate - expectedM3);
    if (distance > 4 * spreadM3 || distance > off / 3) continue;
    // A mark that is missing among the readings before one that was called already.
    const cost = distance + (known.has(Math.round(candidate * 1e9)) ? spreadM3 : 0);
    const bestCost =
      best === null
        ? Number.POSITIVE_INFINITY
        : Math.abs(best - expectedM3) + (known.has(Math.round(best * 1e9)) ? spreadM3 : 0);
    if (cost < bestCost) best = candidate;
  }
  return best;
}

/** Whether a volume is a whole number of steps from most of the run's readings. */
function isMark(volumeM3: number, stepM3: number, run: RunData): boolean {
  const onLattice = run.readings.filter((reading) => {
    const steps = (volumeM3 - reading.volumeM3) / stepM3;
    return Math.abs(steps - Math.round(steps)) < 1e-3;
  });
  return 2 * onLattice.length >= run.readings.length;
}

/**
 * Distance between marks told from the readings: the commonest rise from one reading to the next, when at least half
 * of the rises are that. m3, or null.
 */
export function stepOf(run: RunData, frame: RunFrame): number | null {
  const counts = new Map<number, number>();
  const values = frame.index.map((i) => nth(run.readings, i).volumeM3);
  for (const [i, value] of values.slice(1).entries()) {
    const rise = Math.round((value - nth(values, i)) * 1e9);
    if (rise > 0) counts.set(rise, (counts.get(rise) ?? 0) + 1);
  }
  let best = 0;
  let most = 0;
  for (const [rise, count] of counts) {
    if (count > most) {
      most = count;
      best = rise;
    }
  }
  return most >= Math.max(2, (values.length - 1) / 2) ? best * 1e-9 : null;
}

function nearestEvent(run: RunData, frame: RunFrame, i: number): RunEvent | undefined {
  const at = frame.firstTimeS + nth(frame.t, i) * frame.timeScaleS;
  const gap = (1.5 * frame.timeScaleS) / (frame.t.length - 1);
  let best: RunEvent | undefined;
  for (const event of run.events ?? []) {
    if (Math.abs(event.timeS - at) > gap) continue;
    if (!best || Math.abs(event.timeS - at) < Math.abs(best.timeS - at)) best = event;
  }
  return best;
}

const range = (from: number, to: number): number[] =>
  Array.from({ length: Math.max(0, to - from) }, (_, k) => from + k);

/** Volumes are called in decimals of a millilitre; sums of them are put back onto that lattice. */
const clean = (m3: number): number => Number((m3 * 1e6).toPrecision(9)) * 1e-6;

const inMl = (m3: number): string => String(Number((m3 * 1e6).toPrecision(7)));
