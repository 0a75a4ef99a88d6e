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
}

/** Amount of a solid reagent in one flask. */
export interface SolidAmount {
  readonly mol: number;
  /** Standard uncertainty that belongs to this flask alone (weighing, cutting), mol. */
  readonly u: number;
  /** Relative standard uncertainty that all flasks share (the ribbon's mass per length), 0..1. */
  readonly uCommonRelative: number;
  readonly gPerMol: number;
}

/**
 * Amount of a solid from its mass, n = m/M, or from a ribbon, n = length (mass per length)/M. A mass counts before a length.
 * The molar mass is taken as exact; so is the purity: oxide on the metal or sand in the chalk is not known here.
 *
 * @returns null where neither is stated, or where the app knows no molar mass
 * @example
 * solidAmount({ species: 'Mg', massG: 0.1 })?.mol.toPrecision(5) // => '0.0041144'
 * solidAmount({ species: 'Mg', lengthCm: 8, gPerM: 1.25 })?.mol.toPrecision(5) // => '0.0041144'
 */
export function solidAmount(solid: WeighedSolid): SolidAmount | null {
  const gPerMol = speciesRecord(solid.species)?.gPerMol ?? null;
  if (gPerMol === null) return null;
  const { massG, lengthCm, gPerM } = solid;
  if (massG !== undefined)
    return massG > 0 ? { mol: massG / gPerMol, u: (solid.uMassG ?? 0) / gPerMol, uCommonRelative: 0, gPerMol } : null;
  if (!lengthCm || !gPerM || !(lengthCm > 0 && gPerM > 0)) return null;
  const mol = (lengthCm * gPerM) / 100 / gPerMol;
  return {
    mol,
    u: (mol * (solid.uLengthCm ?? 0)) / lengthCm,
    uCommonRelative: (solid.uGPerM ?? 0) / gPerM,
    gPerMol,
  };
}
