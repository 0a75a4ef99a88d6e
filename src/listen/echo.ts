/**
 * Knows the tool's own voice when the microphone picks it up: words that arrive shortly after it spoke and say nothing
 * that it did not say. A number alone is never taken for an echo, since it may be the person's next call.
 */
export interface EchoFilter {
  /** The tool has said this; it fell silent at this page time, ms. */
  spoke(text: string, untilMs: number): void;
  isEcho(text: string, nowMs: number): boolean;
}

/** Echoes come up to some 2 s after the end of the speech (an observation of others); one more for safety, ms. */
const echoMs = 3000;

export function makeEchoFilter(): EchoFilter {
  let spoken: { words: string[]; untilMs: number }[] = [];
  return {
    spoke(text, untilMs) {
      spoken.push({ words: plainWords(text), untilMs });
    },
    isEcho(text, nowMs) {
      spoken = spoken.filter(({ untilMs }) => nowMs < untilMs + echoMs);
      const words = plainWords(text);
      if (words.length === 0) return false;
      // Only words that are more than a number can be told from an answer.
      if (!words.some((word) => /\p{L}{3,}/u.test(word) && !numberWords.has(word))) return false;
      return spoken.some(({ words: said }) => within(words, said));
    },
  };
}

const numberWords = new Set(
  'zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred point decimal and half'.split(
    ' ',
  ),
);

/** Numbers are taken apart into digits, so that "two five" and "25" are the same. */
function plainWords(text: string): string[] {
  return text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}.]+/gu, ' ')
    .split(' ')
    .flatMap((word) => (/^[\d.]+$/.test(word) ? [...word.replace(/\.$/, '')] : [word]))
    .map((word) => digits[word] ?? word)
    .filter((word) => word !== '');
}

const digits: Readonly<Record<string, string>> = {
  '0': 'zero',
  '1': 'one',
  '2': 'two',
  '3': 'three',
  '4': 'four',
  '5': 'five',
  '6': 'six',
  '7': 'seven',
  '8': 'eight',
  '9': 'nine',
  '.': 'point',
  decimal: 'point',
};

/** All of `part` in one run of `whole`. */
function within(part: readonly string[], whole: readonly string[]): boolean {
  for (let start = 0; start + part.length <= whole.length; start++)
    if (part.every((word, index) => word === whole[start + index])) return true;
  return false;
}
