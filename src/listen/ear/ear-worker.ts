import { type Net, readNet } from './net.ts';
import { type OwnAnswer, recognise } from './recognise.ts';

/** Into the worker: first the weights, then utterances. */
export type ToWorker =
  | { kind: 'weights'; bytes: Uint8Array<ArrayBuffer> }
  | { kind: 'hear'; id: number; samples: Float32Array; rate: number };

/** Out of the worker: one answer for each message. */
export type FromWorker =
  | { kind: 'ready' }
  | { kind: 'heard'; id: number; answer: OwnAnswer; tookMs: number }
  | { kind: 'failed'; id: number | null; cause: string };

let net: Net | null = null;

function answer(message: ToWorker): FromWorker {
  try {
    if (message.kind === 'weights') {
      net = readNet(message.bytes);
      // Half a second of nothing, so that the first call finds the code compiled.
      recognise(net, new Float32Array(8000), 16000);
      return { kind: 'ready' };
    }
    if (!net) throw new Error('an utterance came before the weights');
    const began = performance.now();
    const heard = recognise(net, message.samples, message.rate);
    return { kind: 'heard', id: message.id, answer: heard, tookMs: performance.now() - began };
  } catch (error) {
    return { kind: 'failed', id: message.kind === 'hear' ? message.id : null, cause: String(error) };
  }
}

addEventListener('message', (event: MessageEvent<ToWorker>) => postMessage(answer(event.data)));
