import { normalQuantile } from './distributions.ts';

/**
 * Seeded random numbers, the same on every machine: the seed is stored in the notebook, so that anyone can run a
 * report again and get its digits.
 */
export interface Random {
  /** Evenly spread over [0, 1), 53 bits. */
  uniform(): number;
  /** Whole number, 0 .. 2^32 - 1. */
  word(): number;
  /** Whole number 0 .. below - 1. */
  integer(below: number): number;
  /** Normal with mean 0 and standard deviation 1 unless given. One uniform number each, by the quantile function. */
  normal(mean?: number, standardDeviation?: number): number;
  /** Evenly spread over mean ± halfWidth (JCGM 101, 6.4.2). */
  rectangular(mean: number, halfWidth: number): number;
  /** Symmetric triangle over mean ± halfWidth (JCGM 101, 6.4.5). */
  triangular(mean: number, halfWidth: number): number;
  /** Student's t with location and scale: a mean from few readings (JCGM 101, 6.4.9). */
  student(degreesOfFreedom: number, location?: number, scale?: number): number;
  /**
   * An independent generator for a named purpose ("run 2", "glassware"). It depends on this one's seed and the name
   * alone, not on what was drawn before: a new purpose does not change the numbers of the others.
   */
  stream(name: string): Random;
}

/**
 * xoshiro128** 1.1 (Blackman and Vigna 2018, prng.di.unimi.it; period 2^128 - 1), its state filled from the seed by
 * FNV-1a over the text and splitmix32. The reference implementation's output for state 1, 2, 3, 4 is checked in
 * test/numerics/random.test.ts.
 *
 * @param seed any text or number; the same seed gives the same numbers
 * @example
 * createRandom('run 1').uniform() === createRandom('run 1').uniform() // => true
 */
export function createRandom(seed: string | number): Random {
  return fromState(expandSeed(String(seed)), String(seed));
}

/**
 * The generator from a given 128-bit state, for checking against the reference.
 * @example
 * fromState([1, 2, 3, 4], 'reference').word() // => 11520
 */
export function fromState(state: readonly [number, number, number, number], seed: string): Random {
  let [s0, s1, s2, s3] = state;

  function word(): number {
    const scrambled = Math.imul(s1, 5);
    const result = Math.imul((scrambled << 7) | (scrambled >>> 25), 9) >>> 0;
    const t = s1 << 9;
    s2 ^= s0;
    s3 ^= s1;
    s1 ^= s2;
    s0 ^= s3;
    s2 ^= t;
    s3 = (s3 << 11) | (s3 >>> 21);
    return result;
  }

  function uniform(): number {
    const high = word() >>> 5;
    const low = word() >>> 6;
    return (high * 67108864 + low) / 9007199254740992;
  }

  /** Never 0 or 1: half a step above the grid of `uniform`. */
  function open(): number {
    return Math.min(uniform() + 2 ** -54, 1 - 2 ** -53);
  }

  const random: Random = {
    uniform,
    word,
    integer: (below) => Math.floor(uniform() * below),
    normal: (mean = 0, standardDeviation = 1) => mean + standardDeviation * normalQuantile(open()),
    rectangular: (mean, halfWidth) => mean + halfWidth * (2 * uniform() - 1),
    triangular: (mean, halfWidth) => mean + halfWidth * (uniform() + uniform() - 1),
    student(degreesOfFreedom, location = 0, scale = 1) {
      // Bailey, Math. Comput. 62 (1994) 779: the polar form of Student's t.
      let u: number;
      let w: number;
      do {
        u = 2 * uniform() - 1;
        const v = 2 * uniform() - 1;
        w = u * u + v * v;
      } while (w >= 1 || w === 0);
      return location + scale * u * Math.sqrt((degreesOfFreedom * (w ** (-2 / degreesOfFreedom) - 1)) / w);
    },
    stream: (name) => {
      const path = `${seed}\u0000${name}`;
      return fromState(expandSeed(path), path);
    },
  };
  return random;
}

/** 128 bits from a text: FNV-1a (32 bits, twice with different offsets), then splitmix32 for each word. */
function expandSeed(text: string): [number, number, number, number] {
  let a = 0x811c9dc5;
  let b = 0x01000193;
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    a = Math.imul(a ^ unit, 0x01000193);
    b = Math.imul(b ^ (unit + i), 0x85ebca6b);
  }
  const words = [
    splitMix(a),
    splitMix(b),
    splitMix(a ^ Math.imul(b, 0x9e3779b9)),
    splitMix(b + 0x6d2b79f5 + a),
  ] as const;
  // The all-zero state is the one the generator must never have.
  return [words[0] | 1, words[1], words[2], words[3]];
}

/** One output of splitmix32 (the 32-bit finaliser of MurmurHash3 on a Weyl step). */
function splitMix(state: number): number {
  let z = (state + 0x9e3779b9) | 0;
  z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
  z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
  return (z ^ (z >>> 16)) >>> 0;
}
