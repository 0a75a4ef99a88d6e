import 'fake-indexeddb/auto';
import { createStore, get, set } from 'idb-keyval';
import { expect, test } from 'vitest';
import { entryOf, type Lack } from '../../src/class/class-entry.ts';
import { entriesOfTable } from '../../src/class/class-table.ts';
import { loadClass, saveClass } from '../../src/class/saved-class.ts';
import { demoNotebook } from '../../src/rehearsal/demo.ts';
import { damaged } from '../files/fuzz.ts';
import { seeded } from '../files/mutations.ts';
import { groupNotebook } from './class-notebooks.ts';

const table = entriesOfTable('name,value,u\nA,1,0.1\n');
const demo = demoNotebook(1.7e12);
const entries = [
  entryOf(groupNotebook(1)),
  entryOf(groupNotebook(2, { iodideInRun2: 5, factor: 1.6 })),
  entryOf(demo),
  entryOf({ id: 'empty', events: demo.events.slice(0, 1) }),
  // Without pressure: kept with its notebook.
  entryOf({ ...demo, id: 'bare', events: demo.events.filter(({ body }) => body.kind !== 'set-up') }),
  ...(table.ok ? table.value : []),
];
const saved = { entries, quantity: 'k', anonymous: false };

test('a class is kept and read as it was', async () => {
  await saveClass(saved);
  expect(await loadClass()).toEqual({ ...saved, damaged: [] });
});

test('a damaged entry is left out with its name, and the rest of the class is there', async () => {
  await saveClass(saved);
  const store = createStore('meniscall-class', 'all');
  const kept = await get('class', store);
  const [, second] = entries;
  kept.entries[1] = { ...second, quantities: { k: { value: 'NaN', u: 1, unit: '' } } };
  kept.entries[2] = null;
  await set('class', kept, store);
  const read = await loadClass();
  expect(read?.entries).toEqual(entries.filter((_, i) => i !== 1 && i !== 2));
  expect(read?.damaged).toEqual([second?.name, '…']);
});

test('whatever happened to an entry, what is read has finite numbers and a date', async () => {
  const store = createStore('meniscall-class', 'all');
  for (let seed = 0; seed < 300; seed++) {
    const random = seeded(seed);
    await set('class', { version: 1, ...saved, entries: entries.map((entry) => damaged(entry, random)) }, store);
    for (const { begunWallMs, quantities, hPa } of (await loadClass())?.entries ?? []) {
      if (begunWallMs !== null) expect(() => new Date(begunWallMs).toISOString()).not.toThrow();
      for (const { value, u } of Object.values(quantities)) expect([value, u].every(Number.isFinite)).toBe(true);
      expect(hPa === null || Number.isFinite(hPa)).toBe(true);
    }
  }
});

/** One of each: a new code does not compile before it is here. */
const lacks: { readonly [Code in Lack['code']]: Extract<Lack, { code: Code }> } = {
  'no-readings': { code: 'no-readings' },
  'no-concentrations': { code: 'no-concentrations' },
  'open-order': { code: 'open-order', species: ['I-'] },
  'no-simple-order': { code: 'no-simple-order' },
  'does-not-fit': {
    code: 'does-not-fit',
    reasons: [
      { code: 'misfit', runs: ['2'], p: 0.001 },
      { code: 'runs-disagree', birge: Number.POSITIVE_INFINITY },
    ],
  },
  refused: { code: 'refused', reason: 'failed', sentence: 'No.' },
  unsettled: { code: 'unsettled', count: 2, runs: ['1'] },
  'late-rates': { code: 'late-rates', runs: ['1'] },
  'constant-open': { code: 'constant-open', species: null },
  'no-uncertainty': { code: 'no-uncertainty' },
};

test('a group without a k is kept, whatever it lacks', async () => {
  const [first] = entries;
  if (!first) throw new Error('no entry');
  const without = Object.values(lacks).map((lack) => ({ ...first, id: lack.code, quantities: {}, lack }));
  await saveClass({ ...saved, entries: without });
  expect(await loadClass()).toEqual({ ...saved, entries: without, damaged: [] });
});
