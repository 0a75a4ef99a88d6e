import { OutOfRange } from '../numerics/errors.ts';
import { last, nth } from '../numerics/nth.ts';

export type AccuracyClass = 'A' | 'B' | 'unknown';

interface Cylinder {
  readonly capacityMl: number;
  readonly divisionMl: number;
  readonly toleranceMl: { readonly A: number; readonly B: number };
}

/**
 * Graduated cylinders: capacity, usual division, limits of error.
 * Source: ASTM E1272-02 (2012) table 1; the row of 1000 mL from memory.
 */
export const cylindersAstm: readonly Cylinder[] = [
  { capacityMl: 5, divisionMl: 0.1, toleranceMl: { A: 0.05, B: 0.1 } },
  { capacityMl: 10, divisionMl: 0.2, toleranceMl: { A: 0.1, B: 0.2 } },
  { capacityMl: 25, divisionMl: 0.5, toleranceMl: { A: 0.17, B: 0.34 } },
  { capacityMl: 50, divisionMl: 1, toleranceMl: { A: 0.25, B: 0.5 } },
  { capacityMl: 100, divisionMl: 1, toleranceMl: { A: 0.5, B: 1 } },
  { capacityMl: 250, divisionMl: 2, toleranceMl: { A: 1, B: 2 } },
  { capacityMl: 500, divisionMl: 5, toleranceMl: { A: 2, B: 4 } },
  { capacityMl: 1000, divisionMl: 10, toleranceMl: { A: 3, B: 6 } },
];

/**
 * The same after ISO 4788:2005. The figures are from memory, the standard was not at hand; its text says that the
 * limit holds both at any point and for the difference of any two points.
 */
export const cylindersIso: readonly Cylinder[] = [
  { capacityMl: 5, divisionMl: 0.1, toleranceMl: { A: 0.05, B: 0.1 } },
  { capacityMl: 10, divisionMl: 0.2, toleranceMl: { A: 0.1, B: 0.2 } },
  { capacityMl: 25, divisionMl: 0.5, toleranceMl: { A: 0.25, B: 0.5 } },
  { capacityMl: 50, divisionMl: 1, toleranceMl: { A: 0.5, B: 1 } },
  { capacityMl: 100, divisionMl: 1, toleranceMl: { A: 0.5, B: 1 } },
  { capacityMl: 250, divisionMl: 2, toleranceMl: { A: 1, B: 2 } },
  { capacityMl: 500, divisionMl: 5, toleranceMl: { A: 2.5, B: 5 } },
  { capacityMl: 1000, divisionMl: 10, toleranceMl: { A: 5, B: 10 } },
];

/**
 * Limit of error of a graduated cylinder, m3. A capacity between two of the table is taken between them, one outside
 * in proportion to the nearest. An unknown class counts as B.
 * @param capacityM3 above 0
 * @throws OutOfRange otherwise
 * @example
 * cylinderTolerance(100e-6, 'A') // => 0.00000050
 */
export function cylinderTolerance(
  capacityM3: number,
  accuracy: AccuracyClass,
  table: readonly Cylinder[] = cylindersAstm,
): number {
  const row = interpolated(capacityM3 * 1e6, table);
  return (accuracy === 'A' ? row.toleranceMl.A : row.toleranceMl.B) * 1e-6;
}

/**
 * Relative standard uncertainty of the whole scale of a cylinder (its gain, common to all readings): the limit of error
 * at full capacity, taken as evenly likely within (JCGM 100, 4.3.7).
 * @example
 * gainUncertainty(100e-6, 'A') // => 0.00289
 */
export function gainUncertainty(capacityM3: number, accuracy: AccuracyClass): number {
  return cylinderTolerance(capacityM3, accuracy) / capacityM3 / Math.sqrt(3);
}

/**
 * Standard uncertainty of one reading, m3, independent from reading to reading.
 * `at-mark`: called when the level passes a mark, a tenth of a division (common practice, no source); `between`:
 * glimpsed, anything within half a division evenly likely: 0.29 division.
 * @example
 * readingUncertainty(1e-6, 'at-mark') // => 1e-7
 */
export function readingUncertainty(divisionM3: number, how: 'at-mark' | 'between'): number {
  if (!(divisionM3 > 0)) throw new OutOfRange('The distance of the marks must be above zero.', `${divisionM3}`);
  return how === 'at-mark' ? divisionM3 / 10 : divisionM3 / Math.sqrt(12);
}

/**
 * Standard uncertainty of a volume measured out in a graduated cylinder, m3: limit of error (evenly likely within)
 * and the setting of the level, a fifth of a division (common practice, no source).
 *
 * @param volumeM3 what was measured, >= 0
 * @param vesselM3 capacity of the vessel; absent: the smallest of the table that holds it
 * @example
 * pourUncertainty(20e-6, 25e-6, 'A') // => 0.000000140
 */
export function pourUncertainty(volumeM3: number, vesselM3?: number, accuracy: AccuracyClass = 'unknown'): number {
  if (!(volumeM3 >= 0) || !Number.isFinite(volumeM3)) throw new OutOfRange('A volume cannot be negative.');
  if (volumeM3 === 0) return 0;
  const vesselMl =
    vesselM3 === undefined
      ? (cylindersAstm.find((row) => row.capacityMl * 1e-6 >= volumeM3 * (1 - 1e-9))?.capacityMl ?? volumeM3 * 1e6)
      : vesselM3 * 1e6;
  const row = interpolated(vesselMl, cylindersAstm);
  const tolerance = accuracy === 'A' ? row.toleranceMl.A : row.toleranceMl.B;
  // A volume larger than its vessel is measured in several fillings, whose settings add in quadrature.
  const fillings = Math.max(1, Math.ceil((volumeM3 * 1e6) / vesselMl - 1e-9));
  return Math.hypot((tolerance / Math.sqrt(3)) * fillings, row.divisionMl * 0.2 * Math.sqrt(fillings)) * 1e-6;
}

function interpolated(capacityMl: number, table: readonly Cylinder[]): Cylinder {
  if (!(capacityMl > 0) || !Number.isFinite(capacityMl)) {
    throw new OutOfRange('A measuring vessel must hold more than nothing.', `${capacityMl} mL`);
  }
  const upper = table.find((row) => row.capacityMl >= capacityMl) ?? last(table);
  const lower = table.findLast((row) => row.capacityMl <= capacityMl) ?? nth(table, 0);
  const span = upper.capacityMl - lower.capacityMl;
  if (span <= 0) {
    const ratio = capacityMl / upper.capacityMl;
    return {
      capacityMl,
      divisionMl: upper.divisionMl * ratio,
      toleranceMl: { A: upper.toleranceMl.A * ratio, B: upper.toleranceMl.B * ratio },
    };
  }
  const f = (capacityMl - lower.capacityMl) / span;
  const between = (a: number, b: number): number => a + (b - a) * f;
  return {
    capacityMl,
    divisionMl: between(lower.divisionMl, upper.divisionMl),
    toleranceMl: {
      A: between(lower.toleranceMl.A, upper.toleranceMl.A),
      B: between(lower.toleranceMl.B, upper.toleranceMl.B),
    },
  };
}
