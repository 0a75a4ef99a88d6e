import { makeFilterBank } from './filter-bank.ts';
import { makeSpeechJudge } from './speech-judge.ts';

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
export interface FoundUtterance {
  /** First sample of sound, counted from the start of the stream. */
  readonly onsetFrame: number;
  /** First sample after the sound. */
  readonly endFrame: number;
  /** Standard uncertainty of the onset, s: grows as the sound stands less over the noise. */
  readonly uOnsetS: number;
  /** 0..1: how much it sounds like a person: voiced, and moving (see speech-judge.ts). */
  readonly speech: number;
  /** Level of the sound over the noise, dB. */
  readonly overNoiseDb: number;
  /** true when the sound ran into the limits of the converter. */
  readonly clipped: boolean;
}

export type OnsetEvent =
  /** A sound has begun; an utterance may follow. */
  | { readonly kind: 'onset'; readonly onsetFrame: number }
  | { readonly kind: 'utterance'; readonly utterance: FoundUtterance }
  /** What began was too short to be a word. */
  | { readonly kind: 'nothing' };

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
/** Learned from before anything is decided, s. */
const learnFirstS = 0.6;
/** The rises of a band that count as sound, as factors of power, each with the prior weight below. */
const rises = [2, 3.5, 10] as const;
const riseWeight = 0.13;
/** Evidence (natural log) that makes an alarm, and its bound per step, so that one click is no alarm. */
const alarmAt = 24;
const mostPerStep = 3;
/** Silence that ends an utterance, s: longer than the closure in "eight" or the pause in "twenty | five". */
const hangS = 0.34;
/** Shorter sounds are clicks and drips, s. */
const shortestS = 0.13;
const longestS = 8;
/** Power added to each band so that digital silence is not infinitely quiet: -86 dB of full scale. */
const dither = 10 ** -8.6;
/** Steps join the noise only after this long without an alarm, so that a beginning is not learned as noise. */
const quarantineS = 0.3;
/** How long the noise is remembered, s. */
const memoryS = 1.5;
/** Changes of the noise slower than this are swelling, not chance, s. */
const swellS = 0.06;
/** The noise is taken to swell up to so many standard deviations of its swelling. */
const swellReach = 1.6;
/** After so long without voice, or without change, what sounds is a new noise of the room, s. */
const absorbS = 0.9;

