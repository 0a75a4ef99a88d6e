import { nth, real, single } from '../numerics/nth.ts';
import { makeFilter } from './filter-bank.ts';

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
const lowestVoiceHz = 70;
const highestVoiceHz = 420;
const windowS = 0.03;
/** The least correlation with itself one period later. */
const voicedAt = 0.55;
/** The least share of the power within one line of the spectrum. */
const pureAt = 0.97;
const decibel = 10 / Math.LN10;

/** Cost: some 1 % of one core at 48 kHz. */
export function makeSpeechJudge(sampleRate: number, bands: number, stepS: number): SpeechJudge {
  const every = Math.max(1, Math.floor(sampleRate / 4000));
  const rate = sampleRate / every;
  const filter = makeFilter(sampleRate, 180, Math.min(1400, sampleRate * 0.45));
  const window = Math.round(windowS * rate);
  const shortest = Math.floor(rate / 1300);
  const voiceShortest = Math.floor(rate / highestVoiceHz);
  const longest = Math.ceil(rate / lowestVoiceHz);
  const span = window + longest;
  const recent = new Float64Array(1024);
  let written = 0;
  let phase = 0;

  /** Per step: 1 voiced, 2 a pure tone, 0 neither. */
  const voiced = new Uint8Array(kept);
  const levels = Array.from({ length: bands }, () => new Float32Array(kept));
  const smooth = new Float64Array(bands);
  let steps = 0;
  let lastVoiced = 0;

  const lines = 64;
  const spectral = 2 * lines;
  const cosine = Float64Array.from({ length: spectral }, (_, index) => Math.cos((2 * Math.PI * index) / spectral));
  const shade = Float64Array.from(
    { length: spectral },
    (_, index) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (index + 0.5)) / spectral),
  );
  const spectrum = new Float64Array(lines);

  /** Share of the power of the last 32 ms that lies in the strongest line of the spectrum and its neighbours. */
  const concentration = (at: (index: number) => number, end: number): number => {
    let all = 0;
    let peak = 0;
    for (let line = 0; line < lines; line++) {
      let even = 0;
      let odd = 0;
      for (let index = 0; index < spectral; index++) {
        const value = at(end - spectral + index) * real(shade, index);
        even += value * real(cosine, (line * index) % spectral);
        odd += value * real(cosine, (line * index + lines / 2) % spectral);
      }
      const power = even * even + odd * odd;
      spectrum[line] = power;
      all += power;
      if (power > real(spectrum, peak)) peak = line;
    }
    let near = 0;
    for (let line = Math.max(0, peak - 2); line <= Math.min(lines - 1, peak + 2); line++) near += real(spectrum, line);
    return all > 0 ? near / all : 0;
  };

  /** Normalised correlation of the last window with itself one lag earlier; the best lag must be one of a voice. */
  const voiceNow = (): 0 | 1 | 2 => {
    if (written < span) return 0;
    const end = written;
    const at = (index: number): number => real(recent, index % recent.length);
    let power = 0;
    for (let index = end - window; index < end; index++) power += at(index) ** 2;
    if (power / window < 1e-9) return 0;
    let best = 0;
    let bestHigh = 0;
    let lagPower = 0;
    for (let index = end - window - shortest; index < end - shortest; index++) lagPower += at(index) ** 2;
    for (let lag = shortest; lag <= longest; lag++) {
      let product = 0;
      for (let index = end - window; index < end; index++) product += at(index) * at(index - lag);
      const likeness = product / Math.sqrt(power * lagPower + 1e-20);
      if (lag < voiceShortest) bestHigh = Math.max(bestHigh, likeness);
      else best = Math.max(best, likeness);
      lagPower += at(end - window - lag - 1) ** 2 - at(end - lag - 1) ** 2;
    }
    if (Math.max(best, bestHigh) < voicedAt) return 0;
    // A pure tone has all its power at one frequency; a voice has overtones.
    if (concentration(at, end) >= pureAt) return 2;
    return bestHigh < best * 0.93 ? 1 : 0;
  };

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

  const countSteps = (from: number, to: number, kind: 1 | 2): number => {
    const [first, last] = clampSteps(from, to);
    let count = 0;
    for (let step = first; step < last; step++) if (voiced[step % kept] === kind) count++;
    return count;
  };

  return {
    push(sample) {
      const value = filter(sample);
      if (phase === 0) {
        recent[written % recent.length] = value;
        written++;
      }
      phase = (phase + 1) % every;
    },
    step(logs) {
      if (steps % 3 === 0) lastVoiced = voiceNow();
      voiced[steps % kept] = lastVoiced;
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
      const overs: number[] = [];
      for (let step = first; step < last; step++) {
        let most = 0;
        let band = 0;
        for (const level of levels)
          most = Math.max(most, single(level, step % kept) - decibel * Math.log(real(noise, band++) + 1e-12));
        overs.push(most);
      }
      overs.sort((a, b) => b - a);
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
        overNoiseDb: overs[Math.floor(overs.length / 10)] ?? 0,
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
