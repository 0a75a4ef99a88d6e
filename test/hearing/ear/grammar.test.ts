import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { grammar, sentenceTemplates, vocabulary } from '../../../src/hearing/ear/grammar.ts';
import { shippedNet } from '../../../src/hearing/ear/hear-samples.ts';
import { vocabularyJson } from '../../../src/hearing/ear/vocabulary-json.ts';
import { candidates } from '../../../src/language/candidates.ts';
import { en } from '../../../src/language/words/en.ts';
import { cardinal } from '../../benchmarks/ear-sound.ts';
import { the } from '../../the.ts';

const labels = shippedNet().labels;

function allowed(text: string, name: 'everything' | 'numbers' = 'everything'): boolean {
  const automaton = grammar(labels, name);
  let state = 0;
  for (const word of text.split(' ')) {
    if (automaton.swallows[state]) return true;
    const label = labels.indexOf(word);
    state = label < 0 ? -1 : the(the(automaton.next[state])[label]);
    if (state < 0) return false;
  }
  return the(automaton.accepts[state]);
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

test('a net without the number words is refused', () => {
  expect(() => grammar(['<blank>', '<other>', 'one'])).toThrow(/not in the vocabulary/);
});

test('sentences with a word that the net lacks are left out, those that it knows stay', () => {
  const fewer = labels.filter((label) => label !== 'disregard');
  const { next } = grammar(fewer);
  expect(the(next[0])[fewer.indexOf('mark')]).toBeGreaterThan(0);
  const more = [...vocabulary.filter((word) => !labels.includes(word)), ...labels];
  for (const word of ['scratch', 'double', 'done', 'rinsed'])
    expect(the(grammar(more).next[0])[more.indexOf(word)]).toBeGreaterThan(0);
});

test('what the ear may hear besides numbers, the words understand; notes and pours with their slots too', () => {
  const filled = (text: string) =>
    text
      .replace('{volume}', 'thirty one')
      .replace('{temperature}', 'twenty')
      .replace('{pressure}', 'one oh one three')
      .replace('{run}', 'two')
      .replace('{reagent}', 'water');
  for (const { text } of sentenceTemplates)
    if (text !== 'mark {volume}') expect(candidates(filled(text), en), text).not.toEqual([]);
});

test('training/vocabulary.json is the one of the grammar (npm run vocabulary writes it anew)', () => {
  const file = new URL('../../../training/vocabulary.json', import.meta.url);
  expect(readFileSync(file, 'utf8')).toBe(vocabularyJson());
});
