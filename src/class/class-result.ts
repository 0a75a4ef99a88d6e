import { type RateLaw, rateLaw } from '../analysis/rate-law.ts';
import type { Refused } from '../analysis/run-data.ts';
import { arrheniusFactor } from '../analysis/temperature.ts';
import { GAS_CONSTANT } from '../chemistry/constants.ts';
import { rateConstantAt, reactions } from '../chemistry/reactions.ts';
import { type Agreement, agreementOf } from '../numerics/agreement.ts';
import { algorithmA } from '../numerics/algorithm-a.ts';
import { type Combination, combineEstimates } from '../numerics/combine.ts';
import { NumericsError } from '../numerics/errors.ts';
import { type GrubbsResult, grubbsTest } from '../numerics/grubbs.ts';
import { median } from '../numerics/median.ts';
import { type Difference, differencesOf, meanTemperature, otherTemperatureK, usualOf } from './class-differences.ts';
import type { ClassEntry, Lack, Quantity } from './class-entry.ts';

/** What a class found for one quantity. */
export interface ClassResult {
  readonly quantity: string;
  readonly unit: string;
  /** What the combined groups share; null without any. */
  readonly kind: ClassKind | null;
  /** The groups with this reaction, law and unit, in the order they came; those that stand apart included. */
  readonly rows: readonly ClassRow[];
  /** Groups with this reaction and unit whose own runs give another law: drawn beside the others, not combined. */
  readonly beside: readonly ClassRow[];
  /** Groups that are not combined, with the reason; those of `beside` included. */
  readonly apart: readonly { readonly entry: ClassEntry; readonly why: Why }[];
  /** The one judgement: who stands apart, whether the others agree, the class's value. Null without groups. */
  readonly agreement: Agreement | null;
  /** The class's value: `agreement.value`, with the part of the uncertainty that all groups share. */
  readonly value: {
    readonly value: number;
    readonly u: number;
    readonly uLabels: number;
    readonly uReaction: number;
  } | null;
  /** k as published, at the class's temperature; null where none is known or the law is another one. */
  readonly published: { readonly value: number; readonly source: string } | null;
  /** All rows combined in the usual ways, to set beside the class's value. */
  readonly combination: Combination | null;
  /**
   * Mean that a wild group hardly moves, the stated uncertainties left aside: ISO 5725-5, Algorithm A, with 1.25 s/root n
   * for its uncertainty (ISO 13528, from memory). Null with fewer than four groups, or when all say the same.
   */
  readonly robust: { readonly mean: number; readonly u: number; readonly spread: number } | null;
  /** Grubbs' test of the group furthest from the plain mean; `index` counts `rows`. Null likewise. */
  readonly grubbs: GrubbsResult | null;
}

export interface ClassKind {
  readonly reaction: ClassEntry['reaction'];
  readonly orders: ClassEntry['orders'];
  readonly law: string;
  readonly unit: ClassEntry['unit'];
  /** To which every k is brought; null where that cannot be done or is not needed. */
  readonly referenceK: number | null;
  /** Degrees Celsius at which the groups worked, where these differ and no k could be brought to one temperature. */
  readonly unlikeC: { readonly from: number; readonly to: number } | null;
}

export interface ClassRow {
  readonly entry: ClassEntry;
  /** k at the class's law and temperature. */
  readonly quantity: Quantity;
  /** Distance from the mean of the others in units of what that distance may be. */
  readonly z: number;
  readonly standsOut: boolean;
  /** For a group that stands apart or beside: what it did otherwise, or what its runs show. */
  readonly differences: readonly Difference[];
}

/** Why a group is not combined with the others. */
export type Why =
  | Exclude<Lack, { code: 'no-simple-order' }>
  | { readonly code: 'no-conditions'; readonly pressure: boolean; readonly temperature: boolean }
  | { readonly code: 'other-reaction'; readonly reaction: string | null; readonly usual: string | null }
  /** `law`: null where no simple orders fit. */
  | {
      readonly code: 'other-law';
      readonly law: string | null;
      readonly usual: string | null;
      readonly differences: readonly Difference[];
    }
  | { readonly code: 'other-unit' }
  | { readonly code: 'no-quantity'; readonly quantity: string }
  | { readonly code: 'invented' };

