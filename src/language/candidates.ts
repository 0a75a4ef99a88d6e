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
  const bare = withoutNow(tokens, words);
  const single = bare ? readings(bare, words).filter((one) => one.kind === 'reading' && one.values.length === 1) : [];
  const found = single.length > 0 ? single : [...commandCandidates(text, tokens, words), ...readings(tokens, words)];
  const top = Math.max(0, ...found.map((candidate) => candidate.weight));
  return found.filter(({ weight }) => weight > top * 0.001).sort((a, b) => b.weight - a.weight);
}

/** "that is forty one now": the tokens of the number; null where nothing of the kind is said after it. */
function withoutNow(tokens: readonly Token[], words: Words): readonly Token[] | null {
  const texts = tokens.map(({ text }) => text);
  const starts = (phrase: string): boolean => phrase.split(' ').every((part, k) => texts[k] === part);
  const ends = (phrase: string): boolean =>
    phrase.split(' ').every((part, k, all) => texts[texts.length - all.length + k] === part);
  const after = words.withReading.after.find(ends);
  if (after === undefined) return null;
  const before = words.withReading.before.find(starts);
  const from = before === undefined ? 0 : before.split(' ').length;
  const to = tokens.length - after.split(' ').length;
  return to > from ? tokens.slice(from, to) : null;
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
