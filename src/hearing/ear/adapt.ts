import { crc32 } from '../../log/checksum.ts';
import { nth, real, single } from '../../numerics/nth.ts';
import { withoutDeadSilence } from './dead-silence.ts';
import { decode } from './decode.ts';
import { features, RATE, resample } from './features.ts';
import { type GrammarName, grammar } from './grammar.ts';
import { type Activations, activations, type Net, readOut } from './net.ts';

/**
 * Learning a voice: the last layer of the net is moved a little, so that calls whose words are known become likelier.
 * Whether that helps is measured on calls held back from the learning, and a voice that does not help is not used.
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
  /** The last layer after learning from all calls; as long as the net's own. */
  readonly head: Float32Array;
  readonly headBias: Float32Array;
  readonly calls: number;
  readonly before: Tally;
  readonly after: Tally;
  /** false: no gain on held-back calls; `withVoice` then changes nothing. */
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

const FOLDS = 4;
const ROUNDS = 30;
const RATE_OF_LEARNING = 0.02;
/** Pull back towards the net's own last layer, a share of the distance each round. */
const PULL = 0.02;

/**
 * Learns from known calls; some 20 to 40 of them, two minutes, cover the words of a run.
 *
 * The gain is cross-validated: each quarter of the calls is heard by what was learnt from the other three, and the
 * counts are summed. The net itself is not changed.
 *
 * @param progress told the share that is done, 0..1
 * @param now the voice in use; fresh calls are heard with it as well
 * @throws UnknownWords when a call has words outside the vocabulary
 * Cost: about 20 ms a call and 1 s for every 10 calls.
 */
export function learnVoice(
  net: Net,
  calls: readonly KnownCall[],
  name: GrammarName = 'everything',
  progress: (part: number) => void = () => {},
  now: LearntVoice | null = null,
): LearntVoice {
  const numbers = new Map(net.labels.map((label, i) => [label, i]));
  const examples = calls.map(({ text, samples, rate }) => ({
    text,
    path: text.split(' ').map((word) => {
      const label = numbers.get(word);
      if (label === undefined) throw new UnknownWords(`"${word}" is not a word of the ear`);
      return label;
    }),
    heard: activations(net, features(resample(withoutDeadSilence(samples, rate), rate, RATE))),
  }));
  // Calls of the same words go to different folds, so that what is judged was also learnt, from another call.
  const seen = new Map<string, number>();
  const folds = examples.map(({ text }) => {
    const times = seen.get(text) ?? 0;
    seen.set(text, times + 1);
    return (times + [...seen.keys()].indexOf(text)) % FOLDS;
  });
  const judge = (layer: Layer, { text, heard }: Example): Tally => {
    const { best } = decode(readOut(asHead(net, layer), heard), grammar(net.labels, name), net.labels);
    const p = best.find((sentence) => sentence.text === text)?.p ?? 0;
    return { right: best[0]?.text === text ? 1 : 0, of: 1, p };
  };
  const own: Layer = { weights: net.head.values, bias: net.headBias };
  const before = examples.map((example) => judge(own, example)).reduce(sum, none);
  const held: Tally[] = [];
  for (let fold = 0; fold < FOLDS; fold++) {
    const others = examples.filter((_, i) => folds[i] !== fold);
    const learnt = learn(net, others);
    for (const [i, example] of examples.entries()) if (folds[i] === fold) held[i] = judge(learnt, example);
    progress((fold + 1) / (FOLDS + 1));
  }
  const after = held.reduce(sum, none);
  const isFresh = (_: unknown, i: number) => calls[i]?.fresh === true;
  const inUse: Layer | null = now && fits(net, now) ? { weights: now.head, bias: now.headBias } : null;
  const fresh = inUse && {
    now: examples
      .filter(isFresh)
      .map((example) => judge(inUse, example))
      .reduce(sum, none),
    next: held.filter(isFresh).reduce(sum, none),
  };
  const all = learn(net, examples);
  progress(1);
  return {
    weights: sumOf(net),
    head: all.weights,
    headBias: all.bias,
    calls: calls.length,
    before,
    after,
    ...(fresh ? { fresh } : {}),
    // One call more may be chance: it counts only where the right words did not become less likely.
    helps:
      after.right > before.right
        ? after.p >= before.p
        : after.right === before.right && after.right > 0 && after.p > before.p + 0.02,
  };
}

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

interface Example {
  readonly text: string;
  readonly path: readonly number[];
  readonly heard: Activations;
}

interface Layer {
  readonly weights: Float32Array;
  readonly bias: Float32Array;
}

function asHead(net: Net, layer: Layer): Pick<Net, 'head' | 'headBias'> {
  return { head: { ...net.head, values: layer.weights }, headBias: layer.bias };
}

const none: Tally = { right: 0, of: 0, p: 0 };

function sum(a: Tally, b: Tally): Tally {
  const of = a.of + b.of;
  return { right: a.right + b.right, of, p: of ? (a.p * a.of + b.p * b.of) / of : 0 };
}

