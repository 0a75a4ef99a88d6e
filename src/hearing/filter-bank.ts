import { real } from '../numerics/nth.ts';

/**
 * Splits sound into a few bands and gives the mean power of each in steps of some 4 ms. Speech begins with sounds that
 * live in very different places (the hiss of "six" above 3 kHz, the hum of "nine" below 400 Hz) while room noise
 * mostly lies low: band by band, a weak beginning stands out that the whole would hide.
 */
export interface FilterBank {
  readonly bands: number;
  /** Samples in one step. */
  readonly hop: number;
  /** Nominal width of each band, Hz. */
  readonly widthsHz: readonly number[];
  /** Feeds one sample; true when a step is complete and `powers` holds its mean power per band. */
  push(sample: number): boolean;
  readonly powers: Float64Array;
}

/** Edges in Hz. Below 200 Hz is left out: mains hum, steps, the table. */
const edgesHz: readonly (readonly [number, number])[] = [
  [200, 450],
  [450, 900],
  [900, 1800],
  [1800, 3600],
  [3600, 7200],
];

interface Section {
  b0: number;
  b1: number;
  b2: number;
  a1: number;
  a2: number;
  z1: number;
  z2: number;
}

/** Power added to each band so that digital silence is not infinitely quiet: -86 dB of full scale. */
const dither = 10 ** -8.6;
/** A band with less over the dither holds nothing: no room and no converter is so quiet (natural log). */
const deadBelow = Math.log(dither) + 0.1;

/** Natural log of a band's power, for digital silence too. */
export const logPower = (power: number): number => Math.log(power + dither);

/** Whether a step, log power by band, holds digital silence. */
export const isDead = (logs: Float64Array): boolean => logs.every((log) => log < deadBelow);

/** Cost: some 16 second-order sections a sample, about 0.5 % of one core at 48 kHz. */
export function makeFilterBank(sampleRate: number, hopS = 0.004): FilterBank {
  const hop = Math.max(1, Math.round(sampleRate * hopS));
  const top = sampleRate * 0.47;
  const edges = edgesHz.filter(([low]) => low * 1.3 < top).map(([low, high]) => [low, Math.min(high, top)] as const);
  const filters = edges.map(([low, high]) => makeFilter(sampleRate, low, high));
  const sums = new Float64Array(edges.length);
  const powers = new Float64Array(edges.length);
  let filled = 0;
  return {
    bands: edges.length,
    hop,
    widthsHz: edges.map(([low, high]) => high - low),
    powers,
    push(sample) {
      let place = 0;
      for (const filter of filters) {
        const value = filter(sample);
        sums[place] = real(sums, place) + value * value;
        place++;
      }
      filled++;
      if (filled < hop) return false;
      for (let band = 0; band < sums.length; band++) {
        powers[band] = real(sums, band) / hop;
        sums[band] = 0;
      }
      filled = 0;
      return true;
    },
  };
}

/** A band pass of fourth order on each side; feed it sample by sample. */
export function makeFilter(sampleRate: number, lowHz: number, highHz: number): (sample: number) => number {
  const parts = [
    section('high', lowHz, 0.5412, sampleRate),
    section('high', lowHz, 1.3066, sampleRate),
    section('low', highHz, 0.5412, sampleRate),
    section('low', highHz, 1.3066, sampleRate),
  ];
  return (sample) => {
    let value = sample;
    for (const part of parts) {
      const out = part.b0 * value + part.z1;
      part.z1 = part.b1 * value - part.a1 * out + part.z2;
      part.z2 = part.b2 * value - part.a2 * out;
      value = out;
    }
    return value;
  };
}

/**
 * A second-order low or high pass by the bilinear transform; two with the quality factors 0.5412 and 1.3066 in a row
 * make a Butterworth filter of fourth order. Formulae: R. Bristow-Johnson, "Audio EQ Cookbook" (from memory).
 */
function section(kind: 'low' | 'high', frequencyHz: number, quality: number, sampleRate: number): Section {
  const angle = (2 * Math.PI * frequencyHz) / sampleRate;
  const cosine = Math.cos(angle);
  const alpha = Math.sin(angle) / (2 * quality);
  const a0 = 1 + alpha;
  const edge = kind === 'low' ? (1 - cosine) / 2 : (1 + cosine) / 2;
  return {
    b0: edge / a0,
    b1: ((kind === 'low' ? 2 : -2) * edge) / a0,
    b2: edge / a0,
    a1: (-2 * cosine) / a0,
    a2: (1 - alpha) / a0,
    z1: 0,
    z2: 0,
  };
}
