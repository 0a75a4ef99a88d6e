import { nth, real } from '../numerics/nth.ts';
import type { Noise } from './noise.ts';

/**
 * Weak beginnings (the breath of "f" and "th" in noise): too faint for one step to show, but steady. One cumulative
 * test per high band and small rise, all running along; when an utterance is found, those that had gathered evidence
 * at its onset say how much earlier it began.
 */
export interface WeakBeginnings {
  take(logs: Float64Array): void;
  /** The step at which the sound that was found at `onset` began. */
  before(onset: number): number;
}

/** Rises of power that are looked for: 1.1 and 2.6 dB. */
const weakRises = [1.3, 1.8] as const;
/** Evidence (natural log) that counts. */
const weakAt = 4.5;
/** No sound of speech begins so much before it is loud, s. */
const weakReachS = 0.22;
/** Breath lies above some 900 Hz. */
const lowestWeakBand = 2;

/** @param from number of the first step that will be taken */
export function makeWeakBeginnings(noise: Noise, bands: number, stepS: number, from = 0): WeakBeginnings {
  const kept = 512;
  const tests: {
    band: number;
    rise: number;
    evidence: number;
    zero: number;
    evidences: Float64Array;
    zeros: Int32Array;
  }[] = [];
  // The last one stands for all high bands together.
  for (let band = lowestWeakBand; band <= bands; band++)
    for (const rise of weakRises)
      tests.push({ band, rise, evidence: 0, zero: 0, evidences: new Float64Array(kept), zeros: new Int32Array(kept) });
  let step = from;
  return {
    take(logs) {
      for (const test of tests) {
        if (test.evidence <= 0) test.zero = step;
        let gain = 0;
        if (test.band < bands) gain = noise.bandEvidence(test.band, real(logs, test.band), test.rise);
        else
          for (let band = lowestWeakBand; band < bands; band++)
            gain += noise.bandEvidence(band, real(logs, band), test.rise);
        test.evidence = Math.min(30, Math.max(0, test.evidence + Math.max(-3, Math.min(2, gain))));
        test.evidences[step % kept] = test.evidence;
        test.zeros[step % kept] = test.zero;
      }
      step++;
    },
    before(onset) {
      let earliest = onset;
      if (onset <= from || step - onset >= kept) return onset;
      for (const test of tests)
        if (real(test.evidences, (onset - 1) % kept) >= weakAt)
          earliest = Math.min(earliest, nth(test.zeros, (onset - 1) % kept));
      return Math.max(earliest, onset - Math.round(weakReachS / stepS), 0);
    },
  };
}
