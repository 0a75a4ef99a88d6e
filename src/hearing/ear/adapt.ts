import { crc32 } from '../../log/checksum.ts';
import { studentUpperTail } from '../../numerics/distributions.ts';
import { withoutDeadSilence } from './dead-silence.ts';
import { decode } from './decode.ts';
import { features, RATE, resample } from './features.ts';
import { type GrammarName, grammar } from './grammar.ts';
import { asHead, type Example, type Layer, learnLayer, ownLayer } from './last-layer.ts';
import { learningRule } from './learning-rule.ts';
import { type Activations, activations, type Net, readOut } from './net.ts';
import { withNoise } from './with-noise.ts';

/**
 * Learning a voice: the inputs of the net's last layer are scaled and shifted a little, so that calls whose words are
 * known become likelier, as they were said and in noise. Whether that helps is measured on calls held back from the learning, and a voice that does not help is not used.
 */

/** A call of the user's own with the words that were said. */
export interface KnownCall {
  /** Words of the net's vocabulary, one space between. */
  readonly text: string;
  /** Mono, -1..1, cut as an utterance is. */
  readonly samples: Float32Array;
  readonly rate: number;
  /** The voice in use did not learn from it, so it can judge that voice. */
  readonly fresh?: boolean;
}

/** Calls right out of calls held back from the learning. */
export interface Tally {
  readonly right: number;
  readonly of: number;
  /** Mean probability given to the right words. */
  readonly p: number;
}

export interface LearntVoice {
  /** Sum of the last layer it was learnt from (`sumOf`): with other weights it means nothing. */
  readonly weights: string;
  /** `learningRule` when it was learnt. */
  readonly rule: number;
  /** The last layer after learning from all calls; as long as the net's own. */
  readonly head: Float32Array;
  readonly headBias: Float32Array;
  readonly calls: number;
  readonly before: Tally;
  readonly after: Tally;
  /** false: no sure gain on held-back calls, or words not learnt would lose; `withVoice` then changes nothing. */
  readonly helps: boolean;
  /** The fresh calls, by the voice in use and by this one (held back from it); absent without a voice in use. */
  readonly fresh?: { readonly now: Tally; readonly next: Tally } | undefined;
}

/** Whether a voice that was just learnt may take the place of the one in use: it hears the fresh calls no worse. */
export const noWorse = ({ fresh }: Pick<LearntVoice, 'fresh'>): boolean =>
  !fresh || fresh.next.right >= fresh.now.right;

export class UnknownWords extends Error {}

/** Tells weights apart by their last layer, which no training leaves as it was: eight hexadecimal digits. */
export function sumOf({ head, headBias }: Pick<Net, 'head' | 'headBias'>): string {
  return [head.values, headBias]
    .map((values) => crc32(new Uint8Array(values.buffer, values.byteOffset, values.byteLength)))
    .reduce((sum, next) => (Math.imul(sum, 31) + next) >>> 0)
    .toString(16)
    .padStart(8, '0');
}

/** Held back by turns: a quarter of the calls, and a quarter of the words. */
const FOLDS = 4;
/** Chance that a gain this clear comes about by luck alone, above which a voice is not used. */
const LUCK = 0.05;
/** One call counts for no more than this in the gain of log probability, either way. */
const MOST_OF_ONE = 3;
/** The log probability of calls with words that were not learnt may fall by so much on average: 2 % of the probability. */
const UNSAID_MAY_LOSE = 0.02;
/** Each call is also heard in noise so many dB below it: what was learnt in a quiet room must hold beside a stirrer. */
const NOISE_DB = 12;

/**
 * Learns from known calls; some 20 to 40 of them, two minutes, cover the words of a run.
 *
 * The gain is cross-validated twice. Each quarter of the calls is heard by what was learnt from the other three: these
 * counts are `before` and `after`. And the calls with a quarter of the words are heard by what was learnt from calls with
 * none of these words: a run has few words, and those that were not said in it must not pay for them. The net itself is
 * not changed.
 *
 * @param progress told the share that is done, 0..1
 * @param now the voice in use; fresh calls are heard with it as well
 * @throws UnknownWords when a call has words outside the vocabulary
 * Cost: about 20 ms a call and 2 s for every 10 calls.
 */
export function learnVoice(
  net: Net,
  calls: readonly KnownCall[],
  name: GrammarName = 'everything',
  progress: (part: number) => void = () => {},
  now: LearntVoice | null = null,
): LearntVoice {
  const examples = examplesOf(net, calls);
  const judge = (layer: Layer, example: Example): Verdict => verdictOf(net, layer, example, name);
  const alone = examples.map((example) => judge(ownLayer(net), example));
  let done = 0;
  const heldBack = (folds: readonly Fold[]): Held[] =>
    folds.flatMap(({ from, judged }) => {
      const layer = learnLayer(net, from);
      progress(++done / (2 * FOLDS + 1));
      return judged.flatMap((i) => {
        const [example, own] = [examples[i], alone[i]];
        return example && own ? [{ i, own, learnt: judge(layer, example) }] : [];
      });
    });
  const held = heldBack(callFolds(examples));
  const unsaid = heldBack(wordFolds(examples));
  const inUse: Layer | null = now && fits(net, now) ? { weights: now.head, bias: now.headBias } : null;
  const isFresh = (i: number) => calls[i]?.fresh === true;
  const fresh = inUse && {
    now: tallyOf(examples.filter((_, i) => isFresh(i)).map((example) => judge(inUse, example))),
    next: tallyOf(held.filter(({ i }) => isFresh(i)).map(({ learnt }) => learnt)),
  };
  const all = learnLayer(net, examples);
  progress(1);
  return {
    weights: sumOf(net),
    rule: learningRule,
    head: all.weights,
    headBias: all.bias,
    calls: calls.length,
    before: tallyOf(alone),
    after: tallyOf(held.map(({ learnt }) => learnt)),
    ...(fresh ? { fresh } : {}),
    helps: surelyHelps(held, unsaid),
  };
}

