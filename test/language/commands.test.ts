import { describe, expect, test } from 'vitest';
import { candidates, classOf } from '../../src/language/candidates.ts';
import type { CommandName } from '../../src/language/spoken-commands.ts';
import { de } from '../../src/language/words/de.ts';
import { en } from '../../src/language/words/en.ts';
import type { Words } from '../../src/language/words.ts';
import type { Meaning } from '../../src/log/meaning.ts';

const meaningOf = (text: string, words: Words = en): Meaning | null => {
  const [first] = candidates(text, words);
  return first?.kind === 'command' ? first.meaning : null;
};

const english: readonly (readonly [string, Meaning])[] = [
  ['mark', { kind: 'mark' }],
  ['Mark.', { kind: 'mark' }],
  ['correction twenty-five', { kind: 'correction', value: '25' }],
  ['correction 25.0', { kind: 'correction', value: '25.0' }],
  ['disregard', { kind: 'disregard' }],
  ['say again', { kind: 'say-again' }],
  ['stand by', { kind: 'stand-by' }],
  ['go ahead', { kind: 'go-ahead' }],
  ['baseline one point five', { kind: 'baseline', value: '1.5' }],
  ['base line 0', { kind: 'baseline', value: '0' }],
  ['start run one', { kind: 'start-run', run: '1' }],
  ['Start run 2.', { kind: 'start-run', run: '2' }],
  ['start run to', { kind: 'start-run', run: '2' }],
  ['start run for', { kind: 'start-run', run: '4' }],
  ['end run', { kind: 'end-run' }],
  ['and run', { kind: 'end-run' }],
  ['swirling', { kind: 'happening', what: 'swirling' }],
  ['swirl stopped', { kind: 'happening', what: 'swirl-stopped' }],
  ['leak', { kind: 'happening', what: 'leak' }],
  ['spill', { kind: 'happening', what: 'spill' }],
  ['temperature 21.5 degrees', { kind: 'temperature', value: '21.5' }],
  ['temperature twenty one point five', { kind: 'temperature', value: '21.5' }],
  ['pressure 1005', { kind: 'pressure', value: '1005' }],
  ['pressure one thousand and thirteen', { kind: 'pressure', value: '1013' }],
  ['pressure one zero one three hectopascals', { kind: 'pressure', value: '1013' }],
  ['air pressure 998.5 hPa', { kind: 'pressure', value: '998.5' }],
  ['skip', { kind: 'step', which: 'next' }],
  ['poured ten of potassium iodide', { kind: 'poured', value: '10', reagent: 'potassium iodide' }],
  ['poured 10 ml of hydrogen peroxide', { kind: 'poured', value: '10', reagent: 'hydrogen peroxide' }],
  ['poured 12.5 water', { kind: 'poured', value: '12.5', reagent: 'water' }],
  ['next step', { kind: 'step', which: 'next' }],
  ['previous step', { kind: 'step', which: 'previous' }],
  ['read step', { kind: 'step', which: 'read' }],
  ['note The flask was warm, 25 degrees', { kind: 'note', text: 'The flask was warm, 25 degrees' }],
  ['affirm', { kind: 'reply', yes: true }],
  ['yes', { kind: 'reply', yes: true }],
  ['negative', { kind: 'reply', yes: false }],
  ['no', { kind: 'reply', yes: false }],
  ['that was fifty', { kind: 'settle', value: '50' }],
];

test.each(english)('"%s" is understood', (text, meaning) => {
  expect(meaningOf(text)).toEqual(meaning);
});

const german: readonly (readonly [string, Meaning])[] = [
  ['Marke', { kind: 'mark' }],
  ['Korrektur fünfundzwanzig', { kind: 'correction', value: '25' }],
  ['Korrektur 25,0', { kind: 'correction', value: '25.0' }],
  ['streichen', { kind: 'disregard' }],
  ['wiederholen', { kind: 'say-again' }],
  ['warten', { kind: 'stand-by' }],
  ['weitermachen', { kind: 'go-ahead' }],
  ['Grundlinie anderthalb', { kind: 'baseline', value: '1.5' }],
  ['Start Lauf eins', { kind: 'start-run', run: '1' }],
  ['Ende Lauf', { kind: 'end-run' }],
  ['schwenken', { kind: 'happening', what: 'swirling' }],
  ['schwenken beendet', { kind: 'happening', what: 'swirl-stopped' }],
  ['Leck', { kind: 'happening', what: 'leak' }],
  ['verschüttet', { kind: 'happening', what: 'spill' }],
  ['Temperatur einundzwanzig Komma fünf Grad', { kind: 'temperature', value: '21.5' }],
  ['Luftdruck tausendfünf', { kind: 'pressure', value: '1005' }],
  ['Luftdruck 998,5 Hektopascal', { kind: 'pressure', value: '998.5' }],
  ['überspringen', { kind: 'step', which: 'next' }],
  ['eingegossen zehn von Kaliumiodid', { kind: 'poured', value: '10', reagent: 'kaliumiodid' }],
  ['eingegossen 10 Milliliter Wasser', { kind: 'poured', value: '10', reagent: 'wasser' }],
  ['nächster Schritt', { kind: 'step', which: 'next' }],
  ['Schritt zurück', { kind: 'step', which: 'previous' }],
  ['Schritt vorlesen', { kind: 'step', which: 'read' }],
  ['Notiz Kolben war warm', { kind: 'note', text: 'Kolben war warm' }],
  ['positiv', { kind: 'reply', yes: true }],
  ['nein', { kind: 'reply', yes: false }],
  ['das war fünfzig', { kind: 'settle', value: '50' }],
];

