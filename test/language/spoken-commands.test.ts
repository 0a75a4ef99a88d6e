import { describe, expect, test } from 'vitest';
import { grammar } from '../../src/hearing/ear/grammar.ts';
import { candidates, classOf } from '../../src/language/candidates.ts';
import { judge } from '../../src/language/expectation.ts';
import { type CommandName, commandNames, commandRow, helpLines } from '../../src/language/spoken-commands.ts';
import { understand } from '../../src/language/understand.ts';
import { de } from '../../src/language/words/de.ts';
import { en } from '../../src/language/words/en.ts';
import type { Meaning } from '../../src/log/meaning.ts';
import { keyHelp } from '../../src/screens/bench/key-help.ts';
import { noKeys, pressKey } from '../../src/screens/bench/keys.ts';

const meaningOf = (text: string, words = en): Meaning | null => {
  const found = candidates(text, words)[0];
  return found?.kind === 'command' ? found.meaning : null;
};

const filled = (text: string): string =>
  text
    .replace(/\{volume\}/g, 'thirty one')
    .replace('{temperature}', 'twenty one')
    .replace('{pressure}', 'one thousand and five')
    .replace('{run}', 'three')
    .replace('{reagent}', 'water')
    .replace('{anything}', 'the tube was loose');

const kindOf = (name: CommandName): string => {
  const row = commandRow(name);
  if (row.takes === 'nothing') return row.means.kind;
  if (row.takes === 'number') return row.means;
  return { run: 'start-run', pour: 'poured', text: 'note' }[row.takes];
};

describe.each(commandNames)('the row “%s”', (name) => {
  const row = commandRow(name);

  test('has words in every language, and each is the command', () => {
    for (const words of [en, de])
      for (const said of words.commands[name].said) {
        const text = row.takes === 'nothing' ? said : `${said} 25`;
        expect(meaningOf(text, words)?.kind, text).toBe(kindOf(name));
      }
  });

  test('has sentences that the embedded ear allows and that mean it', () => {
    expect(row.ear.length).toBeGreaterThan(0);
    for (const template of row.ear) {
      const text = filled(template);
      // "next run" takes the next number, "mark 31" and "no 31" are a reading and a correction.
      const other: Record<string, string> = { 'mark thirty one': 'reading', 'no thirty one': 'command' };
      const found = candidates(text, en)[0];
      if (text === 'next run') expect(found).toMatchObject({ kind: 'incomplete', wants: 'run' });
      else expect(found?.kind, text).toBe(other[text] ?? 'command');
      if (found?.kind === 'command' && !(text in other)) expect(found.meaning.kind, text).toBe(kindOf(name));
    }
  });

  test('has a line in Help in every language', () => {
    const at = commandNames.indexOf(name);
    for (const language of ['en', 'de'] as const) {
      const line = helpLines(language)[at];
      expect(line?.does.length).toBeGreaterThan(5);
      expect(line?.says[0]).toContain(row.words[language].said[0]);
    }
  });

  test('is what its key does', () => {
    if (row.key === null) return;
    const context = { nextRun: '3', paused: name === 'go-ahead', swirling: name === 'swirl-stopped' };
    const outcome = pressKey(row.key, 5000, noKeys, context);
    if (row.takes === 'number') expect(outcome?.state.typing).toBe(row.means);
    else expect(outcome?.meaning).toEqual(row.takes === 'nothing' ? row.means : { kind: 'start-run', run: '3' });
    expect(keyHelp.en.map(({ keys }) => keys[0]?.toLowerCase())).toContain(row.key === ' ' ? 's' : row.key);
  });
});

test('each key does one thing, and a leak is no spill', () => {
  const context = { nextRun: '3', paused: false, swirling: false };
  expect(pressKey('l', 0, noKeys, context)?.meaning).toEqual({ kind: 'happening', what: 'leak' });
  expect(pressKey('L', 0, noKeys, context)?.meaning).toEqual({ kind: 'happening', what: 'leak' });
  const keys = commandNames.flatMap((name) => commandRow(name).key ?? []);
  // Stand by and go ahead, swirling and swirl stopped share a key: it does the other of the two.
  expect(keys.filter((key, at) => keys.indexOf(key) !== at)).toEqual(['p', 'w']);
});

