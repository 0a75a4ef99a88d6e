/**
 * Some systems hand the browser a language that `Intl` refuses (`en-US@posix`, after the locale "POSIX"). A library
 * that formats numbers with it as it loads would take its screen down; it gets the language that `Intl` itself uses.
 */
export function makeLanguageSafe(browser: { readonly language: string } = navigator): void {
  try {
    // Looks at the tag alone; a formatter would load the tables of the language before anything is seen.
    Intl.getCanonicalLocales(browser.language);
  } catch {
    const { locale } = new Intl.NumberFormat().resolvedOptions();
    Object.defineProperty(browser, 'language', { value: locale, configurable: true });
  }
}
