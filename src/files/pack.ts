import { schemaVersion } from '../log/event.ts';
import type { Notebook } from '../log/state.ts';
import { nth } from '../numerics/nth.ts';
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
    wallMs: nth(wallMs, i) + ((form & 2) === 2 ? Math.round(nth(atMs, i)) : 0),
    page: pages[i],
    body,
  }));
  for (const entry of odd) {
    // A whole number only: `events['__proto__']` would be the prototype of every list.
    const event = Array.isArray(entry) && Number.isInteger(entry[0]) ? events[entry[0]] : undefined;
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

/** Of a reading "CALL#0": the place of its call before it, and the number. */
function placeOfCall(ids: readonly string[], i: number): [place: number, number: number] | null {
  const [call = '', number] = nth(ids, i).split('#');
  const place = number === undefined ? -1 : ids.indexOf(call);
  return place >= 0 && place < i ? [place, Number(number)] : null;
}

/**
 * Identifiers: random ones without their dashes in one string, others by place. Each of these is a list: [place, id],
 * [place, place of the call, number] for a reading ("CALL#0"), or [place, text before the number, first number, how many]
 * for those that count.
 */
function writeIdentifiers(ids: readonly string[]): Json {
  const hex: string[] = [];
  const others: Json[] = [];
  for (let i = 0; i < ids.length; ) {
    const id = nth(ids, i);
    const [, before = '', number = ''] = counting.exec(id) ?? [];
    let count = 1;
    while (number !== '' && ids[i + count] === before + (Number(number) + count)) count++;
    const call = placeOfCall(ids, i);
    if (count > 1) others.push([i, before, Number(number), count]);
    else if (short.test(id)) hex.push(id.replaceAll('-', ''));
    else others.push(call ? [i, ...call] : [i, id]);
    i += count;
  }
  return [hex.join(''), others];
}

const counting = /^(.*?)(0|[1-9]\d{0,8})$/;

/** A million events of a notebook name fewer. */
const mostIdentifiers = 1_000_000;

function readIdentifiers(written: unknown): string[] {
  if (!Array.isArray(written) || typeof written[0] !== 'string' || !Array.isArray(written[1]))
    throw new Error('no list of identifiers');
  if (written[0].length > 16 * mostIdentifiers) throw new Error('too many identifiers');
  const random = (written[0].match(/.{1,16}/g) ?? []).map(
    (id) => `${id.slice(0, 8)}-${id.slice(8, 12)}-${id.slice(12)}`,
  );
  const others: unknown[] = written[1];
  const ids: string[] = [];
  let used = 0;
  const fill = (until: number): void => {
    while (ids.length < until) {
      // By place: taking the first off a long list moves all the others, which made a short link take for ever.
      const next = random[used];
      if (next === undefined) return;
      used++;
      ids.push(next);
    }
  };
  for (const entry of entriesOf(others)) {
    const [place, first, second, third] = entry;
    fill(Number(place));
    if (entry.length === 4) {
      if (!Number.isInteger(second) || !(Number(third) <= 200_000)) throw new Error('no list of identifiers');
      for (let n = 0; n < Number(third) && ids.length < mostIdentifiers; n++)
        ids.push(String(first) + (Number(second) + n));
    } else ids.push(typeof first === 'number' ? `${ids[first]}#${second}` : String(first));
  }
  fill(Number.POSITIVE_INFINITY);
  return ids;
}

/** Links of version 1 have their entries one after the other: two or three items, the latter where the second is a number. */
function entriesOf(written: readonly unknown[]): unknown[][] {
  const entries: unknown[][] = [];
  for (let i = 0; i < written.length; ) {
    const entry = written[i];
    if (Array.isArray(entry)) {
      entries.push(entry);
      i += 1;
    } else {
      const length = typeof written[i + 1] === 'number' ? 3 : 2;
      entries.push(written.slice(i, i + length));
      i += length;
    }
  }
  return entries;
}
