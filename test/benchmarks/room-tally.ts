import { appendFileSync, existsSync, readFileSync } from 'node:fs';

/** What came of one run of calls in a room: counts that add up over runs, seeds and pieces of work. */
export interface Tally {
  readonly row: string;
  readonly caller: string;
  readonly seed: number;
  calls: number;
  found: number;
  takenRight: number;
  doubtedRight: number;
  silentlyWrong: number;
  /** Stretches of sound that are no call: taken as a reading or a word; others only set aside. */
  inventedTaken: number;
  inventedOther: number;
  /** Of the moments of the calls found, s. */
  errors: number[];
  within2u: number;
  silentlyOff: number;
  seconds: number;
  /** Processor time of the ear, ms. */
  spentMs: number;
}

export const emptyTally = (row: string, caller: string, seed: number): Tally => ({
  row,
  caller,
  seed,
  calls: 0,
  found: 0,
  takenRight: 0,
  doubtedRight: 0,
  silentlyWrong: 0,
  inventedTaken: 0,
  inventedOther: 0,
  errors: [],
  within2u: 0,
  silentlyOff: 0,
  seconds: 0,
  spentMs: 0,
});

/** Appends to a file of pieces, one JSON line a run. */
export function keep(file: string, tally: Tally): void {
  appendFileSync(file, `${JSON.stringify(tally)}\n`);
}

/** All runs in a file of pieces; a run that is in it twice counts once, as it was last. */
export function kept(file: string): Tally[] {
  if (!existsSync(file)) return [];
  const runs = readFileSync(file, 'utf8')
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as Tally);
  return [...new Map(runs.map((run) => [`${run.row} ${run.caller} ${run.seed}`, run])).values()];
}

export function added(runs: readonly Tally[]): Tally {
  const sum = emptyTally(runs[0]?.row ?? '', 'all', 0);
  for (const run of runs) {
    for (const [name, value] of Object.entries(run))
      if (typeof value === 'number' && name !== 'seed') (sum as unknown as Record<string, number>)[name]! += value;
    sum.errors.push(...run.errors);
  }
  return sum;
}

/** Interval of 95 % for a share, %: Wilson 1927, J. Am. Stat. Assoc. 22, 209, equation (2); from memory. */
export function wilson(part: number, of: number): [number, number] {
  if (of === 0) return [0, 100];
  const z = 1.96;
  const p = part / of;
  const middle = (p + (z * z) / (2 * of)) / (1 + (z * z) / of);
  const half = (z * Math.sqrt((p * (1 - p)) / of + (z * z) / (4 * of * of))) / (1 + (z * z) / of);
  return [100 * Math.max(0, middle - half), 100 * Math.min(1, middle + half)];
}

export function quantile(values: readonly number[], part: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.max(0, Math.min(sorted.length - 1, Math.ceil(part * sorted.length) - 1))] ?? Number.NaN;
}

/** Interval of 95 % for a quantile: order statistics, their ranks by the normal limit of the binomial distribution. */
function quantileInterval(values: readonly number[], part: number): [number, number] {
  const reach = 1.96 * Math.sqrt((part * (1 - part)) / Math.max(1, values.length));
  return [quantile(values, Math.max(0, part - reach)), quantile(values, Math.min(1, part + reach))];
}

export const tableHead = `                           calls found %  taken right %     right or in doubt %  silently  moment, ms                    within 2u %         >150 ms  made up       core
                                                                               wrong     median |.| p95                                    silent   taken other   %`;

export function tableRow(name: string, t: Tally): string {
  const share = (part: number, of: number): string => {
    const [low, high] = wilson(part, of);
    return `${((100 * part) / Math.max(1, of)).toFixed(1)} (${low.toFixed(0)}-${high.toFixed(0)})`.padEnd(16);
  };
  const sizes = t.errors.map((error) => Math.abs(error) * 1000);
  const [low, high] = quantileInterval(sizes, 0.95);
  const p95 = `${quantile(sizes, 0.95).toFixed(0)} (${low.toFixed(0)}-${high.toFixed(0)})`;
  const median = (quantile(t.errors, 0.5) * 1000).toFixed(0);
  const core = ((t.spentMs / 10 / Math.max(1, t.seconds)) * 1).toFixed(1);
  return `${name.padEnd(26)} ${String(t.calls).padStart(5)} ${((100 * t.found) / Math.max(1, t.calls)).toFixed(1).padStart(6)}   ${share(t.takenRight, t.calls)}  ${share(t.takenRight + t.doubtedRight, t.calls)}   ${String(t.silentlyWrong).padStart(6)}    ${median.padStart(4)}   ${p95.padEnd(16)}        ${share(t.within2u, t.found)} ${String(t.silentlyOff).padStart(8)}   ${String(t.inventedTaken).padStart(4)}  ${String(t.inventedOther).padStart(4)}  ${core.padStart(6)}`;
}