test.each([
  ['scratch that', { kind: 'disregard' }],
  ['no, thirty one', { kind: 'correction', value: '31' }],
  ['make that thirty one', { kind: 'correction', value: '31' }],
  ['I said thirty one', { kind: 'correction', value: '31' }],
  ['ready', { kind: 'step', which: 'next' }],
  ['done', { kind: 'step', which: 'next' }],
  ['rinsed', { kind: 'step', which: 'next' }],
  ['yes', { kind: 'reply', yes: true }],
  ['no', { kind: 'reply', yes: false }],
  ['repeat', { kind: 'say-again' }],
  ['last one', { kind: 'say-again' }],
  ['what now', { kind: 'step', which: 'read' }],
  ['how fast', { kind: 'ask', what: 'rate' }],
  ['how long', { kind: 'ask', what: 'time' }],
])('“%s” is understood as people mean it', (text, meaning) => {
  expect(meaningOf(text)).toEqual(meaning);
});

test.each([
  'forty one now',
  'that is forty one now',
  'that’s 41 now',
  'at forty one',
  'now forty one',
  'it is 41 right now',
])('“%s” is a reading of 41', (text) => {
  const found = candidates(text, en);
  expect(found[0]).toMatchObject({ kind: 'reading', values: ['41'] });
  expect(classOf(found)).toBe('N');
});

test.each([
  ['thirty five thirty six', ['35', '36']],
  ['thirty five, no, thirty six', ['36']],
  ['thirty five I mean thirty six', ['36']],
  ['thirty five I said thirty six', ['36']],
  ['thirty five thirty six no thirty seven', ['35', '37']],
  ['thirty five thirty six disregard', ['35']],
])('in one breath, “%s” leaves %s', (text, values) => {
  expect(candidates(text, en)[0]).toMatchObject({ kind: 'reading', values });
});

test('a word that only sounds like a command is never carried out', () => {
  const where = {
    frame: { stepMl: 2, startMl: null, capacityMl: 100, divisionMl: 1 },
    earlier: [{ timeS: 0, value: '36', settled: false }],
    prediction: null,
    runOpen: true,
    paused: false,
    question: null,
  };
  const heard = (text: string, words = en) =>
    judge(understand([{ text, p: 0.9, ear: 'browser' }], words), where, words);
  for (const text of [
    'spell',
    'leek',
    'league',
    'stock',
    'shop',
    'top',
    'text',
    'necks',
    'twirling',
    'marc',
    'know',
    'scape',
  ])
    expect(heard(text).outcome, text).not.toBe('command');
  for (const text of ['schenken', 'lack', 'garten', 'leiter'])
    expect(heard(text, de).outcome, text).not.toBe('command');
  // Forms of the word itself, and two words that nobody would say, are.
  for (const text of ['spill', 'leaks', 'marked', 'this regard', 'and run'])
    expect(heard(text).outcome, text).toBe('command');
});

test('what an engine writes instead of a command counts for less than the command', () => {
  const [said, misheard] = ['correction 31', 'connection 31'].map((text) => candidates(text, en)[0]?.weight);
  expect(said).toBe(1);
  expect(misheard).toBeCloseTo(0.8, 9);
});

test('a net that lacks a word of a sentence leaves that sentence out, and keeps the others', () => {
  const all = [
    'one',
    'two',
    'three',
    'four',
    'five',
    'six',
    'seven',
    'eight',
    'nine',
    'zero',
    'oh',
    'ten',
    'eleven',
    'twelve',
    'thirteen',
    'fourteen',
    'fifteen',
    'sixteen',
    'seventeen',
    'eighteen',
    'nineteen',
    'twenty',
    'thirty',
    'forty',
    'fifty',
    'sixty',
    'seventy',
    'eighty',
    'ninety',
    'point',
    'decimal',
    'mark',
    'how',
    'fast',
  ];
  const { next, accepts } = grammar(all);
  const ends = (text: string): boolean => {
    let state = 0;
    for (const word of text.split(' ')) {
      const to = next[state]?.[all.indexOf(word)] ?? -1;
      if (to < 0) return false;
      state = to;
    }
    return accepts[state] ?? false;
  };
  expect(ends('how fast')).toBe(true);
  expect(ends('mark')).toBe(true);
  expect(ends('how')).toBe(false);
});
