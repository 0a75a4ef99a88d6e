import { digamma, trigamma } from '../numerics/special-functions.ts';
import type { LawRow } from './law-row.ts';

/** Degrees of freedom that the other runs' scatter counts for in one run's variance, at most. */
const mostPriorDf = 8;

/** From here on a run's own scatter says enough. */
const enough = 30;

/**
 * Rows whose variances come from few readings, each drawn towards the mean of all: s2 = (d0 S2 + d s2)/(d0 + d), the
 * moderated variance of Smyth (Stat. Appl. Genet. Mol. Biol. 3 (2004) art. 3). Weights from one or two degrees of freedom
 * are wild, and a mean with wild weights has an interval that is far too narrow (Meier, Biometrics 9 (1953) 59).
 *
 * The runs were read by one person alike, so their errors are alike either in size or in proportion to the rate:
 * whichever the uncertainties show. d0 comes from how much more they differ than by chance (Smyth's equation for
 * trigamma), 8 at most, and no more than what the other runs have.
 */
export function moderated(rows: readonly LawRow[]): readonly LawRow[] {
  const known = rows.filter(({ uRate, rate, dfRate }) => uRate !== null && uRate > 0 && rate > 0 && dfRate > 0);
  const among = new Set(known);
  if (known.length < 2 || known.every(({ dfRate }) => dfRate >= enough)) return rows;
  const own = ({ uReadings, uRate }: LawRow): number => uReadings ?? uRate ?? 0;
  const weight = ({ dfRate }: LawRow): number => Math.min(dfRate, enough);
  const inSize = spreadOf(known.map((row) => ({ ln: 2 * Math.log(own(row)), df: weight(row) })));
  const inProportion = spreadOf(known.map((row) => ({ ln: 2 * Math.log(own(row) / row.rate), df: weight(row) })));
  const unitOf = ({ rate }: LawRow): number => (inSize < inProportion ? 1 : rate);
  const priorDf = priorDfOf(Math.min(inSize, inProportion));
  const total = known.reduce((sum, row) => sum + weight(row), 0);
  const mean = known.reduce((sum, row) => sum + weight(row) * (own(row) / unitOf(row)) ** 2, 0) / total;
  return rows.map((row) => {
    if (!among.has(row) || row.dfRate >= enough) return row;
    const d0 = Math.min(priorDf, total - weight(row));
    const unit = unitOf(row);
    const variance = (d0 * mean + row.dfRate * (own(row) / unit) ** 2) / (d0 + row.dfRate);
    const rest = Math.max(0, (row.uRate ?? 0) ** 2 - own(row) ** 2);
    return {
      ...row,
      uRate: Math.hypot(unit * Math.sqrt(variance), Math.sqrt(rest)),
      ...(row.uReadings === undefined ? {} : { uReadings: unit * Math.sqrt(variance) }),
      dfRate: d0 + row.dfRate,
    };
  });
}

/** Variance of the logarithms of some variances beyond what their few degrees of freedom explain. */
function spreadOf(variances: readonly { readonly ln: number; readonly df: number }[]): number {
  const centred = variances.map(({ ln, df }) => ln - digamma(df / 2) + Math.log(df / 2));
  const mean = centred.reduce((a, b) => a + b, 0) / centred.length;
  const seen = centred.reduce((sum, e) => sum + (e - mean) ** 2, 0) / (centred.length - 1);
  return seen - variances.reduce((sum, { df }) => sum + trigamma(df / 2), 0) / variances.length;
}

/** d0 for which trigamma(d0/2) is the spread: many where the variances differ no more than by chance. */
function priorDfOf(spread: number): number {
  if (!(spread > trigamma(mostPriorDf / 2))) return mostPriorDf;
  let [low, high] = [1e-6, mostPriorDf];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (trigamma(middle / 2) > spread) low = middle;
    else high = middle;
  }
  return low;
}
