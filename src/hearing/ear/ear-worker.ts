import type { EarSound, Followed } from '../ear.ts';
import { letGo } from '../let-go.ts';
import { fits, type KnownCall, type LearntVoice, learnVoice, withVoice } from './adapt.ts';
import { RATE } from './features.ts';
import { type Follower, makeFollower } from './follow.ts';
import { type Net, readNet } from './net.ts';
import { type OwnAnswer, recognise } from './recognise.ts';

/** Into the worker: first the weights, then anything else; `id` comes back with the result. */
export type ToWorker = { readonly id: number } & (
  | { readonly kind: 'weights'; readonly bytes: Uint8Array<ArrayBuffer> }
  | { readonly kind: 'hear'; readonly samples: Float32Array; readonly rate: number }
  | { readonly kind: 'follow'; readonly sound: EarSound }
  | { readonly kind: 'learn'; readonly calls: readonly KnownCall[]; readonly now: LearntVoice | null }
  | { readonly kind: 'voice'; readonly voice: LearntVoice | null }
);

/** Out of the worker: one for each message; before that of 'learn', how far it is. */
export type FromWorker = { readonly id: number } & (
  | { readonly kind: 'done'; readonly result: Result }
  | { readonly kind: 'part'; readonly part: number }
  | { readonly kind: 'failed'; readonly cause: string }
);

/** Of 'voice': whether it is in use; it is not where it was learnt with other weights. */
type Result = OwnAnswer | Followed | LearntVoice | boolean | null;

let shipped: Net | null = null;
let net: Net | null = null;
let follower: Follower | null = null;
/** Calls found so far; with a name of this worker, theirs are unique in the page. */
let found = 0;
const worker = Math.random().toString(36).slice(2, 8);

function work(message: ToWorker): Result {
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
    case 'follow':
      return follow(net, message.sound);
    case 'learn':
      return learnVoice(shipped, message.calls, 'everything', tellPart(message.id), message.now);
    case 'voice':
      net = message.voice && fits(shipped, message.voice) ? withVoice(shipped, message.voice) : shipped;
      follower?.hearWith(net);
      return net !== shipped;
  }
}

const tellPart = (id: number) => (part: number) => {
  const progress: FromWorker = { id, kind: 'part', part };
  postMessage(progress);
};

function follow(ear: Net, { samples, sampleRate, own, first }: EarSound): Followed {
  if (first || !follower) follower = makeFollower(ear, sampleRate);
  const calls = follower.push(samples, own).map((call) => ({ ...call, id: `${worker}-${++found}`, sampleRate: RATE }));
  letGo(samples);
  return { calls, settledS: follower.settledS(), hearingS: follower.hearingS(), room: follower.room() };
}

function answer(message: ToWorker): FromWorker {
  try {
    return { id: message.id, kind: 'done', result: work(message) };
  } catch (error) {
    return { id: message.id, kind: 'failed', cause: String(error) };
  }
}

addEventListener('message', (event: MessageEvent<ToWorker>) => postMessage(answer(event.data)));
