import type { Hypothesis } from '../language/understand.ts';
import type { EventBody } from '../log/event.ts';
import type { Call } from '../log/state.ts';
import type { Ruling } from './act.ts';
import type { Understanding } from './understanding.ts';

/** The farthest of the beginnings lies so many standard uncertainties away. */
const perU = 1.8;
/** What has less of the probability of the likeliest was hardly said. */
const leastShare = 0.1;

/**
 * The moment of a call once it is known what it was taken for. An ear may put the beginnings of its sentences apart
 * ("one thirty four" begins with the "er" before "thirty four"): the reading gets the beginning of its own. What is in
 * doubt, or was said in no words that an ear wrote, may begin with any of them, and the uncertainty says so.
 *
 * @param call as it stands in the notebook, not judged before
 * @returns the call with its better moment, as an event; null where it stays
 */
export function ownBeginning(
  words: readonly Hypothesis[],
  { meaning, outcome }: Pick<Ruling, 'meaning' | 'outcome'>,
  call: Call | undefined,
  understanding: Understanding | null,
): Extract<EventBody, { kind: 'called' }> | null {
  if (call?.outcome !== 'waiting' || !words.some(({ begins }) => begins)) return null;
  const value = meaning?.kind === 'reading' ? meaning.values[0]?.value : undefined;
  const said = words.filter((one) => value !== undefined && understanding?.plainValue([one]) === value);
  const [best] = said.sort((a, b) => (b.p ?? 0) - (a.p ?? 0));
  const { laterMs, uMs } = best?.begins ?? { laterMs: 0, uMs: call.uOnsetMs };
  const unwritten = meaning?.kind === 'reading' && !best;
  const reachMs = best && outcome === 'taken' ? 0 : reachOf(unwritten ? words : likely(words), laterMs);
  const { id, onsetMs, endMs, timing, clip, run } = call;
  const uOnsetMs = Math.round(10 * Math.hypot(uMs, reachMs / perU)) / 10;
  return { kind: 'called', call: id, onsetMs: onsetMs + laterMs, endMs, timing, uOnsetMs, clip, run };
}

const likely = (words: readonly Hypothesis[]): readonly Hypothesis[] => {
  const most = Math.max(...words.map(({ p }) => p ?? 0));
  return words.filter(({ p }) => (p ?? 0) > leastShare * most);
};

/** How far the farthest of their beginnings is from one, ms. */
const reachOf = (words: readonly Hypothesis[], laterMs: number): number =>
  Math.max(...words.map(({ begins }) => Math.abs((begins?.laterMs ?? 0) - laterMs)));