/** Quantities that any entry has: k first, then the commonest. */
export function quantitiesOf(entries: readonly ClassEntry[]): string[] {
  const counts = new Map<string, number>();
  for (const entry of entries)
    for (const name of Object.keys(entry.quantities)) counts.set(name, (counts.get(name) ?? 0) + 1);
  const rank = ([name, count]: readonly [string, number]): number => (name === 'k' ? Number.POSITIVE_INFINITY : count);
  return [...counts].sort((a, b) => rank(b) - rank(a)).map(([name]) => name);
}

/**
 * Combines the groups for one quantity. Only groups with the same reaction and, for k, the same law and unit are
 * combined; every other one is named with the reason. Whether the combined groups agree, who stands apart and what the
 * class's value is come from one rule (`numerics/agreement.ts`). Invented notebooks do not count beside real ones.
 * Cost: O(n log n).
 */
export function classResult(entries: readonly ClassEntry[], quantity: string): ClassResult {
  const real = entries.some(({ invented, quantities }) => !invented && usable(quantities[quantity]));
  const counted = entries.filter(({ invented }) => !(real && invented));
  const having = counted.filter(({ quantities }) => usable(quantities[quantity]));
  const members = commonestKind(having, quantity);
  const kind = kindOf(members);
  const given = members.map((entry) => ({ entry, quantity: atClass(entry, quantity, kind) }));
  const judged = judge(given);
  const usual = usualOf(members);
  const centre = judged.agreement?.value.mean ?? null;
  const apart = new Set(judged.agreement?.apart);
  const differencesFrom = (entry: ClassEntry): Difference[] =>
    differencesOf(entry, usual, quantity === 'k' && kind && centre ? factorsOf(entry, kind, centre) : []);
  const rows = given.map((row, i) => ({
    ...row,
    z: judged.agreement?.distances[i] ?? 0,
    standsOut: apart.has(i),
    differences: apart.has(i) ? differencesFrom(row.entry) : [],
  }));
  const together = new Set(members);
  const others = entries
    .filter((entry) => !together.has(entry))
    .map((entry) => ({ entry, why: whyNot(entry, quantity, kind, real, differencesFrom) }));
  const values = given.map((row) => row.quantity.value);
  return {
    quantity,
    unit: given[0]?.quantity.unit ?? '',
    kind,
    rows,
    beside: kind && centre ? others.flatMap((other) => besideOf(other, kind, centre)) : [],
    apart: others,
    ...judged,
    published: quantity === 'k' ? publishedOf(kind) : null,
    combination:
      values.length > 0
        ? combineEstimates(
            values,
            given.map((row) => row.quantity.u),
          )
        : null,
    ...unweighted(values),
  };
}

/**
 * Beyond this, squares of differences over squares of uncertainties leave what a number can hold; and nobody measures to
 * more than fifteen digits.
 */
export const usable = (quantity: Quantity | undefined): boolean =>
  quantity !== undefined &&
  Math.abs(quantity.value) <= Math.min(1e30, 1e15 * quantity.u) &&
  quantity.u >= 1e-30 &&
  quantity.u <= 1e30;

/** What must be the same for two groups to be combined. Orders are numbers whatever the unit of the rates. */
const kindKey = ({ reaction, orders, unit }: ClassEntry, quantity: string): string =>
  JSON.stringify(quantity === 'k' ? [reaction?.id, orders && sortedOrders(orders), unit] : [reaction?.id]);

const sortedOrders = (orders: Readonly<Record<string, number>>) => Object.entries(orders).sort();

/** The commonest kind; of two as common, the one in amounts of gas, then the one with the reaction's usual law. */
function commonestKind(entries: readonly ClassEntry[], quantity: string): readonly ClassEntry[] {
  const kinds = new Map<string, ClassEntry[]>();
  for (const entry of entries) {
    const key = kindKey(entry, quantity);
    const known = kinds.get(key);
    if (known) known.push(entry);
    else kinds.set(key, [entry]);
  }
  const rank = ([first, ...more]: readonly ClassEntry[]): number =>
    first ? 4 * (more.length + 1) + (first.unit === 'amount' ? 2 : 0) + (isUsual(first) ? 1 : 0) : 0;
  return [...kinds.values()].reduce<readonly ClassEntry[]>((best, one) => (rank(one) > rank(best) ? one : best), []);
}

