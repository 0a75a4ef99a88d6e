import type { KnownCall } from '../hearing/ear/adapt.ts';

/**
 * "Say these words": the tool asks for one word after the other, a person says each. Pure: what was heard goes in,
 * the next state of the round comes out.
 */
export interface Round {
  readonly words: readonly string[];
  /** Index of the word asked for; `words.length` at the end. */
  readonly at: number;
  readonly paused: boolean;
  readonly ended: boolean;
  /** A call of the word asked for that was surely heard as something else; the word was asked for once more. */
  readonly unlike: KnownCall | null;
  /** For each word what is kept of it: one call; two where it was taken for something else twice; none when skipped. */
  readonly kept: readonly (readonly KnownCall[])[];
}

/** What became of a sound or a wish. */
export type Step =
  | 'kept'
  | 'once-more'
  | 'ignored'
  | 'skipped'
  | 'back'
  | 'repeat'
  | 'paused'
  | 'going-on'
  | 'finished';

export type Wish = Exclude<Step, 'kept' | 'once-more' | 'ignored'>;

/** What the ear made of a sound, best first; empty: no words. */
export type Answer = readonly { readonly text: string; readonly p: number }[];

/** From so many calls on something can be learnt; fewer leave each fold next to nothing (common practice, no source). */
export const fewestCalls = 12;

/** What may be said in place of the word asked for: the words that mean the same at the bench. */
export const wishes: Readonly<Record<string, Wish>> = {
  'say again': 'repeat',
  'next step': 'skipped',
  'previous step': 'back',
  'stand by': 'paused',
  'go ahead': 'going-on',
  'end run': 'finished',
};

/** A wish must be heard this surely; a word of the list mistaken for one would be lost otherwise. */
const sureWish = 0.9;
/** Heard this surely as something else, a word is asked for once more: it may have been a slip of the tongue. */
const sureOther = 0.8;
/**
 * Some 40 words, two minutes: every -teen beside its -ty, digits alone and in numbers, a hundred, a decimal, and the
 * procedure words that the ear's own card names as mistaken. Sorted so that words that sound alike are apart.
 */
export const wordsToSay: readonly string[] = [
  'thirteen',
  'five',
  'seventy',
  'mark',
  'twenty one',
  'fifteen',
  'ninety',
  'three',
  'forty',
  'correction twenty four',
  'sixteen',
  'thirty',
  'nine',
  'disregard',
  'eighty',
  'forty four',
  'seventeen',
  'two',
  'fifty',
  'start run one',
  'eighteen',
  'eleven',
  'sixty',
  'one hundred and five',
  'fourteen',
  'seven',
  'thirty three',
  'that was fifty',
  'nineteen',
  'four',
  'twenty six point five',
  'ten',
  'one',
  'baseline twelve',
  'thirty eight',
  'six',
  'swirling',
  'eight',
  'two five',
  'one hundred and ten',
];

/**
 * Twenty words, half a minute, before the first run: what the ear mixes up most among people it never met (its model
 * card), a -teen beside its -ty and the digits of the slips, five of them twice. Words that sound alike are apart.
 */
export const twentyWords: readonly string[] = [
  'thirteen',
  'six',
  'fifty',
  'three',
  'fourteen',
  'nine',
  'thirty',
  'eight',
  'fifteen',
  'five',
  'forty',
  'seventeen',
  'sixty',
  'three',
  'seventy',
  'eight',
  'sixteen',
  'thirty',
  'six',
  'thirteen',
];

export function beginRound(words: readonly string[] = wordsToSay): Round {
  return { words, at: 0, paused: false, ended: words.length === 0, unlike: null, kept: words.map(() => []) };
}

/** The word asked for, or null when none is. */
export const wordOf = (round: Round): string | null => (round.ended ? null : (round.words[round.at] ?? null));

/** All calls of a round, in order. */
export const callsOf = (round: Round): KnownCall[] => round.kept.flat();

/**
 * A sound that may be the word. A call that is surely heard as something else, or as nothing at all, is asked for once
 * more; when that one fits, the first counts as a slip and goes, else both are kept: so this voice says it, and that is
 * what to learn.
 */
export function afterSound(
  round: Round,
  sound: Pick<KnownCall, 'samples' | 'rate'>,
  answer: Answer,
): { readonly round: Round; readonly step: Step } {
  const text = wordOf(round);
  if (text === null) return { round, step: 'ignored' };
  const [first] = answer;
  const wish = first && first.text !== text && first.p >= sureWish ? wishes[first.text] : undefined;
  if (wish && (!round.paused || wish === 'going-on' || wish === 'finished'))
    return { round: afterWish(round, wish), step: wish };
  if (round.paused) return { round, step: 'ignored' };
  const call: KnownCall = { text, samples: sound.samples, rate: sound.rate };
  const unlike = first === undefined || (first.text !== text && first.p >= sureOther);
  if (unlike && round.unlike === null) return { round: { ...round, unlike: call }, step: 'once-more' };
  const calls = unlike && round.unlike ? [round.unlike, call] : [call];
  const kept = round.kept.map((before, index) => (index === round.at ? calls : before));
  return { round: moved({ ...round, kept }, round.at + 1), step: 'kept' };
}

/** A wish, by key, by tap or by voice. */
export function afterWish(round: Round, wish: Wish): Round {
  if (round.ended) return round;
  switch (wish) {
    case 'skipped':
      return moved(round, round.at + 1);
    case 'back': {
      const at = Math.max(0, round.at - 1);
      return moved({ ...round, kept: round.kept.map((calls, index) => (index === at ? [] : calls)) }, at);
    }
    case 'repeat':
      return { ...round, paused: false };
    case 'paused':
      return { ...round, paused: true };
    case 'going-on':
      return { ...round, paused: false };
    case 'finished':
      return { ...round, ended: true };
  }
}

function moved(round: Round, at: number): Round {
  return { ...round, at, paused: false, unlike: null, ended: at >= round.words.length };
}
