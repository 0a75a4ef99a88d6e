import { real, single } from '../../numerics/nth.ts';
import { createRandom } from '../../numerics/random.ts';

/** Corner frequencies of what the noise is summed from, Hz; four times apart. */
const CORNERS_HZ = [20, 80, 320, 1280, 5120];
/** Stretches this far below the loudest are pauses. */
const PAUSE_BELOW = 1000;

/**
 * The call with noise so many dB below it, whose power falls with frequency as 1/f: a sum of relaxations spread evenly
 * over the logarithm of their rate (A. van der Ziel, Physica 16 (1950) 359).
 * @param samples mono
 * @param rate Hz
 * @param seed the same seed, the same noise
 */
export function withNoise(samples: Float32Array, rate: number, db: number, seed: number): Float32Array {
  const random = createRandom(`noise ${seed}`);
  const keeps = CORNERS_HZ.map((hz) => Math.exp((-2 * Math.PI * hz) / rate));
  const states = new Float64Array(keeps.length);
  const noise = new Float32Array(samples.length);
  for (let i = 0; i < noise.length; i++) {
    let sum = 0;
    for (const [k, keep] of keeps.entries()) {
      states[k] = keep * real(states, k) + Math.sqrt(1 - keep * keep) * (random.uniform() - 0.5);
      sum += real(states, k);
    }
    noise[i] = sum;
  }
  const gain = Math.sqrt((loudPower(samples, rate) * 10 ** (-db / 10)) / (loudPower(noise, rate) + 1e-12));
  return samples.map((value, i) => value + gain * single(noise, i));
}

/** Mean power of the stretches of 20 ms that are no pauses. */
function loudPower(samples: Float32Array, rate: number): number {
  const step = Math.max(1, Math.round(rate * 0.02));
  const powers: number[] = [];
  for (let at = 0; at + step <= samples.length; at += step)
    powers.push(samples.subarray(at, at + step).reduce((sum, value) => sum + value * value, 0) / step);
  const most = Math.max(0, ...powers);
  const loud = powers.filter((power) => power > most / PAUSE_BELOW);
  return loud.reduce((sum, power) => sum + power, 0) / Math.max(1, loud.length);
}
