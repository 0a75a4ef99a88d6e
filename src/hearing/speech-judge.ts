import { nth, real, single } from '../numerics/nth.ts';
import { makeVoiceFinder, type Voicing } from './voice-finder.ts';

/**
 * Tells speech from other sounds by two things nobody can speak without: a voice (the sound repeats itself 70 to 420
 * times a second) and movement (its colour changes from one twentieth of a second to the next). A beep repeats but does not move; a
 * splash moves but does not repeat. It is a gate against drips, hum, beeps and swirling, not a recogniser: a cough with
 * voice in it passes.
 */
export interface SpeechJudge {
  push(sample: number): void;
  /** The log power per band of the step just complete. */
  step(logs: Float64Array): void;
  /** The verdict on the steps from `onset` up to `end`, given the mean power of the noise per band. */
  judge(onset: number, end: number, noise: Float64Array): SoundVerdict;
  /** Share of the steps that are voiced, 0..1. */
  voicedShare(from: number, to: number): number;
  /** The last voiced step from `from` up to `to`, or -1. */
  lastVoiced(from: number, to: number): number;
  /** How much the level per band moves over the steps, dB per 48 ms: the median, over bands that stand out. */
  movementDb(from: number, to: number, noise: Float64Array): number;
}

export interface SoundVerdict {
  /** 0..1 */
  readonly speech: number;
  /** Level over the noise in the band that stands out most, dB (the loudest tenth of the steps). */
  readonly overNoiseDb: number;
  readonly voicedS: number;
  /** Share of the steps that are one pure tone. */
  readonly pure: number;
  readonly movementDb: number;
}

/** Steps kept: some 12 s. */
const kept = 3072;
const decibel = 10 / Math.LN10;

/** Cost: some 1 % of one core at 48 kHz. */
export function makeSpeechJudge(sampleRate: number, bands: number, stepS: number): SpeechJudge {
  const finder = makeVoiceFinder(sampleRate);
  const voiced = new Uint8Array(kept);
  const levels = Array.from({ length: bands }, () => new Float32Array(kept));
  const smooth = new Float64Array(bands);
  let steps = 0;
  let latest: Voicing = 0;

  const clampSteps = (from: number, to: number): [number, number] => [
    Math.max(from, steps - kept, 0),
    Math.min(to, steps),
  ];

  const movementDb = (from: number, to: number, noise: Float64Array): number => {
    const [first, last] = clampSteps(from, to);
    const apart = Math.max(1, Math.round(0.048 / stepS));
    const moves: number[] = [];
    for (let step = first + apart; step < last; step++) {
      let most = -1;
      let band = 0;
      for (const level of levels) {
        const now = single(level, step % kept);
        const before = single(level, (step - apart) % kept);
        const over = Math.max(now, before) - decibel * Math.log(real(noise, band++) + 1e-12);
        if (over > 6) most = Math.max(most, Math.abs(now - before));
      }
      if (most >= 0) moves.push(most);
    }
    if (moves.length === 0) return 0;
    moves.sort((a, b) => a - b);
    return nth(moves, Math.floor(moves.length / 2));
  };

  const overNoiseDb = (first: number, last: number, noise: Float64Array): number => {
    const overs: number[] = [];
    for (let step = first; step < last; step++) {
      let most = 0;
      let band = 0;
      for (const level of levels)
        most = Math.max(most, single(level, step % kept) - decibel * Math.log(real(noise, band++) + 1e-12));
      overs.push(most);
    }
    overs.sort((a, b) => b - a);
    return overs[Math.floor(overs.length / 10)] ?? 0;
  };

  const countSteps = (from: number, to: number, kind: 1 | 2): number => {
    const [first, last] = clampSteps(from, to);
    let count = 0;
    for (let step = first; step < last; step++) if (voiced[step % kept] === kind) count++;
    return count;
  };

  return {
    push: finder.push,
    step(logs) {
      if (steps % 3 === 0) latest = finder.now();
      voiced[steps % kept] = latest;
      for (const [band, level] of levels.entries()) {
        // Smoothed over some 20 ms: single steps of noise jump about.
        const power = real(smooth, band) + 0.25 * (Math.exp(real(logs, band)) - real(smooth, band));
        smooth[band] = power;
        level[steps % kept] = decibel * Math.log(power + 1e-12);
      }
      steps++;
    },
    voicedShare(from, to) {
      const [first, last] = clampSteps(from, to);
      return last > first ? countSteps(from, to, 1) / (last - first) : 0;
    },
    lastVoiced(from, to) {
      const [first, last] = clampSteps(from, to);
      for (let step = last - 1; step >= first; step--) if (voiced[step % kept] === 1) return step;
      return -1;
    },
    movementDb,
    judge(onset, end, noise) {
      const [first, last] = clampSteps(onset, end);
      const voicedS = countSteps(onset, end, 1) * stepS;
      const movement = movementDb(onset, end, noise);
      const pure = last > first ? countSteps(onset, end, 2) / (last - first) : 0;
      const mixed = 1 - ramp(pure, 0.52, 0.58);
      // What is very short is a knock, unless its voice is plain.
      const brief = (last - first) * stepS < 0.13;
      const voice = brief ? ramp(voicedS, 0.012, 0.032) : ramp(voicedS, 0.01, 0.03);
      // Whispered and creaky words have hardly a voice, but move more than any hiss.
      const unvoiced = brief ? 0 : 0.6 * ramp(movement, 5, 6);
      return {
        speech: ramp(movement, 1.1, 1.7) * mixed * Math.max(voice, unvoiced),
        overNoiseDb: overNoiseDb(first, last, noise),
        voicedS,
        pure,
        movementDb: movement,
      };
    },
  };
}

function ramp(value: number, none: number, all: number): number {
  return Math.max(0, Math.min(1, (value - none) / (all - none)));
}
