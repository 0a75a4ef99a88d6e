/**
 * The sentences the ear can answer with, as an automaton over words: whole utterances only, so that a number inside
 * a stranger's sentence is not one of them.
 */

import { commandNames, commandRow } from '../../language/spoken-commands.ts';
import { nth } from '../../numerics/nth.ts';

/** What may be said, as a small language of its own. */
type Phrase =
  | { readonly kind: 'word'; readonly word: string }
  | { readonly kind: 'sequence' | 'choice'; readonly parts: readonly Phrase[] }
  | { readonly kind: 'anything' };

const word = (text: string): Phrase => sequence(...text.split(' ').map((w): Phrase => ({ kind: 'word', word: w })));
const sequence = (...parts: Phrase[]): Phrase => ({ kind: 'sequence', parts });
const choice = (...parts: Phrase[]): Phrase => ({ kind: 'choice', parts });
const words = (text: string): Phrase => choice(...text.split('|').map((w) => word(w.trim())));
const nothing = sequence();
const maybe = (part: Phrase): Phrase => choice(part, nothing);

const nonZero = words('one|two|three|four|five|six|seven|eight|nine');
const zero = words('zero|oh');
const digit = choice(nonZero, zero);
const teen = words('ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|seventeen|eighteen|nineteen');
const tens = words('twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety');
/** 10..99 */
const twoDigits = choice(teen, sequence(tens, maybe(nonZero)));
const below100 = choice(nonZero, twoDigits, words('zero|nought'));
/** 100..199 */
const hundreds = choice(
  sequence(
    words('one hundred|a hundred|hundred'),
    choice(nothing, sequence(maybe(word('and')), choice(nonZero, twoDigits))),
  ),
  sequence(word('one'), twoDigits),
  sequence(word('one oh'), nonZero),
);
/** "two five", "one oh five", "one two five": 10..199 digit by digit. */
const spelled = choice(
  sequence(nonZero, digit),
  sequence(word('one'), digit, digit),
  sequence(word('double'), nonZero),
  sequence(word('one double'), digit),
  word('triple one'),
);
const whole = choice(below100, hundreds, spelled);
const sign = words('point|decimal');
/** At least one digit before a point may go unsaid: "point five". */
const fraction = sequence(sign, choice(sequence(digit, maybe(digit)), twoDigits));
const number = choice(
  whole,
  sequence(choice(whole, word('oh'), nothing), fraction),
  sequence(whole, word('and a half')),
);
const volume = sequence(number, maybe(word('millilitres')));
const reagent = words('hydrogen peroxide|peroxide|potassium iodide|iodide|water|soap|solution');
/** hPa: "nine eight five", "one oh one three", "one thousand and thirteen", "nine hundred and eighty". */
const pressure = choice(
  sequence(nonZero, digit, digit),
  sequence(word('one'), digit, digit, digit),
  sequence(
    choice(words('one thousand|a thousand'), sequence(nonZero, word('hundred'))),
    choice(nothing, sequence(maybe(word('and')), below100)),
  ),
);
const runNumber = choice(nonZero, teen, word('twenty'));

const numbersOnly = volume;

/** A kind of sentence, its share of the training sentences that are no bare number, and its slots in braces. */
export interface SentenceTemplate {
  readonly text: string;
  readonly weight: number;
}

/** What fills the slots of the templates. */
const slots: Readonly<Record<string, Phrase>> = {
  '{volume}': volume,
  '{temperature}': sequence(number, maybe(sequence(word('degrees'), maybe(word('celsius'))))),
  '{pressure}': pressure,
  '{run}': runNumber,
  '{reagent}': reagent,
};

/** Volumes in sentences that are no command. Not "{volume} now" alone: "forty now" sounds like "forty nine". */
const readingTemplates: readonly string[] = ['at {volume}', 'that is {volume} now'];

/** Three reagents and a volume make many sentences. */
const weightOf = (text: string): number => (text.includes('{reagent}') ? 3 : 1);

/**
 * The sentences besides bare numbers: the live grammar and, through `npm run vocabulary`, the training sentences are
 * made of these. What is added here is heard once weights know its words.
 */
export const sentenceTemplates: readonly SentenceTemplate[] = [
  ...commandNames.flatMap((name) => commandRow(name).ear.filter((text) => !text.includes('{anything}'))),
  ...readingTemplates,
].map((text) => ({ text, weight: weightOf(text) }));

const template = ({ text }: SentenceTemplate): Phrase =>
  sequence(...text.split(' ').map((part) => slots[part] ?? word(part)));

const everything = choice(volume, ...sentenceTemplates.map(template), sequence(word('note'), { kind: 'anything' }));

