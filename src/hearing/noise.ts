import { real } from '../numerics/nth.ts';

/**
 * What the room sounds like, band by band: the mean and the spread of the log power of a step, the spread split into
 * chance (from step to step) and swelling (slower: water that is swirled, wind). Sound is judged against the mean
 * raised by what the noise swells.
 */
export interface Noise {
  /** Log likelihood ratio of "this band has risen by `rise`" over "noise alone". */
  bandEvidence(band: number, log: number, rise: number): number;
  /** A first idea of the noise, from moments in which there may be speech. */
  guess(steps: readonly Float64Array[]): void;
  learn(logs: Float64Array): void;
  /** The room has changed: these steps are its noise. */
  replace(steps: readonly Float64Array[]): void;
  /** Log likelihood ratio of "sound in some bands" over "noise alone" for one step, bounded. */
  evidence(logs: Float64Array): number;
  /** Mean of the log power of a band. */
  meanLog(band: number): number;
  /** Mean power per band. */
  means(): Float64Array;
}

/** The rises of a band that count as sound, as factors of power, each with the prior weight below. */
const rises = [2, 3.5, 10] as const;
const riseWeight = 0.13;
/** Bound of the evidence of one step, so that one click is no alarm. */
const mostPerStep = 3;
/** How long the noise is remembered, s. */
const memoryS = 1.5;
/** Changes of the noise slower than this are swelling, not chance, s. */
const swellS = 0.06;
/** The noise is taken to swell up to so many standard deviations of its swelling. */
const swellReach = 1.6;

/** @param stepS length of a step, s */
export function makeNoise(bands: number, stepS: number): Noise {
  const mean = new Float64Array(bands);
  const variance = new Float64Array(bands);
  const slow = new Float64Array(bands);
  const slowVariance = new Float64Array(bands);
  const shape = new Float64Array(bands);
  const reference = new Float64Array(bands);
  const power = new Float64Array(bands);
  const swellWeight = stepS / swellS;
  // What chance alone leaves of its variance in an average of that weight.
  const chanceLeft = swellWeight / (2 - swellWeight);
  let learned = 0;

  const settle = (): void => {
    for (let band = 0; band < bands; band++) {
      const swelling = Math.max(0, (real(slowVariance, band) - chanceLeft * real(variance, band)) / (1 - chanceLeft));
      // The variance of the log of a gamma variable of shape k is about 1/k + 1/(2 k^2); its mean lies below the log
      // of the mean by about 1/(2 k) + 1/(12 k^2).
      const chance = Math.max(0.09, real(variance, band) - swelling);
      const k = (1 + Math.sqrt(1 + 2 * chance)) / (2 * chance);
      const meanOverLog = 1 / (2 * k) + 1 / (12 * k * k);
      shape[band] = Math.min(10, k);
      reference[band] = real(mean, band) + meanOverLog + swellReach * Math.sqrt(swelling);
      power[band] = Math.exp(real(mean, band) + meanOverLog + swelling / 2);
    }
  };

  const take = (logs: Float64Array): void => {
    learned++;
    const weight = Math.max(1 / (learned + 1), stepS / memoryS);
    for (let band = 0; band < bands; band++) {
      const difference = real(logs, band) - real(mean, band);
      mean[band] = real(mean, band) + weight * difference;
      variance[band] = real(variance, band) + weight * (difference * difference - real(variance, band));
      slow[band] = real(slow, band) + swellWeight * (real(logs, band) - real(slow, band));
      slowVariance[band] =
        real(slowVariance, band) + weight * ((real(slow, band) - real(mean, band)) ** 2 - real(slowVariance, band));
    }
  };

  return {
    guess(steps) {
      for (let band = 0; band < bands; band++) {
        const sorted = steps.map((logs) => real(logs, band)).sort((a, b) => a - b);
        const low = sorted.slice(0, Math.max(4, Math.floor(sorted.length * 0.3)));
        // The lowest 30 % lie some 0.8 below the mean where the spread is that of noise.
        mean[band] = low.reduce((sum, value) => sum + value, 0) / low.length + 0.8;
        variance[band] = 0.4;
        slow[band] = real(mean, band);
        slowVariance[band] = 0.4 * chanceLeft;
      }
      learned = 40;
      settle();
    },
    learn(logs) {
      take(logs);
      settle();
    },
    replace(steps) {
      learned = 0;
      const [first] = steps;
      if (first) slow.set(first);
      for (const logs of steps) take(logs);
      settle();
    },
    evidence(logs) {
      let sum = 0;
      for (let band = 0; band < bands; band++) {
        const ratio = Math.exp(Math.min(8, real(logs, band) - real(reference, band)));
        let likelihood = 1 - rises.length * riseWeight;
        for (const rise of rises)
          likelihood +=
            riseWeight * Math.exp(Math.min(30, real(shape, band) * (ratio * (1 - 1 / rise) - Math.log(rise))));
        sum += Math.log(likelihood);
      }
      return Math.max(-mostPerStep, Math.min(mostPerStep, sum));
    },
    bandEvidence: (band, log, rise) =>
      real(shape, band) * (Math.exp(Math.min(8, log - real(reference, band))) * (1 - 1 / rise) - Math.log(rise)),
    meanLog: (band) => real(mean, band),
    means: () => power,
  };
}