const isUsual = ({ reaction, orders }: Pick<ClassEntry, 'reaction' | 'orders'>): boolean => {
  const known = reactions.find(({ id }) => id === reaction?.id);
  return known !== undefined && orders !== null && Object.entries(orders).every(([s, n]) => known.usualOrders[s] === n);
};

function kindOf(members: readonly ClassEntry[]): ClassKind | null {
  const [first] = members;
  if (!first) return null;
  const kelvin = members.flatMap(({ referenceK }) => (referenceK === null ? [] : [referenceK]));
  const canMove = members.every(({ activation, referenceK }) => activation !== null && referenceK !== null);
  const { reaction, orders, law, unit } = first;
  const referenceK = canMove && kelvin.length > 0 ? median(kelvin) : null;
  return { reaction, orders, law, unit, referenceK, unlikeC: referenceK === null ? unlikeOf(members) : null };
}

function unlikeOf(members: readonly ClassEntry[]): ClassKind['unlikeC'] {
  const celsius = members.flatMap((entry) => meanTemperature(entry) ?? []);
  const [from, to] = [Math.min(...celsius), Math.max(...celsius)];
  return to - from >= otherTemperatureK ? { from, to } : null;
}

/** A rate at the class's temperature over that at the entry's own, and the relative uncertainty that Ea brings. */
function pace({ activation, referenceK }: ClassEntry, kind: ClassKind): { factor: number; uRelative: number } {
  if (kind.referenceK === null || referenceK === null || activation === null) return { factor: 1, uRelative: 0 };
  return {
    factor: arrheniusFactor(kind.referenceK, referenceK, activation.value),
    uRelative: (activation.u / GAS_CONSTANT) * Math.abs(1 / kind.referenceK - 1 / referenceK),
  };
}

/** The entry's quantity; k at the class's temperature. */
function atClass(entry: ClassEntry, quantity: string, kind: ClassKind | null): Quantity {
  const own = entry.quantities[quantity];
  if (!own) throw new Error('a group without the quantity is not combined');
  if (quantity !== 'k' || !kind) return own;
  const { factor, uRelative } = pace(entry, kind);
  return {
    ...own,
    value: own.value * factor,
    u: Math.hypot(own.u * factor, own.value * factor * uRelative),
    uLabels: (own.uLabels ?? 0) * factor,
    uReaction: (own.uReaction ?? 0) * factor,
  };
}

/**
 * Groups with the same bottles share what their labels leave open, and all groups what their reaction does; no averaging
 * lessens that: it is added to the class's value. The comparison keeps it, since equal labels may stand on different
 * bottles.
 */
function judge(rows: readonly { entry: ClassEntry; quantity: Quantity }[]): Pick<ClassResult, 'agreement' | 'value'> {
  if (rows.length === 0) return { agreement: null, value: null };
  const bottles = new Set(rows.map(({ entry }) => JSON.stringify(entry.stocks.map((s) => [s.species, s.strength]))));
  const agreement = agreementOf(
    rows.map(({ quantity }) => quantity.value),
    rows.map(({ quantity }) => quantity.u),
  );
  const { mean, u } = agreement.value;
  const common = (part: 'uLabels' | 'uReaction'): number =>
    Math.abs(mean * median(rows.map(({ quantity: { [part]: u = 0, value } }) => (u ? u / value : 0))));
  const several = rows.length > 1;
  const uLabels = several && bottles.size === 1 ? common('uLabels') : 0;
  const uReaction = several ? common('uReaction') : 0;
  return { agreement, value: { value: mean, u: Math.hypot(u, uLabels, uReaction), uLabels, uReaction } };
}

/** k of each of a group's runs over the class's, at the class's law. */
function factorsOf(entry: ClassEntry, kind: ClassKind, centre: number) {
  const law = lawAt(entry, kind);
  return (law?.perRun ?? []).map(({ label, k, u }) => ({ label, factor: k / centre, u: (u ?? 0) / centre }));
}