export function makeOnsetFinder(sampleRate: number): OnsetFinder {
  const bank = makeFilterBank(sampleRate, hopS);
  const { bands, hop } = bank;
  const stepS = hop / sampleRate;
  const judge = makeSpeechJudge(sampleRate, bands, stepS);
  const noise = makeNoise(bands, stepS);
  const weak = makeWeakBeginnings(noise, bands, stepS);
  const learnSteps = Math.round(learnFirstS / stepS);
  const absorbSteps = Math.round(absorbS / stepS);
  const quarantineSteps = Math.round(quarantineS / stepS);

  let nextFrame = 0;
  let step = 0;
  /** Steps without an alarm that are not noise yet; while something sounds: its steps. */
  let waiting: Float64Array[] = [];
  let opened = false;

  let evidence = 0;
  let zeroStep = 0;
  let sounding: { onset: number; lastActive: number; clipped: boolean; nextCheck: number } | null = null;
  let clippedStep = false;

  const takeStep = (logs: Float64Array, events: OnsetEvent[]): void => {
    waiting.push(logs);
    if (opened) decide(logs, events);
    else if (waiting.length >= learnSteps) open(events);
  };

  /** The noise at the very start is the quieter part of the first moments: speech may already be there. */
  const open = (events: OnsetEvent[]): void => {
    opened = true;
    noise.guess(waiting);
    for (const logs of waiting.splice(0)) {
      waiting.push(logs);
      decide(logs, events);
    }
  };

  const decide = (logs: Float64Array, events: OnsetEvent[]): void => {
    const gain = noise.evidence(logs);
    weak.take(logs);
    if (sounding) goOn(sounding, gain, events);
    else watch(gain, events);
    step++;
  };

  const watch = (gain: number, events: OnsetEvent[]): void => {
    if (evidence <= 0) zeroStep = step;
    evidence = Math.max(0, evidence + gain);
    if (evidence >= alarmAt) {
      const onset = weak.before(zeroStep);
      sounding = { onset, lastActive: step, clipped: clippedStep, nextCheck: onset + absorbSteps };
      // What lies before the onset is noise.
      const before = Math.max(0, waiting.length - (step - onset + 1));
      for (const old of waiting.splice(0, before)) noise.learn(old);
      events.push({ kind: 'onset', onsetFrame: onset * hop });
      return;
    }
    if (waiting.length > quarantineSteps) noise.learn(waiting.shift()!);
  };

  const goOn = (sound: NonNullable<typeof sounding>, gain: number, events: OnsetEvent[]): void => {
    evidence = Math.max(0, Math.min(alarmAt, evidence + gain));
    if (gain > 0.5 && evidence > alarmAt / 3) sound.lastActive = step;
    if (clippedStep) sound.clipped = true;
    if ((step - sound.lastActive) * stepS >= hangS || (step - sound.onset) * stepS >= longestS) {
      end(sound, sound.lastActive + 1, events);
      waiting = [];
      return;
    }
    if (step < sound.nextCheck) return;
    sound.nextCheck = step + Math.round(0.1 / stepS);
    const from = step - absorbSteps + 1;
    const steady = judge.voicedShare(from, step + 1) < 0.08 || judge.movementDb(from, step + 1, noise.means()) < 0.8;
    if (!steady) return;
    // Speech may have come before the noise: it ends with its last voice.
    const voice = judge.lastVoiced(sound.onset, from);
    end(sound, voice < 0 ? from : voice + 1, events);
    noise.replace(waiting.slice(-absorbSteps));
    waiting = [];
  };

  const end = (sound: NonNullable<typeof sounding>, endStep: number, events: OnsetEvent[]): void => {
    sounding = null;
    evidence = 0;
    zeroStep = step + 1;
    if ((endStep - sound.onset) * stepS < shortestS) {
      events.push({ kind: 'nothing' });
      return;
    }
    const verdict = judge.judge(sound.onset, endStep, noise.means());
    const early = Math.round(latenessS(verdict.overNoiseDb) / stepS);
    events.push({
      kind: 'utterance',
      utterance: {
        onsetFrame: Math.max(0, sound.onset - early) * hop,
        endFrame: endStep * hop,
        uOnsetS: uncertaintyOf(verdict.overNoiseDb),
        speech: verdict.speech,
        overNoiseDb: verdict.overNoiseDb,
        clipped: sound.clipped,
      },
    });
  };

  const takeSample = (sample: number, events: OnsetEvent[]): void => {
    if (Math.abs(sample) >= 0.999) clippedStep = true;
    judge.push(sample);
    if (!bank.push(sample)) return;
    const logs = new Float64Array(bands);
    for (let band = 0; band < bands; band++) logs[band] = Math.log(bank.powers[band]! + dither);
    judge.step(logs);
    takeStep(logs, events);
    clippedStep = false;
  };

  return {
    push(samples, frame = nextFrame) {
      const events: OnsetEvent[] = [];
      // Lost sound: its place is kept, with nothing in it.
      const lost = Math.min(frame - nextFrame, sampleRate * 60);
      for (let missing = 0; missing < lost; missing++) takeSample(0, events);
      for (let index = Math.max(0, nextFrame - frame); index < samples.length; index++)
        takeSample(samples[index]!, events);
      nextFrame = Math.max(nextFrame, frame + samples.length);
      return events;
    },
    finish() {
      const events: OnsetEvent[] = [];
      if (!opened && waiting.length > 0) open(events);
      if (sounding) end(sounding, sounding.lastActive + 1, events);
      return events;
    },
    noiseDb: () => (opened ? 10 * Math.log10(noise.means().reduce((sum, power) => sum + power, 0)) : null),
  };
}

/**
 * Weak beginnings (the breath of "f" and "th" in noise): too faint for one step to show, but steady. One cumulative
 * test per high band and small rise, all running along; when an utterance is found, those that had gathered evidence
 * at its onset say how much earlier it began.
 */
interface WeakBeginnings {
  take(logs: Float64Array): void;
  /** The step at which the sound that was found at `onset` began. */
  before(onset: number): number;
}

const weakRises = [1.3, 1.8] as const;
const weakAt = 4.5;
const weakReachS = 0.22;
const lowestWeakBand = 2;

function makeWeakBeginnings(noise: Noise, bands: number, stepS: number): WeakBeginnings {
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
  let step = 0;
  return {
    take(logs) {
      for (const test of tests) {
        if (test.evidence <= 0) test.zero = step;
        let gain = 0;
        if (test.band < bands) gain = noise.bandEvidence(test.band, logs[test.band]!, test.rise);
        else
          for (let band = lowestWeakBand; band < bands; band++)
            gain += noise.bandEvidence(band, logs[band]!, test.rise);
        test.evidence = Math.min(30, Math.max(0, test.evidence + Math.max(-3, Math.min(2, gain))));
        test.evidences[step % kept] = test.evidence;
        test.zeros[step % kept] = test.zero;
      }
      step++;
    },
    before(onset) {
      let earliest = onset;
      if (onset < 1 || step - onset >= kept) return onset;
      for (const test of tests)
        if (test.evidences[(onset - 1) % kept]! >= weakAt)
          earliest = Math.min(earliest, test.zeros[(onset - 1) % kept]!);
      return Math.max(earliest, onset - Math.round(weakReachS / stepS), 0);
    },
  };
}

