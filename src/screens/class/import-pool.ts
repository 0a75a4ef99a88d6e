import { refusals, type Sentences } from '../../log/refusal.ts';
import type { ClassSource, ImportOrder, ImportResult, Look } from './import.worker.ts';

/** The part of a worker that the pool needs. */
export type Reader = Pick<Worker, 'postMessage' | 'terminate' | 'onmessage' | 'onerror'>;

export interface PoolOptions {
  readonly sources: readonly ClassSource[];
  /** Sums of contents that need not be computed again. */
  readonly known: ReadonlySet<string>;
  readonly look: Look;
  /** How many read at the same time. */
  readonly readers: number;
  readonly makeReader: () => Reader;
  /** Time for one source, ms. */
  readonly mostMs?: number;
  /** Called once for every source, in any order. */
  readonly onResult: (result: ImportResult) => void;
  /** After the last result, or when no reader works at all. */
  readonly onEnd: (worked: boolean) => void;
}

/** A source that takes longer is left out, ms. */
const mostOfASourceMs = 30_000;
/** So many readers that die one after the other without a result: they do not work here. */
const mostDeaths = 4;

/**
 * Has sources read by several workers: each gets the next one as it is done, with one more in hand so that it never waits.
 * A source at which a worker dies, or that takes too long, is refused by itself; another worker goes on with the rest.
 * @returns stops all of it
 */
export function readAll(options: PoolOptions): () => void {
  const { sources, known, look, makeReader, mostMs = mostOfASourceMs, onResult, onEnd } = options;
  const waiting = [...sources];
  const busy = new Set<() => void>();
  let done = 0;
  let deaths = 0;
  let ended = false;

  const end = (worked: boolean): void => {
    if (ended) return;
    ended = true;
    for (const stop of busy) stop();
    onEnd(worked);
  };

  const start = (): void => {
    const reader = makeReader();
    /** What it has got and not answered; it reads the first. */
    const inHand: ClassSource[] = [];
    let timer: ReturnType<typeof setTimeout> | undefined;
    const stop = (): void => {
      clearTimeout(timer);
      reader.terminate();
      busy.delete(stop);
    };
    const watch = (): void => {
      clearTimeout(timer);
      if (inHand.length > 0) timer = setTimeout(() => leaveOut(refusals.fileTookTooLong), mostMs);
    };
    const feed = (): void => {
      while (inHand.length < 2) {
        const next = waiting.shift();
        if (!next) break;
        inHand.push(next);
        reader.postMessage(next satisfies ImportOrder);
      }
      if (inHand.length === 0) stop();
      else watch();
    };
    const take = (result: ImportResult): void => {
      done++;
      onResult(result);
      if (done === sources.length) end(true);
    };
    /** Refuses the source that it reads; another reader takes its place. */
    const leaveOut = (sentences: Sentences): void => {
      if (ended) return;
      stop();
      const [culprit, ...rest] = inHand;
      waiting.unshift(...rest);
      if (culprit) {
        const name = culprit.kind === 'file' ? culprit.name : culprit.id;
        take({ index: culprit.index, sum: null, kind: 'refused', name, sentences });
      }
      if (ended) return;
      if (deaths >= mostDeaths) end(false);
      else if (waiting.length > 0) start();
    };
    busy.add(stop);
    reader.onmessage = ({ data }: MessageEvent<ImportResult>) => {
      if (ended || !busy.has(stop)) return;
      deaths = 0;
      inHand.shift();
      take(data);
      if (!ended) feed();
    };
    reader.onerror = () => {
      deaths++;
      leaveOut(refusals.readerFailed);
    };
    reader.postMessage({ known, look } satisfies ImportOrder);
    feed();
  };

  for (let i = 0; i < options.readers; i++) start();
  return () => end(true);
}
