import { expect, test } from 'vitest';
import { callWords, wordsToSay } from '../../src/language/call-words.ts';
import { ownWords } from '../../src/language/page-language.ts';
import { commandNames, commandRow } from '../../src/language/spoken-commands.ts';

test('every word that a sentence teaches is a command, the same one in both languages', () => {
  const { of: _, one: __, water: ___, ...en } = callWords('en-US');
  const de = callWords('de-AT');
  for (const [name, english] of Object.entries(en)) {
    const german = de[name as keyof typeof en].toLowerCase();
    const rows = commandNames.filter((command) => {
      const { words } = commandRow(command);
      return words.en.said.includes(english) && words.de.said.includes(german);
    });
    expect(rows, `${english}, ${german}`).toHaveLength(1);
  }
});

test('the words to say are in the language of the calls, with their numbers; the sentence and other quotes stay', () => {
  expect(wordsToSay('„Fertig“ sagen, wenn es so weit ist.', 'de', 'en-US')).toBe('„Done“ sagen, wenn es so weit ist.');
  expect(wordsToSay('Say “poured 2.5 of iodide” when it is in.', 'en', 'de-DE')).toBe(
    'Say “eingegossen 2,5 von iodide” when it is in.',
  );
  expect(wordsToSay('„Start Lauf eins“ sagen.', 'de', 'en')).toBe('„start run one“ sagen.');
  expect(wordsToSay('„Eingegossen 2,5 von Iodid“', 'de', 'en')).toBe('„Poured 2.5 of Iodid“');
  expect(wordsToSay('“1 volume” is read as 2 mol/L', 'en', 'de')).toBe('“1 volume” is read as 2 mol/L');
  expect(wordsToSay('Say “done”.', 'en', 'en-GB')).toBe('Say “done”.');
  expect(wordsToSay('Spanne erreicht: „ende Lauf“ sagen', 'de', 'en')).toBe('Spanne erreicht: „end run“ sagen');
});

test('water is called as the ear of the calls knows it', () => {
  expect(wordsToSay('„Eingegossen 15,5 von Wasser“ sagen', 'de', 'en')).toBe('„Poured 15.5 of water“ sagen');
  expect(wordsToSay('Call each: “poured 15 of water”', 'en', 'de')).toBe('Call each: “eingegossen 15 von Wasser”');
  expect(wordsToSay('“poured 15 of water colour”', 'en', 'de')).toBe('“eingegossen 15 von water colour”');
});

test('names of runs and solutions stay as they are', () => {
  expect(wordsToSay('“poured 5 of Tincture of iodine 1.5”', 'en', 'de')).toBe(
    '“eingegossen 5 von Tincture of iodine 1.5”',
  );
  expect(wordsToSay('“start run one of 2.5”', 'en', 'de')).toBe('“Start Lauf one of 2.5”');
});

test('words of a person stay as they are, though they begin as words to say do', () => {
  const marked = ownWords('Noted: “temperature 21.5 fällt”');
  expect(wordsToSay(marked, 'en', 'de')).toBe(marked);
  expect(wordsToSay(ownWords('“done”'), 'en', 'de')).toBe(ownWords('“done”'));
  expect(wordsToSay('“temperature 21.5 fällt”', 'en', 'de')).toBe('“temperature 21.5 fällt”');
});
