import { checksumOf } from '../log/checksum.ts';
import { algorithmA } from '../numerics/algorithm-a.ts';
import { type Combination, combineEstimates } from '../numerics/combine.ts';
import { NumericsError } from '../numerics/errors.ts';
import { type GrubbsResult, grubbsTest } from '../numerics/grubbs.ts';
import { median } from '../numerics/median.ts';
import { figureText, roundByUncertainty } from '../results/round-by-uncertainty.ts';
import { type Cell, type Column, type ColumnOf, plainFigure, type Table, tableOf, textCell } from '../results/table.ts';
import { differencesOf, usualOf } from './class-differences.ts';
import type { ClassEntry, Quantity } from './class-entry.ts';
import type { ForestPlot } from './forest-svg.ts';

/** What a class found for one quantity. */
export interface ClassResult {
  readonly quantity: string;
  readonly unit: string;
  /** The groups that can be combined, in the order they came. */
  readonly rows: readonly ClassRow[];
  /** Groups that cannot, with the reason. */
  readonly apart: readonly { readonly entry: ClassEntry; readonly why: string }[];
  /** Null with fewer than one group. */
  readonly combination: Combination | null;
  /**
   * Mean that a wild group hardly moves, the stated uncertainties left aside: ISO 5725-5, Algorithm A, with 1.25 s/root n
   * for its uncertainty (ISO 13528, from memory). Null with fewer than four groups, or when all say the same.
   */
  readonly robust: { readonly mean: number; readonly u: number; readonly spread: number } | null;
  /** Grubbs' test of the group furthest from the plain mean; `index` counts `rows`. Null likewise. */
  readonly grubbs: GrubbsResult | null;
}

export interface ClassRow {
  readonly entry: ClassEntry;
  readonly quantity: Quantity;
  /** Distance from the middle of the others in units of what they scatter. */
  readonly z: number;
  readonly standsOut: boolean;
  /** For a group that stands out: by how much, and what it did otherwise. */
  readonly differences: readonly string[];
}

/** |z| from which a group stands out (one clean group in 370 does by chance). */
const outlying = 3;

/** Quantities that any entry has, commonest first. */
export function quantitiesOf(entries: readonly ClassEntry[]): string[] {
  const counts = new Map<string, number>();
  for (const entry of entries)
    for (const name of Object.keys(entry.quantities)) counts.set(name, (counts.get(name) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1]).map(([name]) => name);
}

/**
 * Combines the groups for one quantity. k is compared only among groups of the commonest kind (same reaction, same
 * accepted orders, same unit): others are named as such. Whether a group stands out is judged against the median of all
 * and a spread from the median absolute deviation, so that one wild group cannot hide behind the spread it makes.
 * Cost: O(n log n).
 */
export function classResult(entries: readonly ClassEntry[], quantity: string): ClassResult {
  const apart: { entry: ClassEntry; why: string }[] = [];
  const having: { entry: ClassEntry; quantity: Quantity }[] = [];
  for (const entry of entries) {
    const found = entry.quantities[quantity];
    if (found && Math.abs(found.value) <= 1e100 && found.u >= 1e-100 && found.u <= 1e100)
      having.push({ entry, quantity: found });
    else apart.push({ entry, why: entry.missing ?? `There is no ${quantity} in it.` });
  }
  const kind = quantity === 'k' ? commonest(having.map(({ entry }) => entry.kind)) : null;
  const together = having.filter(({ entry }) => kind === null || entry.kind === kind);
  for (const { entry } of having)
    if (kind !== null && entry.kind !== kind) apart.push({ entry, why: `Its k is of another kind: ${entry.law}.` });
  const values = together.map((row) => row.quantity.value);
  const us = together.map((row) => row.quantity.u);
  const usual = usualOf(together.map(({ entry }) => entry));
  const scale = robustScale(values, us);
  const rows = together.map(({ entry, quantity: own }): ClassRow => {
    const z = (own.value - scale.middle) / Math.hypot(own.u, scale.between);
    const standsOut = together.length >= 4 && Math.abs(z) > outlying;
    return {
      entry,
      quantity: own,
      z,
      standsOut,
      differences: standsOut ? [offText(own.value, scale.middle), ...differencesOf(entry, usual)] : [],
    };
  });
  return {
    quantity,
    unit: together[0]?.quantity.unit ?? '',
    rows,
    apart,
    combination: values.length > 0 ? combineEstimates(values, us) : null,
    ...unweighted(values),
  };
}

