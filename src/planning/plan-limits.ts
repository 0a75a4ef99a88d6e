import type { Stock } from '../log/plan.ts';

/** What is odd about a number on the run sheet. An odd number that is possible is kept with a remark; an impossible one is refused. */
export interface Oddity {
  readonly impossible: boolean;
  readonly sentence: string;
}

type Unit = Stock['strength']['unit'];

/**
 * Limits of a label's strength by its unit: more than `never` cannot be, more than `seldom` is hardly met in a bottle.
 * Never: no more than 100 g are in 100 g; pure water is 55.5 mol/L and nothing dissolved is packed closer by far; the
 * densest solutions of the trade stay below 4 g/mL; pure hydrogen peroxide (1.45 g/mL at 20 °C, 34.01 g/mol) would
 * be some 480 volumes. Seldom: common practice, no source.
 */
const limits: Readonly<Record<Exclude<Unit, 'M-unknown'>, { never: number; because: string; seldom: number }>> = {
  'mol/L': { never: 60, because: 'no solution holds more than 60 mol/L', seldom: 20 },
  'g/L': { never: 4000, because: 'no solution weighs that much', seldom: 1200 },
  '%w/v': { never: 400, because: 'no 100 mL of solution weigh that much', seldom: 110 },
  '%w/w': { never: 100, because: '100 g of solution cannot hold more than 100 g', seldom: 70 },
  'vol-stp': { never: 500, because: 'pure peroxide would be some 480 volumes', seldom: 130 },
  'vol-room': { never: 520, because: 'pure peroxide would be some 510 volumes', seldom: 140 },
};

/** Null where a strength is nothing out of the way. */
export function oddStrength({ value, unit }: { readonly value: number; readonly unit: Unit }): Oddity | null {
  if (unit === 'M-unknown') return null;
  const { never, because, seldom } = limits[unit];
  if (value > never) return { impossible: true, sentence: `${value} cannot be: ${because}. Is the unit right?` };
  if (value > seldom)
    return { impossible: false, sentence: `${value} is unusually strong. Look at the label and the unit once more.` };
  return null;
}

/** Largest flask that a plan may name, mL; more is a slip of the unit. */
export const largestPourMl = 5000;

/** A flask above this, mL, is seldom swirled by hand (common practice, no source). */
const largeFlaskMl = 1000;

/** Null where the contents of a flask are nothing out of the way. */
export function oddFlask(totalMl: number): Oddity | null {
  if (totalMl <= largeFlaskMl) return null;
  const litres = Number((totalMl / 1000).toPrecision(3));
  return { impossible: false, sentence: `${litres} L in one flask is unusually much. Are the volumes in mL?` };
}
