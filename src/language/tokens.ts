/**
 * Text of a recogniser as a row of tokens, all spellings of the same sign made one.
 */
export interface Token {
  readonly text: string;
  readonly kind: 'digits' | 'word' | 'sign';
  /** A space (or the start) stands before it. */
  readonly gap: boolean;
}

/** Vulgar fractions before NFKC makes "25½" into "251⁄2". U+2044 stays between their parts, "/" is what was typed. */
const vulgar = /[\u00bc-\u00be\u2150-\u215e\u2189]/gu;
const minusSigns = /[\u2010-\u2015\u2212\ufe63\uff0d]/gu;

/** One form for all: NFKC, lower case, western digits, one minus, single spaces, no stop at the end. */
export function normalise(text: string): string {
  return text
    .replace(vulgar, (sign) => ` ${sign.normalize('NFKC')} `)
    .normalize('NFKC')
    .replace(minusSigns, '-')
    .replace(/\p{Nd}/gu, westernDigit)
    .replace(/[\u2018\u2019\u02bc]/gu, "'")
    .replace(/\u03bc|\u00b5/gu, 'μ')
    .toLowerCase()
    .replace(/(\p{L})-(?=\p{L})/gu, '$1 ')
    .replace(/\s+/gu, ' ')
    .trim()
    .replace(/[\s.?!,;]+$/u, '');
}

/** Decimal digits of every script stand in blocks of ten, zero first. */
function westernDigit(digit: string): string {
  const first = digit.codePointAt(0);
  if (first === undefined || first < 0x80) return digit;
  let code = first;
  let value = 0;
  while (value < 9 && /\p{Nd}/u.test(String.fromCodePoint(code - 1))) {
    code--;
    value++;
  }
  return String(value);
}

const tokenShape = /(\s*)(?:(\d+(?:[.,:']\d+)*)|([\p{L}\p{M}]+(?:['.](?=\p{L})[\p{L}\p{M}]+)*)|(\S))/gu;

/** Tokens of normalised text. */
export function tokenise(normal: string): Token[] {
  const tokens: Token[] = [];
  for (const [, space, digits, word, sign] of normal.matchAll(tokenShape)) {
    tokens.push({
      text: digits ?? word ?? sign ?? '',
      kind: digits !== undefined ? 'digits' : word !== undefined ? 'word' : 'sign',
      gap: space !== '' || tokens.length === 0,
    });
  }
  return tokens;
}
