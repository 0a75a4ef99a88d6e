import { readFileSync, writeFileSync } from 'node:fs';
import { features, RATE, resample } from '../src/hearing/ear/features.ts';
import { outsideSlope } from '../src/hearing/ear/last-layer.ts';
import { activations, type Net, readNet } from '../src/hearing/ear/net.ts';
import { nth, real, single } from '../src/numerics/nth.ts';
import { createRandom, type Random } from '../src/numerics/random.ts';
import { makeChance, pinkNoise } from '../test/browser/speech-sound.ts';

/**
 * Teaches the weights words that they lack, all else held fast: `npx tsx training/late-words.ts CLIPS IN.bin OUT.bin
 * WORD…`, CLIPS as `late_clips.py` writes them. Each word gets a row of the last layer and a bias; what was known before
 * loses no more than the new rows take from it.
 */

/** A clip without the new words counts so many times, those of people so many times more. */
const against = 8;
const ofPeople = 4;
const peoplesPacks: readonly string[] = ['phone', 'digits', 'words', 'strangers'];
const rounds = 60;
const decay = 3e-4;
/** Taken from each bias in the end, so that a word known before wins where it is close. */
const rarer = 1;

interface Clip {
  readonly pack: string;
  readonly words: readonly string[];
  readonly at: number;
  readonly samples: number;
}

interface Seen {
  readonly path: readonly number[];
  readonly heard: { readonly frames: number; readonly values: Float32Array };
  /** Scores of the words known before, frames * labels; only for clips with a new word. */
  readonly scores: Float32Array | null;
  /** Log of the sum of their exponentials, for each frame. */
  readonly sum: Float32Array;
  readonly weight: number;
}

/** Mean power of the 20 ms stretches within 30 dB of the loudest. */
function power(sound: Float32Array): number {
  const powers: number[] = [];
  for (let at = 0; at + 320 <= sound.length; at += 320)
    powers.push(sound.subarray(at, at + 320).reduce((sum, v) => sum + v * v, 0) / 320);
  const loud = powers.filter((p) => p > Math.max(...powers) / 1000);
  return loud.reduce((sum, p) => sum + p, 0) / Math.max(1, loud.length);
}

/** Another speed and pitch, a telephone's band, another colour, noise or talk from 2 to 50 dB under it. */
function spoilt(clean: Float32Array, talk: () => Float32Array, random: Random): Float32Array {
  const speed = Math.exp((random.uniform() - 0.5) * 0.3);
  let sound = resample(clean, Math.round((RATE * speed) / 50) * 50, RATE);
  if (random.uniform() < 0.3) sound = resample(resample(sound, RATE, 8000), 8000, RATE);
  const tilt = random.uniform() < 0.5 ? (random.uniform() - 0.5) * 0.6 : 0;
  const coloured = sound.map((v, i) => v + tilt * (i > 0 ? single(sound, i - 1) : 0));
  const db = random.uniform() < 0.35 ? 50 : 2 + 30 * random.uniform();
  const lead = Math.round(RATE * (0.12 + 0.2 * random.uniform()));
  const noise = pinkNoise(coloured.length + lead + Math.round(RATE * (0.1 + 0.15 * random.uniform())), makeChance(random.word()));
  if (random.uniform() < 0.2) {
    const other = talk();
    const floor = Math.sqrt(power(other) / (power(noise) + 1e-12) / 1000);
    for (let i = 0; i < noise.length; i++) noise[i] = single(noise, i) * floor + single(other, i % other.length);
  }
  const gain = Math.sqrt((power(coloured) * 10 ** (-db / 10)) / (power(noise) + 1e-12));
  return noise.map((v, i) => v * gain + (i >= lead && i - lead < coloured.length ? single(coloured, i - lead) : 0));
}

function seen(net: Net, sound: Float32Array, path: readonly number[], weight: number): Seen {
  const { rows, columns } = net.head;
  const heard = activations(net, features(sound));
  const scores = new Float32Array(heard.frames * rows);
  const sum = new Float32Array(heard.frames);
  for (let frame = 0; frame < heard.frames; frame++) {
    let total = 0;
    for (let row = 0; row < rows; row++) {
      const score = product(net.head.values, row * columns, heard.values, frame * columns, columns) + single(net.headBias, row);
      scores[frame * rows + row] = score;
      total += Math.exp(score);
    }
    sum[frame] = Math.log(total);
  }
  return { path, heard, scores: path.some((label) => label >= rows) ? scores : null, sum, weight };
}

function product(a: Float32Array, atA: number, b: Float32Array, atB: number, count: number): number {
  let sum = 0;
  for (let k = 0; k < count; k++) sum += single(a, atA + k) * single(b, atB + k);
  return sum;
}

