import type { Decimal } from '../log/meaning.ts';
import type { Frame, Prediction } from './course.ts';
import type { Candidate } from './numbers.ts';
import { takenAlone } from './taken-alone.ts';
import { keyOf, type Understood, type Witness } from './understand.ts';

/**
 * Numbers that were heard clearly, and the only ground on which one is doubted: physics. The marks are no ground: a
 * caller calls what the cylinder shows.
 */

/** An engine's share from which one number was heard clearly (reasoned). */
const clearFrom = 0.85;
/** Everything else an ear thought possible comes to so little beside several numbers in one breath (reasoned). */
export const besides = 0.05;
/** An engine names its alternatives without figures: any other number may be the one. Rounding is no alternative. */
const leftOver = 0.012;

/**
 * What every ear heard clearly, as the key of a candidate; null where one was in two minds, or they differ.
 * @param possible numbers that cannot have been said are no rivals to the one that can, mL
 */
export function clearKey({ witnesses }: Understood, possible: (ml: number) => boolean = () => true): string | null {
  const isPossible = ({ candidate }: Witness['heard'][number]): boolean =>
    candidate.kind !== 'reading' || candidate.values.every((value) => possible(Number(value)));
  const keys = new Set(
    witnesses.map((witness) => clearOf({ ...witness, heard: witness.heard.filter((one) => isPossible(one)) })),
  );
  const [only = null] = keys;
  return keys.size === 1 ? only : null;
}

function clearOf({ heard, calibrated }: Witness): string | null {
  const [best] = heard;
  if (!best) return null;
  const all = heard.reduce((sum, { mass }) => sum + mass, 0);
  const own = heard.reduce((sum, { candidate, mass }) => sum + (sameNumber(candidate, best.candidate) ? mass : 0), 0);
  // What a calibrated ear leaves for anything else is in its figure already.
  const clear = calibrated ? own >= takenAlone : own >= clearFrom && all - own <= leftOver * own;
  return clear ? keyOf(best.candidate) : null;
}

/** "56" and "56.0" are one number. */
function sameNumber(a: Candidate, b: Candidate): boolean {
  const [x, y] = [keyOf(a), keyOf(b)];
  return x === y || (x !== '' && Number(x) === Number(y));
}

/** Steps from the curve beyond which no surge carries a reading (reasoned); at least so many standard uncertainties. */
const surgeSteps = 4.5;
const surgeUncertainties = 5;
/** Marks that a caller may leave out at once without a curve to say so (reasoned). */
const nearSteps = 3;
/** mL: while nothing else is known, the caller may go on by any usual step (common practice, no source). */
const anyStepMl = 5;

/** An earlier call, as far as physics needs it. */
export interface Level {
  readonly value: Decimal | null;
  readonly doubtful?: boolean;
  readonly settled: boolean;
  /** It was heard clearly itself. */
  readonly clear?: boolean;
  readonly rivals?: readonly { readonly value: Decimal }[];
}

/** Why physics rules a value out. */
export type Objection = 'beyond the cylinder' | 'finer than the glass' | 'below the last reading' | 'off the curve';

/**
 * What physics has against a value that was heard clearly: the glass ends, water does not fall, and no surge carries it
 * so far. What is in doubt itself is held against nobody.
 * @param earlier calls of the run before, by time
 * @param prediction of the volume at the moment by readings that are sure; null before three
 * @param disturbed a leak, spill or surge was called since the last reading: the curve no longer holds
 * @returns null: nothing
 * @example
 * objection(50, [{ value: '13', settled: false, clear: true }], { stepMl: 2, startMl: null, capacityMl: 100, divisionMl: 1 }, null, false) // => 'off the curve'
 */
export function objection(
  value: number,
  earlier: readonly Level[],
  frame: Frame,
  prediction: Prediction | null,
  disturbed: boolean,
): Objection | null {
  if (value < 0 || value > frame.capacityMl) return 'beyond the cylinder';
  const tenths = (10 * value) / frame.divisionMl;
  if (Math.abs(tenths - Math.round(tenths)) > 1e-6) return 'finer than the glass';
  const stepMl = frame.stepMl ?? frame.divisionMl;
  const nearMl = Math.max(nearSteps * stepMl, anyStepMl);
  const reachMl = prediction === null ? 0 : Math.max(surgeSteps * stepMl, surgeUncertainties * prediction.uMl);
  const onCurve = prediction !== null && !disturbed && Math.abs(value - prediction.volumeMl) <= reachMl;
  const follows = (lastMl: number, calls: number): boolean =>
    value > lastMl && (onCurve || value - lastMl <= nearMl * calls + 1e-9);

  const isSure = ({ value: known, doubtful, settled }: Level): boolean => known !== null && (!doubtful || settled);
  const at = earlier.findLastIndex(isSure);
  const last = earlier[at];
  // Readings in doubt since then may be right: then it goes on from them.
  const inDoubt = earlier.slice(at + 1).filter((call) => call.value !== null);
  const goesOn = inDoubt.some(({ value: doubted, rivals = [] }) =>
    [doubted, ...rivals.map((rival) => rival.value)].some(
      (one) => one !== null && value > Number(one) && value - Number(one) <= nearMl + 1e-9,
    ),
  );
  if (!last) return null;
  if (goesOn || follows(Number(last.value), earlier.length - at)) return null;
  // The last one was not clear itself, and this one goes on from the reading before it, or there was none.
  const before = earlier.slice(0, at).findLast(isSure);
  if (!last.clear && !last.settled && (!before || follows(Number(before.value), 2))) return null;
  return value > Number(last.value) ? 'off the curve' : 'below the last reading';
}
