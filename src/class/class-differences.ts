import type { ClassEntry } from './class-entry.ts';

/** What most groups did: by run, the commonest volume of each solution; the middle of temperatures and of set-aside
 * counts; whether more than half allow for the gas above the reaction. */
export interface Usual {
  readonly volumes: ReadonlyMap<string, number>;
  readonly temperatureC: number | null;
  readonly setAside: number;
  readonly runs: number;
  readonly headspaceCounts: boolean;
}

export function usualOf(entries: readonly ClassEntry[]): Usual {
  const counts = new Map<string, Map<number, number>>();
  const temperatures: number[] = [];
  for (const entry of entries) {
    for (const run of entry.did) {
      for (const [solution, volumeMl] of Object.entries(run.volumesMl)) {
        const place = placeOf(run.label, solution);
        const known = counts.get(place) ?? new Map<number, number>();
        known.set(volumeMl, (known.get(volumeMl) ?? 0) + 1);
        counts.set(place, known);
      }
    }
    const mean = meanTemperature(entry);
    if (mean !== null) temperatures.push(mean);
  }
  return {
    volumes: new Map([...counts].map(([place, known]) => [place, mostOf(known)])),
    temperatureC: temperatures.length > 0 ? middle(temperatures) : null,
    setAside: middle(entries.map(setAsideOf)),
    runs: middle(entries.map((entry) => entry.did.length)),
    headspaceCounts: 2 * entries.filter(headspaceCountsIn).length > entries.length,
  };
}

/** What a group did otherwise than most, a phrase each; empty when nothing that is recorded differs. */
export function differencesOf(entry: ClassEntry, usual: Usual): string[] {
  const found: string[] = [];
  for (const run of entry.did) {
    for (const [solution, volumeMl] of Object.entries(run.volumesMl)) {
      const most = usual.volumes.get(placeOf(run.label, solution));
      if (most !== undefined && Math.abs(volumeMl - most) > 1e-9)
        found.push(`run ${run.label}: ${volumeMl} mL of ${solution} where most poured ${most} mL`);
    }
  }
  const temperature = meanTemperature(entry);
  if (temperature !== null && usual.temperatureC !== null && Math.abs(temperature - usual.temperatureC) >= 1)
    found.push(
      `worked at ${temperature.toFixed(1)} °C, the middle of the class at ${usual.temperatureC.toFixed(1)} °C`,
    );
  if (entry.did.length > 0 && headspaceCountsIn(entry) !== usual.headspaceCounts)
    found.push(
      usual.headspaceCounts
        ? 'does not allow for the gas above the reaction, most do'
        : 'allows for the gas above the reaction, most do not',
    );
  const aside = setAsideOf(entry);
  if (aside > usual.setAside + 1) found.push(`${aside} readings set aside, the middle of the class ${usual.setAside}`);
  if (entry.did.length > 0 && entry.did.length < usual.runs)
    found.push(`${entry.did.length} runs, most did ${usual.runs}`);
  if (entry.did.length > 0 && found.length === 0)
    found.push('volumes, temperature and set-aside readings are as in the rest of the class');
  return found;
}

const placeOf = (label: string, solution: string): string => JSON.stringify([label, solution]);

const headspaceCountsIn = (entry: ClassEntry): boolean => entry.did.some((run) => run.headspaceCounts);

const setAsideOf = (entry: ClassEntry): number => entry.did.reduce((sum, run) => sum + run.setAside, 0);

function meanTemperature(entry: ClassEntry): number | null {
  const known = entry.did.flatMap(({ temperatureC }) => (temperatureC === null ? [] : [temperatureC]));
  return known.length > 0 ? known.reduce((a, b) => a + b, 0) / known.length : null;
}

function mostOf(counts: ReadonlyMap<number, number>): number {
  let best = Number.NaN;
  for (const [value, count] of counts) if (!(count <= (counts.get(best) ?? 0))) best = value;
  return best;
}

function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor((sorted.length - 1) / 2)] ?? 0;
}
