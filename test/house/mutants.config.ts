import { defineConfig } from 'vitest/config';

/** The unit tests of the rooms that `npm run mutants` puts faults into, and the checks against published values. */
const listed = (text: string | undefined): string[] => (text ?? '').split(',').filter(Boolean);
const rooms = listed(process.env.MUTANT_ROOMS);
const tests = listed(process.env.MUTANT_TESTS);

export default defineConfig({
  test: {
    environment: 'node',
    include: tests.length > 0 ? tests : [...rooms, 'published'].map((room) => `test/${room}/**/*.test.ts`),
  },
});
