import type { Utterance, UtteranceEar } from '../ear.ts';
import address from './ear.bin?url';
import type { FromWorker, ToWorker } from './ear-worker.ts';
import type { OwnAnswer } from './recognise.ts';

/** The embedded ear cannot be used; `message` is a sentence for the user. */
export class EarUnavailable extends Error {}

export interface OwnEar extends UtteranceEar {
  readonly name: 'own';
  hear(utterance: Utterance): Promise<OwnAnswer>;
}

/**
 * The embedded recogniser in a worker of its own. Nothing is fetched before `load()` or the first `hear()`; then the
 * weights come from beside the page, never from anywhere else. A load that failed may be tried again.
 */
export function makeOwnEar(): OwnEar {
  let loading: Promise<Worker> | null = null;
  let closed = false;
  let calls = 0;
  const waiting = new Map<number, { done: (answer: OwnAnswer) => void; fail: (error: Error) => void }>();

  const failAll = (error: Error) => {
    for (const { fail } of waiting.values()) fail(error);
    waiting.clear();
  };

  const start = async (progress?: (part: number) => void): Promise<Worker> => {
    const bytes = await fetchWeights(progress);
    if (closed) throw new EarUnavailable('The embedded ear was switched off.');
    const worker = new Worker(new URL('./ear-worker.ts', import.meta.url), { type: 'module' });
    await new Promise<void>((done, fail) => {
      worker.onmessage = ({ data }: MessageEvent<FromWorker>) => {
        if (data.kind === 'ready') done();
        else if (data.kind === 'failed' && data.id === null)
          fail(new EarUnavailable('The embedded ear did not start.', { cause: data.cause }));
        else if (data.kind !== 'failed') settle(data.id, (call) => call.done(data.answer));
        else if (data.id !== null)
          settle(data.id, (call) =>
            call.fail(new EarUnavailable('The embedded ear stumbled over a call.', { cause: data.cause })),
          );
      };
      worker.onerror = (event) => {
        const error = new EarUnavailable('The embedded ear stopped working.', { cause: event.message });
        fail(error);
        failAll(error);
        worker.terminate();
        loading = null;
      };
      const message: ToWorker = { kind: 'weights', bytes };
      worker.postMessage(message, [bytes.buffer]);
    });
    progress?.(1);
    return worker;
  };

  const settle = (id: number, how: (call: { done: (a: OwnAnswer) => void; fail: (e: Error) => void }) => void) => {
    const call = waiting.get(id);
    waiting.delete(id);
    if (call) how(call);
  };

  const ready = (progress?: (part: number) => void): Promise<Worker> => {
    if (closed) return Promise.reject(new EarUnavailable('The embedded ear was switched off.'));
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
    async hear(utterance) {
      const worker = await ready();
      const id = calls++;
      return new Promise<OwnAnswer>((done, fail) => {
        waiting.set(id, { done, fail });
        const message: ToWorker = { kind: 'hear', id, samples: utterance.samples, rate: utterance.sampleRate };
        worker.postMessage(message);
      });
    },
    dispose() {
      closed = true;
      failAll(new EarUnavailable('The embedded ear was switched off.'));
      void loading?.then((worker) => worker.terminate()).catch(() => undefined);
    },
  };
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