function examplesOf(net: Net, calls: readonly KnownCall[]): Example[] {
  const numbers = new Map(net.labels.map((label, i) => [label, i]));
  const hear = (samples: Float32Array, rate: number): Activations =>
    activations(net, features(resample(withoutDeadSilence(samples, rate), rate, RATE)));
  return calls.map(({ text, samples, rate }, i) => ({
    text,
    path: text.split(' ').map((word) => {
      const label = numbers.get(word);
      if (label === undefined) throw new UnknownWords(`"${word}" is not a word of the ear`);
      return label;
    }),
    heard: [hear(samples, rate), hear(withNoise(samples, rate, NOISE_DB, i), rate)],
  }));
}

/** What one layer makes of one call. */
export interface Verdict {
  readonly right: boolean;
  /** Probability given to the right words. */
  readonly p: number;
}

/** Judged as it was said: judging in noise as well let more voices pass that harm. */
function verdictOf(net: Net, layer: Layer, { text, heard }: Example, name: GrammarName): Verdict {
  const { best } = decode(readOut(asHead(net, layer), heard[0]), grammar(net.labels, name), net.labels);
  return { right: best[0]?.text === text, p: best.find((sentence) => sentence.text === text)?.p ?? 0 };
}

const tallyOf = (verdicts: readonly Verdict[]): Tally => ({
  right: verdicts.filter(({ right }) => right).length,
  of: verdicts.length,
  p: verdicts.reduce((sum, { p }) => sum + p, 0) / Math.max(1, verdicts.length),
});

interface Fold {
  readonly from: readonly Example[];
  /** Numbers of the calls held back. */
  readonly judged: readonly number[];
}

/** A call heard by the net's own layer, and by one that was learnt without it. */
export interface Held {
  readonly i: number;
  readonly own: Verdict;
  readonly learnt: Verdict;
}

const foldNumbers = Array.from({ length: FOLDS }, (_, fold) => fold);

/** Calls of the same words go to different folds, so that what is judged was also learnt, from another call. */
function callFolds(examples: readonly Example[]): Fold[] {
  const seen = new Map<string, number>();
  const folds = examples.map(({ text }) => {
    const times = seen.get(text) ?? 0;
    seen.set(text, times + 1);
    return (times + [...seen.keys()].indexOf(text)) % FOLDS;
  });
  return foldNumbers.map((fold) => ({
    from: examples.filter((_, i) => folds[i] !== fold),
    judged: folds.flatMap((one, i) => (one === fold ? [i] : [])),
  }));
}

/** A call with words of several folds is held back in each of them. */
function wordFolds(examples: readonly Example[]): Fold[] {
  const words = [...new Set(examples.flatMap(({ path }) => path))];
  return foldNumbers.map((fold) => {
    const out = new Set(words.filter((_, i) => i % FOLDS === fold));
    const hasOne = ({ path }: Example) => path.some((word) => out.has(word));
    return {
      from: examples.filter((example) => !hasOne(example)),
      judged: examples.flatMap((example, i) => (hasOne(example) ? [i] : [])),
    };
  });
}

/** Gain of log probability of each call, bounded: a call that was hopeless before or after is no more than one call. */
const gains = (held: readonly Held[]): number[] =>
  held.map(({ own, learnt }) =>
    Math.max(-MOST_OF_ONE, Math.min(MOST_OF_ONE, Math.log((learnt.p + 1e-3) / (own.p + 1e-3)))),
  );

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/**
 * Whether a voice may be used: a sure gain on calls held back, and next to no loss for words that were not learnt.
 * @param held each call by what was learnt from others
 * @param unsaid calls by what was learnt from calls with other words only
 */
export const surelyHelps = (held: readonly Held[], unsaid: readonly Held[]): boolean =>
  isGain(held) && isNoLoss(unsaid);

/** No call fewer is right, and the right words became likelier by more than luck (a paired t test). */
function isGain(held: readonly Held[]): boolean {
  if (held.length < 3 || fewerRight(held)) return false;
  const each = gains(held);
  const mean = meanOf(each);
  const variance = each.reduce((sum, gain) => sum + (gain - mean) ** 2, 0) / (each.length - 1);
  return mean > 0 && studentUpperTail(mean / Math.sqrt(variance / each.length + 1e-12), each.length - 1) < LUCK;
}

const isNoLoss = (held: readonly Held[]): boolean =>
  held.length > 0 && !fewerRight(held) && meanOf(gains(held)) >= -UNSAID_MAY_LOSE;

const fewerRight = (held: readonly Held[]): boolean =>
  held.filter(({ learnt }) => learnt.right).length < held.filter(({ own }) => own.right).length;

/** The net with a learnt voice in place of its own last layer, or the net itself where the voice does not help. */
export function withVoice(net: Net, voice: LearntVoice): Net {
  if (!voice.helps) return net;
  if (!fits(net, voice)) throw new RangeError('this voice was learnt with other weights');
  return { ...net, ...asHead(net, { weights: voice.head, bias: voice.headBias }) };
}

/** Whether the voice was learnt with these weights. */
export function fits(net: Net, voice: LearntVoice): boolean {
  return voice.weights === sumOf(net) && voice.head.length === net.head.values.length;
}
