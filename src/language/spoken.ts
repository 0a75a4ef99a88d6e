import type { Decimal } from '../log/meaning.ts';
import { lexiconOf } from './lexicon.ts';
import type { Words } from './words.ts';

/** What is said aloud about a reading. None of it, heard by a recogniser, is a reading or a procedure word. */
export type Saying =
  | { readonly kind: 'logged'; readonly value: Decimal; readonly doubtful: boolean }
  | { readonly kind: 'corrected'; readonly value: Decimal }
  | { readonly kind: 'struck'; readonly value: Decimal }
  | { readonly kind: 'unresolved' }
  | { readonly kind: 'latest'; readonly value: Decimal; readonly time: string }
  | { readonly kind: 'choice'; readonly choices: readonly [Decimal, Decimal] }
  | { readonly kind: 'heard-fits'; readonly heard: Decimal; readonly fits: Decimal }
  | { readonly kind: 'calling-every'; readonly stepMl: Decimal };

/** "logged two five", "fifteen or fifty?" with the digits apart. `time` is put in as it is given ("2:05"). */
export function sentence(saying: Saying, words: Words): string {
  const { spoken } = words;
  const value = (decimal: Decimal) => spellOut(decimal, words, true);
  switch (saying.kind) {
    case 'logged':
      return (saying.doubtful ? spoken.best : spoken.logged).replace('{value}', value(saying.value));
    case 'corrected':
      return spoken.corrected.replace('{value}', value(saying.value));
    case 'struck':
      return spoken.struck.replace('{value}', value(saying.value));
    case 'unresolved':
      return spoken.unresolved;
    case 'latest':
      return spoken.latest.replace('{value}', value(saying.value)).replace('{time}', saying.time);
    case 'heard-fits':
      return spoken.heardFits.replace('{value}', value(saying.heard)).replace('{other}', value(saying.fits));
    case 'calling-every':
      return spoken.callingEvery.replace('{value}', value(saying.stepMl));
    case 'choice':
      return spoken.or.replace('{value}', value(saying.choices[0])).replace('{other}', value(saying.choices[1]));
  }
}

/**
 * A value in words. With `apart` its digits are said one by one ("one five point zero"): no -teen that could be a -ty.
 * Without, only where -teen and -ty are at stake. The unit comes last.
 */
export function spellOut(value: Decimal, words: Words, apart = false, unit = false): string {
  const { digits, point, minus, millilitres } = words.spoken;
  const [whole = '', decimals] = value.replace('-', '').split('.');
  const number = Number(whole);
  const oneByOne = [...whole].map((digit) => digits[Number(digit)]).join(' ');
  const atStake = (number >= 13 && number <= 19) || (number >= 30 && number <= 90 && number % 10 === 0);
  const head = apart || atStake || number > 99 ? oneByOne : (lexiconOf(words).spelled[number] ?? oneByOne);
  const tail = decimals ? ` ${point} ${[...decimals].map((digit) => digits[Number(digit)]).join(' ')}` : '';
  return `${value.startsWith('-') ? `${minus} ` : ''}${head}${tail}${unit ? ` ${millilitres}` : ''}`;
}
