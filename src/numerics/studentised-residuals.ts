import { studentUpperQuantile } from './distributions.ts';
import { DegenerateData } from './errors.ts';
import type { LinearFit } from './least-squares.ts';

/**
 * How far each reading lies from the line through the *other* readings, in units of the standard deviation of that
 * distance: with normal errors each is Student's t with (degrees of freedom - 1). Infinity where the others lie exactly
 * on a line that misses this one; 0 for a reading that the fit cannot miss (leverage 1) or of weight 0.
 *
 * r_i / (s_(i) sqrt(1 - h_i)), s_(i)^2 = (S - w r_i^2/(1 - h_i)) / (df - 1).
 *
 * @throws DegenerateData with fewer than two degrees of freedom
 * Source: Cook and Weisberg, Residuals and Influence in Regression (1982), 2.2.
 */
export function externallyStudentised(fit: LinearFit): number[] {
  if (fit.degreesOfFreedom < 2) {
    throw new DegenerateData('There are too few readings to tell one that is off.', `df ${fit.degreesOfFreedom}`);
  }
  // What is left after rounding when all readings lie on the line counts as nothing.
  const size = fit.fitted.reduce((sum, value, i) => sum + fit.weights[i]! * value * value, 0);
  const nothing = size * 1e-28 + Number.MIN_VALUE;
  return fit.residuals.map((residual, i) => {
    const weight = fit.weights[i]!;
    const free = 1 - fit.leverages[i]!;
    if (weight === 0 || free <= 1e-12) return 0;
    const own = (weight * residual * residual) / free;
    const rest = Math.max(0, fit.sumOfSquares - own);
    if (own <= nothing) return 0;
    if (rest <= nothing || rest <= 1e-13 * own)
      return residual > 0 ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
    return Math.sign(residual) * Math.sqrt((own * (fit.degreesOfFreedom - 1)) / rest);
  });
}

/**
 * Bound that the largest of n externally studentised residuals exceeds with probability at most `familyError`
 * (Bonferroni, two-sided).
 */
export function studentisedBound(n: number, degreesOfFreedom: number, familyError = 0.05): number {
  return studentUpperQuantile(familyError / (2 * n), degreesOfFreedom - 1);
}
