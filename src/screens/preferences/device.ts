import { createRoot, createSignal } from 'solid-js';
import { defaultPreferences, loadPreferences, type Preferences, savePreferences } from '../../bench/preferences.ts';
import { pageLanguageFor } from '../../language/page-language.ts';
import { germanIsHere, loadGerman } from '../german.ts';

/**
 * The preferences of this device; loaded once, kept at every change. One value outside of the desk, because language and
 * theme are set on the document, of which there is one.
 */
const device = createRoot(() => {
  const [preferences, set] = createSignal<Preferences>(defaultPreferences);
  const show = (next: Preferences): void => {
    const language = pageLanguageFor(next.pageLanguage, navigator.languages);
    set(next);
    const late = language === 'de' && !germanIsHere();
    // A new value, so that every text is looked up again now that it is there.
    if (late) void loadGerman().then(() => show({ ...preferences() }));
    document.documentElement.lang = late ? 'en' : language;
    if (next.theme === 'system') delete document.documentElement.dataset.theme;
    else document.documentElement.dataset.theme = next.theme;
  };
  /** What was chosen before it was known what is kept here. */
  let early: Partial<Preferences> | null = {};
  const loaded = loadPreferences().then((kept) => {
    show({ ...kept, ...early });
    early = null;
  });
  return {
    preferences,
    /** Resolves once what was kept on this device is known. */
    loaded,
    prefer(change: Partial<Preferences>): void {
      if (early) Object.assign(early, change);
      show({ ...preferences(), ...change });
      // After that: a choice made early must not keep the defaults in place of what is kept.
      void loaded.then(() => savePreferences(preferences()));
    },
  };
});

export const { preferences, loaded, prefer } = device;
