import { z } from 'zod/mini';
import { reduce } from '../log/reduce.ts';
import { type Checked, refusal, refusals } from '../log/refusal.ts';
import { makeSecondCopy } from '../log/second-copy.ts';
import type { NotebookState } from '../log/state.ts';
import { makeNotebookStore } from '../log/store.ts';
import { withSecondCopy } from '../log/with-second-copy.ts';
import type { Report } from '../results/report.ts';
import type { Archive } from './archive.ts';
import { readArrival, readArrivalText } from './arrival.ts';
import type { Arrived, DoorAnswer, DoorOrder } from './door-orders.ts';
import { pastedReadings } from './pasted-readings.ts';
import { readFile } from './read-file.ts';
import { takeIn } from './take-in.ts';

/**
 * The one place where anything from outside is read: it can be ended at any moment, and whatever it meets, the page goes
 * on. It keeps what arrived last until the page says what to do with it.
 */

// As in main.tsx: nothing is compiled from text here.
z.config({ jitless: true });

let archive: Archive | null = null;

const answer = (said: DoorAnswer): void => postMessage(said);

addEventListener('message', async ({ data: order }: MessageEvent<DoorOrder>) => {
  try {
    await obey(order);
  } catch (error) {
    answer({ say: 'refused', refusal: refusal(refusals.readerFailed, String(error)) });
  }
});

async function obey(order: DoorOrder): Promise<void> {
  switch (order.ask) {
    case 'arrive': {
      const arrived = await arrive(order);
      answer(arrived.ok ? { say: 'arrived', arrived: arrived.value } : { say: 'refused', refusal: arrived });
      return;
    }
    case 'columns':
      answer({ say: 'columns', found: pastedReadings(order.text, order.language, order.choice) });
      return;
    case 'keep': {
      answer({ say: 'step', step: 'storing' });
      const store = withSecondCopy(makeNotebookStore(), makeSecondCopy(globalThis.caches, order.base), () => {});
      const taken = archive && (await takeIn(store, archive, order.language).catch(() => null));
      answer(taken ? { say: 'kept', taken } : { say: 'not-kept' });
      return;
    }
    case 'content': {
      const { id = '', events = [] } = archive?.notebook ?? {};
      // In pieces, so that the page is never busy for long with taking them in.
      const atOnce = 1000;
      for (let from = 0; from === 0 || from < events.length; from += atOnce)
        answer({
          say: 'piece',
          id,
          events: events.slice(from, from + atOnce),
          last: from + atOnce >= events.length,
        });
    }
  }
}

type Arriving = Extract<DoorOrder, { ask: 'arrive' }>;

async function arrive({ source, language, report }: Arriving): Promise<Checked<Arrived>> {
  answer({ say: 'step', step: 'reading' });
  archive = null;
  let bytes: Uint8Array | null = null;
  if (source instanceof Blob) {
    const file = await readFile(source);
    if (!file.ok) return file;
    bytes = file.value;
    const text = columnsText(bytes, language);
    if (text !== null) return { ok: true, value: { kind: 'columns', text } };
  }
  answer({ say: 'step', step: 'checking' });
  const read = bytes ? readArrival(bytes) : readArrivalText(String(source));
  if (!read.ok) return read;
  if (read.value.kind === 'plan') return { ok: true, value: { kind: 'plan', handOut: read.value.handOut } };
  const { notebook, clips, left } = read.value;
  let state: NotebookState;
  try {
    state = reduce(notebook.events);
  } catch (error) {
    return refusal(refusals.notFolded, String(error));
  }
  archive = { notebook, clips, left };
  if (report) answer({ say: 'step', step: 'computing' });
  const made = report ? await reportFor(archive, state, language) : null;
  return { ok: true, value: { kind: 'notebook', id: notebook.id, events: notebook.events.length, report: made } };
}

/** Null where it cannot be made: the notebook can be kept all the same. */
async function reportFor(
  { notebook }: Archive,
  state: NotebookState,
  language: Arriving['language'],
): Promise<Report | null> {
  try {
    const [{ analysisOf }, { reportOf }] = await Promise.all([
      import('../analysis/notebook-analysis.ts'),
      import('../results/report.ts'),
    ]);
    return reportOf(notebook, state, analysisOf(state), 'mL/s', language);
  } catch {
    return null;
  }
}

/** Largest text that is looked at for columns, bytes. */
const largestTable = 5_000_000;

/** The text of a file that holds columns of times and volumes; null for any other. */
function columnsText(bytes: Uint8Array, language: Arriving['language']): string | null {
  if (bytes.length > largestTable) return null;
  const text = new TextDecoder().decode(bytes);
  if (/^\s*[{[]|^PK|\0/.test(text) || /open(\/|%2f)/i.test(text)) return null;
  return pastedReadings(text, language).ok ? text : null;
}
