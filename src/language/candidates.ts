import { commandCandidates } from './commands.ts';
import { lexiconOf } from './lexicon.ts';
import { type Candidate, readings } from './numbers.ts';
import { remote } from './numerals.ts';
import { normalise, type Token, tokenise } from './tokens.ts';
import type { Words } from './words.ts';

/**
 * Everything a text, all of it, can mean: best first, empty when it is no reading and no command. A sentence that merely
 * contains a number gives nothing.
 * @param text as an engine gave it, any case, spacing, punctuation
 */
export function candidates(text: string, words: Words): Candidate[] {
  const normal = normalise(text);
  const tokens = cut(tokenise(normal), words);
  if (tokens.length === 0 || tokens.length > 60) return [];
  const found = [...commandCandidates(text, tokens, words), ...readings(tokens, words)];
  const top = Math.max(0, ...found.map((candidate) => candidate.weight));
  return found.filter(({ weight }) => weight > top * 0.001).sort((a, b) => b.weight - a.weight);
}

/** The classes of the table of spoken cases: one value, ambiguous, several values, command, incomplete, no reading. */
export type Class = 'N' | 'A' | 'M' | 'C' | 'P' | 'R';

export function classOf(found: readonly Candidate[]): Class {
  const [first] = found;
  if (!first || first.kind === 'withdrawn') return 'R';
  const near = found.filter(({ weight }) => weight >= first.weight * remote);
  if (first.kind === 'incomplete') return 'P';
  if (near.length > 1 || first.ask) return 'A';
  if (first.kind === 'command') return 'C';
  return first.values.length > 1 ? 'M' : 'N';
}

/** Words written in one piece that hold a scale are cut ("zweihundertfünf"). */
function cut(tokens: Token[], words: Words): Token[] {
  const around = words.numbers.cutAround;
  if (!around) return tokens;
  const { small, scales } = lexiconOf(words);
  const shape = new RegExp(`(${around.join('|')})`);
  return tokens.flatMap((token) => {
    if (token.kind !== 'word' || small.has(token.text) || scales.has(token.text)) return [token];
    const pieces = token.text.split(shape).filter((part) => part !== '');
    const known = pieces.every(
      (part) =>
        words.numbers.gluedParts?.includes(part) ||
        small.has(part) ||
        scales.has(part) ||
        words.numbers.and.includes(part) ||
        words.numbers.articles.includes(part),
    );
    return known ? pieces.map((text, k) => ({ text, kind: 'word' as const, gap: k > 0 || token.gap })) : [token];
  });
}
