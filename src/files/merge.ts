import { canonicalJson, checksumOf } from '../log/checksum.ts';
import type { NotebookEvent } from '../log/event.ts';
import type { Notebook } from '../log/state.ts';
import { nth } from '../numerics/nth.ts';

/** What to do with a notebook that comes in, in view of what is here under the same id. */
export type Merge =
  /** Nothing is here under that id. */
  | { readonly kind: 'new' }
  /** All that comes in is here already. */
  | { readonly kind: 'known' }
  /** The log that comes in goes on where the one here ends: `added` is stored after event number `after`. */
  | { readonly kind: 'continued'; readonly after: number; readonly added: readonly NotebookEvent[] }
  /**
   * The two went different ways: what comes in is kept under another id, which the parting of the ways decides, so that
   * the same copy, or a longer one, finds its place again.
   */
  | { readonly kind: 'copy'; readonly id: string };

/** Events by which a page notes that it was opened; nobody's work. */
const housekeeping: ReadonlySet<NotebookEvent['body']['kind']> = new Set(['opened', 'clock-doubted']);

/**
 * Compares event by event; a log only ever grows, so one that begins like the other continues it. Notes of having
 * been opened at the end of the log here do not make it another: they give way to what comes in.
 */
export function mergeOf(here: readonly NotebookEvent[], incoming: Notebook): Merge {
  if (here.length === 0) return { kind: 'new' };
  const { events } = incoming;
  let common = 0;
  while (common < here.length && common < events.length && same(nth(here, common), nth(events, common))) common++;
  const ownRest = here.slice(common);
  const theirRest = events.slice(common);
  if (theirRest.every((event) => housekeeping.has(event.body.kind))) return { kind: 'known' };
  if (ownRest.every((event) => housekeeping.has(event.body.kind)))
    return { kind: 'continued', after: common, added: theirRest };
  // Not in the middle of a character of two units.
  const beginning = incoming.id.slice(0, 45).replace(/[\ud800-\udbff]$/, '');
  return { kind: 'copy', id: `${beginning}-copy-${checksumOf(theirRest[0])}` };
}

const same = (a: NotebookEvent, b: NotebookEvent): boolean => a === b || canonicalJson(a) === canonicalJson(b);
