import type { ClassEntry } from './class-entry.ts';

/** What a group did otherwise than most, or what its own runs show; the likeliest cause first. */
export type Difference =
  /** It poured another volume than most, and its notebook says so. */
  | {
      readonly code: 'poured';
      readonly run: string;
      readonly solution: string;
      readonly volumeMl: number;
      readonly usualMl: number;
    }
  | { readonly code: 'strength'; readonly solution: string; readonly strength: string; readonly usual: string }
  | { readonly code: 'doubtful'; readonly run: string; readonly count: number }
  /** Some of its runs do not go at the rate that the class's law gives, the others do. */
  | { readonly code: 'run-off'; readonly runs: readonly string[]; readonly factor: number }
  | { readonly code: 'all-off'; readonly factor: number }
  | { readonly code: 'temperature'; readonly celsius: number; readonly usual: number }
  | { readonly code: 'headspace'; readonly counts: boolean }
  | { readonly code: 'set-aside'; readonly count: number; readonly usual: number }
  | { readonly code: 'fewer-runs'; readonly count: number; readonly usual: number }
  | { readonly code: 'as-others' };

/** What most groups did: by run, the commonest volume of each solution; the strength of each bottle; the middle of the rest. */
export interface Usual {
  readonly volumes: ReadonlyMap<string, number>;
  readonly strengths: ReadonlyMap<string, string>;
  readonly temperatureC: number | null;
  readonly setAside: number;
  readonly runs: number;
  readonly headspaceCounts: boolean;
}

export function usualOf(entries: readonly ClassEntry[]): Usual {
  const volumes = new Map<string, Map<number, number>>();
  const strengths = new Map<string, Map<string, number>>();
  const temperatures: number[] = [];
  for (const entry of entries) {
    for (const run of entry.did)
      for (const [solution, volumeMl] of Object.entries(run.volumesMl))
        countIn(volumes, placeOf(run.label, solution), volumeMl);
    for (const { species, strength } of entry.stocks) countIn(strengths, species, strength);
    const mean = meanTemperature(entry);
    if (mean !== null) temperatures.push(mean);
  }
  return {
    volumes: commonestOf(volumes),
    strengths: commonestOf(strengths),
    temperatureC: temperatures.length > 0 ? middle(temperatures) : null,
    setAside: middle(entries.map(setAsideOf)),
    runs: middle(entries.map((entry) => entry.did.length)),
    headspaceCounts: 2 * entries.filter(headspaceCountsIn).length > entries.length,
  };
}

/**
 * What a group did otherwise than most; 'as-others' when nothing that is recorded differs.
 * @param factors its runs' k over the class's, by label; empty where that is not known
 */
export function differencesOf(
  entry: ClassEntry,
  usual: Usual,
  factors: readonly { readonly label: string; readonly factor: number; readonly u: number }[] = [],
): Difference[] {
  const found: Difference[] = [];
  for (const run of entry.did)
    for (const [solution, volumeMl] of Object.entries(run.volumesMl)) {
      const usualMl = usual.volumes.get(placeOf(run.label, solution));
      if (usualMl !== undefined && Math.abs(volumeMl - usualMl) > 1e-9)
        found.push({ code: 'poured', run: run.label, solution, volumeMl, usualMl });
    }
  // Water makes up what another solution leaves: the other one is the cause.
  found.sort((a, b) => Number(isWater(a)) - Number(isWater(b)));
  for (const { name, species, strength } of entry.stocks) {
    const most = usual.strengths.get(species);
    if (most !== undefined && most !== strength)
      found.push({ code: 'strength', solution: name, strength, usual: most });
  }
  for (const { label, doubtful } of entry.did)
    if (doubtful > 0) found.push({ code: 'doubtful', run: label, count: doubtful });
  const off = offOf(factors);
  if (off?.code === 'run-off') found.push(off);
  const temperature = meanTemperature(entry);
  if (
    temperature !== null &&
    usual.temperatureC !== null &&
    Math.abs(temperature - usual.temperatureC) >= otherTemperatureK
  )
    found.push({ code: 'temperature', celsius: temperature, usual: usual.temperatureC });
  if (entry.did.length > 0 && headspaceCountsIn(entry) !== usual.headspaceCounts)
    found.push({ code: 'headspace', counts: headspaceCountsIn(entry) });
  if (off?.code === 'all-off') found.push(off);
  const aside = setAsideOf(entry);
  if (aside > usual.setAside + 1) found.push({ code: 'set-aside', count: aside, usual: usual.setAside });
  if (entry.did.length > 0 && entry.did.length < usual.runs)
    found.push({ code: 'fewer-runs', count: entry.did.length, usual: usual.runs });
  if (entry.did.length > 0 && found.every(({ code }) => code === 'all-off')) found.push({ code: 'as-others' });
  return found;
}

/** A run is off when it is 15 % from the class and further than three standard uncertainties. */
function offOf(
  factors: readonly { readonly label: string; readonly factor: number; readonly u: number }[],
): Extract<Difference, { code: 'run-off' | 'all-off' }> | null {
  const off = factors.filter(
    ({ factor, u }) => Math.abs(Math.log(factor)) > Math.max(Math.log(1.15), (3 * u) / factor),
  );
  if (off.length === 0) return null;
  const logs = off.map(({ factor }) => Math.log(factor));
  const factor = Math.exp(logs.reduce((sum, one) => sum + one, 0) / logs.length);
  const alike = Math.max(...logs) - Math.min(...logs) < Math.log(1.3);
  if (off.length === factors.length) return alike ? { code: 'all-off', factor } : null;
  return alike ? { code: 'run-off', runs: off.map(({ label }) => label), factor } : null;
}

const isWater = (difference: Difference): boolean => difference.code === 'poured' && difference.solution === 'water';

const placeOf = (label: string, solution: string): string => JSON.stringify([label, solution]);

const headspaceCountsIn = (entry: ClassEntry): boolean => entry.did.some((run) => run.headspaceCounts);

const setAsideOf = (entry: ClassEntry): number => entry.did.reduce((sum, run) => sum + run.setAside, 0);

/** So far apart two groups worked at different temperatures: most rates change by a tenth within it (reasoned), K. */
export const otherTemperatureK = 1;

/** Mean over an entry's runs, degrees Celsius; null where no run states one. */
export function meanTemperature(entry: ClassEntry): number | null {
  const known = entry.did.flatMap(({ temperatureC }) => (temperatureC === null ? [] : [temperatureC]));
  return known.length > 0 ? known.reduce((a, b) => a + b, 0) / known.length : null;
}

function countIn<T>(counts: Map<string, Map<T, number>>, place: string, value: T): void {
  const known = counts.get(place) ?? new Map<T, number>();
  known.set(value, (known.get(value) ?? 0) + 1);
  counts.set(place, known);
}

function commonestOf<T>(counts: ReadonlyMap<string, ReadonlyMap<T, number>>): Map<string, T> {
  const found = new Map<string, T>();
  for (const [place, known] of counts) {
    let most = 0;
    for (const [value, count] of known) {
      if (count <= most) continue;
      most = count;
      found.set(place, value);
    }
  }
  return found;
}

function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor((sorted.length - 1) / 2)] ?? 0;
}