/** What the values say by themselves, from four groups on. */
function unweighted(values: readonly number[]): Pick<ClassResult, 'robust' | 'grubbs'> {
  if (values.length < 4) return { robust: null, grubbs: null };
  try {
    const grubbs = grubbsTest(values);
    const { mean, standardDeviation: spread } = algorithmA(values);
    return { robust: { mean, u: (1.25 * spread) / Math.sqrt(values.length), spread }, grubbs };
  } catch (error) {
    if (error instanceof NumericsError) return { robust: null, grubbs: null };
    throw error;
  }
}

function commonest(kinds: readonly string[]): string | null {
  const counts = new Map<string, number>();
  for (const kind of kinds) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  let best: string | null = null;
  for (const [kind, count] of counts) if (best === null || count > counts.get(best)!) best = kind;
  return best;
}

/** Median of the values, and what they scatter beyond their own uncertainties: sqrt(max(0, (1.4826 MAD)^2 - median u^2)). */
function robustScale(values: readonly number[], us: readonly number[]): { middle: number; between: number } {
  if (values.length === 0) return { middle: 0, between: 0 };
  const middle = median(values);
  const mad = median(values.map((value) => Math.abs(value - middle)));
  return { middle, between: Math.sqrt(Math.max(0, (1.4826 * mad) ** 2 - median(us) ** 2)) };
}

function offText(value: number, middle: number): string {
  const percent = Math.round(Math.abs(value / middle - 1) * 100);
  return middle !== 0 && Number.isFinite(percent)
    ? `${percent} % ${value > middle ? 'above' : 'below'} the middle of the class`
    : `${value > middle ? 'above' : 'below'} the middle of the class`;
}

/** Names that several groups have, as `namesOf` does not leave them. */
export function namesakesOf(entries: readonly ClassEntry[]): string[] {
  const seen = new Set<string>();
  const twice = new Set<string>();
  for (const { name } of entries) (seen.has(name) ? twice : seen).add(name);
  return [...twice];
}

/**
 * A name of its own for every group, by id: the notebook's, with a number where several have the same; or numbers that
 * follow neither the order of arrival nor the name.
 */
export function namesOf(entries: readonly ClassEntry[], anonymous: boolean): ReadonlyMap<string, string> {
  if (!anonymous) {
    const taken = new Set(entries.map(({ name }) => name));
    const counts = new Map(namesakesOf(entries).map((name) => [name, 0]));
    return new Map(
      entries.map(({ id, name }) => {
        let own = name;
        for (let count = counts.get(name); count !== undefined && taken.has(own); ) {
          count += 1;
          counts.set(name, count);
          own = `${name} (${count})`;
        }
        taken.add(own);
        return [id, own];
      }),
    );
  }
  const shuffled = entries.map((entry) => ({ id: entry.id, by: checksumOf([entry.id, 'order']) }));
  shuffled.sort((a, b) => (a.by < b.by ? -1 : 1));
  return new Map(shuffled.map(({ id }, i) => [id, `Group ${i + 1}`]));
}

/** The groups as a table to copy or save. */
export function classTable(result: ClassResult, names: ReadonlyMap<string, string>): Table {
  const columns: ColumnOf<ClassRow>[] = [
    { key: 'group', label: 'group', kind: 'text', cell: ({ entry }) => textCell(names.get(entry.id) ?? '') },
    {
      key: 'value',
      label: heading(result),
      kind: 'figure',
      cell: ({ quantity }) => plainFigure(quantity.value, quantity.u),
    },
    { key: 'z', label: 'z', kind: 'text', cell: ({ z }) => textCell(z.toFixed(2)) },
    { key: 'stands_out', label: 'stands out', kind: 'text', cell: ({ standsOut }) => textCell(standsOut ? 'yes' : '') },
    { key: 'law', label: 'rate law', kind: 'text', cell: ({ entry }) => textCell(entry.law) },
    {
      key: 'set_aside',
      label: 'readings set aside',
      kind: 'text',
      cell: ({ entry: { did } }) =>
        textCell(did.length === 0 ? '' : String(did.reduce((sum, run) => sum + run.setAside, 0))),
    },
    {
      key: 'differences',
      label: 'what it did otherwise',
      kind: 'text',
      cell: ({ differences }) => textCell(differences.join('; ')),
    },
  ];
  const notes = result.apart.map(({ entry, why }) => `${names.get(entry.id) ?? ''}: not combined. ${why}`);
  return tableOf(`The class: ${heading(result)}`, columns, result.rows, notes);
}

