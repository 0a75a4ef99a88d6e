import type { Followed, FollowingEar, Utterance } from '../ear.ts';
import type { KnownCall, LearntVoice } from './adapt.ts';
import address from './ear.bin?url';
import type { FromWorker, ToWorker } from './ear-worker.ts';
import type { OwnAnswer } from './recognise.ts';

/** The embedded ear cannot be used; `message` is a sentence for the user. */
export class EarUnavailable extends Error {}

export interface OwnEar extends FollowingEar {
  readonly name: 'own';
  /** What was said in one utterance, by itself. */
  hear(utterance: Utterance): Promise<OwnAnswer>;
  /**
   * Learns a voice from known calls, in the worker (about 1 s for every 10); nothing is used or kept yet. The calls go
   * there: their samples are empty here afterwards.
   * @param now the voice in use, which fresh calls are heard with as well
   */
  learn(calls: readonly KnownCall[], progress?: (part: number) => void, now?: LearntVoice | null): Promise<LearntVoice>;
  /**
   * Hears with a learnt voice from now on; null: with the ear as it ships.
   * @returns whether the voice is in use: not where it does not help or was learnt with other weights
   */
  useVoice(voice: LearntVoice | null): Promise<boolean>;
}

interface Waiting {
  readonly done: (result: never) => void;
  readonly fail: (error: Error) => void;
  readonly part?: ((part: number) => void) | undefined;
}

/**
 * The embedded recogniser in a worker of its own. Nothing is fetched before `load()` or the first `hear()`; then the
 * weights come from beside the page, never from anywhere else. A load that failed may be tried again.
 */
export function makeOwnEar(): OwnEar {
  let loading: Promise<Worker> | null = null;
  let closed = false;
  let asked = 0;
  const waiting = new Map<number, Waiting>();

  const failAll = (error: Error) => {
    for (const { fail } of waiting.values()) fail(error);
    waiting.clear();
  };

  /** @param T what the worker answers to this kind of message, by ear-worker.ts */
  const ask = <T>(
    worker: Worker,
    make: (id: number) => ToWorker,
    trouble: string,
    transfer: Transferable[] = [],
    part?: (part: number) => void,
  ): Promise<T> =>
    new Promise<T>((done, fail) => {
      const id = asked++;
      waiting.set(id, { done, fail: (error) => fail(new EarUnavailable(trouble, { cause: error })), part });
      worker.postMessage(make(id), transfer);
    });

  const start = async (progress?: (part: number) => void): Promise<Worker> => {
    const bytes = (await theWeights(progress)).slice();
    if (closed) throw switchedOff();
    const worker = new Worker(new URL('./ear-worker.ts', import.meta.url), { type: 'module' });
    worker.onmessage = ({ data }: MessageEvent<FromWorker>) => {
      const call = waiting.get(data.id);
      if (data.kind === 'part') {
        call?.part?.(data.part);
        return;
      }
      waiting.delete(data.id);
      if (data.kind === 'done') call?.done(data.result as never);
      else call?.fail(new Error(data.cause));
    };
    worker.onerror = (event) => {
      failAll(new Error(event.message));
      worker.terminate();
      loading = null;
    };
    try {
      const trouble = 'The embedded ear did not start.';
      await ask(worker, (id) => ({ id, kind: 'weights', bytes }), trouble, [bytes.buffer]);
    } catch (error) {
      worker.terminate();
      throw error;
    }
    return worker;
  };

  const ready = (progress?: (part: number) => void): Promise<Worker> => {
    if (closed) return Promise.reject(switchedOff());
    loading ??= start(progress).catch((error: unknown) => {
      loading = null;
      throw error;
    });
    return loading;
  };

  return {
    name: 'own',
    async load(progress) {
      await ready(progress);
      progress?.(1);
    },
    async hear({ samples, sampleRate }: Pick<Utterance, 'samples' | 'sampleRate'>) {
      const worker = await ready();
      const trouble = 'The embedded ear stumbled over a call.';
      return ask<OwnAnswer>(worker, (id) => ({ id, kind: 'hear', samples, rate: sampleRate }), trouble);
    },
    async follow(sound) {
      const trouble = 'The embedded ear stumbled over the sound.';
      return ask<Followed>(await ready(), (id) => ({ id, kind: 'follow', sound }), trouble, [sound.samples.buffer]);
    },
    async learn(calls, progress, now = null) {
      const trouble = 'The embedded ear could not learn from these calls.';
      // Handed over, not copied.
      const buffers = [...new Set(calls.map(({ samples }) => samples.buffer))];
      return ask<LearntVoice>(await ready(), (id) => ({ id, kind: 'learn', calls, now }), trouble, buffers, progress);
    },
    async useVoice(voice) {
      const trouble = 'The embedded ear could not take on the learnt voice.';
      return ask<boolean>(await ready(), (id) => ({ id, kind: 'voice', voice }), trouble);
    },
    dispose() {
      closed = true;
      failAll(switchedOff());
      void loading?.then((worker) => worker.terminate()).catch(() => undefined);
    },
  };
}

function switchedOff(): EarUnavailable {
  return new EarUnavailable('The embedded ear was switched off.');
}

/**
 * The weights, fetched once for the page: each fetch leaves some 2 MB for the collector, and the page starts an ear after
 * every run, to learn. One that failed may be tried again.
 */
let weights: Promise<Uint8Array<ArrayBuffer>> | null = null;
function theWeights(progress?: (part: number) => void): Promise<Uint8Array<ArrayBuffer>> {
  weights ??= fetchWeights(progress).catch((error: unknown) => {
    weights = null;
    throw error;
  });
  return weights;
}

/** @throws EarUnavailable when the weights cannot be had */
async function fetchWeights(progress?: (part: number) => void): Promise<Uint8Array<ArrayBuffer>> {
  try {
    const response = await fetch(address);
    if (!response.ok || !response.body) throw new Error(`answer ${response.status}`);
    const expected = Number(response.headers.get('content-length')) || 520_000;
    const reader = response.body.getReader();
    const parts: Uint8Array[] = [];
    let length = 0;
    for (let read = await reader.read(); !read.done; read = await reader.read()) {
      parts.push(read.value);
      length += read.value.length;
      progress?.(Math.min(0.95, (0.95 * length) / expected));
    }
    const bytes = new Uint8Array(length);
    let at = 0;
    for (const part of parts) {
      bytes.set(part, at);
      at += part.length;
    }
    return bytes;
  } catch (cause) {
    throw new EarUnavailable('The embedded ear could not be loaded from this site.', { cause });
  }
}
