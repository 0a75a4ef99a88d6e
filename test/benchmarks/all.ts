import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/**
 * `npm run bench`: every figure this project states, printed one table after the other. It never fails on time.
 * `npm run bench -- --quick` draws less often; `npm run bench -- digits onset` prints only those.
 */
const tables: readonly { name: string; what: string }[] = [
  { name: 'digits', what: 'digits that agree with certified and published values, and a rival beside them' },
  { name: 'coverage', what: 'simulated experiments: coverage of 95 % intervals, outliers found and named, bias' },
  {
    name: 'kinetics',
    what: 'experiments by an independent simulator: coverage, verdicts, what is confidently wrong, detection',
  },
  { name: 'scale', what: 'tables of up to 10,000 runs, one run of up to 100,000 readings: seconds, and how they grow' },
  { name: 'hearing', what: 'simulated calls through a noisy channel, with and without expectation' },
  { name: 'callers', what: 'callers of every kind through the whole session: marks, doubts, what is silently wrong' },
  { name: 'onset', what: 'error of the moment of a call, by noise' },
  { name: 'room', what: 'calls in a room with other people, noise and knocks: found, right, moments' },
  { name: 'into-word', what: 'how long after its first sound the ear answers for a word' },
  { name: 'listening', what: 'what listening costs in the page: share of a core, time to the answer, heap' },
  { name: 'ear', what: 'the embedded recogniser on sound it was not trained on' },
  { name: 'people', what: 'the embedded recogniser on people who had no part in its training' },
  { name: 'class', what: 'a class of 1,000 notebooks; links; damaged files' },
  { name: 'fuzz', what: 'damaged files, links, archives and tables at the door (`--cases=N`)' },
  { name: 'page', what: 'the page: first load, time until usable, a large notebook, memory, durability' },
  { name: 'engines', what: 'the main job in Firefox and WebKitGTK, where they are installed' },
  { name: 'faults', what: 'spoken runs while parts fail at random moments (`--runs=N`)' },
  { name: 'full-disk', what: 'a run on a disk that gets full (mounts one: needs root)' },
  { name: 'crash', what: 'kill and reopen: acknowledged events that were lost' },
  { name: 'kills', what: 'kills in imports, deletions and second copies (`--kills=N`)' },
];

const flags = process.argv.slice(2).filter((argument) => argument.startsWith('--'));
const wanted = process.argv.slice(2).filter((argument) => !argument.startsWith('--'));
const tsx = fileURLToPath(new URL('../../node_modules/tsx/dist/cli.mjs', import.meta.url));

for (const { name, what } of tables) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  console.log(`\n== ${name}: ${what}\n`);
  const file = fileURLToPath(new URL(`./${name}.ts`, import.meta.url));
  const run = spawnSync(process.execPath, [tsx, file, ...flags], { stdio: 'inherit' });
  if (run.status !== 0) {
    console.error(`${name} stopped with ${run.status ?? run.signal}`);
    process.exitCode = 1;
  }
}
