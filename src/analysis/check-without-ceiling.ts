import { NumericsError } from '../numerics/errors.ts';
import { nth } from '../numerics/nth.ts';
import { guggenheim, type LaggedConstant, timeLag } from '../numerics/without-ceiling.ts';
import type { RunAnalysis } from './analyse-run.ts';
import type { RunFrame } from './run-frame.ts';

/** k' of one run by two methods that need neither a ceiling nor a baseline, beside that of its first-order curve. 1/s. */
export interface CheckWithoutCeiling {
  readonly guggenheim: Constant;
  readonly timeLag: Constant;
  readonly curve: Constant;
  /** Whether one of them and the curve differ by more than chance allows at 1 %. */
  readonly differ: boolean;
}

interface Constant {
  readonly perS: number;
  readonly u: number;
}

/** A run shorter than this, in units of 1/k', bends too little for pairs of its readings. */
const longEnough = 1;
/** Two-sided 1 % of the normal distribution. */
const beyondChance = 2.576;

/** A check looks at every reading left out in turn; screen, file and report all ask for it. */
const known = new WeakMap<RunAnalysis, CheckWithoutCeiling | null>();

/**
 * The independent check of a first-order curve, worked out once for each analysis; null where the run is too short, too few
 * readings count, another curve than first order was found, or gas was held back.
 */
export function checkWithoutCeiling(analysis: RunAnalysis): CheckWithoutCeiling | null {
  const before = known.get(analysis);
  if (before !== undefined) return before;
  const found = check(analysis);
  known.set(analysis, found);
  return found;
}

function check({ estimates, frame, used, model }: RunAnalysis): CheckWithoutCeiling | null {
  const curve = estimates.firstOrder.ok ? estimates.firstOrder.kPerS : undefined;
  if (!curve || !used || !(curve.value * frame.timeScaleS >= longEnough)) return null;
  if (model && (model.form !== 'first-order' || model.lag)) return null;
  try {
    const { t, v } = thinned(frame);
    const byPairs = [guggenheim, timeLag].map((method) => ofRun(method(t, v), frame.timeScaleS));
    const [first, second] = byPairs;
    if (!first || !second) return null;
    const own = { perS: curve.value, u: curve.u };
    const differs = ({ perS, u }: Constant): boolean => Math.abs(perS - own.perS) > beyondChance * Math.hypot(u, own.u);
    return { guggenheim: first, timeLag: second, curve: own, differ: differs(first) || differs(second) };
  } catch (error) {
    if (error instanceof NumericsError) return null;
    throw error;
  }
}

/** Each reading is left out in turn, so that the work grows with their square. */
const mostReadings = 100;

/** Of very many readings the means of neighbours, which lie on one straight piece of the curve. */
function thinned({ t, v }: Pick<RunFrame, 't' | 'v'>): Pick<RunFrame, 't' | 'v'> {
  const size = Math.ceil(t.length / mostReadings);
  if (size <= 1) return { t, v };
  const order = t.map((_, i) => i).sort((a, b) => nth(t, a) - nth(t, b));
  const starts = order.flatMap((_, i) => (i % size === 0 ? [i] : []));
  const means = (values: readonly number[]): number[] =>
    starts.map((start) => {
      const group = order.slice(start, start + size);
      return group.reduce((sum, i) => sum + nth(values, i), 0) / group.length;
    });
  return { t: means(t), v: means(v) };
}

function ofRun({ rateConstant, standardError }: LaggedConstant, timeScaleS: number): Constant | null {
  return standardError !== null && rateConstant > 0 && standardError < rateConstant
    ? { perS: rateConstant / timeScaleS, u: standardError / timeScaleS }
    : null;
}
