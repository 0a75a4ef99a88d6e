/*
 * A displaced volume stands for more gas the more was displaced already: the level in the cylinder rises and the gas is
 * pressed harder. The amount is (amount per volume at the start) (V + g V^2), V from the baseline (`chemistry/gas.ts`).
 * Fits work with V + g V^2, the volume that the gas would have at the pressure of the start: that is what grows as the
 * reaction makes gas. g = 0: the level does not press, and nothing is changed by a single bit.
 */
export interface RisingHead {
  /** Cylinder reading at which the pressure was that of the start, m3. */
  readonly originM3: number;
  /** g, 1/m3: some 0.15 per litre for a cylinder of 100 mL. */
  readonly perM3: number;
}

/** A displaced volume brought to the pressure of the start, m3. */
export const atStartPressure = (perM3: number, displacedM3: number): number =>
  perM3 === 0 ? displacedM3 : displacedM3 * (1 + perM3 * displacedM3);

/** How much of it 1 m3 more is, when so much was displaced already. */
export const stretchAt = (perM3: number, displacedM3: number): number => 1 + 2 * perM3 * displacedM3;

/** The displaced volume, m3, that is `volumeM3` at the pressure of the start: the inverse of `atStartPressure`. */
export function asDisplaced(perM3: number, volumeM3: number): number {
  if (perM3 === 0) return volumeM3;
  // The root in the form that does not cancel; a curve drawn far back before the start may leave the parabola.
  return (2 * volumeM3) / (1 + Math.sqrt(Math.max(0, 1 + 4 * perM3 * volumeM3)));
}

/** A cylinder reading brought to the pressure of the start, m3. */
export const raised = (head: RisingHead, readingM3: number): number =>
  head.originM3 + atStartPressure(head.perM3, readingM3 - head.originM3);

/** The cylinder reading that goes with a volume at the pressure of the start, m3: the inverse of `raised`. */
export const asRead = (head: RisingHead, volumeM3: number): number =>
  head.originM3 + asDisplaced(head.perM3, volumeM3 - head.originM3);
