import { expect, inject, test } from 'vitest';
import { killKinds, killWrites } from './kill-writes.ts';

// `npm run bench -- kills --kills=200` kills more often.
test.each(killKinds)(
  'killed in the middle of %s, a notebook is there whole or not at all',
  async (kind) => {
    const tally = await killWrites(inject('dist'), kind, 2, { windows: 2 });
    expect(tally.wrong).toEqual([]);
    expect(tally.kills).toBeGreaterThanOrEqual(2);
  },
  200_000,
);
