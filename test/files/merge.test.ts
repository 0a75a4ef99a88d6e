import 'fake-indexeddb/auto';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { mergeOf } from '../../src/files/merge.ts';
import { takeIn } from '../../src/files/take-in.ts';
import type { EventBody, NotebookEvent } from '../../src/log/event.ts';
import type { Notebook } from '../../src/log/state.ts';
import { makeNotebookStore } from '../../src/log/store.ts';
import { created, stamped } from '../log/events.ts';
import { the } from '../the.ts';

const notes = (...texts: string[]): EventBody[] =>
  texts.map((text, i): EventBody => ({ kind: 'note', text, timeMs: i, run: null }));
const book = (...bodies: EventBody[]): Notebook => ({ id: 'nb', events: stamped(created, ...bodies) });
const opened: EventBody = { kind: 'opened', joined: 'wall-clock' };

test('what is not here is new; what is here is known; a longer log carries on', () => {
  const short = book(...notes('a'));
  const long = book(...notes('a', 'b', 'c'));
  expect(mergeOf([], short)).toEqual({ kind: 'new' });
  expect(mergeOf(short.events, short)).toEqual({ kind: 'known' });
  expect(mergeOf(long.events, short)).toEqual({ kind: 'known' });
  expect(mergeOf(short.events, long)).toEqual({ kind: 'continued', after: 2, added: long.events.slice(2) });
});

test('two that went different ways: the other is kept as a copy whose id the parting decides', () => {
  const here = book(...notes('a', 'mine'));
  const there = book(...notes('a', 'theirs'));
  const further = book(...notes('a', 'theirs', 'and on'));
  const merge = mergeOf(here.events, there);
  expect(merge).toMatchObject({ kind: 'copy', id: expect.stringMatching(/^nb-copy-/) });
  expect(mergeOf(here.events, further)).toEqual(merge);
});

test('the id of a copy is no half of a character, which its second copy could not be stored under', () => {
  const here = book(...notes('a', 'mine'));
  const there = { ...book(...notes('a', 'theirs')), id: `${'x'.repeat(44)}😀` };
  const merge = mergeOf(here.events, there);
  expect(merge).toMatchObject({ kind: 'copy', id: expect.stringMatching(/^x{44}-copy-/) });
});

test('having been opened is nobody’s work: it neither parts two logs nor makes one longer', () => {
  const here = book(...notes('a'), opened);
  expect(mergeOf(here.events, book(...notes('a')))).toEqual({ kind: 'known' });
  expect(mergeOf(book(...notes('a')).events, here)).toEqual({ kind: 'known' });
  const long = book(...notes('a', 'b'));
  expect(mergeOf(here.events, long)).toEqual({ kind: 'continued', after: 2, added: long.events.slice(2) });
});

let stores = 0;
const sound = (n: number) => ({ call: `c${n}`, type: 'audio/wav', bytes: Uint8Array.of(n, n, n) });

test('archives that come again and again add what is new and nothing twice', async () => {
  const store = makeNotebookStore(`merge-${++stores}`);
  const day1 = book(...notes('a'));
  const day2 = book(...notes('a', 'b'));
  const first = await takeIn(store, { notebook: day1, clips: [sound(1)], left: [] });
  expect(first).toMatchObject({ kind: 'new', addedEvents: 2, addedClips: 1 });
  const again = await takeIn(store, { notebook: day1, clips: [sound(1)], left: [] });
  expect(again).toMatchObject({ kind: 'known', addedEvents: 0, addedClips: 0 });
  expect(again.sentence).toMatch(/nothing was added/);
  const more = await takeIn(store, { notebook: day2, clips: [sound(1), sound(2)], left: [] });
  expect(more).toMatchObject({ id: 'nb', kind: 'continued', addedEvents: 1, addedClips: 1 });
  expect((await store.load('nb')).events).toEqual(day2.events);
  expect(await store.clipCalls('nb')).toEqual(['c1', 'c2']);
  const clip = await store.getClip('nb', 'c2');
  expect(new Uint8Array(await the(clip).arrayBuffer())).toEqual(Uint8Array.of(2, 2, 2));
});

test('a copy that comes again, or longer, finds its place', async () => {
  const store = makeNotebookStore(`merge-${++stores}`);
  await takeIn(store, { notebook: book(...notes('a', 'mine')), clips: [], left: [] });
  const copy = await takeIn(store, { notebook: book(...notes('a', 'theirs')), clips: [], left: [] });
  expect(copy.kind).toBe('copy');
  expect(await takeIn(store, { notebook: book(...notes('a', 'theirs')), clips: [], left: [] })).toMatchObject({
    id: copy.id,
    kind: 'known',
  });
  const longer = book(...notes('a', 'theirs', 'more'));
  expect(await takeIn(store, { notebook: longer, clips: [], left: [] })).toMatchObject({
    id: copy.id,
    kind: 'continued',
  });
  expect((await store.load(copy.id)).events).toEqual(longer.events);
  expect((await store.list()).map(({ id }) => id).sort()).toEqual(['nb', copy.id].sort());
});

test('whatever comes in whatever order, nothing that was here is lost and a second time changes nothing', async () => {
  const word = fc.constantFrom('a', 'b');
  const log = fc.array(fc.oneof({ weight: 3, arbitrary: word }, { weight: 1, arbitrary: fc.constant('opened') }), {
    maxLength: 4,
  });
  const bookOf = (texts: readonly string[]): Notebook =>
    book(
      ...texts.map((text): EventBody => (text === 'opened' ? opened : { kind: 'note', text, timeMs: 0, run: null })),
    );
  const work = (events: readonly NotebookEvent[]): string =>
    events.flatMap(({ body }) => (body.kind === 'note' ? [body.text] : [])).join('');
  await fc.assert(
    fc.asyncProperty(fc.array(log, { minLength: 1, maxLength: 4 }), async (logs) => {
      const store = makeNotebookStore(`merge-${++stores}`);
      const seen: Notebook[] = [];
      for (const texts of [...logs, ...logs]) {
        const incoming = bookOf(texts);
        await takeIn(store, { notebook: incoming, clips: [], left: [] });
        seen.push(incoming);
        const kept = await Promise.all((await store.list()).map(async ({ id }) => (await store.load(id)).events));
        // Everything that ever came in is the beginning of some log that is kept.
        for (const { events } of seen) expect(kept.some((log) => work(log).startsWith(work(events)))).toBe(true);
        for (const log of kept) expect(log.map(({ seq }) => seq)).toEqual(log.map((_, i) => i + 1));
      }
      const count = (await store.list()).length;
      for (const texts of logs) await takeIn(store, { notebook: bookOf(texts), clips: [], left: [] });
      expect((await store.list()).length).toBe(count);
    }),
    { numRuns: 60 },
  );
});
