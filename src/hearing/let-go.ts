/**
 * Gives the room of samples back at once, where the browser can: the collector comes only after some 64 MB of sound.
 * Nobody may read the samples afterwards.
 */
export function letGo(samples: Float32Array): void {
  const buffer: ArrayBufferLike & { transfer?(bytes: number): unknown } = samples.buffer;
  buffer.transfer?.(0);
}
