import type { Begins, EarAnswer } from '../ear.ts';
import { withoutDeadSilence } from './dead-silence.ts';
import { decode, type Sentence } from './decode.ts';
import { features, RATE, resample } from './features.ts';
import { type GrammarName, grammar } from './grammar.ts';
import { type Net, posteriors } from './net.ts';

export interface OwnAnswer extends EarAnswer {
  /** Best first, up to eight; the words end at `endMs` milliseconds from the start of the sound. */
  readonly best: readonly (Sentence & { readonly begins?: Begins })[];
  /** Probability of speech that is none of our sentences. */
  readonly other: number;
}

/**
 * What was said in one utterance: mono sound at any rate, range -1..1, cut with some 250 ms before and 200 ms after.
 *
 * Cost: about 11 ms for a second of sound in one thread.
 */
export function recognise(net: Net, samples: Float32Array, rate: number, name: GrammarName = 'everything'): OwnAnswer {
  const seen = features(resample(withoutDeadSilence(samples, rate), rate, RATE));
  const { best, silence } = decode(posteriors(net, seen), grammar(net.labels, name), net.labels, seen.soundEndMs);
  const ours = best.reduce((sum, { p }) => sum + p, 0);
  return { best, speech: 1 - silence, other: Math.max(0, 1 - ours - silence) };
}
