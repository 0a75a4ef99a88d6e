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
  /** As it was said, then in noise. */
  readonly heard: readonly [Activations, ...Activations[]];
}

export const ownLayer = (net: Net): Layer => ({ weights: net.head.values, bias: net.headBias });

export function asHead(net: Net, layer: Layer): Pick<Net, 'head' | 'headBias'> {
  return { head: { ...net.head, values: layer.weights }, headBias: layer.bias };
}

const ROUNDS = 30;
const RATE_OF_LEARNING = 0.05;
/**
 * How far a caller's factors lie from 1 and the shifts from 0 (for inputs scaled to a root mean square of 1), one standard
 * deviation. With few calls they stay near, since the calls are weighed against this and not against their number.
 */
const SPREAD = 0.5;

/**
 * The most probable last layer given the calls, where a caller differs by a factor and a shift of each input of the layer:
 * each of these is drawn from a normal distribution about 1 or 0 (maximum a posteriori), found by gradient descent with
 * running means (Adam: Kingma and Ba, ICLR 2015). All words share the factors, so words that were not said gain as well.
 */
export function learnLayer(net: Net, examples: readonly Example[]): Layer {
  const { rows, columns, values: own } = net.head;
  const sounds = examples.flatMap(({ path, heard }) => heard.map((one) => ({ path, heard: one })));
  // Factors less 1, then shifts, all in units of their spread: the pull of the prior is then the distance itself.
  const far = new Float32Array(2 * columns);
  const [mean, square] = [new Float32Array(far.length), new Float32Array(far.length)];
  const unit = unitsOf(sounds, columns);
  for (let round = 1; sounds.length > 0 && round <= ROUNDS; round++) {
    const slope = slopeOf(net, sounds, far, unit);
    const step = RATE_OF_LEARNING * (1 - (round - 1) / ROUNDS);
    for (let i = 0; i < far.length; i++) {
      const total = real(slope, i) * single(unit, i) + single(far, i);
      mean[i] = 0.8 * single(mean, i) + 0.2 * total;
      square[i] = 0.9 * single(square, i) + 0.1 * total * total;
      const move = single(mean, i) / (1 - 0.8 ** round) / (Math.sqrt(single(square, i) / (1 - 0.9 ** round)) + 1e-3);
      far[i] = single(far, i) - step * move;
    }
  }
  const weights = own.map((value, i) => value * (1 + single(unit, i % columns) * single(far, i % columns)));
  const bias = net.headBias.slice();
  for (let row = 0; row < rows; row++)
    for (let k = 0; k < columns; k++)
      bias[row] =
        single(bias, row) + single(own, row * columns + k) * single(unit, columns + k) * single(far, columns + k);
  return { weights, bias };
}

interface Sound {
  readonly path: readonly number[];
  readonly heard: Activations;
}

/** The spread of each factor, then of each shift: for the size of its input. */
function unitsOf(sounds: readonly Sound[], columns: number): Float32Array {
  const squares = new Float64Array(columns);
  let frames = 0;
  for (const { heard } of sounds) {
    frames += heard.frames;
    for (let i = 0; i < heard.frames * columns; i++)
      squares[i % columns] = real(squares, i % columns) + single(heard.values, i) ** 2;
  }
  return Float32Array.from({ length: 2 * columns }, (_, i) =>
    i < columns ? SPREAD : SPREAD * (Math.sqrt(real(squares, i - columns) / Math.max(1, frames)) + 0.05),
  );
}

/** Slope of -log P of all sounds with regard to the factors, then the shifts. */
function slopeOf(net: Net, sounds: readonly Sound[], far: Float32Array, unit: Float32Array): Float64Array {
  const { rows, columns, values: own } = net.head;
  const slope = new Float64Array(2 * columns);
  // Used again for every sound: the collector would leave many lying.
  const longest = Math.max(...sounds.map(({ heard }) => heard.frames));
  const [posteriors, slopes] = [new Float32Array(longest * rows), new Float32Array(longest * rows)];
  const moved = new Float32Array(longest * columns);
  const back = new Float64Array(columns);
  for (const { path, heard } of sounds) {
    const { frames, values } = heard;
    for (let i = 0, k = 0; i < frames * columns; i++, k = k + 1 === columns ? 0 : k + 1) {
      const factor = 1 + single(unit, k) * single(far, k);
      moved[i] = single(values, i) * factor + single(unit, columns + k) * single(far, columns + k);
    }
    const read = readOut(
      net,
      { frames, values: moved.subarray(0, frames * columns) },
      posteriors.subarray(0, frames * rows),
    );
    const outside = outsideSlope(read.values, frames, rows, path, slopes);
    if (!outside) continue;
    for (let frame = 0; frame < frames; frame++) {
      back.fill(0);
      for (let row = 0; row < rows; row++) {
        const g = single(outside, frame * rows + row);
        if (Math.abs(g) < 1e-5) continue;
        for (let k = 0, at = row * columns; k < columns; k++, at++) back[k] = real(back, k) + g * single(own, at);
      }
      for (let k = 0, at = frame * columns; k < columns; k++, at++) {
        slope[k] = real(slope, k) + real(back, k) * single(values, at);
        slope[columns + k] = real(slope, columns + k) + real(back, k);
      }
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
