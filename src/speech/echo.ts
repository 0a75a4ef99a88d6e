import { lexiconOf } from './lexicon.ts';
import { normalise, tokenise } from './tokens.ts';
import type { Words } from './words.ts';

/** The tool's own voice may come back so long after it fell silent, ms. */
const echoMs = 3000;
/** A bare number may be a real call sooner: nobody has to wait three seconds to call the same value again. */
const bareEchoMs = 2000;

/**
 * Whether a text is what the tool itself just said.
 * @param spoken what the tool said
 * @param sinceMs from the end of its voice to the first sound of the text; negative while it still speaks
 */
export function isEcho(text: string, spoken: string, sinceMs: number, words: Words): boolean {
  if (sinceMs > echoMs) return false;
  const heard = canonical(text, words);
  const said = canonical(spoken, words);
  if (heard.length === 0 || said.length === 0) return false;
  const bare = heard.every((part) => /^\d+$/.test(part));
  if (bare && sinceMs > bareEchoMs) return false;
  const inside = said.some((_, start) => heard.every((part, k) => said[start + k] === part));
  if (inside) return true;
  const common = heard.filter((part) => said.includes(part)).length;
  return heard.length >= 3 && common >= 0.7 * heard.length;
}

/** Words with every number as its digits, however it was written: "logged two five" is "logged", "25". */
function canonical(text: string, words: Words): string[] {
  const { small } = lexiconOf(words);
  const tokens = tokenise(normalise(text)).filter((token) => token.kind !== 'sign');
  const out: string[] = [];
  let digits = '';
  for (let i = 0; i < tokens.length; i++) {
    const two = small.get(`${tokens[i]!.text} ${tokens[i + 1]?.text}`);
    const one = small.get(tokens[i]!.text);
    const value = two ?? one ?? (tokens[i]!.kind === 'digits' ? tokens[i]!.text.replace(/\D/g, '') : undefined);
    if (value === undefined) {
      if (words.numbers.point.includes(tokens[i]!.text)) continue;
      if (digits) out.push(digits);
      digits = '';
      out.push(tokens[i]!.text);
      continue;
    }
    digits += value;
    if (two !== undefined) i++;
  }
  if (digits) out.push(digits);
  return out;
}
