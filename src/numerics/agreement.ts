import { type Combination, type CombinedEstimate, combineEstimates } from './combine.ts';
import { normalUpperTail } from './distributions.ts';
import { requireSameLength } from './errors.ts';
import { median } from './median.ts';

/** Which results of one quantity belong together, and which stand apart. */
export interface Agreement {
  /** Indices of the results that stand apart, furthest first. */
  readonly apart: readonly number[];
  /** Of the results that belong together. */
  readonly combination: Combination;
  /** Whether those agree within their uncertainties (chi-squared, 5 %). */
  readonly agree: boolean;
  /** By how much the stated uncertainties were enlarged, >= 1. */
  readonly birge: number;
  /** Weighted mean of those that belong together, its uncertainty enlarged by `birge`. */
  readonly value: CombinedEstimate;
  /** By result: its distance from the mean of the others, in units of what that distance may be. */
  readonly distances: readonly number[];
}

/** Probability at which results count as inconsistent, and at which one counts as standing apart. */
const level = 0.05;

/**
 * Sorts results into those that belong together and those that stand apart, by one rule.
 *
 * The yardstick is the stated uncertainties times the Birge ratio (at least 1), taken from the middle of the results:
 * 1.4826 times the median of |x - median|/u, so that a wild one does not stretch what it is measured by. A result stands
 * apart when it lies further from the weighted mean of the others than chance allows (5 % over all results). Several are
 * taken out from the furthest inwards, so that two wild ones cannot hide behind each other; at most a minority stands
 * apart. What remains is averaged with the weights 1/u^2, and its uncertainty enlarged by the larger of that ratio and
 * the ordinary Birge ratio of what remains.
 *
 * Simulated (test/numerics/agreement.test.ts): among results that agree, one is set apart by mistake in 1 to 3 of 100
 * classes; a result of half the size is found in 87 % of classes of three, 99 % of four and more (u 2 to 5 %).
 *
 * @param values one per group, any unit, at least one
 * @param uncertainties standard uncertainty of each, > 0, same unit
 * @throws as `combineEstimates`
 * @example
 * agreementOf([1.0, 1.02, 0.97, 0.5], [0.03, 0.03, 0.03, 0.03]).apart // => [3]
 * Sources: Birge, Phys. Rev. 40 (1932) 207; Rosner, Technometrics 25 (1983) 165, for several from the furthest inwards;
 * Croux and Rousseeuw, Compstat 1 (1992) 411, for the factors of few results (from memory).
 */
export function agreementOf(values: readonly number[], uncertainties: readonly number[]): Agreement {
  requireSameLength(values, uncertainties, 'Results and their uncertainties');
  const results = values.map((value, i) => ({ value, u: uncertainties[i] ?? Number.NaN }));
  const ratio = middleBirge(results);
  const members = new Set(results.keys());
  const taken: number[] = [];
  let standing = 0;
  const most = Math.floor((results.length - 1) / 2);
  while (taken.length < most) {
    const furthest = furthestOf(results, [...members]);
    if (!furthest) break;
    if (2 * members.size * normalUpperTail(furthest.distance / ratio) < level) standing = taken.length + 1;
    members.delete(furthest.index);
    taken.push(furthest.index);
  }
  const apart = taken.slice(0, standing);
  const out = new Set(apart);
  const together = [...results.keys()].filter((i) => !out.has(i));
  const combination = combineEstimates(
    together.map((i) => results[i]?.value ?? Number.NaN),
    together.map((i) => results[i]?.u ?? Number.NaN),
  );
  const birge = Math.max(ratio, combination.birgeRatio ?? 1);
  const { mean, u } = combination.weighted;
  const sums = sumsOf(results, together);
  return {
    apart,
    combination,
    agree: (combination.probability ?? 1) >= level,
    birge,
    value: { mean, u: u * birge },
    distances: results.map(
      (result, i) =>
        (out.has(i)
          ? (result.value - sums.origin - sums.mean) / Math.sqrt(result.u ** 2 + 1 / sums.w)
          : deletedResidual(result, sums)) / birge,
    ),
  };
}

interface Result {
  readonly value: number;
  readonly u: number;
}

/** Factors for the median absolute deviation of 2 to 9 results. */
const ofFew = [1.196, 1.495, 1.363, 1.206, 1.2, 1.14, 1.129, 1.107];

/** How much more the middle of the results scatters than their uncertainties say, at least 1. */
function middleBirge(results: readonly Result[]): number {
  const n = results.length;
  if (n < 3) return 1;
  const middle = median(results.map(({ value }) => value));
  const spread = median(results.map(({ value, u }) => Math.abs(value - middle) / u));
  return Math.max(1, 1.4826 * (ofFew[n - 2] ?? n / (n - 0.8)) * spread);
}

interface Sums {
  /** Subtracted from every value, so that many digits in common cost none. */
  readonly origin: number;
  /** Sum of the weights, and the weighted mean counted from the origin. */
  readonly w: number;
  readonly mean: number;
}

function sumsOf(results: readonly Result[], members: readonly number[]): Sums {
  const origin = results[members[0] ?? 0]?.value ?? 0;
  let w = 0;
  let wx = 0;
  for (const i of members) {
    const { value, u } = results[i] ?? { value: origin, u: Number.POSITIVE_INFINITY };
    w += 1 / u ** 2;
    wx += (value - origin) / u ** 2;
  }
  return { origin, w, mean: wx / w };
}

/** The member furthest from the mean of the others. */
function furthestOf(results: readonly Result[], members: readonly number[]) {
  const sums = sumsOf(results, members);
  let best: { index: number; distance: number } | null = null;
  for (const index of members) {
    const result = results[index];
    const distance = result ? Math.abs(deletedResidual(result, sums)) : 0;
    if (best === null || distance > best.distance) best = { index, distance };
  }
  return best;
}

/** Distance of a member from the weighted mean of the other members over the standard uncertainty of that distance. */
function deletedResidual({ value, u }: Result, { origin, w, mean }: Sums): number {
  const others = w - 1 / u ** 2;
  return others > 1e-12 * w ? ((value - origin - mean) / u) * Math.sqrt(w / others) : 0;
}