/** A row of the last layer and a bias for each new word, found by Adam on -log P of all clips. */
function learnRows(net: Net, clips: readonly Seen[], count: number): Float32Array[] {
  const { rows: known, columns } = net.head;
  const width = columns + 1;
  const rows = Array.from({ length: count }, () => {
    const row = new Float32Array(width);
    row[columns] = -4;
    return row;
  });
  const mean = rows.map(() => new Float64Array(width));
  const square = rows.map(() => new Float64Array(width));
  const wanted = clips.filter(({ scores }) => scores).length;
  for (let round = 1; round <= rounds; round++) {
    const slope = rows.map(() => new Float64Array(width));
    for (const { heard, scores, sum, path, weight } of clips) {
      const { frames, values } = heard;
      const all = known + count;
      const fresh = new Float32Array(frames * count);
      const probabilities = scores && new Float32Array(frames * all);
      for (let frame = 0; frame < frames; frame++) {
        let total = 1;
        for (const [k, row] of rows.entries()) {
          const score = product(row, 0, values, frame * columns, columns) + single(row, columns) - single(sum, frame);
          fresh[frame * count + k] = Math.exp(score);
          total += single(fresh, frame * count + k);
        }
        for (let k = 0; k < count; k++) fresh[frame * count + k] = single(fresh, frame * count + k) / total;
        if (!scores || !probabilities) continue;
        for (let label = 0; label < known; label++)
          probabilities[frame * all + label] = Math.exp(single(scores, frame * known + label) - single(sum, frame)) / total;
        probabilities.set(fresh.subarray(frame * count, (frame + 1) * count), frame * all + known);
      }
      const outside = probabilities && outsideSlope(probabilities, frames, all, path);
      if (probabilities && !outside) continue;
      for (let frame = 0; frame < frames; frame++)
        for (const [k, to] of slope.entries()) {
          const g = weight * (outside ? single(outside, frame * all + known + k) : single(fresh, frame * count + k));
          if (Math.abs(g) < 1e-6) continue;
          for (let i = 0; i < columns; i++) to[i] = real(to, i) + g * single(values, frame * columns + i);
          to[columns] = real(to, columns) + g;
        }
    }
    const step = 0.05 * Math.min(1, round / 10) * (1 - (0.9 * (round - 1)) / rounds);
    for (const [k, row] of rows.entries())
      for (let i = 0; i < width; i++) {
        const g = real(nth(slope, k), i) / wanted + (i < columns ? decay * single(row, i) : 0);
        const [m, s] = [nth(mean, k), nth(square, k)];
        m[i] = 0.9 * real(m, i) + 0.1 * g;
        s[i] = 0.99 * real(s, i) + 0.01 * g * g;
        row[i] = single(row, i) - (step * (real(m, i) / (1 - 0.9 ** round))) / (Math.sqrt(real(s, i) / (1 - 0.99 ** round)) + 1e-8);
      }
  }
  return rows;
}

/** The weights file with the new rows, each rounded to 8 bits like the others (`export.py`). */
function withRows(bytes: Buffer, words: readonly string[], rows: readonly Float32Array[]): Buffer {
  const magic = bytes.indexOf('\n') + 1;
  const start = magic + 4;
  const base = start + bytes.readUInt32LE(magic);
  const header = JSON.parse(bytes.subarray(start, base).toString()) as {
    labels: string[];
    tensors: { name: string; rows: number; columns: number; at: number; kind: string }[];
  };
  const body: Buffer[] = [];
  let at = 0;
  for (const tensor of header.tensors) {
    const { name, rows: count, columns, kind } = tensor;
    const size = kind === 'int8' ? count * (4 + columns) : count * columns * 4;
    let part = bytes.subarray(base + tensor.at, base + tensor.at + size);
    if (name === 'head') {
      const scales = Buffer.alloc(4 * rows.length);
      const values = Buffer.alloc(columns * rows.length);
      for (const [k, row] of rows.entries()) {
        const scale = Math.fround(Math.max(...row.subarray(0, columns).map(Math.abs)) / 127);
        scales.writeFloatLE(scale, 4 * k);
        for (let i = 0; i < columns; i++) values.writeInt8(Math.round(single(row, i) / scale), k * columns + i);
      }
      part = Buffer.concat([part.subarray(0, 4 * count), scales, part.subarray(4 * count), values]);
      tensor.rows += rows.length;
    }
    if (name === 'head.bias') {
      const biases = Buffer.alloc(4 * rows.length);
      for (const [k, row] of rows.entries()) biases.writeFloatLE(single(row, row.length - 1) - rarer, 4 * k);
      part = Buffer.concat([part, biases]);
      tensor.columns += rows.length;
    }
    tensor.at = at;
    at += part.length;
    body.push(part);
  }
  header.labels.push(...words);
  const text = Buffer.from(JSON.stringify(header));
  const length = Buffer.alloc(4);
  length.writeUInt32LE(text.length);
  return Buffer.concat([bytes.subarray(0, magic), length, text, ...body]);
}

const [clipsFile = '', from = '', to = '', ...wanted] = process.argv.slice(2);
const bytes = readFileSync(from);
const net = readNet(bytes);
// Weights trained from nothing since the words are in the vocabulary have rows for them already: these stay.
const words = wanted.filter((word) => !net.labels.includes(word));
const labels = new Map([...net.labels, ...words].map((label, i) => [label, i]));
const pcm = readFileSync(`${clipsFile}.pcm`);
const clips = JSON.parse(readFileSync(`${clipsFile}.json`, 'utf8')) as Clip[];
const soundOf = ({ at, samples }: Clip): Float32Array =>
  Float32Array.from({ length: samples }, (_, i) => pcm.readInt16LE(2 * (at + i)) / 32768);
const random = createRandom('late words');
const talkers = clips.filter(({ pack }) => pack === 'strangers');
const talk = () => soundOf(nth(talkers, random.integer(talkers.length)));
const all = clips.flatMap((clip) => {
  const path = clip.words.map((word) => labels.get(word));
  if (path.some((label) => label === undefined)) return [];
  const isWanted = clip.words.some((word) => words.includes(word));
  const weight = isWanted ? 1 : against * (peoplesPacks.includes(clip.pack) ? ofPeople : 1);
  const sound = soundOf(clip);
  return Array.from({ length: isWanted ? 3 : 1 }, () =>
    seen(net, spoilt(sound, talk, random), path as number[], weight),
  );
});
console.log(`${clips.length} clips, ${all.filter(({ scores }) => scores).length} with new words`);
writeFileSync(to, withRows(bytes, words, learnRows(net, all, words.length)));
