import { nth } from '../numerics/nth.ts';
import { lexiconOf } from './lexicon.ts';
import { normalise, tokenise } from './tokens.ts';
import type { Hypothesis } from './understand.ts';
import type { Words } from './words.ts';

/** The tool's own voice may come back so long after it fell silent, ms. */
const echoMs = 3000;
/**
 * A bare number, or one or two words, may be a real call sooner: nobody has to wait to call the same value again, or to
 * answer "yes" to what ended in "say yes".
 */
const bareEchoMs = 900;
/** Where the moment is that of a sound, a voice that begins later than this after the tool's is another's, ms. */
const bareEchoOfSoundMs = 250;

/** What the tool said, and when that was for a call. */
export interface OwnWords {
  /** `sinceMs`: from the end of its voice to the call; negative while it still spoke. */
  readonly said: readonly { readonly spoken: string; readonly sinceMs: number }[];
  /** The moment is that of the sound; else it was worked out from words, to some tenths of a second. */
  readonly bySound: boolean;
}

/**
 * Whether a text is what the tool itself just said.
 * @param spoken what the tool said
 * @param sinceMs from the end of its voice to the first sound of the text; negative while it still speaks
 * @param bareMs how long after its end a number alone, or one or two words, may be its own
 */
export function isEcho(text: string, spoken: string, sinceMs: number, words: Words, bareMs = bareEchoMs): boolean {
  if (sinceMs > echoMs) return false;
  const heard = canonical(text, words);
  const said = canonical(spoken, words);
  if (heard.length === 0 || said.length === 0) return false;
  const bare = heard.every((part) => /^\d+$/.test(part));
  if ((bare || heard.length <= 2) && sinceMs > bareMs) return false;
  // What comes back after its voice is the end of what it said: "yes" answers "say yes to keep 8".
  const back = sinceMs > 0 ? said.slice(-heard.length - 2) : said;
  const inside = back.some((_, start) => heard.every((part, k) => back[start + k] === part));
  if (inside) return true;
  if (bare) {
    const digits = heard.join('');
    // It may be cut short in the middle of a number, and the part that was spoken comes back a little later.
    const maybeCut = sinceMs < bareEchoOfSoundMs;
    if (numbersOnly(back).some((number) => (maybeCut ? number.startsWith(digits) : number === digits))) return true;
  }
  const common = heard.filter((part) => back.includes(part)).length;
  return heard.length >= 3 && common >= 0.7 * heard.length;
}

/**
 * What the ears made of a call without what the tool was saying itself. An ear whose best answer is the tool's own
 * voice has nothing to say (its other answers are mishearings of the same); where own words come first and others
 * after, the others are left.
 */
export function withoutOwn(hypotheses: readonly Hypothesis[], own: OwnWords, words: Words): readonly Hypothesis[] {
  const bareMs = own.bySound ? bareEchoOfSoundMs : bareEchoMs;
  const echoes = (text: string): boolean =>
    own.said.some(({ spoken, sinceMs }) => isEcho(text, spoken, sinceMs, words, bareMs));
  const heardIt = new Set<string>();
  const seen = new Set<string>();
  for (const { ear, text } of hypotheses) {
    if (!seen.has(ear) && echoes(text)) heardIt.add(ear);
    seen.add(ear);
  }
  return hypotheses.flatMap((hypothesis): Hypothesis[] => {
    if (heardIt.has(hypothesis.ear)) return [];
    const text = afterOwn(hypothesis.text, echoes);
    return text === '' ? [] : [{ ...hypothesis, text }];
  });
}

/** The text without as many of its first words as are the tool's own. One number alone is too little to judge by. */
function afterOwn(text: string, echoes: (text: string) => boolean): string {
  const parts = text.trim().split(/\s+/);
  for (let count = parts.length; count >= 2; count--)
    if (echoes(parts.slice(0, count).join(' '))) return parts.slice(count).join(' ');
  return text;
}

/** The numbers of a sentence as an ear writes them that makes nothing of the words between: "15 or 50" is "1550" too. */
function numbersOnly(said: readonly string[]): string[] {
  const numbers = said.filter((part) => /^\d+$/.test(part));
  return numbers.flatMap((_, start) =>
    numbers.slice(start).map((_end, k) => numbers.slice(start, start + k + 1).join('')),
  );
}

/** Words with every number as its digits, however it was written: "logged two five" is "logged", "25". */
function canonical(text: string, words: Words): string[] {
  const { small } = lexiconOf(words);
  const tokens = tokenise(normalise(text)).filter((token) => token.kind !== 'sign');
  const out: string[] = [];
  let digits = '';
  for (let i = 0; i < tokens.length; i++) {
    const { kind, text: word } = nth(tokens, i);
    const two = small.get(`${word} ${tokens[i + 1]?.text}`);
    const value = two ?? small.get(word) ?? (kind === 'digits' ? word.replace(/\D/g, '') : undefined);
    if (value === undefined) {
      if (words.numbers.point.includes(word)) continue;
      if (digits) out.push(digits);
      digits = '';
      out.push(word);
      continue;
    }
    digits += value;
    if (two !== undefined) i++;
  }
  if (digits) out.push(digits);
  return out;
}