/** A group's runs at the class's law and temperature; null where its rates are of another kind. */
function lawAt(entry: ClassEntry, kind: ClassKind): RateLaw['accepted'] {
  if (entry.reaction?.id !== kind.reaction?.id || entry.unit !== kind.unit || !kind.orders) return null;
  if (entry.rows.length === 0) return null;
  const { factor } = pace(entry, kind);
  const scale = factor * (kind.unit === 'volume' ? 1e6 : 1);
  const law = rateLaw(
    entry.rows.map((row) => ({ ...row, rate: row.rate * scale, uRate: row.uRate === null ? null : row.uRate * scale })),
    { orders: kind.orders },
  );
  return law.ok ? law.accepted : null;
}

function whyNot(
  entry: ClassEntry,
  quantity: string,
  kind: ClassKind | null,
  real: boolean,
  differencesFrom: (entry: ClassEntry) => Difference[],
): Why {
  if (entry.invented && real) return { code: 'invented' };
  const { reaction, unit, did, hPa } = entry;
  const offLaw = (law: string | null): Why => ({
    code: 'other-law',
    law,
    usual: kind?.law ?? null,
    differences: differencesFrom(entry),
  });
  const lack = (): Why | null => (entry.lack?.code === 'no-simple-order' ? offLaw(null) : entry.lack);
  if (kind && entry.did.length > 0 && reaction?.id !== kind.reaction?.id)
    return reaction === null && entry.lack
      ? (lack() ?? { code: 'no-quantity', quantity })
      : { code: 'other-reaction', reaction: reaction?.name ?? null, usual: kind.reaction?.name ?? null };
  if (quantity === 'k' && unit === 'volume' && kind?.unit !== 'volume' && did.length > 0 && entry.notebook)
    return {
      code: 'no-conditions',
      pressure: hPa === null,
      temperature: did.some(({ temperatureC }) => temperatureC === null),
    };
  if (!entry.quantities[quantity]) return lack() ?? { code: 'no-quantity', quantity };
  if (kind && unit !== kind.unit && quantity === 'k') return { code: 'other-unit' };
  return offLaw(entry.law);
}

/** A group whose own law is another one, or none, at the law of the class: for the picture. */
function besideOf({ entry, why }: { entry: ClassEntry; why: Why }, kind: ClassKind, centre: number): ClassRow[] {
  if (why.code !== 'other-law') return [];
  const k = lawAt(entry, kind);
  if (!k || k.u === null || !(k.u > 0)) return [];
  return [
    {
      entry,
      quantity: { value: k.k, u: k.u, unit: '' },
      z: (k.k - centre) / k.u,
      standsOut: true,
      differences: why.differences,
    },
  ];
}

/** Runs of all groups of the class's reaction in one law: groups with too few runs for a law of their own count too. */
export function pooledLaw(
  entries: readonly ClassEntry[],
  result: ClassResult,
  names: ReadonlyMap<string, string>,
): { readonly law: RateLaw | Refused; readonly groups: number; readonly runs: number } | null {
  const { kind } = result;
  if (!kind?.reaction) return null;
  const out = new Set([
    ...result.rows.filter(({ standsOut }) => standsOut).map(({ entry }) => entry),
    ...result.apart.filter(({ why }) => why.code !== 'open-order').map(({ entry }) => entry),
  ]);
  const pooled = entries.filter(
    (entry) =>
      !out.has(entry) && entry.reaction?.id === kind.reaction?.id && entry.unit === kind.unit && entry.rows.length > 0,
  );
  const rows = pooled.flatMap((entry) => {
    const { factor } = pace(entry, kind);
    return entry.rows.map((row) => ({
      ...row,
      label: `${names.get(entry.id) ?? entry.name}, ${row.label}`,
      rate: row.rate * factor,
      uRate: row.uRate === null ? null : row.uRate * factor,
    }));
  });
  return { law: rateLaw(rows), groups: pooled.length, runs: rows.length };
}

function publishedOf(kind: ClassKind | null): ClassResult['published'] {
  const known = reactions.find(({ id }) => id === kind?.reaction?.id);
  const [constant] = known?.published ?? [];
  const [activation] = known?.activation ?? [];
  if (!kind || !constant || !activation || kind.unit !== 'amount' || kind.referenceK === null || !isUsual(kind))
    return null;
  const order = Object.values(kind.orders ?? {}).reduce((sum, one) => sum + one, 0);
  // From (m3/mol)^(n-1)/s to (L/mol)^(n-1)/s.
  const value = rateConstantAt(constant, activation.jPerMol, kind.referenceK) * 1000 ** (order - 1);
  return { value, source: constant.source };
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
