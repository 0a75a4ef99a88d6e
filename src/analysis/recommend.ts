import type { RateEstimate } from './estimate.ts';
import { misfits } from './first-order-rate.ts';
import type { EstimatorName, Refused } from './run-data.ts';
import { isTold } from './tied-ceilings.ts';
import { unbroken } from './unbroken.ts';

/** The three estimates of one run; each is a result or says why it is none. */
export interface Estimates {
  readonly line: RateEstimate | Refused;
  readonly quadratic: RateEstimate | Refused;
  readonly firstOrder: RateEstimate | Refused;
}

export interface Recommendation {
  readonly name: EstimatorName;
  readonly reason: string;
}

/** Differences of AICc with "considerably less" and "essentially no" support (Burnham and Anderson 2002, 2.6). */
const clearlyBetter = 6;
const beyondDoubt = 10;

/**
 * Which of the three estimates to trust for the starting rate, and why, in words.
 *
 * With a ceiling known from chemistry the first-order curve has as few parameters as the line and no bias from
 * depletion, so it is taken unless the readings speak clearly against it (AICc worse by 10 or more). Without one, the
 * curvature decides at 5 %, that of the parabola or of the first-order curve, which is only fitted where its k' is clear of
 * zero: significant and bending down, the first-order curve if its ceiling can be told, else the parabola; bending up, the
 * parabola; not significant, the line.
 */
export function recommend(estimates: Estimates): Recommendation | null {
  const { line, quadratic, firstOrder } = estimates;
  const fitted = firstOrder.ok && firstOrder.ceilingM3?.from === 'fitted';
  const significant = quadratic.ok && quadratic.curvature !== undefined && quadratic.curvature.p < 0.05;
  const down = quadratic.ok && (quadratic.curvature?.t ?? 0) < 0;
  // Few readings of a reaction that is nearly over miss every parabola, so that its bend looks like chance.
  const curved = significant || (fitted && down);
  if (firstOrder.ok && firstOrder.ceilingM3 && !fitted) return toCeiling(estimates, firstOrder, curved);
  if (curved && down && firstOrder.ok && !(quadratic.ok && firstOrder.aicc > quadratic.aicc + clearlyBetter))
    return {
      name: 'firstOrder',
      reason:
        (firstOrder.misfit?.p ?? 1) < misfits
          ? 'The readings bend down, but not quite as a first-order reaction does: its curve is the best of the three, and its uncertainty allows for the difference.'
          : 'The readings bend down as a first-order reaction does, enough to tell its ceiling from them.',
    };
  if (curved && quadratic.ok)
    return {
      name: 'quadratic',
      reason: down
        ? 'The rate falls during the run; the slope at the first reading is nearer to the starting rate than the mean slope.'
        : 'The rate rises during the run (warming, or gas held back at first): the slope at the first reading may lie below the starting rate.',
    };
  if (line.ok)
    return {
      name: 'line',
      reason: quadratic.ok
        ? 'The readings do not bend measurably, so the straight line is the most precise estimate.'
        : 'With so few readings the straight line is all there is.',
    };
  return null;
}

/** The recommendation where the ceiling is known, or tied. */
function toCeiling({ line, quadratic }: Estimates, firstOrder: RateEstimate, curved: boolean): Recommendation {
  const rivals = [line, ...(curved ? [quadratic] : [])].filter((rival) => rival.ok);
  const best = Math.min(...rivals.map((rival) => rival.aicc));
  if (!(firstOrder.aicc > best + beyondDoubt)) return { name: 'firstOrder', reason: givenReason(line, firstOrder) };
  if (quadratic.ok && curved)
    return {
      name: 'quadratic',
      reason:
        'The readings do not follow the first-order curve to the planned ceiling; the parabola assumes nothing about it.',
    };
  if (line.ok)
    return {
      name: 'line',
      reason:
        'The readings stay straight where the first-order curve would bend: the rate does not fall with the limiting reagent as planned.',
    };
  return { name: 'firstOrder', reason: 'The other estimates could not be computed.' };
}

/** Why a curve is taken though no ceiling is known: its uncertainty holds every bend that the readings allow. */
export const nothingBends =
  'No ceiling is given, and the readings bend too little to tell one. The uncertainty of the rate allows for the bends that they leave open.';

function givenReason(line: RateEstimate | Refused, firstOrder: RateEstimate): string {
  if (firstOrder.ceilingM3?.from === 'tied')
    return isTold(firstOrder.ceilingM3)
      ? 'No ceiling is given. The bends of all runs together tell one, in proportion to their starting amounts.'
      : nothingBends;
  if (!line.ok || !(firstOrder.rateM3PerS > 0)) return 'The ceiling is known from what was poured.';
  const short = 1 - line.rateM3PerS / firstOrder.rateM3PerS;
  if (short < 0.01) return 'The ceiling is known from what was poured; the straight line says nearly the same.';
  return unbroken(
    `The reagent was being used up: a straight line is ${Math.round(short * 100)} % below the starting rate, and the first-order curve to the known ceiling accounts for that.`,
  );
}
