import { real } from '../numerics/nth.ts';
import { logPower, makeFilterBank } from './filter-bank.ts';
import { makeNoise } from './noise.ts';
import { beforeTheFirst, type OnsetEvent, takeEnd, takeStep } from './onset-steps.ts';
import { makeSpeechJudge } from './speech-judge.ts';

export type { FoundUtterance } from './found-utterance.ts';
export type { OnsetEvent } from './onset-steps.ts';

/**
 * Finds utterances in a stream of sound: where each begins, where it ends. Pure code over samples; the audio worklet,
 * `hear` and the tests run the very same.
 *
 * Each step of 4 ms and each band gives the likelihood that sound stands over the noise there: the power of noise in a
 * step follows a gamma distribution, whose mean and shape are tracked per band. Their sum over the bands goes into
 * Page's cumulative test (E. S. Page, Biometrika 41 (1954) 100): it alarms when the evidence passes a threshold, and
 * the moment at which the evidence began to grow is the estimate of the onset. So detection and the way back to the
 * true edge are one computation.
 */
export interface OnsetFinder {
  /**
   * Takes the next samples. `frame` is the number of the first one; where it lies beyond the last one taken, the
   * samples between were lost and are taken as noise. Any length.
   */
  push(samples: Float32Array, frame?: number): OnsetEvent[];
  /** The stream is over: what is still sounding ends here. */
  finish(): OnsetEvent[];
  /** Mean level of the noise, dB of full scale; null before any is known. */
  noiseDb(): number | null;
}

/** Sounds with less are no speech, unless a recogniser heard words in them. */
export const likelySpeech = 0.5;

const hopS = 0.004;

export function makeOnsetFinder(sampleRate: number): OnsetFinder {
  const bank = makeFilterBank(sampleRate, hopS);
  const { bands, hop, widthsHz } = bank;
  const stepS = hop / sampleRate;
  const judge = makeSpeechJudge(sampleRate, bands, stepS);
  const noise = makeNoise(bands, stepS);
  const state = beforeTheFirst({ hop, stepS, widthsHz, judge, noiseMeans: () => noise.means() }, noise, bands);
  let nextFrame = 0;
  let clipped = false;
  let lost = false;

  const takeSample = (sample: number, events: OnsetEvent[]): void => {
    if (Math.abs(sample) >= 0.999) clipped = true;
    judge.push(sample);
    if (!bank.push(sample)) return;
    const logs = new Float64Array(bands);
    for (let band = 0; band < bands; band++)
      logs[band] = lost && state.opened ? noise.meanLog(band) : logPower(real(bank.powers, band));
    judge.step(logs);
    events.push(...takeStep(state, logs, clipped));
    clipped = false;
    lost = false;
  };

  return {
    push(samples, frame = nextFrame) {
      const events: OnsetEvent[] = [];
      // Lost sound: its place is kept; its steps pass for noise.
      const missing = Math.min(frame - nextFrame, sampleRate * 60);
      for (let i = 0; i < missing; i++) {
        lost = true;
        takeSample(0, events);
      }
      for (const sample of samples.subarray(Math.max(0, nextFrame - frame))) takeSample(sample, events);
      nextFrame = Math.max(nextFrame, frame + samples.length);
      return events;
    },
    finish: () => takeEnd(state),
    noiseDb: () => (state.opened ? 10 * Math.log10(noise.means().reduce((sum, power) => sum + power, 0)) : null),
  };
}
