import { BANDS, type FramePowers, framePowers, HOP, samplesOf } from './features.ts';

/** Powers of the frames of a stream, each computed once, for windows that overlap. */
export interface KeptFrames {
  /** @param from number of the first frame, counted from the start of the stream, of those that are still kept */
  between(from: number, count: number): FramePowers;
}

const kept = 512;

/** @param cut sound of the stream between two samples */
export function makeKeptFrames(cut: (from: number, to: number) => Float32Array): KeptFrames {
  const powers = new Float64Array(kept * BANDS);
  const energies = new Float64Array(kept);
  /** Frames before this one are computed; after a gap, those from `since` on. */
  let done = 0;
  let since = 0;
  const compute = (from: number, to: number): void => {
    const fresh = framePowers(cut(from * HOP, from * HOP + samplesOf(to - from)));
    for (let frame = from; frame < to; frame++) {
      const at = (frame - from) * BANDS;
      powers.set(fresh.power.subarray(at, at + BANDS), (frame % kept) * BANDS);
      energies[frame % kept] = fresh.energies[frame - from] ?? 0;
    }
  };
  return {
    between(from, count) {
      const to = from + count;
      if (from < Math.max(since, done - kept) || from > done) {
        since = from;
        done = from;
      }
      if (to > done) {
        compute(done, to);
        done = to;
      }
      const out = { power: new Float64Array(count * BANDS), energies: new Float64Array(count) };
      for (let frame = from; frame < to; frame++) {
        const at = (frame % kept) * BANDS;
        out.power.set(powers.subarray(at, at + BANDS), (frame - from) * BANDS);
        out.energies[frame - from] = energies[frame % kept] ?? 0;
      }
      return out;
    },
  };
}
