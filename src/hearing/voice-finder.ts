import { real } from '../numerics/nth.ts';
import { makeFilter } from './filter-bank.ts';

/** What the last moments of sound are: 1 a voice, 2 a pure tone, 0 neither. */
export type Voicing = 0 | 1 | 2;

/** Looks for a voice: sound that repeats itself 70 to 420 times a second and has overtones. */
export interface VoiceFinder {
  push(sample: number): void;
  /** What the last 30 ms are. */
  now(): Voicing;
}

const lowestVoiceHz = 70;
const highestVoiceHz = 420;
const windowS = 0.03;
/** The least correlation with itself one period later. */
const voicedAt = 0.55;
/** The least share of the power within one line of the spectrum. */
const pureAt = 0.97;

export function makeVoiceFinder(sampleRate: number): VoiceFinder {
  const every = Math.max(1, Math.floor(sampleRate / 4000));
  const rate = sampleRate / every;
  const filter = makeFilter(sampleRate, 180, Math.min(1400, sampleRate * 0.45));
  const window = Math.round(windowS * rate);
  const shortest = Math.floor(rate / 1300);
  const voiceShortest = Math.floor(rate / highestVoiceHz);
  const longest = Math.ceil(rate / lowestVoiceHz);
  const concentration = makeConcentration();
  const recent = new Float64Array(1024);
  let written = 0;
  let phase = 0;
  const at = (index: number): number => real(recent, index % recent.length);

  /** Best correlation of the last window with itself earlier, at the lags of a voice and at shorter ones. */
  const likeness = (power: number): { voice: number; high: number } => {
    const end = written;
    let voice = 0;
    let high = 0;
    let lagPower = 0;
    for (let index = end - window - shortest; index < end - shortest; index++) lagPower += at(index) ** 2;
    for (let lag = shortest; lag <= longest; lag++) {
      let product = 0;
      for (let index = end - window; index < end; index++) product += at(index) * at(index - lag);
      const alike = product / Math.sqrt(power * lagPower + 1e-20);
      if (lag < voiceShortest) high = Math.max(high, alike);
      else voice = Math.max(voice, alike);
      lagPower += at(end - window - lag - 1) ** 2 - at(end - lag - 1) ** 2;
    }
    return { voice, high };
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
    now() {
      if (written < window + longest) return 0;
      let power = 0;
      for (let index = written - window; index < written; index++) power += at(index) ** 2;
      if (power / window < 1e-9) return 0;
      const { voice, high } = likeness(power);
      if (Math.max(voice, high) < voicedAt) return 0;
      // A pure tone has all its power at one frequency; a voice has overtones.
      if (concentration(at, written) >= pureAt) return 2;
      return high < voice * 0.93 ? 1 : 0;
    },
  };
}

const lines = 64;
const spectral = 2 * lines;

/** Share of the power of the last 32 ms that lies in the strongest line of the spectrum and its neighbours. */
function makeConcentration(): (at: (index: number) => number, end: number) => number {
  const cosine = Float64Array.from({ length: spectral }, (_, index) => Math.cos((2 * Math.PI * index) / spectral));
  const shade = Float64Array.from(
    { length: spectral },
    (_, index) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (index + 0.5)) / spectral),
  );
  const spectrum = new Float64Array(lines);
  return (at, end) => {
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
}
