import type { PageLanguage } from '../language/page-language.ts';

/** German names of what the reaction records call by an English one. */
const german: ReadonlyMap<string, string> = new Map([
  ['Hydrogen peroxide and iodide', 'Wasserstoffperoxid und Iodid'],
  ['Hydrogen peroxide and catalase', 'Wasserstoffperoxid und Katalase'],
  ['Magnesium and acid', 'Magnesium und Säure'],
  ['Carbonate and acid', 'Carbonat und Säure'],
  ['water', 'Wasser'],
  ['peroxide', 'Peroxid'],
  ['half iodide', 'halbes Iodid'],
  ['quarter iodide', 'viertel Iodid'],
  ['hydrogen peroxide', 'Wasserstoffperoxid'],
  ['iodide', 'Iodid'],
  ['catalase', 'Katalase'],
  ['magnesium', 'Magnesium'],
  ['hydrochloric acid', 'Salzsäure'],
  ['calcium carbonate', 'Calciumcarbonat'],
]);

/**
 * The name of a reaction or species in the page's language; as it is where none is known.
 * @example
 * nameIn('iodide', 'de') // => 'Iodid'
 */
export const nameIn = (name: string, language: PageLanguage): string =>
  language === 'de' ? (german.get(name) ?? name) : name;