/** Gradient descent with a running mean of squares (RMSprop), pulled back to where it started. */
function learn(net: Net, examples: readonly Example[]): Layer {
  const { rows, columns } = net.head;
  const own: Layer = { weights: net.head.values, bias: net.headBias };
  const now: Layer = { weights: own.weights.slice(), bias: own.bias.slice() };
  const squares: Layer = { weights: new Float32Array(own.weights.length), bias: new Float32Array(own.bias.length) };
  if (examples.length === 0) return now;
  // Used again for every example of every round: thousands of them, of which the collector would leave many lying.
  const longest = Math.max(...examples.map(({ heard }) => heard.frames));
  const posteriors = new Float32Array(longest * rows);
  const slopes = new Float32Array(longest * rows);
  for (let round = 0; round < ROUNDS; round++) {
    const slope: Layer = { weights: new Float32Array(own.weights.length), bias: new Float32Array(own.bias.length) };
    for (const { path, heard } of examples) {
      const read = readOut(asHead(net, now), heard, posteriors.subarray(0, heard.frames * rows));
      const outside = outsideSlope(read.values, heard.frames, rows, path, slopes);
      if (!outside) continue;
      for (let frame = 0; frame < heard.frames; frame++)
        for (let row = 0; row < rows; row++) {
          const g = single(outside, frame * rows + row) / examples.length;
          if (g === 0) continue;
          slope.bias[row] = single(slope.bias, row) + g;
          for (let k = 0, at = row * columns; k < columns; k++, at++)
            slope.weights[at] = single(slope.weights, at) + g * single(heard.values, frame * columns + k);
        }
    }
    const step = RATE_OF_LEARNING * (1 - round / ROUNDS);
    for (const part of ['weights', 'bias'] as const) {
      const [values, start, g, square] = [now[part], own[part], slope[part], squares[part]];
      for (let i = 0; i < values.length; i++) {
        const next = 0.8 * single(square, i) + 0.2 * single(g, i) ** 2;
        square[i] = next;
        const move = (step * single(g, i)) / (Math.sqrt(next) + 1e-3);
        values[i] = single(values, i) - move - PULL * (single(values, i) - single(start, i));
      }
    }
  }
  return now;
}

/**
 * Slope of -log P(words) with regard to the input of the softmax, frame by frame (Graves et al., ICML 2006, equation
 * 16), or null where the sound is too short for the words.
 *
 * @param slope where it goes; at least frames * labels long
 */
export function outsideSlope(
  values: Float32Array,
  frames: number,
  labels: number,
  path: readonly number[],
  slope: Float32Array = new Float32Array(frames * labels),
): Float32Array | null {
  const states = 2 * path.length + 1;
  const labelOf = Float64Array.from({ length: states }, (_, state) => (state % 2 ? nth(path, state >> 1) : 0));
  const label = (state: number) => real(labelOf, state);
  const skips = (state: number) => state > 1 && state % 2 === 1 && label(state) !== label(state - 2);
  const forward = new Float64Array(frames * states);
  const backward = new Float64Array(frames * states);
  const p = (frame: number, state: number) => single(values, frame * labels + label(state)) + 1e-30;
  // Each row is scaled to sum to 1; only ratios within a row are used in the end.
  const scale = (rows: Float64Array, at: number): boolean => {
    let total = 0;
    for (let state = 0; state < states; state++) total += real(rows, at + state);
    if (!(total > 0)) return false;
    for (let state = 0; state < states; state++) rows[at + state] = real(rows, at + state) / total;
    return true;
  };
  for (let frame = 0; frame < frames; frame++) {
    const at = frame * states;
    const before = at - states;
    for (let state = 0; state < states; state++) {
      if (frame === 0) {
        forward[state] = state < 2 ? p(0, state) : 0;
        continue;
      }
      let from = real(forward, before + state);
      if (state > 0) from += real(forward, before + state - 1);
      if (skips(state)) from += real(forward, before + state - 2);
      forward[at + state] = from * p(frame, state);
    }
    if (!scale(forward, at)) return null;
  }
  for (let frame = frames - 1; frame >= 0; frame--) {
    const at = frame * states;
    const after = at + states;
    for (let state = 0; state < states; state++) {
      if (frame === frames - 1) {
        backward[at + state] = state >= states - 2 ? 1 : 0;
        continue;
      }
      let to = real(backward, after + state) * p(frame + 1, state);
      if (state + 1 < states) to += real(backward, after + state + 1) * p(frame + 1, state + 1);
      if (state + 2 < states && skips(state + 2)) to += real(backward, after + state + 2) * p(frame + 1, state + 2);
      backward[at + state] = to;
    }
    if (!scale(backward, at)) return null;
  }
  const share = new Float64Array(labels);
  for (let frame = 0; frame < frames; frame++) {
    share.fill(0);
    let total = 0;
    for (let state = 0; state < states; state++) {
      const both = real(forward, frame * states + state) * real(backward, frame * states + state);
      share[label(state)] = real(share, label(state)) + both;
      total += both;
    }
    if (!(total > 0)) return null;
    for (let k = 0; k < labels; k++)
      slope[frame * labels + k] = single(values, frame * labels + k) - real(share, k) / total;
  }
  return slope;
}
