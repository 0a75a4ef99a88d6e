import { TooLarge } from './deflate.ts';

/**
 * A coder for short texts full of patterns: predicts every bit from what followed the same last one to seven bytes (and
 * the same place in a list) before, mixes the predictions by logistic weights that learn as it goes, and writes the bits
 * by arithmetic coding. A quarter shorter than deflate on a notebook, and slow (some 3 microseconds a byte): for links,
 * which a person's phone must read off a screen. Technique: Mahoney, "Adaptive weighing of context models for lossless
 * data compression" (2005), and Witten, Neal and Cleary, CACM 30 (1987) 520.
 *
 * Whole numbers and correctly rounded quotients only, so that every machine computes the same. Frozen with the version
 * of the link: any change here, or of the words it begins with, makes links of that version unreadable.
 */

/** Bytes to look back, one context each; the place in a list is one more. */
const lookBack = [0, 1, 2, 3, 4, 5, 7];
const contexts = lookBack.length + 1;
/** The contexts, and the longest match before. */
const inputs = contexts + 1;
const tableBits = 16;
const leastMatch = 5;
const longestMatch = 31;

/** 4096 / (1 + exp(-x / 256)) at x = -2048, -1920 … 2048. */
const logistic = [
  1, 2, 3, 6, 10, 16, 27, 45, 73, 120, 194, 310, 488, 747, 1101, 1546, 2047, 2549, 2994, 3348, 3607, 3785, 3901, 3975,
  4024, 4050, 4068, 4079, 4085, 4089, 4092, 4093, 4094,
];

/** From a log-odds, in 1/256, to a probability of 4096. */
function squash(x: number): number {
  if (x > 2047) return 4095;
  if (x < -2047) return 1;
  const part = x & 127;
  const at = (x >> 7) + 16;
  return (logistic[at]! * (128 - part) + logistic[at + 1]! * part + 64) >> 7;
}

/** The inverse of `squash`. */
const stretch = new Int16Array(4096);
for (let x = -2047, from = 0; x <= 2047; x++) {
  const p = squash(x);
  for (; from <= p; from++) stretch[from] = x;
  if (x === 2047) stretch.fill(2047, from);
}

const hashed = (h: number, value: number): number => {
  const mixed = Math.imul(h ^ value, 0x2545f491);
  return mixed ^ (mixed >>> 15);
};

/** Predicts the next bit of a text of bytes; told which it was, learns. */
class Predictor {
  /** The bytes so far. */
  readonly bytes: Uint8Array;
  length = 0;
  /** Probability that the next bit is 1, 1..4095 of 4096. */
  p = 2048;
  private readonly probability = new Uint16Array(contexts << tableBits).fill(0x8000);
  private readonly seen = new Uint8Array(contexts << tableBits);
  private readonly weights = new Int32Array(3 * 256 * inputs).fill(22938);
  private readonly afterMatch = new Uint16Array(longestMatch + 1).fill(0x8000);
  private readonly lastAt = new Int32Array(1 << tableBits);
  private readonly context = new Int32Array(contexts);
  private readonly slot = new Int32Array(contexts);
  private readonly given = new Int32Array(inputs);
  /** The bits of the byte so far, after a leading 1. */
  private begun = 1;
  private matchAt = 0;
  private matched = 0;
  /** The bit that the match foretells; -1 for none. */
  private foretold = -1;
  private base = 0;
  /** The item of a list that is under way: its bytes hashed, where it began; of the one before, length and first byte. */
  private item = contexts;
  private itemAt = 0;
  private itemBefore = 0;

  constructor(capacity: number) {
    this.bytes = new Uint8Array(capacity);
    this.nextByte();
    this.predict();
  }

