import { expect, test } from 'vitest';
import { callWords, wordsToSay } from '../../src/language/call-words.ts';
import { commandNames, commandRow } from '../../src/language/spoken-commands.ts';

test('every word that a sentence teaches is a command, the same one in both languages', () => {
  const { of: _, one: __, ...en } = callWords('en-US');
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
});
