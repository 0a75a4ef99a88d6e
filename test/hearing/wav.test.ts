import fc from 'fast-check';
import { expect, test } from 'vitest';
import { clipRate, decodeClip, encodeClip, resampleTo } from '../../src/hearing/clip.ts';
import { loudestChannel, readWav, UnreadableSound, writeWav } from '../../src/hearing/wav.ts';

/** A WAV file as another program would write it. */
function wav(
  options: { bits: number; float?: boolean; channels?: number; extensible?: boolean; junk?: boolean; rate?: number },
  frames: readonly number[][],
): Uint8Array {
  const { bits, float = false, channels = 1, extensible = false, junk = false, rate = 44_100 } = options;
  const width = bits / 8;
  const format = extensible ? 40 : 16;
  const data = frames.length * channels * width;
  const bytes = new Uint8Array(12 + (junk ? 8 + 3 + 1 : 0) + 8 + format + 8 + data);
  const view = new DataView(bytes.buffer);
  let at = 0;
  const text = (value: string): void => {
    for (const letter of value) view.setUint8(at++, letter.charCodeAt(0));
  };
  text('RIFF');
  view.setUint32(at, bytes.length - 8, true);
  at += 4;
  text('WAVE');
  if (junk) {
    text('LIST');
    view.setUint32(at, 3, true);
    at += 4 + 4;
  }
  text('fmt ');
  view.setUint32(at, format, true);
  view.setUint16(at + 4, extensible ? 0xfffe : float ? 3 : 1, true);
  view.setUint16(at + 6, channels, true);
  view.setUint32(at + 8, rate, true);
  view.setUint32(at + 12, rate * channels * width, true);
  view.setUint16(at + 16, channels * width, true);
  view.setUint16(at + 18, bits, true);
  if (extensible) view.setUint16(at + 4 + 24, float ? 3 : 1, true);
  at += 4 + format;
  text('data');
  view.setUint32(at, data, true);
  at += 4;
  for (const frame of frames)
    for (const value of frame) {
      if (float && bits === 32) view.setFloat32(at, value, true);
      else if (float) view.setFloat64(at, value, true);
      else if (bits === 8) view.setUint8(at, Math.round(value * 127) + 128);
      else if (bits === 16) view.setInt16(at, Math.round(value * 32767), true);
      else if (bits === 24) {
        const whole = Math.round(value * 8388607);
        view.setUint8(at, whole & 255);
        view.setUint8(at + 1, (whole >> 8) & 255);
        view.setInt8(at + 2, whole >> 16);
      } else view.setInt32(at, Math.round(value * 2147483647), true);
      at += width;
    }
  return bytes;
}

test.each([
  { bits: 8 },
  { bits: 16 },
  { bits: 24 },
  { bits: 32 },
  { bits: 32, float: true },
  { bits: 64, float: true },
  { bits: 16, extensible: true },
  { bits: 24, extensible: true, junk: true },
])('reads sound of $bits bits (float: $float, extensible: $extensible)', (options) => {
  const sound = readWav(
    wav({ ...options, channels: 2 }, [
      [0, 0.5],
      [0.25, -0.5],
      [-1, 1],
    ]),
  );
  expect(sound.sampleRate).toBe(44_100);
  const [left = new Float32Array(), right = new Float32Array()] = sound.channels;
  for (const [index, value] of [0, 0.25, -1].entries()) expect(left[index]).toBeCloseTo(value, 1);
  for (const [index, value] of [0.5, -0.5, 1].entries()) expect(right[index]).toBeCloseTo(value, 1);
});

test('takes the channel with more sound: two that cancel, and an empty one, do not hide it', () => {
  const sound = readWav(
    wav({ bits: 16, channels: 2 }, [
      [0, 0.5],
      [0.01, -0.5],
      [0, 0.5],
    ]),
  );
  expect(loudestChannel(sound)[1]).toBeCloseTo(-0.5, 3);
});

test('a file that was cut off is read as far as it goes', () => {
  const whole = wav(
    { bits: 16 },
    Array.from({ length: 100 }, () => [0.5]),
  );
  expect(readWav(whole.subarray(0, whole.length - 51)).channels[0]).toHaveLength(74);
});

test('what is no WAV file is refused with a sentence, whatever it is', () => {
  for (const bytes of [
    new Uint8Array(),
    new Uint8Array(12),
    new TextEncoder().encode('{"version":1}'),
    wav({ bits: 12 }, []),
  ])
    expect(() => readWav(bytes)).toThrow(UnreadableSound);
  const good = wav({ bits: 16, junk: true }, [[0.1], [0.2]]);
  fc.assert(
    fc.property(
      fc.nat({ max: good.length - 1 }),
      fc.nat({ max: 255 }),
      fc.nat({ max: good.length }),
      (at, value, length) => {
        const bent = good.slice(0, length);
        if (at < length) bent[at] = value;
        try {
          for (const samples of readWav(bent).channels)
            for (const sample of samples) expect(Number.isFinite(sample)).toBe(true);
        } catch (error) {
          expect(error).toBeInstanceOf(UnreadableSound);
        }
      },
    ),
  );
});

test('what is written is read again, to half a step of 16 bits', () => {
  fc.assert(
    fc.property(fc.array(fc.float({ min: -1, max: Math.fround(0.99), noNaN: true })), (values) => {
      const sound = readWav(writeWav(Float32Array.from(values), 16_000));
      expect(sound.sampleRate).toBe(16_000);
      values.forEach((value, index) => {
        expect(Math.abs((sound.channels[0]?.[index] ?? 9) - value)).toBeLessThanOrEqual(0.5001 / 32768);
      });
    }),
  );
});

test('a clip has 16 kHz; what lies below 7 kHz stays, what lies above 9 kHz goes', () => {
  const level = (hz: number): number => {
    const samples = Float32Array.from(
      { length: 48_000 },
      (_, index) => 0.5 * Math.sin((2 * Math.PI * hz * index) / 48_000),
    );
    const clip = decodeClip(encodeClip(samples, 48_000));
    expect(clip.sampleRate).toBe(clipRate);
    expect(clip.samples).toHaveLength(16_000);
    return Math.sqrt(clip.samples.subarray(1000, 15_000).reduce((sum, sample) => sum + sample * sample, 0) / 14_000);
  };
  for (const hz of [100, 1000, 4000, 6000]) expect(level(hz)).toBeCloseTo(0.5 / Math.SQRT2, 1);
  for (const hz of [10_000, 15_000]) expect(level(hz)).toBeLessThan(0.02);
});

test('sound at a lower rate stays as it is', () => {
  const samples = Float32Array.from([0.1, 0.2, 0.3]);
  expect(resampleTo(samples, 8000, 16_000)).toBe(samples);
  expect(decodeClip(encodeClip(samples, 8000)).sampleRate).toBe(8000);
});
