import { nth, real, single } from '../../numerics/nth.ts';
import { type Activations, type Net, readOut } from './net.ts';

/** The last layer of a net: what a learnt voice puts in its place. */
export interface Layer {
  readonly weights: Float32Array;
  readonly bias: Float32Array;
}

/** A call whose words are known, as the last layer sees it. */
export interface Example {
  readonly text: string;
  /** Its words by label number. */
  readonly path: readonly number[];
  readonly heard: Activations;
}

export const ownLayer = (net: Net): Layer => ({ weights: net.head.values, bias: net.headBias });

export function asHead(net: Net, layer: Layer): Pick<Net, 'head' | 'headBias'> {
  return { head: { ...net.head, values: layer.weights }, headBias: layer.bias };
}

const ROUNDS = 30;
const RATE_OF_LEARNING = 0.05;
/**
 * How far a caller's own layer lies from the net's, one standard deviation, for activations scaled to a root mean square
 * of 1. With few calls it stays near the net's own, since the calls are weighed against this and not against their number.
 */
const SPREAD = 0.2;

/**
 * The most probable last layer given the calls, starting from the net's own: each number of it is drawn from a normal
 * distribution about that of the net (maximum a posteriori), found by gradient descent with running means (Adam: Kingma
 * and Ba, ICLR 2015).
 */
export function learnLayer(net: Net, examples: readonly Example[]): Layer {
  const { columns } = net.head;
  const own = ownLayer(net);
  if (examples.length === 0) return { weights: own.weights.slice(), bias: own.bias.slice() };
  const spread = spreads(examples, columns);
  const now: Layer = { weights: own.weights.slice(), bias: own.bias.slice() };
  const parts = [
    { values: now.weights, start: own.weights, size: (i: number) => single(spread, i % columns) },
    { values: now.bias, start: own.bias, size: () => SPREAD },
  ].map((part) => ({
    ...part,
    mean: new Float32Array(part.values.length),
    square: new Float32Array(part.values.length),
  }));
  for (let round = 1; round <= ROUNDS; round++) {
    const slope = slopeOf(net, now, examples);
    const step = RATE_OF_LEARNING * (1 - (round - 1) / ROUNDS);
    for (const [k, { values, start, size, mean, square }] of parts.entries()) {
      const g = nth([slope.weights, slope.bias], k);
      for (let i = 0; i < values.length; i++) {
        // In units of the spread: the pull of the prior is then the distance itself.
        const unit = size(i);
        const total = single(g, i) * unit + (single(values, i) - single(start, i)) / unit;
        mean[i] = 0.8 * single(mean, i) + 0.2 * total;
        square[i] = 0.9 * single(square, i) + 0.1 * total * total;
        const move = single(mean, i) / (1 - 0.8 ** round) / (Math.sqrt(single(square, i) / (1 - 0.9 ** round)) + 1e-3);
        values[i] = single(values, i) - step * unit * move;
      }
    }
  }
  return now;
}

/** The spread of each weight of a row, for the size of what it is multiplied with. */
function spreads(examples: readonly Example[], columns: number): Float32Array {
  const squares = new Float64Array(columns);
  let frames = 0;
  for (const { heard } of examples) {
    frames += heard.frames;
    for (let i = 0; i < heard.frames * columns; i++)
      squares[i % columns] = real(squares, i % columns) + single(heard.values, i) ** 2;
  }
  return Float32Array.from(squares, (sum) => SPREAD / (Math.sqrt(sum / Math.max(1, frames)) + 0.05));
}

/** Slope of -log P of all calls with regard to the layer. */
function slopeOf(net: Net, now: Layer, examples: readonly Example[]): Layer {
  const { rows, columns } = net.head;
  const slope: Layer = { weights: new Float32Array(rows * columns), bias: new Float32Array(rows) };
  // Used again for every example: the collector would leave many lying.
  const longest = Math.max(...examples.map(({ heard }) => heard.frames));
  const posteriors = new Float32Array(longest * rows);
  const slopes = new Float32Array(longest * rows);
  for (const { path, heard } of examples) {
    const read = readOut(asHead(net, now), heard, posteriors.subarray(0, heard.frames * rows));
    const outside = outsideSlope(read.values, heard.frames, rows, path, slopes);
    if (!outside) continue;
    for (let frame = 0; frame < heard.frames; frame++)
      for (let row = 0; row < rows; row++) {
        const g = single(outside, frame * rows + row);
        if (Math.abs(g) < 1e-5) continue;
        slope.bias[row] = single(slope.bias, row) + g;
        for (let k = 0, at = row * columns; k < columns; k++, at++)
          slope.weights[at] = single(slope.weights, at) + g * single(heard.values, frame * columns + k);
      }
  }
  return slope;
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
