import decodeQR from 'qr/decode.js';

/** A picture of the camera to look for a code in; answered with its text, or null. */
export interface Frame {
  readonly width: number;
  readonly height: number;
  /** Red, green, blue, alpha, row by row. */
  readonly data: Uint8ClampedArray<ArrayBuffer>;
}

addEventListener('message', ({ data }: MessageEvent<Frame>) => {
  let text: string | null = null;
  try {
    text = decodeQR(data, { timeLimit: 120 });
  } catch {
    // The decoder throws where it finds no code.
  }
  postMessage(text);
});