const heading = ({ quantity, unit }: ClassResult): string => (unit === '' ? quantity : `${quantity} (${unit})`);

/** The ways of combining, side by side, with what they mean. */
export function pooledTable({ combination, unit, robust, grubbs }: ClassResult): Table {
  const columns: Column[] = [
    { key: 'method', label: 'combined by', kind: 'text' },
    { key: 'mean', label: unit === '' ? 'mean' : `mean (${unit})`, kind: 'figure' },
    { key: 'between', label: 'spread between groups', kind: 'text' },
    { key: 'means', label: 'in words', kind: 'text' },
  ];
  if (!combination) return { title: 'Combined', columns, rows: [], notes: [] };
  const { weighted, enlarged, derSimonianLaird: dl, mandelPaule: mp } = combination;
  const row = (name: string, { mean, u }: { mean: number; u: number }, tau: number | null, words: string): Cell[] => [
    textCell(name),
    plainFigure(mean, u),
    textCell(tau === null ? '' : tau === 0 ? '0' : tau.toPrecision(4)),
    textCell(words),
  ];
  const { q, degreesOfFreedom: df, probability, birgeRatio, iSquared } = combination;
  return {
    title: 'Combined',
    columns,
    rows: [
      row('weighted mean', weighted, null, 'all measured the same and know their uncertainty'),
      row('weighted mean, u × Birge ratio', enlarged, null, 'all uncertainties are too small by the same factor'),
      row('DerSimonian-Laird', dl, Math.sqrt(dl.tauSquared), 'groups differ, by moments'),
      row('Mandel-Paule', mp, Math.sqrt(mp.tauSquared), 'groups differ, so that the spread is just accounted for'),
      ...(robust && robust.u > 0
        ? [row('robust mean (Algorithm A)', robust, robust.spread, 'a wild group hardly counts; stated u left aside')]
        : []),
    ],
    notes:
      birgeRatio === null || probability === null
        ? ['One group: there is nothing to combine.']
        : [
            ...(grubbs ? [grubbsNote(grubbs)] : []),
            `Q = ${q.toPrecision(4)} on ${df} degrees of freedom (probability ${probability < 1e-4 ? '< 0.0001' : probability.toPrecision(2)}); Birge ratio ${birgeRatio.toPrecision(4)}; I² ${(100 * iSquared).toFixed(1)} %.`,
            probability < 0.05
              ? 'The groups differ by more than their uncertainties say: take a mean that allows for that.'
              : 'The groups agree within their uncertainties.',
          ],
  };
}

function grubbsNote({ statistic, probability }: GrubbsResult): string {
  const chance = probability < 1e-4 ? '< 0.0001' : probability.toPrecision(2);
  const verdict = probability < 0.05 ? 'it does not belong to them by chance' : 'chance alone puts one that far';
  return `The group furthest from the plain mean is ${statistic.toPrecision(3)} standard deviations away; Grubbs' test (probability ${chance}): ${verdict}.`;
}

/** All groups with two standard uncertainties either way, pooled values at the foot. */
export function classForest(result: ClassResult, names: ReadonlyMap<string, string>): ForestPlot {
  const { combination } = result;
  const best = combination
    ? figureText(roundByUncertainty(combination.mandelPaule.mean, combination.mandelPaule.u))
    : '';
  const pooled = (name: string, { mean, u }: { mean: number; u: number }) => ({ name, value: mean, half: 2 * u });
  return {
    title: `The class: ${heading(result)}`,
    description: `${result.rows.length} groups with intervals of two standard uncertainties; Mandel-Paule mean ${best} ${result.unit}; ${result.rows.filter((row) => row.standsOut).length} stand out.`,
    xLabel: heading(result),
    rows: result.rows.map(({ entry, quantity, standsOut }) => ({
      name: names.get(entry.id) ?? '',
      value: quantity.value,
      half: 2 * quantity.u,
      outlying: standsOut,
    })),
    pooled: combination
      ? [
          pooled('weighted mean', combination.enlarged),
          pooled('DerSimonian-Laird', combination.derSimonianLaird),
          pooled('Mandel-Paule', combination.mandelPaule),
        ]
      : [],
  };
}
