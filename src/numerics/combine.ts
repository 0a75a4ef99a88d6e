import { chiSquareUpperTail } from './distributions.ts';
import { DegenerateData, OutOfRange, requireFinite, requireSameLength } from './errors.ts';
import { nth } from './nth.ts';

/** One way of combining several results of one quantity. */
export interface CombinedEstimate {
  readonly mean: number;
  readonly u: number;
}

export interface BetweenGroups extends CombinedEstimate {
  /** Variance between the groups beyond their stated uncertainties, unit squared, >= 0. */
  readonly tauSquared: number;
}

export interface Combination {
  /** Inverse-variance weighted mean: all groups measured the same thing and know their uncertainty. */
  readonly weighted: CombinedEstimate;
  /** The same mean with u enlarged by the Birge ratio where that is above 1. */
  readonly enlarged: CombinedEstimate;
  /** Weighted sum of squared differences from the weighted mean; chi-square if the groups agree. */
  readonly q: number;
  readonly degreesOfFreedom: number;
  /** Probability of so large a q among groups that agree; null for one group. */
  readonly probability: number | null;
  /** sqrt(q/(k-1)): near 1 when the stated uncertainties explain the spread; null for one group. */
  readonly birgeRatio: number | null;
  /** Share of the spread that is between the groups, max(0, (q - df)/q), 0..1. */
  readonly iSquared: number;
  /** Random-effects mean, moment estimate of the between-group variance. */
  readonly derSimonianLaird: BetweenGroups;
  /** Random-effects mean, the between-group variance for which q becomes k - 1. */
  readonly mandelPaule: BetweenGroups;
}

/**
 * Combines results of several groups for one quantity.
 *
 * w = 1/u^2; mean = sum(w x)/sum(w), u = 1/sqrt(sum w); Q = sum w (x - mean)^2; Birge ratio sqrt(Q/(k-1));
 * DerSimonian-Laird tau^2 = max(0, (Q - (k-1))/(sum w - sum w^2/sum w)); Mandel-Paule tau^2 solves
 * sum (x - mean)^2/(u^2 + tau^2) = k - 1.
 *
 * @param values one per group, any unit
 * @param uncertainties standard uncertainty of each, > 0
 * @throws DegenerateData without any group; OutOfRange for an uncertainty that is not above zero
 * Sources: Birge, Phys. Rev. 40 (1932) 207; DerSimonian and Laird, Control. Clin. Trials 7 (1986) 177; Paule and
 * Mandel, J. Res. NBS 87 (1982) 377; Higgins and Thompson, Stat. Med. 21 (2002) 1539 for I^2.
 * Check: BCG trials and others, test/published/combining.test.ts.
 * @example
 * combineEstimates([10, 12], [1, 1]).weighted // => { mean: 11, u: 0.70710678 }
 * combineEstimates([10, 12], [1, 1]).q // => 2
 */
export function combineEstimates(values: readonly number[], uncertainties: readonly number[]): Combination {
  requireSameLength(values, uncertainties, 'Results and their uncertainties');
  requireFinite(values, 'The results');
  requireFinite(uncertainties, 'The uncertainties');
  const k = values.length;
  if (k === 0) throw new DegenerateData('There are no results to combine.');
  if (uncertainties.some((u) => !(u > 0))) {
    throw new OutOfRange('Every result needs an uncertainty above zero to be combined with others.');
  }
  const degreesOfFreedom = k - 1;
  const weights = uncertainties.map((u) => 1 / (u * u));
  const weighted = meanWith(values, uncertainties, 0);
  const { q } = weighted;
  const birgeRatio = degreesOfFreedom > 0 ? Math.sqrt(q / degreesOfFreedom) : null;
  const sum = weights.reduce((total, w) => total + w, 0);
  const squares = weights.reduce((total, w) => total + w * w, 0);
  const room = sum - squares / sum;
  const tauDl = degreesOfFreedom > 0 && room > 0 ? Math.max(0, (q - degreesOfFreedom) / room) : 0;
  const tauMp = degreesOfFreedom > 0 ? mandelPauleVariance(values, uncertainties, q) : 0;
  return {
    weighted: { mean: weighted.mean, u: weighted.u },
    enlarged: { mean: weighted.mean, u: weighted.u * Math.max(1, birgeRatio ?? 1) },
    q,
    degreesOfFreedom,
    probability: degreesOfFreedom > 0 ? chiSquareUpperTail(q, degreesOfFreedom) : null,
    birgeRatio,
    iSquared: q > 0 ? Math.max(0, (q - degreesOfFreedom) / q) : 0,
    derSimonianLaird: withVariance(values, uncertainties, tauDl),
    mandelPaule: withVariance(values, uncertainties, tauMp),
  };
}

function withVariance(values: readonly number[], uncertainties: readonly number[], tauSquared: number): BetweenGroups {
  const { mean, u } = meanWith(values, uncertainties, tauSquared);
  return { mean, u, tauSquared };
}

/** Mean, its u and q with `tauSquared` added to every variance. */
function meanWith(values: readonly number[], uncertainties: readonly number[], tauSquared: number) {
  let total = 0;
  let sum = 0;
  // Counted from the first value, so that many digits in common cost none.
  const origin = nth(values, 0);
  for (let i = 0; i < values.length; i++) {
    const w = 1 / (nth(uncertainties, i) ** 2 + tauSquared);
    total += w;
    sum += w * (nth(values, i) - origin);
  }
  const shift = sum / total;
  let q = 0;
  for (let i = 0; i < values.length; i++) {
    q += (nth(values, i) - origin - shift) ** 2 / (nth(uncertainties, i) ** 2 + tauSquared);
  }
  return { mean: origin + shift, u: 1 / Math.sqrt(total), q };
}

/** Paule and Mandel's own Newton iteration; q falls with tau^2 and bends upwards, so it approaches from below. */
function mandelPauleVariance(values: readonly number[], uncertainties: readonly number[], qAtZero: number): number {
  const wanted = values.length - 1;
  if (qAtZero <= wanted) return 0;
  // Where q hardly exceeds what is wanted, tau^2 is nearly nothing beside the smallest variance, and steps of its own
  // size would never end.
  const least = Math.min(...uncertainties.map((u) => u * u));
  let tauSquared = 0;
  for (let i = 0; i < 500; i++) {
    const { mean, q } = meanWith(values, uncertainties, tauSquared);
    let slope = 0;
    for (let j = 0; j < values.length; j++) {
      slope += ((nth(values, j) - mean) / (nth(uncertainties, j) ** 2 + tauSquared)) ** 2;
    }
    const step = (q - wanted) / slope;
    tauSquared = Math.max(0, tauSquared + step);
    if (Math.abs(step) <= 1e-14 * (tauSquared + least)) return tauSquared;
  }
  // Uncertainties of very different size: the steps never become small beside the smallest one. Halving always ends.
  const origin = nth(values, 0);
  let low = 0;
  let high = values.reduce((sum, value) => sum + (value - origin) ** 2, least);
  for (let middle = high / 2; middle > low && middle < high; middle = low + (high - low) / 2)
    if (meanWith(values, uncertainties, middle).q > wanted) low = middle;
    else high = middle;
  return high;
}
