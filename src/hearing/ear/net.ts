import { single } from '../../numerics/nth.ts';
import { BANDS, type Features } from './features.ts';

/**
 * The acoustic net, in plain typed arrays: a strided convolution, a strided depthwise-separable one, then residual
 * blocks of depthwise-separable convolution with a gate from the mean over time, then one linear layer. Weights come
 * from `training/export.py` as 8-bit rows, each with its scale.
 */

export interface Matrix {
  readonly rows: number;
  readonly columns: number;
  readonly values: Float32Array;
}

interface Block {
  readonly dilation: number;
  readonly depth: Matrix;
  readonly point: Matrix;
  readonly bias: Float32Array;
  readonly down: Matrix;
  readonly downBias: Float32Array;
  readonly up: Matrix;
  readonly upBias: Float32Array;
}

export interface Net {
  /** Words by number; 0 is the blank of CTC, 1 is speech outside the vocabulary. */
  readonly labels: readonly string[];
  readonly stem: Matrix;
  readonly stemBias: Float32Array;
  readonly widenDepth: Matrix;
  readonly widen: Matrix;
  readonly widenBias: Float32Array;
  readonly blocks: readonly Block[];
  readonly head: Matrix;
  readonly headBias: Float32Array;
}

interface Header {
  labels: string[];
  dilations: number[];
  tensors: { name: string; rows: number; columns: number; at: number; kind: 'int8' | 'float32' }[];
}

export class NotAnEar extends Error {}

const MAGIC = 'meniscall ear 1\n';

/**
 * Reads a weights file: MAGIC, 4 bytes length of the header (little endian), header (JSON), then the tensors. An int8
 * tensor is a float32 scale for each row, then the rows.
 *
 * @throws NotAnEar when the bytes are something else
 */
export function readNet(bytes: Uint8Array): Net {
  const text = new TextDecoder();
  if (text.decode(bytes.subarray(0, MAGIC.length)) !== MAGIC) throw new NotAnEar('these bytes are not the weights');
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const length = view.getUint32(MAGIC.length, true);
  const start = MAGIC.length + 4;
  const header = JSON.parse(text.decode(bytes.subarray(start, start + length))) as Header;
  const base = start + length;
  const matrix = (name: string): Matrix => {
    const tensor = header.tensors.find((t) => t.name === name);
    if (!tensor) throw new NotAnEar(`the weights lack ${name}`);
    const { rows, columns, kind } = tensor;
    const values = new Float32Array(rows * columns);
    const at = base + tensor.at;
    if (at + (kind === 'int8' ? rows * 4 + rows * columns : rows * columns * 4) > bytes.byteLength)
      throw new NotAnEar('the weights are cut short');
    for (let row = 0; row < rows; row++) {
      const scale = kind === 'int8' ? view.getFloat32(at + 4 * row, true) : 1;
      for (let column = 0; column < columns; column++) {
        const i = row * columns + column;
        values[i] = kind === 'int8' ? scale * view.getInt8(at + 4 * rows + i) : view.getFloat32(at + 4 * i, true);
      }
    }
    return { rows, columns, values };
  };
  const vector = (name: string) => matrix(name).values;
  return {
    labels: header.labels,
    stem: matrix('stem'),
    stemBias: vector('stem.bias'),
    widenDepth: matrix('widen.depth'),
    widen: matrix('widen'),
    widenBias: vector('widen.bias'),
    blocks: header.dilations.map((dilation, i) => ({
      dilation,
      depth: matrix(`${i}.depth`),
      point: matrix(`${i}.point`),
      bias: vector(`${i}.bias`),
      down: matrix(`${i}.down`),
      downBias: vector(`${i}.down.bias`),
      up: matrix(`${i}.up`),
      upBias: vector(`${i}.up.bias`),
    })),
    head: matrix('head'),
    headBias: vector('head.bias'),
  };
}

/**
 * Room for what a layer hands to the next, one buffer for each name, used again and again: an ear that runs along
 * with the sound would else leave some 6 MB a second for the collector, which comes late in a worker. What was in it is gone when
 * the same name is asked for again.
 */
