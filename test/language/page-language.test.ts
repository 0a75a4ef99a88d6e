import { expect, test } from 'vitest';
import { catalogue, pageLanguageFor } from '../../src/language/page-language.ts';

test('the page follows the browser unless a language was chosen', () => {
  expect(pageLanguageFor('system', ['de-CH', 'en'])).toBe('de');
  expect(pageLanguageFor('system', ['fr-FR', 'en-GB'])).toBe('en');
  expect(pageLanguageFor('system', ['fr-FR'])).toBe('en');
  expect(pageLanguageFor('en', ['de'])).toBe('en');
});

test('a catalogue gives each language its own texts', () => {
  const texts = catalogue({ marks: (n: number) => `${n} marks` }, { marks: (n) => `${n} Marken` });
  expect(texts.en.marks(2)).toBe('2 marks');
  expect(texts.de.marks(2)).toBe('2 Marken');
});