test.each(german)('"%s" is understood in German', (text, meaning) => {
  expect(meaningOf(text, de)).toEqual(meaning);
});

const germanNumbers: readonly (readonly [string, string])[] = [
  ['null', '0'],
  ['zwo', '2'],
  ['zwölf', '12'],
  ['siebzehn', '17'],
  ['einundzwanzig', '21'],
  ['siebenundneunzig', '97'],
  ['hundert', '100'],
  ['einhundert', '100'],
  ['hundertfünf', '105'],
  ['zweihundertfünfundzwanzig', '225'],
  ['tausendeinhundert', '1100'],
  ['zwei Komma fünf', '2.5'],
  ['fünfundzwanzig Komma null fünf', '25.05'],
  ['zweieinhalb', '2.5'],
  ['fünfundzwanzigeinhalb', '25.5'],
  ['anderthalb', '1.5'],
  ['ein halb', '0.5'],
  ['zwei ein halb', '2.5'],
  ['25,5 Milliliter', '25.5'],
  ['25.5', '25.5'],
  ['1.234', '1234'],
  ['minus fünf', '-5'],
  ['äh fünfundzwanzig', '25'],
  ['dreiviertel', '0.75'],
];

test.each(germanNumbers)('"%s" is the German number %s', (text, value) => {
  const [first] = candidates(text, de);
  expect(first?.kind === 'reading' && first.values.join(' ')).toBe(value);
});

describe.each([en, de])('the words of $name', (words) => {
  const names = Object.keys(words.commands) as CommandName[];
  const slots = new Set<CommandName>([
    'correction',
    'baseline',
    'start-run',
    'temperature',
    'pressure',
    'poured',
    'that-was',
    'note',
  ]);

  test('no procedure word is a number, alone or with its misheard spellings', () => {
    for (const name of names)
      for (const phrase of [...words.commands[name].said, ...words.commands[name].misheard])
        expect(
          candidates(phrase, words).filter(({ kind }) => kind === 'reading'),
          phrase,
        ).toEqual([]);
  });

  test('every phrase leads to its own command and to no other', () => {
    for (const name of names)
      for (const phrase of [...words.commands[name].said, ...words.commands[name].misheard]) {
        const found = candidates(slots.has(name) ? `${phrase} 25` : phrase, words);
        expect(found[0]?.kind, `${name}: ${phrase}`).toBe('command');
        expect(['C', 'A']).toContain(classOf(found));
        const kinds = new Set(
          found.flatMap((one) => (one.kind === 'command' ? [JSON.stringify({ ...one.meaning, value: '' })] : [])),
        );
        expect(kinds.size, `${name}: ${phrase} gives ${[...kinds]}`).toBe(1);
      }
  });

  test('phrases of different commands are different', () => {
    const owner = new Map<string, CommandName>();
    for (const name of names)
      for (const phrase of [...words.commands[name].said, ...words.commands[name].misheard]) {
        expect(owner.get(phrase) ?? name, phrase).toBe(name);
        owner.set(phrase, name);
      }
  });
});

test('talk that contains a command or a number is neither', () => {
  for (const text of [
    'can you mark the flask please',
    'I have twenty-five samples to do',
    'the temperature is rising quickly',
    'there was a leak yesterday',
    'no idea',
    'that was funny',
  ])
    expect(classOf(candidates(text, en)), text).toBe('R');
});

test('a number taken back in the same breath is no reading', () => {
  expect(candidates('25 disregard', en)).toEqual([{ kind: 'withdrawn', weight: 1 }]);
  expect(classOf(candidates('twenty five, disregard', en))).toBe('R');
});

test('a command without its number waits for it', () => {
  for (const text of ['correction', 'baseline', 'temperature', 'start run', 'poured'])
    expect(classOf(candidates(text, en)), text).toBe('P');
});