  /** As it was when it had learnt some text, with room for another length. */
  continued(capacity: number): Predictor {
    const other = new Predictor(this.length + capacity);
    other.bytes.set(this.bytes.subarray(0, this.length));
    other.length = this.length;
    for (const table of ['probability', 'seen', 'weights', 'afterMatch', 'lastAt'] as const)
      other[table].set(this[table]);
    other.matchAt = this.matchAt;
    other.matched = this.matched;
    other.item = this.item;
    other.itemAt = this.itemAt;
    other.itemBefore = this.itemBefore;
    other.nextByte();
    other.predict();
    return other;
  }

  learn(bit: number): void {
    const error = ((bit << 12) - this.p) * 14;
    for (let i = 0; i < inputs; i++) this.weights[this.base + i]! += (this.given[i]! * error + 0x8000) >> 16;
    for (let i = 0; i < contexts; i++) {
      const slot = this.slot[i]!;
      const count = this.seen[slot]!;
      const p = this.probability[slot]!;
      this.probability[slot] = p + Math.trunc((bit * 0xffff - p) / (count + 1.5));
      if (count < 30) this.seen[slot] = count + 1;
    }
    if (this.foretold >= 0) {
      const p = this.afterMatch[this.matched]!;
      this.afterMatch[this.matched] = p + (((this.foretold === bit ? 0xffff : 0) - p) >> 5);
    }
    this.begun = 2 * this.begun + bit;
    if (this.begun >= 256) {
      this.endByte(this.begun & 0xff);
      this.begun = 1;
      this.nextByte();
    }
    this.predict();
  }

  private endByte(byte: number): void {
    const { bytes } = this;
    bytes[this.length++] = byte;
    if (endsItem(byte)) {
      this.itemBefore = (this.length - this.itemAt) * 256 + (bytes[this.itemAt] ?? 0);
      this.itemAt = this.length;
      this.item = contexts;
    } else this.item = hashed(this.item, byte);
    if (this.matched > 0 && bytes[this.matchAt] === byte) {
      this.matched = Math.min(this.matched + 1, longestMatch);
      this.matchAt++;
    } else this.matched = 0;
    if (this.length < leastMatch) return;
    let h = 0;
    for (let back = 1; back <= leastMatch; back++) h = hashed(h, bytes[this.length - back]!);
    const place = h >>> (32 - tableBits);
    const before = this.lastAt[place]!;
    if (this.matched === 0 && before > 0) {
      let same = 0;
      while (same < longestMatch && same < before && bytes[before - 1 - same] === bytes[this.length - 1 - same]) same++;
      this.matched = same;
      this.matchAt = before;
    }
    this.lastAt[place] = this.length;
  }

  /** Contexts of the byte to come. */
  private nextByte(): void {
    const { bytes, length } = this;
    for (const [i, back] of lookBack.entries()) {
      let h = 0x9e3779b1 + i;
      for (let k = 1; k <= back; k++) h = hashed(h, bytes[length - k] ?? 0);
      this.context[i] = h;
    }
    this.context[contexts - 1] = hashed(this.item, this.itemBefore);
  }

  private predict(): void {
    let sum = 0;
    const { begun, given } = this;
    const bits = 31 - Math.clz32(begun);
    const due = this.matched > 0 ? this.bytes[this.matchAt]! | 0x100 : 0;
    if (due >> (8 - bits) !== begun) this.matched = 0;
    this.foretold = this.matched > 0 ? (due >> (7 - bits)) & 1 : -1;
    this.base = (begun + 256 * (this.matched === 0 ? 0 : this.matched < 16 ? 1 : 2)) * inputs;
    for (let i = 0; i < contexts; i++) {
      const slot = (i << tableBits) + (hashed(this.context[i]!, begun) >>> (32 - tableBits));
      this.slot[i] = slot;
      given[i] = this.seen[slot] === 0 ? 0 : stretch[this.probability[slot]! >> 4]!;
    }
    const odds = stretch[this.afterMatch[this.matched]! >> 4]!;
    given[contexts] = this.foretold < 0 ? 0 : this.foretold === 1 ? odds : -odds;
    for (let i = 0; i < inputs; i++) sum += given[i]! * this.weights[this.base + i]!;
    this.p = Math.min(4095, Math.max(1, squash(Math.max(-2048, Math.min(2048, Math.floor(sum / 0x10000))))));
  }
}

