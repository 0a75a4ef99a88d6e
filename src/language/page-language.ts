/** Languages in which the page can be read. The language of the calls is another setting (`words.ts`). */
export const pageLanguages = ['en', 'de'] as const;
export type PageLanguage = (typeof pageLanguages)[number];

/**
 * The texts of one screen, or of one kind of sentence, in every page language. A text with values in it is a function.
 * What one language lacks does not compile.
 */
export type Catalogue<Texts> = Readonly<Record<PageLanguage, Texts>>;

/**
 * @example
 * catalogue({ taken: (ml: string) => `Taken: ${ml} mL` }, { taken: (ml) => `Notiert: ${ml} mL` }).de.taken('25') // => 'Notiert: 25 mL'
 */
export const catalogue = <Texts>(en: Texts, de: NoInfer<Texts>): Catalogue<Texts> => ({ en, de });

/**
 * The page language: the chosen one, else the first that the browser lists and the page has, else English.
 * @param wanted 'system' follows the browser
 * @param browserLanguages BCP-47 tags, most wanted first (`navigator.languages`)
 * @example
 * pageLanguageFor('system', ['fr-FR', 'de-AT']) // => 'de'
 */
export function pageLanguageFor(wanted: 'system' | PageLanguage, browserLanguages: readonly string[]): PageLanguage {
  if (wanted !== 'system') return wanted;
  for (const tag of browserLanguages) {
    const known = pageLanguages.find((language) => language === tag.toLowerCase().split('-')[0]);
    if (known) return known;
  }
  return 'en';
}