const wordsIn = (phrase: Phrase): readonly string[] =>
  phrase.kind === 'word' ? [phrase.word] : phrase.kind === 'anything' ? [] : phrase.parts.flatMap(wordsIn);

/** Every word of the sentences, each once: what weights should know. */
export const vocabulary: readonly string[] = [...new Set(wordsIn(everything))];

/** The phrase without the sentences that need a word the net lacks; null when nothing is left. */
function known(phrase: Phrase, labels: ReadonlySet<string>): Phrase | null {
  if (phrase.kind === 'word') return labels.has(phrase.word) ? phrase : null;
  if (phrase.kind === 'anything') return phrase;
  const parts = phrase.parts.map((part) => known(part, labels));
  const left = parts.filter((part) => part !== null);
  if (phrase.kind === 'sequence')
    return left.length === parts.length ? (phrase.parts.length ? sequence(...left) : phrase) : null;
  return left.length > 0 ? choice(...left) : null;
}

/** Without these a net is no ear for readings. */
const neededWords: readonly string[] = wordsIn(choice(nonZero, teen, tens, zero, sign));

/** State 0 is the start. */
export interface Grammar {
  /** For each state, the next state by label number, or -1. */
  readonly next: readonly Int16Array[];
  readonly accepts: readonly boolean[];
  /** States in which whatever follows no longer matters ("note …"). */
  readonly swallows: readonly boolean[];
}

export type GrammarName = 'everything' | 'numbers';

const made = new Map<string, Grammar>();

/** The automaton for a vocabulary; made once. */
export function grammar(labels: readonly string[], name: GrammarName = 'everything'): Grammar {
  const key = `${name} ${labels.join(' ')}`;
  const before = made.get(key);
  if (before) return before;
  const has = new Set(labels);
  const missing = neededWords.find((needed) => !has.has(needed));
  if (missing !== undefined) throw new RangeError(`"${missing}" is not in the vocabulary of the net`);
  const usable = known(name === 'numbers' ? numbersOnly : everything, has);
  if (!usable) throw new RangeError('the net knows none of the sentences');
  const fresh = compile(usable, labels);
  made.set(key, fresh);
  return fresh;
}

/** Thompson's construction, then subsets: the language is small and made once. */
function compile(phrase: Phrase, labels: readonly string[]): Grammar {
  const number = new Map(labels.map((label, i) => [label, i]));
  const steps: { label: number; to: number }[][] = [[]];
  const free: number[][] = [[]];
  const swallowing = new Set<number>();
  const fresh = () => {
    steps.push([]);
    free.push([]);
    return steps.length - 1;
  };
  const build = (part: Phrase, from: number): number => {
    switch (part.kind) {
      case 'word': {
        const label = number.get(part.word);
        if (label === undefined) throw new RangeError(`"${part.word}" is not in the vocabulary of the net`);
        const to = fresh();
        nth(steps, from).push({ label, to });
        return to;
      }
      case 'sequence':
        return part.parts.reduce((at, next) => build(next, at), from);
      case 'choice': {
        const to = fresh();
        for (const option of part.parts) {
          const start = fresh();
          nth(free, from).push(start);
          nth(free, build(option, start)).push(to);
        }
        return to;
      }
      case 'anything':
        swallowing.add(from);
        return from;
    }
  };
  const end = build(phrase, 0);
  const closure = (states: Iterable<number>): number[] => {
    const seen = new Set(states);
    const queue = [...seen];
    for (let state = queue.pop(); state !== undefined; state = queue.pop())
      for (const to of nth(free, state))
        if (!seen.has(to)) {
          seen.add(to);
          queue.push(to);
        }
    return [...seen].sort((a, b) => a - b);
  };
  const names = new Map<string, number>();
  const sets: number[][] = [];
  const next: Int16Array[] = [];
  const enter = (set: number[]): number => {
    const key = set.join(',');
    let state = names.get(key);
    if (state === undefined) {
      state = sets.length;
      names.set(key, state);
      sets.push(set);
    }
    return state;
  };
  enter(closure([0]));
  for (let state = 0; state < sets.length; state++) {
    const row = new Int16Array(labels.length).fill(-1);
    const reach = new Map<number, number[]>();
    for (const member of nth(sets, state))
      for (const { label, to } of nth(steps, member)) reach.set(label, [...(reach.get(label) ?? []), to]);
    for (const [label, to] of reach) row[label] = enter(closure(to));
    next.push(row);
  }
  return {
    next,
    accepts: sets.map((set) => set.includes(end)),
    swallows: sets.map((set) => set.some((member) => swallowing.has(member))),
  };
}
