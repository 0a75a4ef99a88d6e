import { OutOfRange } from '../numerics/errors.ts';
import { MOLAR_VOLUME_ROOM, MOLAR_VOLUME_STP_ATM } from './molar-volume.ts';
import { speciesRecord } from './species.ts';

/** How a label states a strength. `vol-stp`: volume strength at 22.414 L/mol; `vol-room`: at 24.0 L/mol. */
export type StrengthUnit = 'mol/L' | 'g/L' | '%w/v' | '%w/w' | 'vol-stp' | 'vol-room' | 'M-unknown';

/** A strength as on the label; fits the notebook's stock. */
export interface LabelStrength {
  readonly value: number;
  readonly unit: StrengthUnit;
  /** Relative standard uncertainty of the label's strength, 0..1; absent: not stated. */
  readonly uRelative?: number | undefined;
  /** g/mL, for %w/w; absent: from tables for hydrogen peroxide and potassium iodide. */
  readonly densityGPerMl?: number | undefined;
}

export type StrengthResult =
  | {
      readonly ok: true;
      readonly molPerM3: number;
      /** 0 where the label states none: then the result is as sure as the label. */
      readonly uRelative: number;
      /** What a user should know about this reading of the label. */
      readonly remarks: readonly string[];
    }
  | { readonly ok: false; readonly sentence: string };

/**
 * Amount concentration of a solution from what its label says, mol/m3 (1 mol/L is 1000 mol/m3).
 *
 * - % w/v is g per 100 mL, % w/w g per 100 g and needs the density; both of the substance that is weighed out
 *   (potassium iodide for iodide).
 * - Volume strength: litres of oxygen that one litre gives; 2 H2O2 make one O2, so c = 2 * strength/molar volume. Two
 *   conventions differ by 7 %, see the remark.
 *
 * @param species key as in the reactions: "H2O2", "I-", "HCl", …
 * @returns a sentence instead where the label cannot be turned into a concentration
 * @example
 * strengthToMolPerM3({ value: 0.5, unit: 'mol/L' }, 'I-').molPerM3 // => 500
 */
export function strengthToMolPerM3(strength: LabelStrength, species: string): StrengthResult {
  const { value, unit } = strength;
  const uRelative = strength.uRelative ?? 0;
  if (!(value >= 0) || !Number.isFinite(value)) return refused('A strength cannot be negative.');
  const remarks: string[] = [];
  const done = (molPerM3: number): StrengthResult => ({ ok: true, molPerM3, uRelative, remarks });
  const solute = speciesRecord(species);
  if (unit === 'M-unknown') return refused('The strength of this solution is not known.');
  if (unit === 'mol/L') return done(value * 1000);
  if (unit === 'vol-stp' || unit === 'vol-room') {
    if (!solute?.volumeStrength) return refused('Volume strength is a measure of hydrogen peroxide only.');
    const stp = (2 * value) / MOLAR_VOLUME_STP_ATM;
    const room = (2 * value) / MOLAR_VOLUME_ROOM;
    const [here, other] = unit === 'vol-stp' ? [stp, room] : [room, stp];
    remarks.push(
      `${plain(value)} volume is read as ${plain(here / 1000)} mol/L (${unit === 'vol-stp' ? '22.4' : '24'} L of oxygen a ` +
        `mole); the other convention gives ${plain(other / 1000)} mol/L. A titration with permanganate decides.`,
    );
    return done(here);
  }
  if (!solute || solute.gPerMol === null)
    return refused(`The molar mass of ${species} is not known here: state the strength in mol/L.`);
  if (unit === 'g/L') return done((value / solute.gPerMol) * 1000);
  if (unit === '%w/v') return done(((10 * value) / solute.gPerMol) * 1000);
  if (value > 100) return refused('A strength by mass cannot exceed 100 %.');
  const density = densityOf(strength, species);
  if (typeof density === 'string') return refused(density);
  if (strength.densityGPerMl === undefined) {
    remarks.push(
      `The density of ${plain(value)} % ${solute.solute} is taken as ${density.toFixed(3)} g/mL, from tables.`,
    );
  }
  return done(((10 * value * density) / solute.gPerMol) * 1000);
}

function densityOf(strength: LabelStrength, species: string): number | string {
  if (strength.densityGPerMl !== undefined) {
    return strength.densityGPerMl > 0 ? strength.densityGPerMl : 'A density must be above zero.';
  }
  try {
    const table = speciesRecord(species)?.solutionGPerMl;
    if (table) return table(strength.value);
  } catch (error) {
    if (error instanceof OutOfRange) return `${error.sentence} State the density in g/mL.`;
    throw error;
  }
  return 'A strength in % by mass needs the density of the solution in g/mL.';
}

const refused = (sentence: string): StrengthResult => ({ ok: false, sentence });

/** Up to four significant digits, without trailing zeros. */
const plain = (value: number): string => String(Number(value.toPrecision(4)));
