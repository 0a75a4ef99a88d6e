import { existsSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { defineConfig } from 'vitest/config';
import { checkedAccessByName } from '../checked-access.ts';
import { mutantFolder } from './mutant-files.ts';

/** One test file over source files that hold all their faults at once, each behind a switch (see `mutants.ts`). */
const root = join(import.meta.dirname, '../..');

export default defineConfig({
  root,
  plugins: [
    {
      name: 'source-with-faults',
      enforce: 'pre',
      load(id) {
        const [path = ''] = id.split('?');
        const faulty = join(mutantFolder, 'src', relative(join(root, 'src'), path));
        return path.startsWith(join(root, 'src')) && existsSync(faulty) ? readFileSync(faulty, 'utf8') : null;
      },
    },
    checkedAccessByName(),
  ],
  test: {
    environment: 'node',
    include: ['test/**/*.test.ts'],
    runner: './test/house/mutant-runner.ts',
    pool: 'forks',
    fileParallelism: false,
    testTimeout: 60_000,
    // Only the runner prints.
    silent: true,
    reporters: ['dot'],
  },
});
