/** Languages in which the page can be read. The language of the calls is another setting (`words.ts`). */
export const pageLanguages = ['en', 'de'] as const;
export type PageLanguage = (typeof pageLanguages)[number];

/**
 * The texts of one screen, or of one kind of sentence, in every page language. A text with values in it is a function.
 * What one language lacks does not compile.
 */
export type Catalogue<Texts> = Readonly<Record<PageLanguage, Texts>>;

/** German texts that came after their module, by the place of their catalogue. Filled by `screens/german.ts`. */
const later = new Map<string, unknown>();

/**
 * @param place set by the build alone (see `vite.config.ts`), which takes the German texts out of the first load: the
 * module keeps the English ones, and a module of its own brings the German ones to the same place.
 * @example
 * catalogue({ taken: (ml: string) => `Taken: ${ml} mL` }, { taken: (ml) => `Notiert: ${ml} mL` }).de.taken('25') // => 'Notiert: 25 mL'
 */
export function catalogue<Texts>(en: Texts, de: NoInfer<Texts>, place?: string): Catalogue<Texts> {
  if (place === undefined) return { en, de };
  if (de !== undefined) later.set(place, de);
  return {
    en,
    get de() {
      // What is set at a place has the type of the English texts that stand there: both came out of one call.
      return (later.get(place) as Texts | undefined) ?? en;
    },
  };
}

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

/** Of what is answered to calls: German for calls in German, English for any other language. */
export const dayLanguage = (tag: string): PageLanguage => (tag.toLowerCase().split('-')[0] === 'de' ? 'de' : 'en');

/**
 * What keeps its points in a German sentence: words in quotes, DOIs, names of runs, versions; and the decimal points,
 * found last.
 */
const pointed =
  /„[^“]*“|\b10\.\d{4,9}\/\S*|\bLauf\s\S+|\bLäufen?\s[^\s,]+(?:(?:,| und)\s[^\s,]*\d[^\s,]*)*|\d+(?:\.\d+){2,}|(?<=\d)\.(?=\d)/g;

/** Stands behind the points of a name, and before words of a person, until `numbersIn` has passed over them; nobody sees it (Unicode: WORD JOINER). */
const keep = '\u2060';

/**
 * A name that somebody gave, on its way into a sentence: `numbersIn` leaves its points as they are.
 * @example
 * numbersIn('de', `${named('1.5 B')}: 0.25 mL`) // => '1.5 B: 0,25 mL'
 */
export const named = (name: string): string => name.replace(/(?<=\d)\.(?=\d)/g, `.${keep}`);

/**
 * What somebody said or wrote, in quotes, on its way into a sentence: `wordsToSay` leaves it as it is, though it may begin
 * as words to say do.
 * @example
 * numbersIn('en', ownWords('Noted: “done”')) // => 'Noted: “done”'
 */
export const ownWords = (quoted: string): string => quoted.replace(/[“„]/g, `$&${keep}`);

/** Whether what stands between quotes came through `ownWords`. */
export const isOwnWords = (said: string): boolean => said.startsWith(keep);

/**
 * Numbers in a text with the decimal sign as the language writes it. Names in it keep theirs.
 * @example
 * numbersIn('de', '0.25 mL bei 1:20.') // => '0,25 mL bei 1:20.'
 */
export const numbersIn = (language: PageLanguage, text: string): string =>
  (language === 'de' ? text.replace(pointed, (found) => (found === '.' ? ',' : found)) : text).replaceAll(keep, '');
