import { chiSquareUpperTail, studentUpperQuantile } from '../numerics/distributions.ts';

/**
 * How large the errors really were, judged from what was stated and from the scatter about the fit.
 */
export interface Scatter {
  /** Factor on the standard uncertainties that a fit with the stated weights gives. */
  readonly scale: number;
  /** Degrees of freedom behind `scale`, for the t quantile. */
  readonly df: number;
  /** Weighted sum of squares per degree of freedom (mean square weighted deviation); null without any, and where nothing was stated. */
  readonly mswd: number | null;
  /**
   * 'stated': no degree of freedom left, the stated uncertainties stand alone; 'both': pooled; 'scatter': the scatter
   * alone (nothing was stated, or what was stated is refuted); 'assumed': nothing stated and no scatter to see.
   */
  readonly basis: 'stated' | 'both' | 'scatter' | 'assumed';
}

/**
 * Degrees of freedom granted to stated uncertainties: half the inverse square of their own relative uncertainty
 * (GUM, JCGM 100:2008, G.4.2, formula G.3). 25 % gives 8: nobody knows better how well they read a cylinder.
 */
export const statedDf = 8;

/** The scatter refutes what was stated when so large a sum of squares has less than this probability. */
const refuted = 0.01;

/**
 * Pools stated and observed variance in the ratio of their degrees of freedom (the conjugate, inverse-chi-square
 * combination): s2 = (8 + sum of squares)/(8 + df), on 8 + df degrees of freedom. So a run of eleven readings that
 * scatter more than stated gets a larger uncertainty, by and by, and no single lucky run a very small one. Where the
 * scatter refutes the statement at 1 %, it speaks alone.
 *
 * @param sumOfSquares weighted by the inverse of the stated variances (or unweighted when nothing was stated)
 * @param df readings minus fitted parameters, >= 0
 * @param of whether the weights are real, and the error to assume for one observation when they are not and no degree
 * of freedom is left; `floor`: the least error of one observation where nothing was stated (rounding)
 */
export function judgeScatter(
  sumOfSquares: number,
  df: number,
  { stated, assumed, floor = 0 }: { readonly stated: boolean; readonly assumed: number; readonly floor?: number },
): Scatter {
  const mswd = df > 0 ? sumOfSquares / df : null;
  if (!stated)
    return mswd === null
      ? { scale: assumed, df: statedDf, mswd, basis: 'assumed' }
      : { scale: Math.max(Math.sqrt(mswd), floor), df, mswd: null, basis: 'scatter' };
  if (mswd === null) return { scale: 1, df: statedDf, mswd, basis: 'stated' };
  if (!Number.isFinite(sumOfSquares)) return { scale: Number.POSITIVE_INFINITY, df, mswd: null, basis: 'scatter' };
  if (chiSquareUpperTail(sumOfSquares, df) < refuted) return { scale: Math.sqrt(mswd), df, mswd, basis: 'scatter' };
  return {
    scale: Math.sqrt((statedDf + sumOfSquares) / (statedDf + df)),
    df: statedDf + df,
    mswd,
    basis: 'both',
  };
}

/** One independent contribution to a combined standard uncertainty, with its degrees of freedom (Infinity: known). */
export interface Contribution {
  readonly u: number;
  readonly df: number;
}

/**
 * Combined standard uncertainty and effective degrees of freedom (Welch and Satterthwaite; GUM G.4.1, formula G.2b).
 */
export function combineContributions(parts: readonly Contribution[]): Contribution {
  const u = Math.hypot(...parts.map((part) => part.u));
  // What cannot be worked out is not known; it must not pass for nothing.
  if (Number.isNaN(u)) return { u: Number.POSITIVE_INFINITY, df: Number.POSITIVE_INFINITY };
  if (!(u > 0)) return { u: 0, df: Number.POSITIVE_INFINITY };
  let sum = 0;
  for (const part of parts) if (Number.isFinite(part.df) && part.df > 0) sum += (part.u / u) ** 4 / part.df;
  return { u, df: sum > 0 ? 1 / sum : Number.POSITIVE_INFINITY };
}

/** Half width of the 95 % interval: t quantile times u. */
export function halfWidth95({ u, df }: Contribution): number {
  return u * t95(df);
}

const known = new Map<number, number>();

/** 97.5 % quantile of Student's t; the normal one for endless degrees of freedom. Remembers what it computed. */
export function t95(df: number): number {
  if (!Number.isFinite(df) || df > 1e6) return 1.959963984540054;
  const key = Math.round(df * 64) / 64;
  let t = known.get(key);
  if (t === undefined) {
    t = studentUpperQuantile(0.025, Math.max(key, 1 / 64));
    known.set(key, t);
  }
  return t;
}
