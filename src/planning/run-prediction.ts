import { asDisplaced, atStartPressure } from '../analysis/rising-head.ts';

/** A mixture whose course is to be predicted. Concentrations in mol/L, volumes of solution in L, time in s. */
export interface Mixture {
  /** d[gas]/dt = k times the product of concentrations to their orders; k in mol, L and s for d[gas]/dt. */
  readonly k: number;
  readonly orders: Readonly<Record<string, number>>;
  readonly concentrations: Readonly<Record<string, number>>;
  /** mol of each species used up per mol of gas; 0 for a catalyst. */
  readonly usedPerGas: Readonly<Record<string, number>>;
  readonly limiting: string;
  readonly solutionL: number;
  /** Water displaced per mol of gas at the start, L/mol: what is pressed into the headspace displaces none. */
  readonly litresPerMol: number;
  /** How the rising level presses on the gas, 1/m3 (`analysis/rising-head.ts`); 0: it does not. */
  readonly perM3: number;
}

export interface Course {
  /** Rate at the start, mL of displaced water a second. */
  readonly rateMlPerS: number;
  readonly ceiling: Ceiling;
  /** Seconds from mixing until so much is displaced; null when it never is. */
  secondsTo(volumeMl: number): number | null;
}

/** Full conversion of the limiting reagent. */
export interface Ceiling {
  /** Water that it displaces, mL. */
  readonly volumeMl: number;
  /** Part of the limiting reagent that is gone when so much is displaced, 0..1. */
  conversionAt(volumeMl: number): number;
}

/** A displaced volume as it would be at the pressure of the start, mL: what grows as the gas is made. */
const atStartMl = (perM3: number, volumeMl: number): number => atStartPressure(perM3, volumeMl * 1e-6) * 1e6;

/** @returns null when there is nothing that runs out */
export function ceilingOf(mixture: Omit<Mixture, 'k' | 'orders'>): Ceiling | null {
  const { perM3 } = mixture;
  const allMl = fullMl(mixture);
  if (!(allMl > 0)) return null;
  const volumeMl = asDisplaced(perM3, allMl * 1e-6) * 1e6;
  return { volumeMl, conversionAt: (ml) => (ml >= volumeMl ? 1 : Math.min(1, atStartMl(perM3, ml) / allMl)) };
}

/** Gas of full conversion at the pressure of the start, mL; 0 when there is nothing that runs out. */
function fullMl({ concentrations, usedPerGas, limiting, solutionL, litresPerMol }: Omit<Mixture, 'k' | 'orders'>) {
  const used = usedPerGas[limiting] ?? 0;
  const start = concentrations[limiting] ?? 0;
  return used > 0 && start > 0 ? (start / used) * solutionL * litresPerMol * 1000 : 0;
}

/**
 * Course of a reaction at constant temperature, the gas coming over at once. The time to a volume is the integral of
 * dV/rate(V), taken over u = -ln(1 - V/ceiling), in which it is smooth up to the ceiling and constant for first order
 * (Simpson's rule, 200 panels). V is at the pressure of the start.
 *
 * @returns null when the rate is zero or a species that the rate needs is absent
 */
export function courseOf(mixture: Mixture): Course | null {
  const { k, orders, concentrations, usedPerGas, solutionL, litresPerMol, perM3 } = mixture;
  const ceiling = ceilingOf(mixture);
  if (!ceiling) return null;
  const allMl = fullMl(mixture);
  const rateAt = (volumeMl: number): number => {
    const gasPerL = volumeMl / 1000 / litresPerMol / solutionL;
    let rate = k;
    for (const [species, order] of Object.entries(orders)) {
      const left = (concentrations[species] ?? 0) - (usedPerGas[species] ?? 0) * gasPerL;
      rate *= order === 0 ? 1 : Math.max(0, left) ** order;
    }
    return rate * solutionL * litresPerMol * 1000;
  };
  const rateMlPerS = rateAt(0);
  if (!(rateMlPerS > 0) || !Number.isFinite(rateMlPerS)) return null;
  return {
    rateMlPerS,
    ceiling,
    secondsTo(volumeMl) {
      if (volumeMl <= 0) return 0;
      const madeMl = atStartMl(perM3, volumeMl);
      if (volumeMl >= ceiling.volumeMl || madeMl >= allMl) return null;
      const end = -Math.log1p(-madeMl / allMl);
      const panels = 200;
      let sum = 0;
      for (let i = 0; i <= panels; i++) {
        const u = (end * i) / panels;
        const weight = i === 0 || i === panels ? 1 : i % 2 === 1 ? 4 : 2;
        sum += (weight * allMl * Math.exp(-u)) / rateAt(-allMl * Math.expm1(-u));
      }
      const seconds = (sum * end) / panels / 3;
      return Number.isFinite(seconds) ? seconds : null;
    },
  };
}
