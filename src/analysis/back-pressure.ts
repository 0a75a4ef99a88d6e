import { type BackPressure, levelRise } from '../chemistry/gas.ts';
import type { Setup } from '../log/setup.ts';
import type { GasFrame, KnownTo } from './run-data.ts';

type Stated = NonNullable<Setup['backPressure']>;

/*
 * How well headspace and bore are known where nobody says: a judgement, without a source. Flask, stopper and tube are
 * filled up and measured at best, guessed by the eye at worst; a ruler across the glass is off by half a millimetre.
 */
const usualHeadspace = 0.1;
const usualBore = 0.02;

/** What the gas above the reaction works against, SI. */
export const backOf = ({ headspaceMl, cylinderBoreMm }: Stated): BackPressure => ({
  headspaceM3: headspaceMl * 1e-6,
  risePerM3: levelRise(cylinderBoreMm / 1000),
});

/** How well its headspace and bore are known: as stated, else by judgement. */
export function uBackOf(stated: Stated): NonNullable<GasFrame['uBack']> {
  return {
    headspace: knownTo(stated.uHeadspaceMl, stated.headspaceMl, usualHeadspace),
    bore: knownTo(stated.uCylinderBoreMm, stated.cylinderBoreMm, usualBore),
  };
}

const knownTo = (u: number | undefined, of: number, usual: number): KnownTo =>
  u === undefined ? { relative: usual, supposed: true } : { relative: u / of, supposed: false };

/** "250 ± 20 mL", or with what is supposed where nothing is stated: "250 mL (known to 10 % by judgement)". */
export function backInWords(stated: Stated): string {
  const { headspace, bore } = uBackOf(stated);
  const words = (value: number, u: number | undefined, unit: string, { relative }: KnownTo): string =>
    u === undefined ? `${value} ${unit} (known to ${100 * relative} % by judgement)` : `${value} ± ${u} ${unit}`;
  return `${words(stated.headspaceMl, stated.uHeadspaceMl, 'mL', headspace)}, bore ${words(stated.cylinderBoreMm, stated.uCylinderBoreMm, 'mm', bore)}`;
}
