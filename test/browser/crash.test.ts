import { expect, inject, test } from 'vitest';
import { killCycles } from './killable-browser.ts';

test('30 times killed or reloaded in the middle of a run, every acknowledged reading is there', async () => {
  const tally = await killCycles(inject('address'), 30);
  expect(tally.lost).toBe(0);
  expect(tally.invented).toBe(0);
  expect(tally.corrupted).toBe(0);
  expect(tally.acknowledged).toBe(60);
  // Where nothing of localStorage is ever lost, the kill was not one.
  expect(tally.controlLost).toBeGreaterThan(0);
}, 300_000);
