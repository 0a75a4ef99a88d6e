import { makeCapture } from './capture.ts';

/**
 * The audio worklet: runs beside the page on the sound thread, so that a busy page neither loses sound nor shifts a
 * moment. It has no clock of its own; it speaks in frames.
 */
declare class AudioWorkletProcessor {
  readonly port: MessagePort;
}
declare function registerProcessor(name: string, processor: new () => AudioWorkletProcessor): void;
declare const sampleRate: number;
declare const currentFrame: number;

class CaptureProcessor extends AudioWorkletProcessor {
  private readonly capture = makeCapture(sampleRate, (message) =>
    this.port.postMessage(
      message,
      message.kind === 'utterance' || message.kind === 'sound' ? [message.samples.buffer] : [],
    ),
  );
  private running = true;

  constructor() {
    super();
    this.port.onmessage = (): void => {
      this.running = false;
    };
  }

  process(inputs: Float32Array[][]): boolean {
    const channel = inputs[0]?.[0];
    if (channel) this.capture.push(channel, currentFrame);
    return this.running;
  }
}

registerProcessor('capture', CaptureProcessor);
