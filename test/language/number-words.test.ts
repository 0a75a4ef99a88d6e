/** The parts by which numbers are read, each by itself: decimals, digits of other scripts, how numbers are confused. */
import { describe, expect, test } from 'vitest';
import { confusability, floorShare, partners } from '../../src/language/confusability.ts';
import { afterPoint, decimals } from '../../src/language/numerals/decimals.ts';
import { makeRow, piece } from '../../src/language/numerals/row.ts';
import { normalise, tokenise } from '../../src/language/tokens.ts';
import { de } from '../../src/language/words/de.ts';
import { en } from '../../src/language/words/en.ts';

/** Digits, the token after them, and their weight. */
const decimalsOf = (text: string, so = '') =>
  decimals(makeRow(tokenise(text), en), 0, so).map(({ digits, end, weight, ask }) => [
    digits,
    end,
    Number(weight.toFixed(4)),
    ...(ask ? ['ask'] : []),
  ]);

describe('decimals', () => {
  test('said one by one nearly always go on, and may end after any of them', () => {
    expect(decimalsOf('five two')).toEqual([
      ['52', 2, 0.9702],
      ['5', 1, 0.0148],
    ]);
  });

  test('a zero is never the end by itself; after zeros alone a digit is as likely as at the start', () => {
    expect(decimalsOf('zero zero five')).toEqual([
      ['005', 3, 0.985],
      ['00', 2, 0.015],
    ]);
    expect(decimalsOf('0 25')).toEqual([['025', 2, 1]]);
    expect(decimalsOf('25', '00')).toEqual([['0025', 1, 1]]);
  });

  test('"twenty five" is 25; after another digit it is more likely a number of its own', () => {
    expect(decimalsOf('twenty five')).toContainEqual(['25', 2, 1]);
    expect(decimalsOf('twenty five', '00')).toContainEqual(['0025', 2, 1]);
    expect(decimalsOf('twenty five', '3')).toEqual(
      expect.arrayContaining([
        ['325', 2, 0.2],
        ['3', 0, 0.8],
      ]),
    );
  });

  test('a figure alone after figures may be the next decimal, a longer one hardly', () => {
    expect(decimalsOf('2 5')).toEqual([
      ['25', 2, 0.6],
      ['2', 1, 0.4],
    ]);
    expect(decimalsOf('25', '3')).toEqual([
      ['325', 1, 0.1],
      ['3', 0, 0.9],
    ]);
  });

  test('hundreds are asked about', () => {
    expect(decimalsOf('one hundred and five')).toEqual([
      ['1', 1, 0.985],
      ['100', 2, 0.9, 'ask'],
      ['105', 4, 0.9, 'ask'],
    ]);
  });

  test('other words end them, and are none', () => {
    expect(decimalsOf('leak', '5')).toEqual([['5', 0, 1]]);
    expect(decimalsOf('', '5')).toEqual([['5', 0, 1]]);
    expect(decimalsOf('leak')).toEqual([]);
  });

  test('a number that was said digit by digit stays so with its decimals', () => {
    const read = (reason: 'digit-by-digit' | 'apart' | 'leading-zero') =>
      afterPoint(makeRow(tokenise('2 5 point 5'), en), 0, [piece(2, '25', 1, reason, false, 0.01)]).map((one) => [
        one.values,
        one.reason,
      ]);
    expect(read('digit-by-digit')).toEqual([[['25.5'], 'digit-by-digit']]);
    expect(read('apart')).toEqual([[['25.5'], 'apart']]);
    expect(read('leading-zero')).toEqual([[['25.5'], null]]);
  });
});

test('digits of every script become western ones, the nines too', () => {
  expect(normalise('٠٢٥٩ ०९ ０９')).toBe('0259 09 09');
});

describe('how likely one number is taken for another', () => {
  const share = (said: string, heard: string, words = en) => confusability(said, heard, words).share;

  test.each([
    ['13', '30', 0.3, 'the last sound'],
    ['21', '29', 0.15, 'one and nine'],
    ['25', '27', 0.015, 'one word of the number may be another'],
    ['25', '20', 0.08, 'the last word of the number may be lost'],
    ['25', '5', 0.08, 'the first word of the number may be lost'],
    ['20', '25', 0.02, 'the last word of the number may be lost'],
    ['25.5', '25', 0.1, 'the decimals may be lost'],
    ['25.5', '255', 0.1, 'the decimal point may be lost'],
    ['25.5', '25.9', 0.25, 'five and nine'],
    ['25.55', '25.99', floorShare, 'any number can be misheard'],
    ['25.5', '25.55', floorShare / 10, 'any number can be misheard'],
    ['25', '25.5', floorShare / 10, 'any number can be misheard'],
    ['9', '7', floorShare, 'any number can be misheard'],
    ['25.5', '31.5', floorShare, 'any number can be misheard'],
    ['25.5', '31', floorShare, 'any number can be misheard'],
    ['25', '31.5', floorShare / 10, 'any number can be misheard'],
    ['25.55', '25.5', floorShare, 'any number can be misheard'],
    ['125', '105', floorShare, 'any number can be misheard'],
    ['225', '125', 0.015, 'one word of the number may be another'],
  ])('%s heard as %s', (said, heard, expected, why) => {
    const found = confusability(said, heard, en);
    expect(found.share).toBeCloseTo(expected, 12);
    expect(found.why).toContain(why);
  });

  test('ones and tens change places only in a language that says the ones first', () => {
    expect(share('25', '52', de)).toBe(0.1);
    expect(share('25', '52')).toBe(0.008);
    for (const [said, heard] of [
      ['25', '53'],
      ['25', '42'],
      ['20', '2'],
      ['125', '152'],
      ['12', '21'],
    ] as const)
      expect(share(said, heard, de)).not.toBe(0.1);
  });

  test('the partners of a number are those that sound like it, the likeliest first', () => {
    const listed = partners('13', en).map(({ value, share: likely }) => `${value}: ${likely}`);
    expect(listed).toEqual(['30: 0.3', '14: 0.08', '3: 0.008', '31: 0.008', '33: 0.008']);
    expect(partners('25.5', en).map(({ value }) => value)).toEqual(['29.5', '24.5', '75.5', '35.5']);
    expect(partners('25', en).map(({ value }) => value)).not.toContain('25');
  });
});
