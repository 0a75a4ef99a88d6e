/**
 * WAV sound in and out: what `hear` reads, what clips are kept as. PCM of 8, 16, 24 or 32 bits and IEEE float of 32 or
 * 64 bits, any number of channels, any rate. Format: Microsoft and IBM, Multimedia Programming Interface and Data
 * Specifications 1.0 (1991), chunk "WAVE"; extensible headers after Microsoft's WAVEFORMATEXTENSIBLE (from memory).
 */
export interface Sound {
  readonly sampleRate: number;
  /** Each -1..1, all of one length. */
  readonly channels: readonly Float32Array[];
}

/** A sound file that cannot be read; `message` is a sentence for the person. */
export class UnreadableSound extends Error {
  constructor(sentence: string) {
    super(sentence);
    this.name = 'UnreadableSound';
  }
}

const formatPcm = 1;
const formatFloat = 3;
const formatExtensible = 0xfffe;

/**
 * @throws UnreadableSound when the bytes are no WAV file, or one in a coding other than those above
 * Cost: one pass over the samples. A data chunk that claims more than the file holds is read as far as it goes.
 */
export function readWav(bytes: Uint8Array): Sound {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.byteLength < 12 || tag(view, 0) !== 'RIFF' || tag(view, 8) !== 'WAVE')
    throw new UnreadableSound('This is not a WAV sound file.');
  let format: { coding: number; channels: number; sampleRate: number; bits: number } | null = null;
  for (let at = 12; at + 8 <= bytes.byteLength; ) {
    const name = tag(view, at);
    const size = view.getUint32(at + 4, true);
    const body = at + 8;
    if (name === 'fmt ') {
      if (size < 16 || body + 16 > bytes.byteLength)
        throw new UnreadableSound('The header of this WAV file is damaged.');
      const coding = view.getUint16(body, true);
      format = {
        coding:
          coding === formatExtensible && size >= 26 && body + 26 <= bytes.byteLength
            ? view.getUint16(body + 24, true)
            : coding,
        channels: view.getUint16(body + 2, true),
        sampleRate: view.getUint32(body + 4, true),
        bits: view.getUint16(body + 14, true),
      };
    } else if (name === 'data') {
      if (!format) throw new UnreadableSound('The header of this WAV file is damaged.');
      return {
        sampleRate: format.sampleRate,
        channels: samplesOf(view, body, Math.min(size, bytes.byteLength - body), format),
      };
    }
    at = body + size + (size % 2);
  }
  throw new UnreadableSound('This WAV file has no sound in it.');
}

function samplesOf(
  view: DataView,
  from: number,
  size: number,
  format: { coding: number; channels: number; sampleRate: number; bits: number },
): Float32Array[] {
  const { coding, channels, bits, sampleRate } = format;
  const sample = sampleReader(view, coding, bits);
  if (!sample)
    throw new UnreadableSound(
      `This WAV file is coded in a way that is not read here (format ${coding}, ${bits} bits): save it as PCM.`,
    );
  if (channels < 1 || sampleRate < 1000 || sampleRate > 768_000)
    throw new UnreadableSound('The header of this WAV file is damaged.');
  const width = bits / 8;
  const frames = Math.floor(size / (width * channels));
  return Array.from({ length: channels }, (_, channel) => {
    const samples = new Float32Array(frames);
    for (let frame = 0; frame < frames; frame++) {
      const value = sample(from + (frame * channels + channel) * width);
      samples[frame] = Number.isFinite(value) ? value : 0;
    }
    return samples;
  });
}

function sampleReader(view: DataView, coding: number, bits: number): ((at: number) => number) | null {
  if (coding === formatFloat && bits === 32) return (at) => view.getFloat32(at, true);
  if (coding === formatFloat && bits === 64) return (at) => view.getFloat64(at, true);
  if (coding !== formatPcm) return null;
  if (bits === 8) return (at) => (view.getUint8(at) - 128) / 128;
  if (bits === 16) return (at) => view.getInt16(at, true) / 32768;
  if (bits === 24) return (at) => ((view.getInt8(at + 2) << 16) | view.getUint16(at, true)) / 8388608;
  if (bits === 32) return (at) => view.getInt32(at, true) / 2147483648;
  return null;
}

function tag(view: DataView, at: number): string {
  return String.fromCharCode(view.getUint8(at), view.getUint8(at + 1), view.getUint8(at + 2), view.getUint8(at + 3));
}

/** The channel that carries most sound: two channels mixed may cancel, one may be empty. Empty when there is none. */
export function loudestChannel(sound: Sound): Float32Array {
  let best = new Float32Array();
  let most = -1;
  for (const samples of sound.channels) {
    let energy = 0;
    for (const sample of samples) energy += sample * sample;
    if (energy > most) {
      most = energy;
      best = samples as Float32Array<ArrayBuffer>;
    }
  }
  return best;
}

/** Mono, 16 bits. Values beyond -1..1 are cut. */
export function writeWav(samples: Float32Array, sampleRate: number): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(44 + samples.length * 2);
  const view = new DataView(bytes.buffer);
  const write = (at: number, text: string): void => {
    for (let index = 0; index < text.length; index++) view.setUint8(at + index, text.charCodeAt(index));
  };
  write(0, 'RIFF');
  view.setUint32(4, 36 + samples.length * 2, true);
  write(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, formatPcm, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, sampleRate, true);
  view.setUint32(28, sampleRate * 2, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  write(36, 'data');
  view.setUint32(40, samples.length * 2, true);
  for (let index = 0; index < samples.length; index++)
    view.setInt16(44 + index * 2, Math.max(-32768, Math.min(32767, Math.round((samples[index] ?? 0) * 32768))), true);
  return bytes;
}
