import { notebookToJson } from '../log/notebook-json.ts';
import type { SecondCopy } from '../log/second-copy.ts';
import type { NotebookStore } from '../log/store.ts';

/** What the browser is late with: a notebook, or with `id: null` the list of them. */
export interface Late {
  readonly id: string | null;
  readonly title: string;
}

/** A notebook that could be read after all, as the text of a file. */
export interface Rescued {
  readonly title: string;
  readonly json: string;
}

/** Each question waits so long, ms. By judgement. */
const answerMs = 5000;

/**
 * Notebooks that the browser is late with: as they are stored where that answers after all, else out of the second copy.
 * Both are asked at once. What neither returns is left out.
 */
export async function rescuedNotebooks(
  { id, title }: Late,
  store: Pick<NotebookStore, 'raw'>,
  copy: Pick<SecondCopy, 'held' | 'notebook'>,
  patienceMs = answerMs,
): Promise<readonly Rescued[]> {
  const within = <T>(work: Promise<T>): Promise<T | null> => {
    work.catch(() => {});
    return Promise.race([
      work.catch(() => null),
      new Promise<null>((resolve) => setTimeout(resolve, patienceMs, null)),
    ]);
  };
  const held = id === null ? await within(copy.held()) : null;
  const ids = id !== null ? [id] : [...(held ?? [])].flatMap(([one, { deleted }]) => (deleted ? [] : [one]));
  const found = await Promise.all(
    ids.map(async (one): Promise<Rescued[]> => {
      const [stored, second] = await Promise.all([within(store.raw(one)), within(copy.notebook(one))]);
      if (stored && stored.events.length > 0) {
        const raw = { format: 'meniscall-notebook', schema: stored.schema, id: one, events: stored.events };
        return [{ title: title || titleIn(stored.events), json: JSON.stringify(raw, null, 1) }];
      }
      return second ? [{ title: title || titleIn(second.events), json: notebookToJson(second) }] : [];
    }),
  );
  return found.flat();
}

/** The last title in a log that nobody has checked. */
function titleIn(events: readonly unknown[]): string {
  let title = '';
  for (const event of events) {
    const body = typeof event === 'object' && event !== null && 'body' in event ? event.body : null;
    if (typeof body === 'object' && body !== null && 'title' in body && typeof body.title === 'string')
      title = body.title;
  }
  return title;
}
