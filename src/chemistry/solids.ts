import { speciesRecord } from './species.ts';

/** How much of a solid goes into a flask: its mass, or the length of a ribbon and its mass per length. */
export interface WeighedSolid {
  /** Key as in plans: "Mg", "CaCO3". */
  readonly species: string;
  readonly massG?: number | undefined;
  /** Standard uncertainty of weighing, g. */
  readonly uMassG?: number | undefined;
  readonly lengthCm?: number | undefined;
  /** Standard uncertainty of the length, cm. */
  readonly uLengthCm?: number | undefined;
  /** Mass per length of the ribbon, g/m: from weighing a long piece. */
  readonly gPerM?: number | undefined;
  /** Standard uncertainty of it, g/m; all pieces of one ribbon share its error. */
  readonly uGPerM?: number | undefined;
  /** How much of what is weighed is the species, % by mass; missing: all of it. */
  readonly purityPercent?: number | undefined;
  /** Standard uncertainty of it, in %; all pieces of one batch share its error. */
  readonly uPurityPercent?: number | undefined;
}

/** Amount of a solid reagent in one flask. */
export interface SolidAmount {
  readonly mol: number;
  /** Standard uncertainty that belongs to this flask alone (weighing, cutting), mol. */
  readonly u: number;
  /** Relative standard uncertainty that all flasks share (the ribbon's mass per length), 0..1. */
  readonly uCommonRelative: number;
  readonly gPerMol: number;
  /** Share of what is weighed that is the species, 0..1. */
  readonly purity: number;
  /** Relative standard uncertainty of it, that all flasks share, 0..1. */
  readonly uPurityRelative: number;
}

/**
 * What was weighed of a solid, g: the amount, and what is in it that does not react.
 * @example
 * weighedG({ mol: 0.01, gPerMol: 100, purity: 0.8 }).toPrecision(4) // => '1.250'
 */
export const weighedG = ({ mol, gPerMol, purity }: Pick<SolidAmount, 'mol' | 'gPerMol' | 'purity'>): number =>
  (mol * gPerMol) / purity;

/**
 * Amount of a solid from its mass, n = w m/M, or from a ribbon, n = w length (mass per length)/M, w being its purity. A mass
 * counts before a length. The molar mass is taken as exact, and what is not the species (oxide on the metal, sand in the
 * chalk) as making no gas.
 *
 * @returns null where neither is stated, or where the app knows no molar mass
 * @example
 * solidAmount({ species: 'Mg', massG: 0.1 })?.mol.toPrecision(5) // => '0.0041144'
 * solidAmount({ species: 'Mg', lengthCm: 8, gPerM: 1.25 })?.mol.toPrecision(5) // => '0.0041144'
 * solidAmount({ species: 'CaCO3', massG: 1, purityPercent: 95 })?.mol.toPrecision(5) // => '0.0094918'
 */
export function solidAmount(solid: WeighedSolid): SolidAmount | null {
  const gPerMol = speciesRecord(solid.species)?.gPerMol ?? null;
  if (gPerMol === null) return null;
  const { massG, lengthCm, gPerM, purityPercent = 100, uPurityPercent = 0 } = solid;
  if (!(purityPercent > 0 && purityPercent <= 100)) return null;
  const purity = purityPercent / 100;
  const batch = { gPerMol, purity, uPurityRelative: uPurityPercent / purityPercent };
  const molOf = (grams: number): number => (purity * grams) / gPerMol;
  if (massG !== undefined)
    return massG > 0 ? { mol: molOf(massG), u: molOf(solid.uMassG ?? 0), uCommonRelative: 0, ...batch } : null;
  if (!lengthCm || !gPerM || !(lengthCm > 0 && gPerM > 0)) return null;
  const mol = molOf((lengthCm * gPerM) / 100);
  return {
    mol,
    u: (mol * (solid.uLengthCm ?? 0)) / lengthCm,
    uCommonRelative: (solid.uGPerM ?? 0) / gPerM,
    ...batch,
  };
}
