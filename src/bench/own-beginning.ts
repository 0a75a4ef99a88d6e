import { otherBeginningU } from '../hearing/ear.ts';
import type { Hypothesis } from '../language/understand.ts';
import type { Ruling } from './act.ts';
import type { Understanding } from './understanding.ts';

/** Where the sound of a call begins, notebook time and standard uncertainty, ms. */
export interface Beginning {
  readonly onsetMs: number;
  readonly uOnsetMs: number;
}

/** What has less of the probability of the likeliest was hardly said. */
const leastShare = 0.1;

/**
 * The moment of a call by what it was taken for. An ear may put the beginnings of its sentences apart ("one thirty four"
 * begins with the "er" before "thirty four"): the reading gets the beginning of its own. Its uncertainty holds the other
 * beginnings too, each by what is left of its probability: of the same value by the ear, of another value by the judgement.
 * What is in doubt, or was said in no words that an ear wrote, may begin with any of them.
 *
 * @param words of every ear; those of one whose sentences begin apart say so
 * @param sound the call as the ear found it, from which the beginnings of sentences count
 * @returns null where no sentence has a beginning of its own
 */
export function ownBeginning(
  words: readonly Hypothesis[],
  { meaning, outcome, rivals }: Pick<Ruling, 'meaning' | 'outcome' | 'rivals'>,
  sound: Beginning,
  understanding: Understanding | null,
): Beginning | null {
  const placed = words.filter(({ begins }) => begins).sort((a, b) => (b.p ?? 0) - (a.p ?? 0));
  if (placed.length === 0) return null;
  const readAs = (one: Hypothesis): string | null => understanding?.plainValue([one]) ?? null;
  const value = meaning?.kind === 'reading' ? (meaning.values[0]?.value ?? null) : null;
  const best = value === null ? undefined : placed.find((one) => readAs(one) === value);
  const { laterMs, uMs } = best?.begins ?? { laterMs: 0, uMs: sound.uOnsetMs };
  const apartMs = (one: Hypothesis): number => (one.begins?.laterMs ?? 0) - laterMs;
  const moved = (byOthersMs: number): Beginning => ({
    onsetMs: sound.onsetMs + laterMs,
    uOnsetMs: Math.round(10 * Math.hypot(uMs, byOthersMs)) / 10,
  });
  if (!best || outcome !== 'taken') {
    const possible = meaning?.kind === 'reading' && !best ? placed : likely(placed);
    return moved(Math.max(...possible.map((one) => Math.abs(apartMs(one)))) / otherBeginningU);
  }
  const shareOf = (one: Hypothesis): number => {
    const other = readAs(one);
    if (other === value) return one.p ?? 0;
    const rival = rivals.find(({ meaning: its }) => its.kind === 'reading' && its.values[0]?.value === other);
    // A rival's share is of all that the call may be, the taken value's own is the rest.
    return rival ? rival.p * (best.p ?? 1) : 0;
  };
  const all = placed.reduce((sum, one) => sum + shareOf(one), 0);
  const spread = placed.reduce((sum, one) => sum + shareOf(one) * apartMs(one) ** 2, 0);
  return moved(all > 0 ? Math.sqrt(spread / all) : 0);
}

const likely = (words: readonly Hypothesis[]): readonly Hypothesis[] =>
  words.filter(({ p }) => (p ?? 0) >= leastShare * (words[0]?.p ?? 0));
