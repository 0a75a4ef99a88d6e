import { reactions } from '../chemistry/reactions.ts';
import type { PageLanguage } from '../language/page-language.ts';

/** German names of reactions and species, from their records, and of what else stands on a run sheet. */
const german: ReadonlyMap<string, string> = new Map([
  ...reactions.flatMap(({ name, german: said, species }) => [
    [name, said?.name ?? name] as const,
    ...species.map((one) => [one.name, one.german ?? one.name] as const),
  ]),
  ['water', 'Wasser'],
  ['peroxide', 'Peroxid'],
  ['half iodide', 'halbes Iodid'],
  ['quarter iodide', 'viertel Iodid'],
]);

/**
 * The name of a reaction or species in the page's language; as it is where none is known.
 * @example
 * nameIn('iodide', 'de') // => 'Iodid'
 */
export const nameIn = (name: string, language: PageLanguage): string =>
  language === 'de' ? (german.get(name) ?? name) : name;
