import { studentUpperQuantile } from '../numerics/distributions.ts';
import { type Contribution, halfWidth95 } from './scatter.ts';
import { unbroken } from './unbroken.ts';

export interface OrderEstimate {
  readonly value: number;
  readonly u: number;
  readonly df: number;
  readonly low95: number;
  readonly high95: number;
  /** The integer, else half-integer, that the data allow; null when none. */
  readonly accepted: number | null;
  readonly reason: string;
}

/** How near to an integer is near enough whatever the statistics say: volumes are not measured better than that. */
const nearEnough = 0.05;

/** No simple rate law has an order beyond this. */
export const wildOrder = 4;

/**
 * Whether an order is none that a rate law can have, so that neither it nor a k at it is shown as a result: the one
 * guard of the law of starting rates, the fit of all readings, the class and the remarks.
 * @example
 * isWild(-10) // => true
 */
export const isWild = (order: number): boolean => !(Math.abs(order) <= wildOrder);

/** The integer, else half-integer, that an estimated order allows. */
export function judgeOrder(value: number, part: Contribution): OrderEstimate {
  const half = part.u > 0 ? halfWidth95(part) : 0;
  // Refused only at 1 %: at 5 % every tenth true pair of orders would be.
  const wide = part.u > 0 ? part.u * studentUpperQuantile(0.005, Math.max(part.df, 1)) : 0;
  const base = { value, u: part.u, df: part.df, low95: value - half, high95: value + half };
  if (isWild(value))
    return {
      ...base,
      accepted: null,
      reason: `An order beyond ${wildOrder} is not believable: a rate or a concentration must be wrong.`,
    };
  const allows = (candidate: number): boolean => Math.abs(value - candidate) <= Math.max(wide, nearEnough);
  const whole = Math.round(value) + 0;
  if (allows(whole)) {
    const others = [whole - 1, whole + 1].filter((other) => Math.abs(value - other) <= half);
    return {
      ...base,
      accepted: whole,
      reason:
        others.length > 0
          ? `${whole} is nearest, but the data also allow ${others.join(' and ')}: more runs, or larger changes of concentration, would tell.`
          : Math.abs(value - whole) <= half || half === 0
            ? unbroken(`${whole} lies within the 95 % interval.`)
            : Math.abs(value - whole) <= wide
              ? unbroken(`${whole} lies within the 99 % interval.`)
              : `${whole} is within 0.05, nearer than volumes can be measured.`,
    };
  }
  const halves = Math.round(value * 2) / 2;
  // Halves lie so close together that at 1 % nearly every value has one: a rare order must lie in its 95 % interval.
  if (Math.abs(value - halves) <= Math.max(half, nearEnough))
    return { ...base, accepted: halves, reason: `No integer is allowed; ${halves} is.` };
  return {
    ...base,
    accepted: null,
    reason:
      'Neither an integer nor a half-integer is allowed: look for a run that differs, or a rate law of another form.',
  };
}
