import { expect, test } from 'vitest';
import { catalogue, named, numbersIn, pageLanguageFor } from '../../src/language/page-language.ts';

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

test('figures in a German sentence have a decimal comma', () => {
  const sentence = 'Lauf 2, 2.5 s: 0.25 mL, dann (12.5 ± 0.3) mL bei 1:20. 10.5/2 = 5.25.';
  expect(numbersIn('de', sentence)).toBe(sentence.replace(/(\d)\.(?=\d)/g, '$1,'));
  expect(numbersIn('en', sentence)).toBe(sentence);
});

test.each([
  'Lauf 2.1 hat begonnen',
  'Lauf A2.1 hat begonnen',
  'Läufe A1.1, 2.1 und B3.1: Sie sind wärmer.',
  'Läufe 1.1, 2.1 und 3.1: Sie sind wärmer.',
  'Notiert: „pH 7.4“',
  'der Name „Versuch 1.2“ des Hefts',
  'Sander, 2023 (doi:10.5194/acp-23-10901-2023)',
  'https://doi.org/10.1021/ed064p1008.',
  'Version 1.2.3',
])('names, words in quotes and addresses keep their points: %s', (sentence) => {
  expect(numbersIn('de', sentence)).toBe(sentence);
});

test.each(['1.5 B', 'Gruppe 2.10', '10.5', 'KI 0.1 M'])('a name keeps its points wherever it stands: %s', (name) => {
  const sentence = (text: string): string => `${text} weicht ab: 2.5 mL ${text}, 0.25 mL.`;
  expect(numbersIn('de', sentence(named(name)))).toBe(`${name} weicht ab: 2,5 mL ${name}, 0,25 mL.`);
  expect(numbersIn('en', sentence(named(name)))).toBe(sentence(name));
});
