import { loudestChannel, readWav, writeWav } from './wav.ts';

/**
 * The sound of one utterance as it is kept: WAV, mono, 16 kHz, 16 bits (some 32 kB for a second). Speech needs no
 * more, every browser plays it, and it needs no codec that may be missing.
 */
export const clipType = 'audio/wav';
export const clipRate = 16_000;

export function encodeClip(samples: Float32Array, sampleRate: number): Uint8Array<ArrayBuffer> {
  return writeWav(resampleTo(samples, sampleRate, clipRate), Math.min(sampleRate, clipRate));
}

/** @throws UnreadableSound when the bytes are no clip */
export function decodeClip(bytes: Uint8Array): { samples: Float32Array; sampleRate: number } {
  const sound = readWav(bytes);
  return { samples: loudestChannel(sound), sampleRate: sound.sampleRate };
}

/**
 * Changes the sample rate downwards with a windowed sinc (8 zero crossings a side), which keeps what lies above half
 * the new rate from folding back. A rate at or below the wanted one is left as it is.
 * Cost: 16 * sampleRate / rate products per sample out.
 */
export function resampleTo(samples: Float32Array, sampleRate: number, rate: number): Float32Array {
  if (sampleRate <= rate) return samples;
  const ratio = sampleRate / rate;
  const half = 8 * ratio;
  const out = new Float32Array(Math.floor(samples.length / ratio));
  for (let index = 0; index < out.length; index++) {
    const centre = index * ratio;
    let sum = 0;
    let weights = 0;
    for (let at = Math.ceil(centre - half); at <= centre + half; at++) {
      const distance = (at - centre) / ratio;
      const x = Math.PI * distance;
      const sinc = Math.abs(x) < 1e-9 ? 1 : Math.sin(x) / x;
      const weight = sinc * (0.5 + 0.5 * Math.cos(x / 8));
      weights += weight;
      sum += weight * (samples[at] ?? 0);
    }
    out[index] = sum / weights;
  }
  return out;
}