const rooms = new Map<string, Float32Array>();
function room(name: string, length: number): Float32Array {
  let kept = rooms.get(name);
  if (!kept || kept.length < length) {
    kept = new Float32Array(length);
    rooms.set(name, kept);
  }
  return kept.length === length ? kept : kept.subarray(0, length);
}

/**
 * Rows of x times the transpose of the matrix, plus bias: (frames, columns) to (frames, rows). Four frames by two rows
 * at a time, so that each number loaded serves several products: 2.2 thousand million multiplications a second in V8,
 * against 1.3 with four by one.
 */
function multiply(
  x: Float32Array,
  frames: number,
  matrix: Matrix,
  bias: Float32Array,
  out: Float32Array = new Float32Array(frames * matrix.rows),
): Float32Array {
  const { rows, columns, values } = matrix;
  const evenRows = rows - (rows % 2);
  const fullFrames = frames - (frames % 4);
  for (let frame = 0; frame < fullFrames; frame += 4) {
    const a = frame * columns;
    const b = a + columns;
    const c = b + columns;
    const d = c + columns;
    for (let row = 0; row < evenRows; row += 2) {
      const at = row * columns;
      const below = at + columns;
      let p = 0;
      let q = 0;
      let r = 0;
      let s = 0;
      let t = 0;
      let u = 0;
      let v = 0;
      let w = 0;
      for (let k = 0; k < columns; k++) {
        const first = single(values, at + k);
        const second = single(values, below + k);
        const xa = single(x, a + k);
        const xb = single(x, b + k);
        const xc = single(x, c + k);
        const xd = single(x, d + k);
        p += first * xa;
        q += first * xb;
        r += first * xc;
        s += first * xd;
        t += second * xa;
        u += second * xb;
        v += second * xc;
        w += second * xd;
      }
      const add = single(bias, row);
      const addBelow = single(bias, row + 1);
      const to = frame * rows + row;
      out[to] = p + add;
      out[to + rows] = q + add;
      out[to + 2 * rows] = r + add;
      out[to + 3 * rows] = s + add;
      out[to + 1] = t + addBelow;
      out[to + rows + 1] = u + addBelow;
      out[to + 2 * rows + 1] = v + addBelow;
      out[to + 3 * rows + 1] = w + addBelow;
    }
  }
  // What does not fill a block: the last frames, and the last row of an odd number of rows.
  for (let frame = 0; frame < frames; frame++) {
    const from = frame * columns;
    for (let row = frame < fullFrames ? evenRows : 0; row < rows; row++) {
      const at = row * columns;
      let sum = single(bias, row);
      for (let k = 0; k < columns; k++) sum += single(values, at + k) * single(x, from + k);
      out[frame * rows + row] = sum;
    }
  }
  return out;
}

/** Each channel with its own kernel; zeros beyond the ends. Into the room of that name. */
function depthwise(
  x: Float32Array,
  frames: number,
  kernel: Matrix,
  dilation: number,
  stride: number,
  name: string,
): Float32Array {
  const channels = kernel.rows;
  const taps = kernel.columns;
  const half = dilation * (taps >> 1);
  const outFrames = Math.floor((frames - 1) / stride) + 1;
  const out = room(name, outFrames * channels).fill(0);
  for (let frame = 0; frame < outFrames; frame++) {
    const to = frame * channels;
    for (let tap = 0; tap < taps; tap++) {
      const from = frame * stride + tap * dilation - half;
      if (from < 0 || from >= frames) continue;
      const at = from * channels;
      for (let channel = 0; channel < channels; channel++)
        out[to + channel] =
          single(out, to + channel) + single(kernel.values, channel * taps + tap) * single(x, at + channel);
    }
  }
  return out;
}

function rectify(x: Float32Array): Float32Array {
  for (let i = 0; i < x.length; i++) if (single(x, i) < 0) x[i] = 0;
  return x;
}

