import { expect, test } from 'vitest';
import { grammar } from '../../../src/hearing/ear/grammar.ts';
import { shippedNet } from '../../../src/hearing/ear/hear-samples.ts';
import { cardinal } from '../../benchmarks/ear-sound.ts';

const labels = shippedNet().labels;

function allowed(text: string, name: 'everything' | 'numbers' = 'everything'): boolean {
  const automaton = grammar(labels, name);
  let state = 0;
  for (const word of text.split(' ')) {
    if (automaton.swallows[state]) return true;
    const label = labels.indexOf(word);
    state = label < 0 ? -1 : automaton.next[state]![label]!;
    if (state < 0) return false;
  }
  return automaton.accepts[state]!;
}

test('every whole number from 0 to 199 is a sentence, with and without millilitres, a decimal, a half', () => {
  for (let n = 0; n < 200; n++) {
    expect(allowed(cardinal(n)), cardinal(n)).toBe(true);
    expect(allowed(`${cardinal(n)} millilitres`)).toBe(true);
    expect(allowed(`${cardinal(n)} point five`)).toBe(true);
    expect(allowed(`${cardinal(n)} decimal oh five millilitres`)).toBe(true);
    expect(allowed(`${cardinal(n)} and a half`)).toBe(true);
  }
});

test('numbers may be said digit by digit and in the short forms of hundreds', () => {
  for (const text of [
    'two five',
    'one oh five',
    'one two five',
    'one twenty five',
    'a hundred and five',
    'hundred five',
    'two oh',
  ])
    expect(allowed(text), text).toBe(true);
  expect(allowed('point five')).toBe(true);
  expect(allowed('oh point five')).toBe(true);
});

test('procedure words are sentences', () => {
  const said = [
    'mark',
    'mark twenty five',
    'correction twenty five point five',
    'that was fifty',
    'disregard',
    'say again',
    'stand by',
    'go ahead',
    'baseline zero point five',
    'start run one',
    'start run twelve',
    'end run',
    'swirling',
    'swirl stopped',
    'leak',
    'spill',
    'temperature twenty one degrees celsius',
    'poured ten of hydrogen peroxide',
    'poured ten point five millilitres of water',
    'next step',
    'previous step',
    'read step',
    'affirm',
    'affirmative',
    'negative',
    'yes',
    'no',
    'note',
  ];
  for (const text of said) expect(allowed(text), text).toBe(true);
});

test('after "note" anything may follow', () => {
  expect(allowed('note twenty leak oh')).toBe(true);
});

test('numbers inside other words, halves of sentences and numbers out of range are not sentences', () => {
  const not = [
    'correction',
    'baseline',
    'temperature',
    'twenty five <other>',
    '<other> twenty five',
    'twenty five mark',
    'point',
    'two hundred',
    'twenty twenty',
    'five twenty',
    'two two five',
    'fifty and a',
    'start run',
    'start run twenty five',
    'poured ten',
    'swirl',
    'degrees',
    'oh',
    'and a half',
  ];
  for (const text of not) expect(allowed(text), text).toBe(false);
});

test('the grammar of numbers has numbers only', () => {
  expect(allowed('twenty five', 'numbers')).toBe(true);
  expect(allowed('mark', 'numbers')).toBe(false);
});

test('a word that the net does not know is refused when the grammar is made', () => {
  expect(() => grammar(['<blank>', '<other>', 'one'])).toThrow(/not in the vocabulary/);
});