interface Noise {
  /** Log likelihood ratio of "this band has risen by `rise`" over "noise alone". */
  bandEvidence(band: number, log: number, rise: number): number;
  /** A first idea of the noise, from moments in which there may be speech. */
  guess(steps: readonly Float64Array[]): void;
  learn(logs: Float64Array): void;
  /** The room has changed: these steps are its noise. */
  replace(steps: readonly Float64Array[]): void;
  /** Log likelihood ratio of "sound in some bands" over "noise alone" for one step, bounded. */
  evidence(logs: Float64Array): number;
  /** Mean power per band. */
  means(): Float64Array;
}

/** The noise per band: mean and spread of the log power, split into chance from step to step and slow swelling. */
function makeNoise(bands: number, stepS: number): Noise {
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
      const swelling = Math.max(0, (slowVariance[band]! - chanceLeft * variance[band]!) / (1 - chanceLeft));
      // The variance of the log of a gamma variable of shape k is about 1/k + 1/(2 k^2); its mean lies below the log
      // of the mean by about 1/(2 k) + 1/(12 k^2).
      const chance = Math.max(0.09, variance[band]! - swelling);
      const k = (1 + Math.sqrt(1 + 2 * chance)) / (2 * chance);
      const meanOverLog = 1 / (2 * k) + 1 / (12 * k * k);
      shape[band] = Math.min(10, k);
      reference[band] = mean[band]! + meanOverLog + swellReach * Math.sqrt(swelling);
      power[band] = Math.exp(mean[band]! + meanOverLog + swelling / 2);
    }
  };

  const take = (logs: Float64Array): void => {
    learned++;
    const weight = Math.max(1 / (learned + 1), stepS / memoryS);
    for (let band = 0; band < bands; band++) {
      const difference = logs[band]! - mean[band]!;
      mean[band]! += weight * difference;
      variance[band]! += weight * (difference * difference - variance[band]!);
      slow[band]! += swellWeight * (logs[band]! - slow[band]!);
      slowVariance[band]! += weight * ((slow[band]! - mean[band]!) ** 2 - slowVariance[band]!);
    }
  };

  return {
    guess(steps) {
      for (let band = 0; band < bands; band++) {
        const sorted = steps.map((logs) => logs[band]!).sort((a, b) => a - b);
        const low = sorted.slice(0, Math.max(4, Math.floor(sorted.length * 0.3)));
        // The lowest 30 % lie some 0.8 below the mean where the spread is that of noise.
        mean[band] = low.reduce((sum, value) => sum + value, 0) / low.length + 0.8;
        variance[band] = 0.4;
        slow[band] = mean[band]!;
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
      for (let band = 0; band < bands; band++) slow[band] = steps[0]?.[band] ?? slow[band]!;
      for (const logs of steps) take(logs);
      settle();
    },
    evidence(logs) {
      let sum = 0;
      for (let band = 0; band < bands; band++) {
        const ratio = Math.exp(Math.min(8, logs[band]! - reference[band]!));
        let likelihood = 1 - rises.length * riseWeight;
        for (const rise of rises)
          likelihood += riseWeight * Math.exp(Math.min(30, shape[band]! * (ratio * (1 - 1 / rise) - Math.log(rise))));
        sum += Math.log(likelihood);
      }
      return Math.max(-mostPerStep, Math.min(mostPerStep, sum));
    },
    bandEvidence: (band, log, rise) =>
      shape[band]! * (Math.exp(Math.min(8, log - reference[band]!)) * (1 - 1 / rise) - Math.log(rise)),
    means: () => power,
  };
}

/**
 * In noise the first sound of a word is heard late by so much, in the median of the benchmark of onsets (28 and 20 ms
 * for sounds 12 and 20 dB over the noise): most of it is taken off.
 */
function latenessS(overNoiseDb: number): number {
  if (overNoiseDb >= 28) return 0;
  if (overNoiseDb >= 22) return 0.004;
  return 0.018;
}

/** From the benchmark of onsets against synthesised speech (test/bench/onset.ts): about half the 95th percentile. */
function uncertaintyOf(overNoiseDb: number): number {
  if (overNoiseDb >= 30) return 0.008;
  if (overNoiseDb >= 20) return 0.02;
  if (overNoiseDb >= 12) return 0.04;
  return 0.06;
}
