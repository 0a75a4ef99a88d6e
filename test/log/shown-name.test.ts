import { expect, test } from 'vitest';
import { entryOf } from '../../src/class/class-entry.ts';
import { headAfter } from '../../src/log/head.ts';
import { createNotebook } from '../../src/log/journal.ts';
import { reduce } from '../../src/log/reduce.ts';
import { shownName } from '../../src/log/shown-name.ts';
import { groupNotebook } from '../class/class-notebooks.ts';
import { stamped } from './events.ts';

// Unicode Standard Annex #9: embeddings, overrides and isolates reorder what stands around them.
const reordering = '\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c';

test.each([
  [`a${reordering}b`, 'ab'],
  ['\u202eevil', 'evil'],
  ['\u200b\u200c\u2060\ufeff\u00ad', ''],
  [' \u3164\u2800 ', ''],
  ['line\none\u0000\u001b[2J', 'line one [2J'],
  ['קבוצה 3', 'קבוצה 3'],
  ['Mittwoch, 👩‍🔬 ½', 'Mittwoch, 👩‍🔬 ½'],
  ['a\ud800b', 'a\ufffdb'],
])('%j is shown as %j', (name, shown) => {
  expect(shownName(name)).toBe(shown);
});

test('names from a file neither reorder the screen nor hide, and the events stay as they were', () => {
  const title = '\u202eIodide\u200e';
  const events = stamped(
    { kind: 'created', title, seed: 1, invented: false, app: '' },
    { kind: 'grouped', group: '\u200b' },
    { kind: 'members-named', members: 'A\u2067B' },
  );
  expect(reduce(events)).toMatchObject({ title: 'Iodide', group: '', members: 'AB' });
  expect(headAfter(null, events).title).toBe('Iodide');
  expect(events[0]?.body).toMatchObject({ title });
  expect(entryOf(groupNotebook(1, { group: '\u200b\u200b', title: '\u2060' })).name).toBe('untitled');
});

test('a notebook begins where the page was served without encryption, which has no random UUIDs', async () => {
  const real = Object.getOwnPropertyDescriptor(crypto, 'randomUUID');
  Object.defineProperty(crypto, 'randomUUID', { value: undefined, configurable: true, writable: true });
  try {
    const store = { append: async () => {} } as never;
    const ids = await Promise.all([1, 2].map(async () => (await createNotebook('Plain', { store })).id));
    expect(new Set(ids).size).toBe(2);
    for (const id of ids) expect(id).toMatch(/^[\w-]{30,50}$/);
  } finally {
    if (real) Object.defineProperty(crypto, 'randomUUID', real);
    else Reflect.deleteProperty(crypto, 'randomUUID');
  }
});