/** x + relu(y) gated by a function of y's mean over time, into x. */
function addGated(x: Float32Array, y: Float32Array, frames: number, block: Block): void {
  const channels = block.bias.length;
  const mean = new Float32Array(channels);
  for (let i = 0; i < y.length; i++) mean[i % channels] = single(mean, i % channels) + single(y, i);
  for (let channel = 0; channel < channels; channel++) mean[channel] = single(mean, channel) / frames;
  const gate = multiply(rectify(multiply(mean, 1, block.down, block.downBias)), 1, block.up, block.upBias);
  for (let channel = 0; channel < channels; channel++) gate[channel] = 1 / (1 + Math.exp(-single(gate, channel)));
  for (let frame = 0, i = 0; frame < frames; frame++)
    for (let channel = 0; channel < channels; channel++, i++)
      if (single(y, i) > 0) x[i] = single(x, i) + single(y, i) * single(gate, channel);
}

export interface Posteriors {
  /** Frames of FRAME_MS each. */
  readonly frames: number;
  readonly labels: number;
  /** Row after row of probabilities that sum to 1. */
  readonly values: Float32Array;
}

/** Milliseconds of sound for each row of posteriors. */
export const FRAME_MS = 40;

/** What the last layer reads: row after row of `head.columns` numbers, a row for each FRAME_MS. */
export interface Activations {
  readonly frames: number;
  readonly values: Float32Array;
}

/** Everything but the last layer. */
export function activations(net: Net, input: Features): Activations {
  // Stem: kernel 5, stride 2, as rows of 5 * BANDS numbers laid side by side.
  const frames1 = Math.floor((input.frames - 1) / 2) + 1;
  const wide = 5 * BANDS;
  const unrolled = room('unrolled', frames1 * wide).fill(0);
  for (let frame = 0; frame < frames1; frame++)
    for (let tap = 0; tap < 5; tap++) {
      const from = frame * 2 + tap - 2;
      if (from < 0 || from >= input.frames) continue;
      unrolled.set(input.values.subarray(from * BANDS, (from + 1) * BANDS), frame * wide + tap * BANDS);
    }
  const stem = rectify(multiply(unrolled, frames1, net.stem, net.stemBias, room('stem', frames1 * net.stem.rows)));
  const frames = Math.floor((frames1 - 1) / 2) + 1;
  const wider = depthwise(stem, frames1, net.widenDepth, 1, 2, 'wider');
  const x = rectify(multiply(wider, frames, net.widen, net.widenBias));
  for (const block of net.blocks) {
    const mixed = depthwise(x, frames, block.depth, block.dilation, 1, 'mixed');
    const points = multiply(mixed, frames, block.point, block.bias, room('points', frames * block.point.rows));
    addGated(x, points, frames, block);
  }
  return { frames, values: x };
}

/**
 * The last layer: probabilities of words, frame by frame.
 * @param into where they go; as long as frames * labels
 */
export function readOut(
  net: Pick<Net, 'head' | 'headBias'>,
  { frames, values: x }: Activations,
  into?: Float32Array,
): Posteriors {
  const values = multiply(x, frames, net.head, net.headBias, into);
  const labels = net.head.rows;
  for (let frame = 0; frame < frames; frame++) {
    const at = frame * labels;
    let top = Number.NEGATIVE_INFINITY;
    for (let label = 0; label < labels; label++) top = Math.max(top, single(values, at + label));
    let sum = 0;
    for (let label = 0; label < labels; label++) {
      const e = Math.exp(single(values, at + label) - top);
      values[at + label] = e;
      sum += e;
    }
    for (let label = 0; label < labels; label++) values[at + label] = single(values, at + label) / sum;
  }
  return { frames, labels, values };
}

/**
 * Probabilities of words, frame by frame.
 *
 * Cost: some 10 million multiplications for a second of sound, about 6 ms; test/bench/ear.ts prints the whole.
 */
export function posteriors(net: Net, input: Features): Posteriors {
  return readOut(net, activations(net, input));
}
