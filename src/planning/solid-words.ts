import type { PageLanguage } from '../language/page-language.ts';
import type { Plan, PlannedRun, WeighedSolid } from '../log/plan.ts';
import { nameIn } from './names.ts';
import { solidChoices } from './plan-mixture.ts';

/**
 * "0.1 g", or "8 cm" of a ribbon; empty where neither is stated.
 * @example
 * solidInWords({ species: 'Mg', lengthCm: 8, gPerM: 1.25 }) // => '8 cm'
 */
export function solidInWords({ massG, lengthCm }: WeighedSolid): string {
  if (massG !== undefined) return `${plain(massG)} g`;
  return lengthCm === undefined ? '' : `${plain(lengthCm)} cm`;
}

/** Without what a computer adds at the last figures. */
const plain = (value: number): string => String(Number(value.toPrecision(6)));

/** "0.1 g magnesium (ribbon)", one for each solid of a run that is stated. */
export function solidsInWords(plan: Plan, { solids }: PlannedRun, language: PageLanguage): readonly string[] {
  const names = new Map(solidChoices(plan).map(({ key, name }) => [key, nameIn(name, language)]));
  return (solids ?? []).flatMap((solid) => {
    const amount = solidInWords(solid);
    if (amount === '') return [];
    const pieces = solid.pieces ? ` (${solid.pieces})` : '';
    return [`${amount} ${names.get(solid.species) ?? solid.species}${pieces}`];
  });
}
