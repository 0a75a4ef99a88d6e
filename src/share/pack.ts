import { schemaVersion } from '../notebook/event.ts';
import type { Notebook } from '../notebook/state.ts';
import { type Json, makeColumnReader, makeColumnWriter } from './columns.ts';
import { relate, unrelate } from './event-times.ts';

/**
 * A notebook as compact JSON text. What can be told from the rest is left out (numbers of events, ids made from
 * them); wall-clock times are written as their difference from notebook time, which hardly changes.
 */
export function packNotebook(notebook: Notebook): string {
  const { id, events } = notebook;
  const writer = makeColumnWriter();
  const prefix = (events[0]?.id ?? '').replace(/\d*$/, '');
  const odd = events.flatMap((event, i): [number, string][] => (event.id === prefix + (i + 1) ? [] : [[i, event.id]]));
  const atMs = events.map((event) => event.atMs);
  const bodies = events.map((event) => toJson(event.body));
  const related = relate(atMs, bodies);
  const wholeWall = events.every((event) => Number.isSafeInteger(event.wallMs));
  const columns = [
    writer.write(atMs),
    writer.write(
      wholeWall ? events.map((event) => event.wallMs - Math.round(event.atMs)) : events.map((event) => event.wallMs),
    ),
    writer.write(events.map((event) => event.page)),
    writer.write((related ?? bodies).map(withKindInKeys)),
  ];
  return JSON.stringify([
    schemaVersion,
    id,
    prefix,
    events.length,
    odd,
    (related ? 1 : 0) + (wholeWall ? 2 : 0),
    writeIdentifiers(writer.identifiers()),
    ...columns,
  ]);
}

/** The value that `notebookFromRaw` takes. @throws for anything that is not a packed notebook */
export function unpackNotebook(text: string, limit = 2_000_000): object {
  const packed: unknown = JSON.parse(text);
  if (!Array.isArray(packed)) throw new Error('not a packed notebook');
  const [schema, id, prefix, count, odd, form, identifiers, at, wall, page, bodies] = packed;
  if (typeof prefix !== 'string' || !Number.isInteger(count) || count < 0 || count > 200_000 || !Array.isArray(odd))
    throw new Error('not a packed notebook');
  const read = makeColumnReader(readIdentifiers(identifiers), limit);
  const atMs = read(at, count).map(Number);
  const wallMs = read(wall, count).map(Number);
  const pages = read(page, count);
  const given = read(bodies, count).map(withKind);
  const events = ((form & 1) === 1 ? unrelate(atMs, given) : given).map((body, i) => ({
    id: prefix + (i + 1),
    seq: i + 1,
    atMs: atMs[i],
    wallMs: wallMs[i]! + ((form & 2) === 2 ? Math.round(atMs[i]!) : 0),
    page: pages[i],
    body,
  }));
  for (const entry of odd) {
    const event = Array.isArray(entry) ? events[entry[0]] : undefined;
    if (!event) throw new Error('not a packed notebook');
    event.id = entry[1];
  }
  return { format: 'meniscall-notebook', schema, id, events };
}

/** Events are JSON by their schema; members that are undefined count as absent. */
function toJson(value: object): { readonly [key: string]: Json } {
  return JSON.parse(JSON.stringify(value));
}

/** The kind of an event decides which keys it has; as a key of its own it need not be written for each event. */
function withKindInKeys(body: { readonly [key: string]: Json }): Json {
  const { kind, ...rest } = body;
  return { ...rest, [`=${kind}`]: 0 };
}

function withKind(body: Json): Json {
  if (typeof body !== 'object' || body === null || Array.isArray(body)) return body;
  return Object.fromEntries(
    Object.entries(body).map(([key, value]) => (key.startsWith('=') ? ['kind', key.slice(1)] : [key, value])),
  );
}

const short = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}$/;

/**
 * Identifiers: random ones without their dashes in one string, others by place; a reading's ("CALL#0") by the place
 * of its call.
 */
function writeIdentifiers(ids: readonly string[]): Json {
  const hex = ids.filter((id) => short.test(id)).map((id) => id.replaceAll('-', ''));
  const others = ids.flatMap((id, i): Json[] => {
    if (short.test(id)) return [];
    const [call = '', number] = id.split('#');
    const place = number === undefined ? -1 : ids.indexOf(call);
    return place >= 0 && place < i ? [i, place, Number(number)] : [i, id];
  });
  return [hex.join(''), others];
}

function readIdentifiers(written: unknown): string[] {
  if (!Array.isArray(written) || typeof written[0] !== 'string' || !Array.isArray(written[1]))
    throw new Error('no list of identifiers');
  const random = (written[0].match(/.{1,16}/g) ?? []).map(
    (id) => `${id.slice(0, 8)}-${id.slice(8, 12)}-${id.slice(12)}`,
  );
  const others: unknown[] = written[1];
  const ids: string[] = [];
  const fill = (until: number): void => {
    while (ids.length < until) {
      const next = random.shift();
      if (next === undefined) return;
      ids.push(next);
    }
  };
  for (let i = 0; i < others.length; ) {
    fill(Number(others[i]));
    const id = others[i + 1];
    if (typeof id === 'number') {
      ids.push(`${ids[id]}#${others[i + 2]}`);
      i += 3;
    } else {
      ids.push(String(id));
      i += 2;
    }
  }
  fill(Number.POSITIVE_INFINITY);
  return ids;
}
