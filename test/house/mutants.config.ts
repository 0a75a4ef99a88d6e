import { defineConfig } from 'vitest/config';

/** The unit tests of the rooms that `npm run mutants` puts faults into, and the checks against published values. */
const rooms = (process.env.MUTANT_ROOMS ?? '').split(',').filter(Boolean);

export default defineConfig({
  test: {
    environment: 'node',
    include: [...rooms, 'published'].map((room) => `test/${room}/**/*.test.ts`),
  },
});
