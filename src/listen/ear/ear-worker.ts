import { type KnownCall, type LearntVoice, learnVoice, withVoice } from './adapt.ts';
import { type Net, readNet } from './net.ts';
import { type OwnAnswer, recognise } from './recognise.ts';

/** Into the worker: first the weights, then anything else; `id` comes back with the result. */
export type ToWorker = { readonly id: number } & (
  | { readonly kind: 'weights'; readonly bytes: Uint8Array<ArrayBuffer> }
  | { readonly kind: 'hear'; readonly samples: Float32Array; readonly rate: number }
  | { readonly kind: 'learn'; readonly calls: readonly KnownCall[] }
  | { readonly kind: 'voice'; readonly voice: LearntVoice | null }
);

/** Out of the worker: one for each message. */
export type FromWorker = { readonly id: number } & (
  | { readonly kind: 'done'; readonly result: OwnAnswer | LearntVoice | null }
  | { readonly kind: 'failed'; readonly cause: string }
);

let shipped: Net | null = null;
let net: Net | null = null;

function work(message: ToWorker): OwnAnswer | LearntVoice | null {
  if (message.kind === 'weights') {
    shipped = readNet(message.bytes);
    net = shipped;
    // Half a second of nothing, so that the first call finds the code compiled.
    recognise(net, new Float32Array(8000), 16000);
    return null;
  }
  if (!shipped || !net) throw new Error('a message came before the weights');
  switch (message.kind) {
    case 'hear':
      return recognise(net, message.samples, message.rate);
    case 'learn':
      return learnVoice(shipped, message.calls);
    case 'voice':
      net = message.voice ? withVoice(shipped, message.voice) : shipped;
      return null;
  }
}

function answer(message: ToWorker): FromWorker {
  try {
    return { id: message.id, kind: 'done', result: work(message) };
  } catch (error) {
    return { id: message.id, kind: 'failed', cause: String(error) };
  }
}

addEventListener('message', (event: MessageEvent<ToWorker>) => postMessage(answer(event.data)));
