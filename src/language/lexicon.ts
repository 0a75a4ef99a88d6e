import type { NumberWords, Words } from './words.ts';

/** The number words of a language, ready for look-up. */
export interface Lexicon {
  /** 0 to 99: phrase (single spaces) to value. */
  readonly small: ReadonlyMap<string, number>;
  /** Tokens in the longest phrase. */
  readonly longest: number;
  readonly scales: ReadonlyMap<string, number>;
  readonly homophones: ReadonlyMap<string, { readonly digits: string; readonly sure: boolean }>;
  /** The words of a value as they are spoken, for values 0 to 99. */
  readonly spelled: readonly string[];
}

const built = new WeakMap<NumberWords, Lexicon>();

/** Made once per language: 100 entries and their spellings. */
export function lexiconOf(words: Words): Lexicon {
  const { numbers } = words;
  const known = built.get(numbers);
  if (known) return known;
  const small = new Map<string, number>();
  const spelled: string[] = [];
  const put = (phrase: string, value: number) => {
    if (!small.has(phrase)) small.set(phrase, value);
    spelled[value] ??= phrase;
  };
  numbers.ones.forEach((spellings, value) => {
    for (const spelling of spellings) put(spelling, value);
  });
  for (const [phrase, value] of Object.entries(numbers.irregular ?? {})) put(phrase, value);
  numbers.tens.forEach((tens, index) => {
    const ten = (index + 2) * 10;
    for (const T of tens) put(T, ten);
    for (const shape of numbers.compounds) {
      for (let one = 1; one <= 9; one++) {
        const ones = one === 1 && numbers.oneInCompound ? [numbers.oneInCompound] : (numbers.ones[one] ?? []);
        for (const T of tens) for (const U of ones) put(shape.replace('T', T).replace('U', U), ten + one);
      }
    }
  });
  const scales = new Map(numbers.scales.flatMap(({ value, words: all }) => all.map((word) => [word, value] as const)));
  const homophones = new Map<string, { digits: string; sure: boolean }>();
  for (const sure of [false, true]) {
    const group: Readonly<Record<string, readonly string[]>> = sure
      ? numbers.homophones.sure
      : numbers.homophones.unsure;
    for (const [digits, all] of Object.entries(group)) for (const word of all) homophones.set(word, { digits, sure });
  }
  const lexicon: Lexicon = {
    homophones,
    small,
    spelled,
    scales,
    longest: Math.max(...[...small.keys()].map((phrase) => phrase.split(' ').length)),
  };
  built.set(numbers, lexicon);
  return lexicon;
}
