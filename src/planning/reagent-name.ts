import { speciesRecord } from '../chemistry/species.ts';
import type { Plan } from '../log/plan.ts';

/** A bottle, a dilution or water, as it may be named at the bench. */
export interface NamedSolution {
  readonly id: string;
  readonly name: string;
  /** Species key, null for water. */
  readonly species: string | null;
}

export type ReagentMatch =
  | { readonly kind: 'one'; readonly solution: NamedSolution; readonly why: string }
  | { readonly kind: 'several'; readonly solutions: readonly NamedSolution[] }
  | { readonly kind: 'none' };

/**
 * Stocks, dilutions and water of a plan. A dilution has the species of what it is made from.
 *
 * @param water what water is called in the language of the sentence
 */
export function solutionsOf(plan: Plan, water = 'water'): readonly NamedSolution[] {
  const stocks = plan.stocks.map(({ id, name, species }) => ({ id, name, species }));
  const dilutions = plan.dilutions.map(({ id, name }) => ({ id, name, species: speciesOf(plan, id) }));
  return [...stocks, ...dilutions, { id: 'water', name: water, species: null }];
}

/** Species of a solution, following dilutions to their stock; null for water, for what is missing, and for a circle. */
export function speciesOf(plan: Plan, solution: string): string | null {
  let id = solution;
  for (let step = 0; step <= plan.dilutions.length; step++) {
    const stock = plan.stocks.find((entry) => entry.id === id);
    if (stock) return stock.species;
    const dilution = plan.dilutions.find((entry) => entry.id === id);
    if (!dilution) return null;
    id = dilution.from;
  }
  return null;
}

const waterNames = 'water distilled deionised deionized pure wasser destilliertes entionisiertes reines';
const noise = new Set([
  'of',
  'the',
  'a',
  'an',
  'solution',
  'stock',
  'bottle',
  'from',
  'ml',
  'millilitres',
  'milliliters',
  'and',
  'von',
  'vom',
  'der',
  'die',
  'das',
  'lösung',
  'flasche',
  'milliliter',
  'und',
]);

/**
 * Which solution of the plan a spoken name means. Every word said is looked for in the solution's name and among
 * the usual spoken names of its species: alike to the letter counts 1, one letter off in a word of five or more (two
 * in eight or more) counts 0.8, anything else 0. The solution with the highest share of words found wins if that share
 * is at least a half; between equals first one that the run at hand gets, then the one whose own name was said more
 * completely. What is still equal is not decided here.
 *
 * @param inRun ids of the solutions planned for the flask at hand
 */
export function matchReagent(
  said: string,
  solutions: readonly NamedSolution[],
  inRun: readonly string[],
): ReagentMatch {
  const words = wordsOf(said);
  if (words.length === 0) return { kind: 'none' };
  const ranked = solutions
    .map((solution) => {
      const own = wordsOf(solution.name);
      const usual = wordsOf(
        solution.species === null ? waterNames : (speciesRecord(solution.species)?.saidAs ?? solution.species),
      );
      const found = words.map((word) => likeness(word, [...own, ...usual]));
      const share = found.reduce((sum, part) => sum + part, 0) / words.length;
      const complete = own.filter((word) => likeness(word, words) > 0).length / Math.max(1, own.length);
      return { solution, share, here: inRun.includes(solution.id) ? 1 : 0, complete };
    })
    .filter((entry) => entry.share >= 0.5)
    .sort((a, b) => b.share - a.share || b.here - a.here || b.complete - a.complete);
  const [best, second] = ranked;
  if (!best) return { kind: 'none' };
  const same = (entry: typeof best): boolean =>
    entry.share === best.share && entry.here === best.here && entry.complete === best.complete;
  if (second && same(second)) return { kind: 'several', solutions: ranked.filter(same).map((entry) => entry.solution) };
  const exact = best.share === 1 && best.complete === 1;
  const why = exact
    ? 'named as on the run sheet'
    : `"${said.trim()}" is nearest to "${best.solution.name}"${best.here ? ' of this run' : ''}`;
  return { kind: 'one', solution: best.solution, why };
}

const wordsOf = (text: string): string[] =>
  text
    .toLowerCase()
    .replace(/\bpercent\b|%/g, ' % ')
    .replace(/\bh (?:two|2) o (?:two|2)\b/g, 'h2o2')
    .replace(/\bk i\b/g, 'ki')
    .split(/[^\p{L}\p{N}.%]+/u)
    .map((word) => word.replace(/^\.+|\.+$/g, ''))
    .filter((word) => word !== '' && !noise.has(word));

function likeness(word: string, candidates: readonly string[]): number {
  let best = 0;
  for (const candidate of candidates) {
    if (candidate === word) return 1;
    const shorter = Math.min(word.length, candidate.length);
    const allowed = shorter >= 8 ? 2 : shorter >= 5 ? 1 : 0;
    if (allowed > 0 && distanceWithin(word, candidate, allowed)) best = 0.8;
  }
  return best;
}

/** Whether at most `most` letters must be put in, left out or changed. Cost: O(length²) of two words. */
function distanceWithin(a: string, b: string, most: number): boolean {
  if (Math.abs(a.length - b.length) > most) return false;
  let row = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(change, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return (row[b.length] ?? 0) <= most;
}
