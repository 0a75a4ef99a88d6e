import type { PageLanguage } from '../language/page-language.ts';
import { adviceTexts } from './advice-texts.ts';

/**
 * What a set of runs can tell: which runs isolate which species, and which orders the design cannot give. Works on
 * starting concentrations alone.
 */

/** A run as a point of the design. */
export interface DesignPoint {
  readonly label: string;
  /** Starting concentration in the mixed flask by species, mol/L (any unit: only ratios count). */
  readonly concentrations: Readonly<Record<string, number>>;
  /** Degrees Celsius; null when not stated (taken as the same for all). */
  readonly temperatureC: number | null;
}

/** Concentrations nearer than this (relative) count as the same: below what measuring out can tell apart. */
const sameWithin = 0.02;
/** Temperatures nearer than this count as the same, K. */
const sameTemperature = 0.5;
/** Least spread of ln c (standard deviation, what the other species explain taken off) that gives an order: 5 %. */
const leastSpread = 0.05;

/** "Runs 1 and 2 differ only in iodide: they give its order." One sentence per finding, most useful first. */
export function isolations(
  points: readonly DesignPoint[],
  species: readonly string[],
  nameOf: (species: string) => string,
  language: PageLanguage = 'en',
): string[] {
  const t = adviceTexts[language];
  const sentences: string[] = [];
  for (const wanted of species) {
    const found = new Set<string>();
    for (const point of points) {
      const group = points.filter(
        (other) =>
          sameHeat(other, point) &&
          species.every((key) => key === wanted || same(other.concentrations[key], point.concentrations[key])),
      );
      if (!group.some((other) => !same(other.concentrations[wanted], point.concentrations[wanted]))) continue;
      found.add(runs(group, language));
    }
    for (const group of found) sentences.push(t.differOnly(group, nameOf(wanted)));
  }
  const alike = new Set<string>();
  const heated = new Set<string>();
  for (const point of points) {
    const mixed = points.filter((other) =>
      species.every((key) => same(other.concentrations[key], point.concentrations[key])),
    );
    const twins = mixed.filter((other) => sameHeat(other, point));
    if (twins.length > 1) alike.add(runs(twins, language));
    if (mixed.some((other) => !sameHeat(other, point))) heated.add(runs(mixed, language));
  }
  for (const group of alike) sentences.push(t.alike(group));
  for (const group of heated) sentences.push(t.differInHeat(group));
  return sentences;
}

/** Orders that this design cannot give, in words. Empty when all of them can be found. */
export function missingOrders(
  points: readonly DesignPoint[],
  species: readonly string[],
  nameOf: (species: string) => string,
  language: PageLanguage = 'en',
): string[] {
  const t = adviceTexts[language];
  const sentences: string[] = [];
  const usable = points.filter((point) => species.every((key) => (point.concentrations[key] ?? 0) > 0));
  if (usable.length === 0) return sentences;
  if (usable.length === 1) return species.length === 0 ? [] : [t.oneRun];
  const logs = (key: string): number[] => usable.map((point) => Math.log(point.concentrations[key] ?? 1));
  const still: string[] = [];
  for (const key of species) {
    if (spreadLeft(logs(key), []) >= leastSpread) continue;
    still.push(key);
    sentences.push(t.notVaried(nameOf(key)));
  }
  const moving = species.filter((key) => !still.includes(key));
  const tied = moving.filter(
    (key) => spreadLeft(logs(key), moving.filter((other) => other !== key).map(logs)) < leastSpread,
  );
  if (tied.length > 1) sentences.push(t.together(joined(tied.map(nameOf), t.and)));
  return sentences;
}

/**
 * Standard deviation of `y` that is left after its least-squares fit on a constant and the columns `others`
 * (Gram-Schmidt). Cost: O(n m^2) for n runs and m species; both are few.
 */
function spreadLeft(y: readonly number[], others: readonly (readonly number[])[]): number {
  const basis: number[][] = [];
  const freed = (column: readonly number[]): number[] => {
    let rest = [...column];
    for (const unit of basis) {
      const part = rest.reduce((sum, value, i) => sum + value * (unit[i] ?? 0), 0);
      rest = rest.map((value, i) => value - part * (unit[i] ?? 0));
    }
    return rest;
  };
  const norm = (column: readonly number[]): number => Math.hypot(...column);
  for (const column of [y.map(() => 1), ...others]) {
    const rest = freed(column);
    const length = norm(rest);
    // What is left of a column that the ones before it explain is rounding, not a direction.
    if (length > 1e-9 * Math.max(1, norm(column))) basis.push(rest.map((value) => value / length));
  }
  return norm(freed(y)) / Math.sqrt(Math.max(1, y.length - 1));
}

const same = (a = 0, b = 0): boolean => a === b || Math.abs(a - b) <= sameWithin * Math.max(a, b);

const sameHeat = (a: DesignPoint, b: DesignPoint): boolean =>
  a.temperatureC === null || b.temperatureC === null || Math.abs(a.temperatureC - b.temperatureC) <= sameTemperature;

const runs = (points: readonly DesignPoint[], language: PageLanguage): string =>
  adviceTexts[language].runs(
    joined(
      points.map((point) => point.label),
      adviceTexts[language].and,
    ),
    true,
  );

/** "1, 2 and 3". */
export function joined(parts: readonly string[], joint: string): string {
  const last = parts.at(-1) ?? '';
  return parts.length < 2 ? last : `${parts.slice(0, -1).join(', ')} ${joint} ${last}`;
}
