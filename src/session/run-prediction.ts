/** A mixture whose course is to be foretold. Concentrations in mol/L, volumes of solution in L, time in s. */
export interface Mixture {
  /** d[gas]/dt = k times the product of concentrations to their orders; k in mol, L and s for d[gas]/dt. */
  readonly k: number;
  readonly orders: Readonly<Record<string, number>>;
  readonly concentrations: Readonly<Record<string, number>>;
  /** mol of each species used up per mol of gas; 0 for a catalyst. */
  readonly usedPerGas: Readonly<Record<string, number>>;
  readonly limiting: string;
  readonly solutionL: number;
  /** Volume of moist gas per mol of gas, L/mol. */
  readonly litresPerMol: number;
}

export interface Course {
  /** Rate at the start, mL of moist gas a second. */
  readonly rateMlPerS: number;
  /** Moist gas at full conversion of the limiting reagent, mL. */
  readonly ceilingMl: number;
  /** Seconds from mixing until so much gas has come over; null when it never does. */
  secondsTo(volumeMl: number): number | null;
}

/**
 * Course of a reaction at constant temperature, the gas coming over at once. The time to a volume is the integral of
 * dV/rate(V), taken over u = -ln(1 - V/ceiling), in which it is smooth up to the ceiling and constant for first order
 * (Simpson's rule, 200 panels).
 *
 * @returns null when the rate is zero or a species that the rate needs is absent
 */
export function courseOf(mixture: Mixture): Course | null {
  const { k, orders, concentrations, usedPerGas, limiting, solutionL, litresPerMol } = mixture;
  const used = usedPerGas[limiting] ?? 0;
  const start = concentrations[limiting] ?? 0;
  if (used <= 0 || start <= 0) return null;
  const ceilingMl = (start / used) * solutionL * litresPerMol * 1000;
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
    ceilingMl,
    secondsTo(volumeMl) {
      if (volumeMl <= 0) return 0;
      if (volumeMl >= ceilingMl) return null;
      const end = -Math.log1p(-volumeMl / ceilingMl);
      const panels = 200;
      let sum = 0;
      for (let i = 0; i <= panels; i++) {
        const u = (end * i) / panels;
        const weight = i === 0 || i === panels ? 1 : i % 2 === 1 ? 4 : 2;
        sum += (weight * ceilingMl * Math.exp(-u)) / rateAt(-ceilingMl * Math.expm1(-u));
      }
      const seconds = (sum * end) / panels / 3;
      return Number.isFinite(seconds) ? seconds : null;
    },
  };
}
