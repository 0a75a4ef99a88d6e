import { RATE, resample } from './features.ts';

/** Brings a stream of sound to the rate of the ear, block by block, as `resample` does for a whole. */
export interface StreamResampler {
  /** Any length; what cannot be given yet, for want of what follows, comes with the next block. */
  push(samples: Float32Array): Float32Array;
}

/** Samples at the ear's rate whose filter reaches beyond the block: held back until the next. */
const reach = 40;

/** @throws RangeError for a rate that is not positive. Cost: as `resample`, and a twentieth more. */
export function makeStreamResampler(from: number): StreamResampler {
  if (from === RATE) return { push: (samples) => samples };
  const ratio = from / RATE;
  let kept = new Float32Array(0);
  /** Position of the first sample kept, in the stream. */
  let keptFrom = 0;
  let given = 0;
  return {
    push(samples) {
      const all = new Float32Array(kept.length + samples.length);
      all.set(kept);
      all.set(samples, kept.length);
      const end = Math.floor((keptFrom + all.length) / ratio) - reach;
      if (end <= given) {
        kept = all;
        return new Float32Array(0);
      }
      // `resample` begins at its first sample: the block begins where a sample of the ear's rate lies on one of it.
      const out = resample(all, from).subarray(
        given - Math.round(keptFrom / ratio),
        end - Math.round(keptFrom / ratio),
      );
      given = end;
      const first = firstCommon(Math.max(0, given - reach), from);
      const drop = first - keptFrom;
      if (drop > 0) {
        kept = all.slice(drop);
        keptFrom = first;
      } else kept = all;
      return out.slice();
    },
  };
}

/** The last sample of the stream at or before one of the ear's rate at which both rates have a sample. */
function firstCommon(sample: number, from: number): number {
  const common = RATE / divisor(Math.round(from), RATE);
  return Math.round((Math.floor(sample / common) * common * from) / RATE);
}

function divisor(a: number, b: number): number {
  return b === 0 ? a : divisor(b, a % b);
}
