import type { PageLanguage } from '../language/page-language.ts';
import type { NotebookEvent } from '../log/event.ts';
import { type Checked, refusal, refusals } from '../log/refusal.ts';
import type { Notebook } from '../log/state.ts';
import type { Arrived, DoorAnswer, DoorOrder, DoorStep } from './door-orders.ts';
import type { ColumnChoice, PastedReadings } from './pasted-readings.ts';
import type { TakenIn } from './take-in.ts';

/**
 * The door: whatever arrives from outside (file, link, pasted text, archive) is read in a worker. It has two minutes,
 * can be stopped at any time, and the page waits for nothing. A new question ends the one before.
 */
export interface Door {
  /** Reads a file or the text of a link. `report`: computes the report of a notebook as well. */
  arrive(
    source: Blob | string,
    how: { readonly language: PageLanguage; readonly report?: boolean },
  ): Promise<Checked<Arrived>>;
  /** Reads columns of times and volumes. */
  columns(text: string, language: PageLanguage, choice: ColumnChoice): Promise<Checked<PastedReadings>>;
  /** Stores the notebook that arrived last; null where the browser does not store it. */
  keep(language: PageLanguage): Promise<Checked<TakenIn | null>>;
  /** The notebook that arrived last. */
  content(): Promise<Checked<Notebook>>;
  /** Stops what is going on; the question that was asked is answered with a refusal. */
  stop(): void;
}

/** Time for one question, ms. */
const mostMs = 120_000;

/** @param onStep told how far it is; null when it is done */
export function makeDoor(onStep: (step: DoorStep | null) => void = () => {}): Door {
  let worker: Worker | null = null;
  let endWith: ((why: Checked<never>) => void) | null = null;

  const stopWith = (why: Checked<never>): void => {
    worker?.terminate();
    worker = null;
    endWith?.(why);
  };

  /** Asks one thing; `take` gives the result once it is there. */
  const ask = <T>(order: DoorOrder, take: (said: DoorAnswer) => T | undefined): Promise<Checked<T>> => {
    if (endWith) stopWith(refusal(refusals.stopped));
    return new Promise((resolve) => {
      const started =
        worker ?? new Worker(new URL('./door.worker.ts', import.meta.url), { type: 'module', name: 'door' });
      worker = started;
      const timer = setTimeout(() => stopWith(refusal(refusals.tookTooLong)), mostMs);
      const end = (result: Checked<T>): void => {
        clearTimeout(timer);
        endWith = null;
        onStep(null);
        resolve(result);
      };
      endWith = end;
      started.onmessage = ({ data }: MessageEvent<DoorAnswer>) => {
        if (worker !== started) return;
        if (data.say === 'step') return onStep(data.step);
        if (data.say === 'refused') return end(data.refusal);
        const value = take(data);
        if (value !== undefined) end({ ok: true, value });
      };
      started.onerror = () => stopWith(refusal(refusals.readerFailed));
      started.onmessageerror = () => stopWith(refusal(refusals.readerFailed));
      started.postMessage(order);
    });
  };

  return {
    arrive(source, { language, report = false }) {
      return ask({ ask: 'arrive', source, language, report }, (said) =>
        said.say === 'arrived' ? said.arrived : undefined,
      );
    },
    columns: (text, language, choice) =>
      ask({ ask: 'columns', text, language, choice }, (said) => (said.say === 'columns' ? said.found : undefined)),
    keep: (language) =>
      ask({ ask: 'keep', base: document.baseURI, language }, (said) => {
        if (said.say === 'kept') return said.taken;
        return said.say === 'not-kept' ? null : undefined;
      }),
    content() {
      const events: NotebookEvent[] = [];
      return ask({ ask: 'content' }, (said) => {
        if (said.say !== 'piece') return undefined;
        for (const event of said.events) events.push(event);
        return said.last ? { id: said.id, events } : undefined;
      });
    },
    stop: () => stopWith(refusal(refusals.stopped)),
  };
}
