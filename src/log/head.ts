import { z } from 'zod/mini';
import { NotebookEvent, schemaVersion, wallClock } from './event.ts';
import { shownName } from './shown-name.ts';

/**
 * What the list of notebooks shows of one, kept beside its events and changed in the same transaction, so that the list
 * need not read them. A notebook without a head (an earlier version wrote it) gets one when it is first listed.
 */
const Head = z.object({
  title: z.string(),
  events: z.int().check(z.gte(0)),
  changedWallMs: wallClock,
  /** Schema of the stored events. */
  schema: z.int(),
  /** When this device last added to it, by the device's clock: a file may be dated in any year. */
  touchedMs: z.optional(z.number()),
  /** A tombstone: a person deleted the notebook. Its events are gone, and no other window may bring them back. */
  deleted: z.optional(z.literal(true)),
});
export type Head = z.infer<typeof Head>;

/** Null for what is no head. */
export const headFrom = (value: unknown): Head | null => Head.safeParse(value).data ?? null;

/** Schema of a notebook that has no head: heads came with the first. */
export const schemaWithoutHead = 1;

const none: Head = { title: '', events: 0, changedWallMs: 0, schema: schemaVersion };

/** What stays of a notebook that a person deleted: that it was deleted, and nothing of what was in it. */
export const tombstone = (nowMs: number): Head => ({ ...none, touchedMs: nowMs, deleted: true });

/** The head after events were added; of a notebook's first events without one before. */
export function headAfter(before: Head | null, added: readonly unknown[]): Head {
  let { title, changedWallMs } = before ?? none;
  for (const value of added) {
    const { wallMs, kind } = stampOf(value);
    changedWallMs = Math.max(changedWallMs, wallMs);
    if (kind !== 'created' && kind !== 'titled') continue;
    // Only the events that can name it are checked in full: there are few.
    const { data } = NotebookEvent.safeParse(value);
    if (data?.body.kind === 'created' || data?.body.kind === 'titled') title = shownName(data.body.title);
  }
  return { ...(before ?? none), title, changedWallMs, events: (before?.events ?? 0) + added.length };
}

const Stamp = z.object({ wallMs: wallClock, body: z.object({ kind: z.string() }) });

/** Wall time and kind of a stored event; nothing of a damaged one. */
function stampOf(value: unknown): { wallMs: number; kind: string } {
  const { data } = Stamp.safeParse(value);
  return data ? { wallMs: data.wallMs, kind: data.body.kind } : { wallMs: 0, kind: '' };
}
