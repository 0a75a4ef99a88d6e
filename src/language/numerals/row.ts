import { type Lexicon, lexiconOf } from '../lexicon.ts';
import type { Reason } from '../reasons.ts';
import type { Token } from '../tokens.ts';
import type { NumberWords, Words } from '../words.ts';

/** A number that starts at a given token. */
export interface Piece {
  readonly end: number;
  readonly values: readonly string[];
  readonly weight: number;
  readonly ask: boolean;
  readonly reason: Reason | null;
  /** How likely a shorter number at the same place is, given this one: 0.01 for "twenty" before "five". */
  readonly breaking: number;
}

export const piece = (
  end: number,
  value: string,
  weight: number,
  reason: Reason | null,
  ask: boolean,
  breaking: number,
): Piece => ({ end, values: [value], weight, ask, reason, breaking });

/** The tokens of an utterance with what the readers of numbers ask of them. */
export interface Row {
  readonly tokens: readonly Token[];
  readonly words: Words;
  readonly numbers: NumberWords;
  readonly decimalSign: '.' | ',';
  readonly lexicon: Lexicon;
  /** The token at i is one of the list. */
  has(list: readonly string[], i: number): boolean;
  /** Index after a phrase of the list that starts at i, or i. The longest wins. */
  after(list: readonly string[], i: number): number;
  isSign(sign: string, i: number): boolean;
}

export function makeRow(tokens: readonly Token[], words: Words): Row {
  return {
    tokens,
    words,
    numbers: words.numbers,
    decimalSign: words.decimalSign,
    lexicon: lexiconOf(words),
    has: (list, i) => list.includes(tokens[i]?.text ?? '\0'),
    after(list, i) {
      let end = i;
      for (const phrase of list) {
        const parts = phrase.split(' ');
        if (i + parts.length > end && parts.every((part, k) => tokens[i + k]?.text === part)) end = i + parts.length;
      }
      return end;
    },
    isSign: (sign, i) => tokens[i]?.kind === 'sign' && tokens[i]?.text === sign,
  };
}
