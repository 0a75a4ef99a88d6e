import { NumericsError } from '../numerics/errors.ts';
import { guggenheim, type LaggedConstant, timeLag } from '../numerics/without-ceiling.ts';
import type { RunAnalysis } from './analyse-run.ts';

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

/**
 * The independent check of a first-order curve; null where the run is too short, too few readings count, another curve than
 * first order was found, or gas was held back.
 */
export function checkWithoutCeiling({ estimates, frame, used, model }: RunAnalysis): CheckWithoutCeiling | null {
  const curve = estimates.firstOrder.ok ? estimates.firstOrder.kPerS : undefined;
  if (!curve || !used || !(curve.value * frame.timeScaleS >= longEnough)) return null;
  if (model && (model.form !== 'first-order' || model.lag)) return null;
  try {
    const byPairs = [guggenheim, timeLag].map((method) => ofRun(method(frame.t, frame.v), frame.timeScaleS));
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

function ofRun({ rateConstant, standardError }: LaggedConstant, timeScaleS: number): Constant | null {
  return standardError !== null && rateConstant > 0 && standardError < rateConstant
    ? { perS: rateConstant / timeScaleS, u: standardError / timeScaleS }
    : null;
}
