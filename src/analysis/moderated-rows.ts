import type { LawRow } from './law-row.ts';

/** Degrees of freedom that the other runs' scatter counts for in one run's variance. */
const priorDf = 8;

/** From here on a run's own scatter says enough. */
const enough = 30;

/**
 * Rows whose variances come from few readings, each drawn towards the mean of all: s2 = (d0 S2 + d s2)/(d0 + d), the
 * moderated variance of Smyth (Stat. Appl. Genet. Mol. Biol. 3 (2004) art. 3), with d0 = 8 or what the other runs have,
 * if that is less. Weights from one or two degrees of freedom are wild, and a mean with wild weights has an interval that
 * is far too narrow (Meier, Biometrics 9 (1953) 59). Variances are relative: the runs were read by one person alike.
 */
export function moderated(rows: readonly LawRow[]): readonly LawRow[] {
  const known = rows.filter(({ uRate, rate, dfRate }) => uRate !== null && uRate > 0 && rate > 0 && dfRate > 0);
  const among = new Set(known);
  if (known.length < 2 || known.every(({ dfRate }) => dfRate >= enough)) return rows;
  const own = ({ uReadings, uRate, rate }: LawRow): number => ((uReadings ?? uRate ?? 0) / rate) ** 2;
  const weight = ({ dfRate }: LawRow): number => Math.min(dfRate, enough);
  const total = known.reduce((sum, row) => sum + weight(row), 0);
  const mean = known.reduce((sum, row) => sum + weight(row) * own(row), 0) / total;
  return rows.map((row) => {
    if (!among.has(row) || row.dfRate >= enough) return row;
    const d0 = Math.min(priorDf, total - weight(row));
    const variance = (d0 * mean + row.dfRate * own(row)) / (d0 + row.dfRate);
    const rest = Math.max(0, ((row.uRate ?? 0) / row.rate) ** 2 - own(row));
    return {
      ...row,
      uRate: row.rate * Math.sqrt(variance + rest),
      ...(row.uReadings === undefined ? {} : { uReadings: row.rate * Math.sqrt(variance) }),
      dfRate: d0 + row.dfRate,
    };
  });
}
