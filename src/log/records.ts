import { promisifyRequest } from 'idb-keyval';

/**
 * How events stand in the database: one event a record under [notebook, seq], as they are called; or, where many come at
 * once from a file, a list of them a record under [notebook, seq of the last]. A browser needs 0.2 ms for a record,
 * whatever is in it.
 */

/** So many events make a record; fewer at once are stored one by one. */
const eventsOfARecord = 500;

/** An event as it is stored, checked by nobody, and the number under which it stands. */
export interface Stored {
  readonly seq: number;
  readonly value: unknown;
}

/** The records of events: values, and the number under which each stands. */
export function recordsOf(events: readonly Stored[]): Stored[] {
  if (events.length < eventsOfARecord) return [...events];
  const records: { seq: number; value: { many: unknown[] } }[] = [];
  for (const { seq, value } of events) {
    const last = records.at(-1);
    // A record has no holes: the numbers of its events follow from that of the last.
    if (last && seq === last.seq + 1 && last.value.many.length < eventsOfARecord) {
      last.value.many.push(value);
      last.seq = seq;
    } else records.push({ seq, value: { many: [value] } });
  }
  return records;
}

/** Not a bare list: that could be an event of an earlier schema. */
interface Many {
  readonly many: readonly unknown[];
}

const isMany = (record: unknown): record is Many =>
  typeof record === 'object' && record !== null && 'many' in record && Array.isArray(record.many);

/** The events of records, in order. */
export const eventsIn = (records: readonly unknown[]): unknown[] =>
  records.flatMap((record) => (isMany(record) ? record.many : [record]));

/** The events of a record. */
export function storedIn(key: unknown, record: unknown): Stored[] {
  const events = eventsIn([record]);
  return events.map((value, i) => ({ seq: seqOf(key) - events.length + 1 + i, value }));
}

/** Number of the event that a key of its record names; 0 for another key. */
const seqOf = (key: unknown): number => (Array.isArray(key) && typeof key[1] === 'number' ? key[1] : 0);

/** So many events are read at once: some 10 ms of the browser's own work. */
const eventsOfAPiece = 2000;

export interface Piece {
  readonly stored: readonly Stored[];
  /** The key of its last record, if there may be more behind it. */
  readonly next: IDBValidKey | null;
}

/** Events of a notebook that stand behind a key. */
export async function pieceOf(store: IDBObjectStore, id: string, after: IDBValidKey): Promise<Piece> {
  const range = IDBKeyRange.bound(after, [id, []], true);
  const keys = await promisifyRequest(store.getAllKeys(range, eventsOfAPiece));
  // The keys say how many events the records hold, before any of them is read.
  const few = keys.findIndex((key) => seqOf(key) - seqOf(after) >= eventsOfAPiece) + 1 || keys.length;
  const records: readonly unknown[] = few > 0 ? await promisifyRequest(store.getAll(range, few)) : [];
  const more = few < keys.length || keys.length === eventsOfAPiece;
  return {
    // A record of a graft, written since the piece before, may begin among the events of that piece.
    stored: records.flatMap((record, i) => storedIn(keys[i], record)).filter(({ seq }) => seq > seqOf(after)),
    next: (more ? keys[few - 1] : undefined) ?? null,
  };
}
