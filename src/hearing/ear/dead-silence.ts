import { single } from '../../numerics/nth.ts';

/** Shorter stretches are not silence, s. */
const shortestS = 0.01;
/** Rounds to nothing in 16 bits. */
const nothing = 1.6e-5;

/**
 * Gated microphones, noise suppressors and trimmed files have stretches with no sound at all. No room is so, and the net
 * heard rooms in training: such stretches go on here with noise as loud as the quietest 20 ms of the rest, but 40 to 60
 * dB under the loudest. The same sound gives the same noise.
 *
 * @returns `samples` themselves where there is nothing to fill. Cost: one pass, and one more where there is.
 */
export function withoutDeadSilence(samples: Float32Array, rate: number): Float32Array {
  const dead = deadStretches(samples, Math.max(1, Math.round(shortestS * rate)));
  if (dead.length === 0) return samples;
  const level = quietLevel(samples, dead, Math.max(1, Math.round(0.02 * rate)));
  const out = samples.slice();
  let seed = 1;
  for (const [from, to] of dead)
    for (let index = from; index < to; index++) {
      // A linear congruential generator (Numerical Recipes' constants, from memory); uniform, of that RMS.
      seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
      out[index] = (seed / 2147483648 - 1) * Math.sqrt(3) * level;
    }
  return out;
}

function deadStretches(samples: Float32Array, shortest: number): [number, number][] {
  const dead: [number, number][] = [];
  let from = 0;
  for (let index = 0; index <= samples.length; index++) {
    if (index < samples.length && Math.abs(single(samples, index)) < nothing) continue;
    if (index - from >= shortest) dead.push([from, index]);
    from = index + 1;
  }
  return dead;
}

/** RMS of the noise that is put in, from the sound between the dead stretches. */
function quietLevel(samples: Float32Array, dead: readonly [number, number][], span: number): number {
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  const measure = (from: number, to: number): void => {
    for (let at = from; at + span <= to; at += span) {
      let power = 0;
      for (let index = at; index < at + span; index++) power += single(samples, index) ** 2 / span;
      least = Math.min(least, power);
      most = Math.max(most, power);
    }
  };
  let from = 0;
  for (const [start, end] of dead) {
    measure(from, start);
    from = end;
  }
  measure(from, samples.length);
  return Math.sqrt(Math.max(Math.min(least, most * 1e-4), most * 1e-6));
}
