import 'fake-indexeddb/auto';
import { expect, test } from 'vitest';
import type { NotebookEvent } from '../../src/log/event.ts';
import { notebookFromJson } from '../../src/log/file.ts';
import { openNotebook } from '../../src/log/journal.ts';
import { notebookToJson, orderFault, withoutHoles } from '../../src/log/notebook-json.ts';
import { makeNotebookStore } from '../../src/log/store.ts';
import { created, stamped } from './events.ts';

const plain = stamped(created, { kind: 'paused' }, { kind: 'resumed' }, { kind: 'paused' });
const id = 'abcdefghij';

const changed = (change: (event: NotebookEvent, index: number) => Partial<NotebookEvent>): NotebookEvent[] =>
  plain.map((event, i) => ({ ...event, id: `abcdefgh-${i + 1}`, ...change(event, i) }));

/** One entry in the middle was damaged: what is left is numbered anew and keeps its ids. */
const holed = withoutHoles({ id, events: changed(() => ({})).filter((_, i) => i !== 1) }).events;

test.each<[string, readonly NotebookEvent[]]>([
  ['the latest time that there is', changed((event, i) => (i === 3 ? { atMs: 1e13 } : event))],
  ['a time of some centuries', changed((event, i) => (i === 3 ? { atMs: 9.9e12 } : event))],
  ['the last page that can be counted', changed(() => ({ page: 10_000_000 }))],
  ['the id that comes next', changed((_, i) => (i === 1 ? { id: 'abcdefgh-5' } : {}))],
  ['the ids that come next', changed((_, i) => ({ id: `abcdefgh-${5 + i}` }))],
  ['a hole that was closed', holed],
  ['the first and the last date', changed((_, i) => ({ wallMs: i % 2 === 0 ? 8.64e15 : -8.64e15 }))],
])('what is recorded after %s is there at the next opening, or the file is refused', async (what, events) => {
  const read = notebookFromJson(notebookToJson({ id, events }));
  if (!read.ok) {
    expect(read.sentence).toMatch(/^[A-Z].*\.$/);
    return;
  }
  const store = makeNotebookStore(`carried-on-${what}`);
  await store.adopt(id, read.value.events);
  for (const title of ['first', 'second']) await (await openNotebook(id, { store })).record({ kind: 'titled', title });
  const loaded = await store.load(id);
  expect(loaded.damaged).toEqual([]);
  expect(loaded.events).toHaveLength(events.length + 4);
  expect(orderFault(loaded.events)).toBeNull();
  expect(notebookFromJson(notebookToJson(loaded)).ok).toBe(true);
});
