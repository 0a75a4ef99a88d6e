import { en } from './words/en.ts';
import type { Words } from './words.ts';

const others: Readonly<Record<string, () => Promise<Words>>> = {
  de: async () => (await import('./words/de.ts')).de,
  fr: async () => (await import('./words/fr.ts')).fr,
  nl: async () => (await import('./words/nl.ts')).nl,
  da: async () => (await import('./words/da.ts')).da,
  nb: async () => (await import('./words/no.ts')).no,
  hi: async () => (await import('./words/hi.ts')).hi,
};

/** The words of a language by its BCP-47 tag; English where there are none. Other languages are fetched when chosen. */
export async function wordsFor(tag: string): Promise<Words> {
  const load = others[tag.split('-')[0]?.toLowerCase() ?? ''];
  return load ? load() : en;
}

/** Languages to choose from: tag and name. Where only the numbers are known, procedure words are English. */
export const languages: readonly { readonly tag: string; readonly name: string }[] = [
  { tag: 'en-US', name: 'English (US)' },
  { tag: 'en-GB', name: 'English (UK)' },
  { tag: 'en-IN', name: 'English (India)' },
  { tag: 'de-DE', name: 'Deutsch' },
  { tag: 'fr-FR', name: 'Français (numbers)' },
  { tag: 'nl-NL', name: 'Nederlands (numbers)' },
  { tag: 'da-DK', name: 'Dansk (numbers)' },
  { tag: 'nb-NO', name: 'Norsk (numbers)' },
  { tag: 'hi-IN', name: 'हिन्दी (numbers)' },
];
