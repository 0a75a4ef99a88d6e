import { held, named, nth } from '../numerics/nth.ts';
import type { LawRow } from './law-row.ts';

/** An order that the design of the runs leaves open. */
export interface OrderProblem {
  readonly species: string;
  readonly kind: 'constant' | 'confounded' | 'too-few-runs';
  /** Other species that it cannot be told from. */
  readonly with: readonly string[];
  readonly sentence: string;
}

/**
 * Which orders the starting concentrations can tell. Taken one by one, most varied first; a species whose ln(c) is,
 * but for rounding, a combination of those already taken (and a constant) is named with the reason: the same in all
 * runs, or changing only together with others. One part in 10^4 of change counts as none.
 */
export function identifyOrders(
  rows: readonly LawRow[],
  species: readonly string[],
): {
  readonly told: readonly string[];
  /** Of each group that cannot be told apart, those whose columns must stay in the fit to account for the group. */
  readonly standIns: readonly string[];
  readonly problems: readonly OrderProblem[];
} {
  const problems: OrderProblem[] = [];
  const labels = rows.map((row) => row.label);
  const centred = new Map<string, number[]>();
  for (const name of species) {
    const logs = rows.map((row) => Math.log(named(row.concentrations, name).value));
    const mean = logs.reduce((sum, x) => sum + x, 0) / logs.length;
    centred.set(
      name,
      logs.map((x) => x - mean),
    );
  }
  const basis: { name: string; direction: number[] }[] = [];
  // The first-named of two confounded species keeps its column in the fit, to account for both; its order means
  // nothing by itself, so both are reported and neither is given.
  const confounded = new Set<string>();
  for (const name of species) {
    const column = [...held(centred, name)];
    const before = Math.hypot(...column);
    if (before < 1e-4) {
      problems.push({
        species: name,
        kind: rows.length < 2 ? 'too-few-runs' : 'constant',
        with: [],
        sentence:
          rows.length < 2
            ? `One run cannot tell the order in ${name}.`
            : `${runsOf(labels)} all have the same ${name}, so its order cannot be told.`,
      });
      continue;
    }
    const shares: { name: string; share: number }[] = [];
    for (let pass = 0; pass < 2; pass++) {
      for (const { name: other, direction } of basis) {
        const dot = column.reduce((sum, x, i) => sum + x * nth(direction, i), 0);
        if (pass === 0) shares.push({ name: other, share: Math.abs(dot) / before });
        for (const [i, x] of column.entries()) column[i] = x - dot * nth(direction, i);
      }
    }
    const after = Math.hypot(...column);
    if (after < 1e-4 * Math.max(before, 1)) {
      const others = shares.filter(({ share }) => share > 1e-3).map((entry) => entry.name);
      for (const other of [name, ...others]) confounded.add(other);
      continue;
    }
    basis.push({ name, direction: column.map((x) => x / after) });
  }
  const told = basis.map(({ name }) => name).filter((name) => !confounded.has(name));
  for (const name of confounded) {
    const others = [...confounded].filter((other) => other !== name);
    problems.push({
      species: name,
      kind: rows.length <= told.length + 1 ? 'too-few-runs' : 'confounded',
      with: others,
      sentence:
        rows.length < species.length + 1
          ? `${count(rows.length)} cannot tell ${count2(species.length)} apart: ${name} changes only together with ${others.join(' and ')}. A run in which ${name} alone changes would tell.`
          : `${name} changes only together with ${others.join(' and ')}, so their orders cannot be told apart. A run in which ${name} alone changes would tell.`,
    });
  }
  const standIns = basis.map(({ name }) => name).filter((name) => confounded.has(name));
  return { told, standIns, problems };
}

function runsOf(labels: readonly string[]): string {
  if (labels.length <= 4) return `Runs ${labels.slice(0, -1).join(', ')} and ${labels.at(-1)}`;
  return `All ${labels.length} runs`;
}

const count = (runs: number): string => (runs === 1 ? 'One run' : `${runs} runs`);
const count2 = (orders: number): string => (orders === 1 ? 'one order' : `${orders} orders`);
