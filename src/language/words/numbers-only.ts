import type { NumberWords, UnitWords, Words } from '../words.ts';
import { en } from './en.ts';

/**
 * A language of which only the numbers are known so far: readings are called in it, procedure words in English. What it
 * lacks is left empty, so that nothing is understood that was not meant.
 */
export function numbersOnly(
  language: string,
  name: string,
  decimalSign: '.' | ',',
  numbers: Pick<NumberWords, 'ones' | 'tens' | 'compounds' | 'point' | 'minus' | 'and'> & Partial<NumberWords>,
  millilitres: readonly string[],
): Words {
  const units: UnitWords[] = [{ unit: 'mL', words: ['ml', ...millilitres] }];
  return {
    ...en,
    language,
    name,
    decimalSign,
    numbers: {
      ohs: [],
      zeroBeforePoint: [],
      powers: [],
      scales: [],
      articles: [],
      comma: [],
      plus: [],
      repeats: {},
      parts: {},
      over: [],
      ordinalEndings: [],
      homophones: { sure: {}, unsure: {} },
      ...numbers,
    },
    units,
    fillers: [],
    withReading: { before: [], after: [] },
    between: [],
    range: [],
    repair: [],
    labels: [],
    qualifiers: [],
    spokenStops: [],
    clock: { before: [], after: [] },
    confusions: [],
  };
}
