import { logGamma } from './special-functions.ts';

/**
 * Whether signs follow one another by chance: the number of runs of equal signs, exact distribution (Wald and Wolfowitz,
 * Ann. Math. Statist. 11 (1940) 147). One-sided: too few runs, that is a slow swing about the curve.
 *
 * @param residuals in order of time; zeros count for nothing
 * @returns number of runs, and the probability of as few by chance (1 where all signs are alike or fewer than two remain)
 * @example
 * runsTest([1, 1, 1, 1, -1, -1, -1, -1]).p.toFixed(4) // => '0.0286'
 */
export function runsTest(residuals: readonly number[]): { readonly runs: number; readonly p: number } {
  const signs = residuals.filter((r) => r !== 0).map((r) => r > 0);
  const up = signs.filter(Boolean).length;
  const down = signs.length - up;
  let runs = signs.length > 0 ? 1 : 0;
  let before = signs[0];
  for (const sign of signs) {
    if (sign !== before) runs++;
    before = sign;
  }
  if (up === 0 || down === 0) return { runs, p: 1 };
  let p = 0;
  for (let count = 2; count <= runs; count++) p += Math.exp(lnChanceOf(count, up, down));
  return { runs, p: Math.min(1, p) };
}

/** ln of the probability of exactly `count` runs among `up` and `down` signs. */
function lnChanceOf(count: number, up: number, down: number): number {
  const half = Math.floor(count / 2);
  const all = lnChoose(up + down, up);
  if (count % 2 === 0) return Math.LN2 + lnChoose(up - 1, half - 1) + lnChoose(down - 1, half - 1) - all;
  const one = lnChoose(up - 1, half) + lnChoose(down - 1, half - 1);
  const other = lnChoose(up - 1, half - 1) + lnChoose(down - 1, half);
  const [low, high] = one < other ? [one, other] : [other, one];
  return high === Number.NEGATIVE_INFINITY ? high : high + Math.log1p(Math.exp(low - high)) - all;
}

function lnChoose(n: number, k: number): number {
  return k < 0 || k > n ? Number.NEGATIVE_INFINITY : logGamma(n + 1) - logGamma(k + 1) - logGamma(n - k + 1);
}
