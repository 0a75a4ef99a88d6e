import { describe, expect, test } from 'vitest';
import { commandCandidates } from '../../src/language/commands.ts';
import type { Candidate } from '../../src/language/numbers.ts';
import type { Reason } from '../../src/language/reasons.ts';
import { normalise, tokenise } from '../../src/language/tokens.ts';
import { en } from '../../src/language/words/en.ts';
import type { Meaning } from '../../src/log/meaning.ts';

const found = (text: string): Candidate[] => commandCandidates(text, tokenise(normalise(text)), en);

/** The one command that the words are, in full. */
function command(text: string, meaning: Meaning, weight = 1, reasons: readonly Reason[] = [], ask = false): void {
  expect(found(text), text).toEqual([{ kind: 'command', meaning, weight, ask, reasons }]);
}

describe('how sure a command is, and why', () => {
  test('its own word is sure; what engines write instead counts for less, and says so', () => {
    command('leak', { kind: 'happening', what: 'leak' });
    command('leaks', { kind: 'happening', what: 'leak' }, 0.8, ['misheard-command']);
    command('connection 25', { kind: 'correction', value: '25' }, 0.8, ['misheard-command']);
  });

  test('one other word only sounds like the command; two in a row or a form of its own do not count as that', () => {
    command('leek', { kind: 'happening', what: 'leak' }, 0.8, ['misheard-command', 'sounds-alike']);
    command('and run', { kind: 'end-run' }, 0.8, ['misheard-command']);
    command('marks', { kind: 'mark' }, 0.8, ['misheard-command']);
  });

  test.each([
    ['start run', (value: string): Meaning => ({ kind: 'start-run', run: value })],
    ['correction', (value: string): Meaning => ({ kind: 'correction', value })],
    ['temperature', (value: string): Meaning => ({ kind: 'temperature', value })],
  ])('the number after "%s" lowers the weight by its own doubts, and keeps their reasons', (words, meaning) => {
    command(`${words} to`, meaning('2'), 0.9, ['homophone']);
    command(`${words} five six`, meaning('56'), 0.85, ['digit-by-digit']);
    expect(found(`${words} two fifty`)).toEqual([
      { kind: 'command', meaning: meaning('250'), weight: 0.4, ask: true, reasons: ['said-in-pairs'] },
      { kind: 'command', meaning: meaning('2.50'), weight: 0.15, ask: true, reasons: ['no-point'] },
    ]);
  });

  test('a misheard command with a misheard number is doubted for both', () => {
    const [both] = found('connection to');
    expect(both).toMatchObject({ reasons: ['misheard-command', 'homophone'] });
    expect(both?.weight).toBeCloseTo(0.72, 12);
  });
});

describe('a command of which something is missing', () => {
  test.each([
    ['correction', 'number', 1],
    ['connection', 'number', 0.8],
    ['temperature', 'number', 1],
    ['poured', 'number', 1],
    ['start run', 'run', 1],
  ] as const)('"%s" waits for its %s', (text, wants, weight) => {
    expect(found(text)).toEqual([{ kind: 'incomplete', wants, said: null, weight }]);
  });

  test('"that was" without a number is nothing, "no" alone is an answer, "note" alone is nothing', () => {
    expect(found('that was')).toEqual([]);
    expect(found('note')).toEqual([]);
    command('no', { kind: 'reply', yes: false });
  });

  test('what does not belong to a command makes it none', () => {
    for (const text of ['leak 5', 'start run 3 please', '25 mark', 'poured of water'])
      expect(found(text), text).toEqual([]);
  });
});

test('"no 25" corrects, "negative 25" is a number below zero', () => {
  command('no 25', { kind: 'correction', value: '25' });
  command('no, 25', { kind: 'correction', value: '25' });
  expect(found('negative 25')).toEqual([]);
});

test('pauses that an engine writes as signs, and words said while thinking, do not count', () => {
  command('correction, 25', { kind: 'correction', value: '25' });
  command('um correction 25', { kind: 'correction', value: '25' });
  command('and leak', { kind: 'happening', what: 'leak' });
  command('um and run', { kind: 'end-run' }, 0.8, ['misheard-command']);
  expect(found('and')).toEqual([]);
});

describe('what was poured', () => {
  const poured = (value: string, reagent: string): Meaning => ({ kind: 'poured', value, reagent });

  test('an amount, with or without its unit, of a reagent of one word or several', () => {
    command('poured ten', poured('10', ''));
    command('poured ten potassium iodide', poured('10', 'potassium iodide'));
    command('poured 10 ml of hydrogen peroxide', poured('10', 'hydrogen peroxide'));
    command('poured to of water', poured('2', 'water'), 0.9, ['homophone']);
  });

  test('another unit than millilitres is asked about', () => {
    command('poured 10 g of iodide', poured('10', 'iodide'), 1, [], true);
  });

  test('an amount that may be two numbers is asked about, most likely first', () => {
    expect(found('poured two fifty of water').map(({ weight }) => weight)).toEqual([0.4, 0.15]);
    expect(found('poured two fifty of water')[0]).toMatchObject({ ask: true, reasons: ['said-in-pairs'] });
  });

  test('a name is kept to 80 letters', () => {
    const [long] = found(`poured ten of ${'a'.repeat(100)}`);
    expect(long?.kind === 'command' && long.meaning.kind === 'poured' ? long.meaning.reagent : '').toHaveLength(80);
  });
});

describe('said and taken back in one breath', () => {
  test.each(['25 disregard', '25, disregard', '25. disregard', '25 scratch that'])('"%s" leaves nothing', (text) => {
    expect(found(text)).toEqual([{ kind: 'withdrawn', weight: 1 }]);
  });

  test('of several numbers only the last is taken back', () => {
    expect(found('25 27 disregard')).toMatchObject([{ kind: 'reading', values: ['25'], weight: 1 }]);
    expect(found('25 27 29 disregard')).toMatchObject([{ kind: 'reading', values: ['25', '27'], weight: 1 }]);
  });

  test('no number, another word, a misheard word: nothing is taken back', () => {
    for (const text of ['the tube disregard', 'disregard disregard', '25 this regard', '25 scratch this', '25 leak'])
      expect(found(text), text).toEqual([]);
  });
});

describe('a note', () => {
  test('is kept as it was heard, with its capitals, without the word and the sign after it', () => {
    command('note: Hello there', { kind: 'note', text: 'Hello there' });
    command('  Note the Flask leaks', { kind: 'note', text: 'the Flask leaks' });
    command('note 5', { kind: 'note', text: '5' });
  });

  test('is kept to 2,000 letters', () => {
    const [long] = found(`note ${'a'.repeat(3000)}`);
    expect(long?.kind === 'command' && long.meaning.kind === 'note' ? long.meaning.text : '').toHaveLength(2000);
  });
});
