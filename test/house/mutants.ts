import { spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/**
 * `npm run mutants -- ROOM…`: puts small faults into the rooms one at a time and counts how many of them the room's own
 * tests catch. A path (`src/analysis/outliers.ts`) names one file; paths of tests after it (`test/analysis/…`) run only
 * those, minutes instead of hours, and count what these alone catch. Prints the share by room with `npm run measure`.
 * Without a room: all that hold arithmetic or decisions; that takes many hours.
 */
const rooms = ['numerics', 'chemistry', 'analysis', 'log', 'language', 'bench', 'hearing'];
const tests = process.argv.slice(2).filter((argument) => argument.startsWith('test/'));
const wanted = process.argv.slice(2).filter((argument) => !tests.includes(argument));
const chosen = wanted.length > 0 ? wanted : rooms;
const mutate = chosen.map((room) => (room.startsWith('src/') ? room : `src/${room}/**/*.ts`));
const names = [...new Set(chosen.map((room) => room.replace(/^src\//, '').split('/')[0] ?? room))];

const root = fileURLToPath(new URL('../..', import.meta.url));
mkdirSync(`${root}/.mutants`, { recursive: true });
const stryker = fileURLToPath(new URL('../../node_modules/@stryker-mutator/core/bin/stryker.js', import.meta.url));
const run = spawnSync(
  process.execPath,
  [stryker, 'run', 'test/house/stryker.config.json', '--mutate', [...mutate, '!src/**/*.worker.ts'].join(',')],
  {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, MUTANT_ROOMS: names.join(','), MUTANT_TESTS: tests.join(',') },
  },
);
process.exitCode = run.status ?? 1;
