import { afterAll, beforeAll, expect, inject, test } from 'vitest';
import { faultHost, faultRun } from './fault-injector.ts';

let host: Awaited<ReturnType<typeof faultHost>>;
beforeAll(async () => {
  host = await faultHost(inject('dist'));
});
afterAll(() => host.close());

// `npm run bench -- faults --runs=100` tries many more.
test.each([5, 10])(
  'a spoken run with parts that fail at moments of seed %d: what was acknowledged is there or its loss was said',
  { retry: 1 },
  async (seed) => {
    const run = await faultRun(host, seed);
    expect(run.wrong, `faults: ${run.faults.join(', ')}`).toEqual([]);
    expect(run.acknowledged).toBeGreaterThan(0);
  },
);
