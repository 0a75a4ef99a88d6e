import { type Catalogue, numbersIn, type PageLanguage, pageLanguageFor } from '../language/page-language.ts';
import { preferences } from './preferences/device.ts';

/** The language in which the page is read now; follows the setting. */
export const pageLanguage = (): PageLanguage => pageLanguageFor(preferences().pageLanguage, navigator.languages);

/**
 * The texts of a catalogue in the page's language, as an accessor: `const t = textsOf(texts)`, then `t().title`.
 * Each screen folder keeps its catalogue in a file `texts.ts`.
 */
export const textsOf =
  <Texts>(texts: Catalogue<Texts>): (() => Texts) =>
  () =>
    texts[pageLanguage()];

/** Numbers in a text as the page's language writes them. */
export const local = (text: string): string => numbersIn(pageLanguage(), text);
