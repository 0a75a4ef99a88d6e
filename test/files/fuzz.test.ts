import { expect, test } from 'vitest';
import { damaged, fuzz } from './fuzz.ts';
import { seeded } from './mutations.ts';

test('10,000 damaged files, links, archives, run sheets and tables: nothing wrong is accepted, no prototype is changed', () => {
  const tally = fuzz(10_000, 18);
  expect(tally.wrong).toEqual([]);
  // The damage is not so great that all is refused, nor so small that all is accepted.
  expect(tally.accepted).toBeGreaterThan(1000);
  expect(tally.refused).toBeGreaterThan(3000);
  expect(tally.peakBytes).toBeLessThan(1.5e9);
}, 120_000);

test('the damage reaches prototypes where a reader lets it', () => {
  // The harness itself: a careless reader must be caught by it.
  const texts = Array.from({ length: 400 }, (_, i) => JSON.stringify(damaged({ a: { b: 1 } }, seeded(i))));
  expect(texts.some((text) => text.includes('"__proto__"'))).toBe(true);
});