/** Between items of a list in JSON: comma and brackets. */
const endsItem = (byte: number): boolean => byte === 0x2c || byte === 0x5b || byte === 0x5d;

/** Something that has learnt some text, to squeeze others like it. */
export interface MixingCoder {
  squeeze(bytes: Uint8Array): Uint8Array;
  /** @throws TooLarge for a text longer than `limit` bytes; anything else comes out as some text, right or not */
  unsqueeze(squeezed: Uint8Array, limit: number): Uint8Array;
}

export function makeMixingCoder(known: Uint8Array): MixingCoder {
  let learnt: Predictor | null = null;
  const begin = (capacity: number): Predictor => {
    if (!learnt) {
      learnt = new Predictor(known.length);
      for (const byte of known) for (let i = 7; i >= 0; i--) learnt.learn((byte >> i) & 1);
    }
    return learnt.continued(capacity);
  };
  return {
    squeeze(bytes) {
      const out: number[] = lengthBytes(bytes.length);
      const predictor = begin(bytes.length);
      let low = 0;
      let high = 0xffffffff;
      for (const byte of bytes) {
        for (let i = 7; i >= 0; i--) {
          const bit = (byte >> i) & 1;
          const middle = split(low, high, predictor.p);
          if (bit === 1) high = middle;
          else low = middle + 1;
          predictor.learn(bit);
          while ((low ^ high) >>> 24 === 0) {
            out.push(high >>> 24);
            low = (low << 8) >>> 0;
            high = ((high << 8) | 0xff) >>> 0;
          }
        }
      }
      // One byte above the low end names the interval; what is missing after it reads as zeros.
      if (bytes.length > 0) out.push((high >>> 24) & 0xff);
      return Uint8Array.from(out);
    },
    unsqueeze(squeezed, limit) {
      const { length, at: start } = readLength(squeezed);
      if (length > limit) throw new TooLarge(`${length} bytes`);
      const predictor = begin(length);
      let at = start;
      let low = 0;
      let high = 0xffffffff;
      let code = 0;
      for (let i = 0; i < 4; i++) code = ((code << 8) | (squeezed[at++] ?? 0)) >>> 0;
      for (let n = 8 * length; n > 0; n--) {
        const middle = split(low, high, predictor.p);
        const bit = code <= middle ? 1 : 0;
        if (bit === 1) high = middle;
        else low = middle + 1;
        predictor.learn(bit);
        while ((low ^ high) >>> 24 === 0) {
          low = (low << 8) >>> 0;
          high = ((high << 8) | 0xff) >>> 0;
          code = ((code << 8) | (squeezed[at++] ?? 0)) >>> 0;
        }
      }
      return predictor.bytes.slice(known.length);
    },
  };
}

/** Where an interval of 32 bits is parted for a probability of 4096. */
const split = (low: number, high: number, p: number): number => {
  const range = high - low;
  return low + Math.floor(range / 4096) * p + (((range % 4096) * p) >>> 12);
};

/** Seven bits a byte, the lowest first. */
function lengthBytes(length: number): number[] {
  const out: number[] = [];
  for (let rest = length; ; rest = Math.floor(rest / 128)) {
    if (rest < 128) return [...out, rest];
    out.push((rest % 128) + 128);
  }
}

function readLength(bytes: Uint8Array): { length: number; at: number } {
  let length = 0;
  for (let at = 0; at < 4; at++) {
    const byte = bytes[at];
    if (byte === undefined) break;
    length += (byte % 128) * 128 ** at;
    if (byte < 128) return { length, at: at + 1 };
  }
  throw new TooLarge('no length');
}
