import { type ChildProcess, spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  appendFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { Instrumenter } from '@stryker-mutator/instrumenter';
import { nth } from '../../src/numerics/nth.ts';
import { createRandom } from '../../src/numerics/random.ts';
import type { Mutant } from './mutant-files.ts';
import { importsOf } from './rooms.ts';

/**
 * `npm run mutants -- ROOM… FILE… TEST… [--minutes=4] [--sample=80 [--seed=1]]`: puts small faults into the rooms or files, one at a time, and counts
 * how many of them the unit tests catch: those of the room and the checks against published values, or the named ones. A
 * test that takes longer than 1.5 s is left out, so the share is a lower bound. The faults are Stryker's; one process runs a
 * test file with all its faults (`mutant-runner.ts`), some hundred times faster than a process each. After the minutes it
 * stops; the same command goes on from there. Prints the faults that no test caught, and keeps the scores in `mutants.tsv`.
 * Faults that change nothing are named in `equivalent-mutants.tsv` and do not count.
 *
 * With `--sample` it draws that many faults at random from one room, for an estimate of the room's share in minutes instead
 * of hours. It prints the seed; the same seed draws the same faults. Its estimates stand in `mutant-samples.tsv`.
 */
const rooms = ['numerics', 'chemistry', 'analysis', 'log', 'language', 'bench', 'hearing'];
const shells = new Set(
  [
    'browser-ear',
    'capture-worklet',
    'capture-worklet-address',
    'ear/ear-worker',
    'ear/own-ear',
    'ear/vocabulary-json',
    'listening-devices',
    'microphone',
    'page-time',
    'recogniser',
    'sound-source',
    'sound-system',
    'speech-judge',
    'voice-store',
  ].map((name) => `src/hearing/${name}.ts`),
);
const root = join(import.meta.dirname, '../..');
const given = process.argv.slice(2);
const option = (name: string): string | undefined =>
  given.find((word) => word.startsWith(`--${name}=`))?.slice(name.length + 3);
const minutes = Number(option('minutes') ?? Number.POSITIVE_INFINITY);
const sample = option('sample') === undefined ? null : Number(option('sample'));
const seed = option('seed') ?? String(Date.now() % 100_000);
const names = given.filter((word) => !word.startsWith('--') && !word.startsWith('test/'));
const targets = names.length > 0 ? names : rooms;
const sources = targets.flatMap((name) => (name.startsWith('src/') ? [name] : typescript(`src/${name}`)));
const [sampled = ''] = targets;
if (sample !== null) {
  if (targets.length !== 1 || !rooms.includes(sampled) || !(sample >= 1))
    throw new Error('--sample=N takes one room and a whole number of faults');
  console.log(`${sample} faults of ${sampled}, drawn with --seed=${seed}`);
}
const tests = given.some((word) => word.startsWith('test/'))
  ? given.filter((word) => word.startsWith('test/'))
  : [...new Set(targets.map((name) => name.replace(/^src\//, '').split('/')[0] ?? name)), 'published'].flatMap((room) =>
      typescript(`test/${room}`).filter((path) => path.endsWith('.test.ts')),
    );
const until = Date.now() + minutes * 60_000;
/** A worker that says nothing for so long is in a circle that has no fault in it. */
const silenceMs = 120_000;

// Read before the modules that keep their files in it.
process.env.MUTANT_SET = [...targets, ...(sample === null ? [] : [`sample-${sample}-${seed}`])]
  .join('+')
  .replace(/[^\w.+-]/g, '_');
const { mutantFolder, mutantList, mutantLog, slowTests } = await import('./mutant-files.ts');
const { keepSample, keepScores, linesOfLog, rowsOf } = await import('./mutant-scores.ts');

/** The instrumenter wants a logger; only what is wrong is of interest. */
const quiet = {
  isTraceEnabled: () => false,
  isDebugEnabled: () => false,
  isInfoEnabled: () => false,
  isWarnEnabled: () => true,
  isErrorEnabled: () => true,
  isFatalEnabled: () => true,
  trace: () => {},
  debug: () => {},
  info: () => {},
  warn: console.warn,
  error: console.error,
  fatal: console.error,
};

await prepare();
const reaching = quickFirst(testsReaching(tests, new Set(mutants().map(({ file }) => file))));
for (const test of reaching) if (Date.now() < until) await over(test);
const rows = rowsOf(mutants(), linesOfLog());
for (const { mutant, state } of rows)
  if (state === 'survived' || state === 'never met')
    console.log(
      `${state}  ${mutant.file}:${mutant.line}:${mutant.column}  ${mutant.kind}  ${oneLine(mutant.original)}  ->  ${oneLine(mutant.replacement)}`,
    );
const complete = reaching.every((test) => isDone(test));
console.log(sample === null ? keepScores(rows, complete) : keepSample(rows, sampled, seed, complete));
if (!complete) console.log('Stopped before all tests had their turn: the same command goes on.');

/**
 * The faults of these sources, and an empty log, unless both are there from a command that was stopped. Where only tests
 * have changed since, what was caught counts as caught.
 */
async function prepare(): Promise<void> {
  const kept = join(mutantFolder, 'stamp');
  const [source = '', test = ''] = existsSync(kept) ? readFileSync(kept, 'utf8').split(' ') : [];
  const now = [printOf(sources), printOf(tests)] as const;
  if (source === now[0] && test === now[1]) return;
  if (source === now[0]) {
    const caught = readFileSync(mutantLog, 'utf8')
      .split('\n')
      .filter((line) => /^(killed|stuck)\t/.test(line));
    writeFileSync(mutantLog, caught.map((line) => `${line}\n`).join(''));
    writeFileSync(kept, now.join(' '));
    return;
  }
  for (const old of [join(mutantFolder, 'src'), mutantLog]) rmSync(old, { recursive: true, force: true });
  mkdirSync(mutantFolder, { recursive: true });
  const files = sources.map((path) => ({ name: path, content: readFileSync(join(root, path), 'utf8'), mutate: true }));
  const made = await new Instrumenter(quiet).instrument(files, { plugins: null, excludedMutations: [], ignorers: [] });
  for (const { name, content } of made.files) {
    mkdirSync(dirname(join(mutantFolder, name)), { recursive: true });
    writeFileSync(join(mutantFolder, name), content);
  }
  const text = new Map(files.map(({ name, content }) => [name, content.split('\n')]));
  const list = made.mutants.map(({ id, fileName, mutatorName, replacement, location: { start, end } }): Mutant => {
    const lines = (text.get(fileName) ?? []).slice(start.line, end.line + 1);
    const cut = lines.map((line, i) =>
      line.slice(i === 0 ? start.column : 0, i === lines.length - 1 ? end.column : undefined),
    );
    return {
      id,
      file: fileName,
      line: start.line + 1,
      column: start.column + 1,
      kind: mutatorName,
      original: cut.join(' '),
      replacement,
    };
  });
  writeFileSync(mutantList, JSON.stringify(sample === null ? list : drawn(list, sample)));
  writeFileSync(mutantLog, '');
  writeFileSync(kept, now.join(' '));
}

/** So many of them, each as likely as any other, in their order (Fisher and Yates). */
function drawn(all: readonly Mutant[], count: number): Mutant[] {
  const random = createRandom(`mutants ${seed}`);
  const left = [...all.keys()];
  for (let i = 0; i < Math.min(count, left.length); i++) {
    const j = i + random.integer(left.length - i);
    [left[i], left[j]] = [nth(left, j), nth(left, i)];
  }
  const chosen = new Set(left.slice(0, count));
  return all.filter((_, i) => chosen.has(i));
}

/** The tests that load one of these files, by whatever way; the others cannot notice a fault in them. */
function testsReaching(paths: readonly string[], files: ReadonlySet<string>): string[] {
  const imports = importsOf(root, ['src', 'test']);
  return paths.filter((test) => {
    const seen = new Set([test]);
    for (const file of seen) for (const next of imports.get(file) ?? []) seen.add(next);
    return [...seen].some((file) => files.has(file));
  });
}

/** Files whose tests took long before come last, so that a command that stops early has had most of them. */
function quickFirst(paths: readonly string[]): string[] {
  const slow: Record<string, number> = existsSync(slowTests) ? JSON.parse(readFileSync(slowTests, 'utf8')) : {};
  const known = (path: string): number =>
    Object.entries(slow).reduce((sum, [key, ms]) => (key.startsWith(`${path} `) ? sum + ms : sum), 0);
  return [...paths].sort((a, b) => known(a) - known(b));
}

function printOf(paths: readonly string[]): string {
  const stamp = createHash('sha256');
  for (const path of paths) stamp.update(path).update(readFileSync(join(root, path)));
  return stamp.digest('hex');
}

/** One test file over all faults; a worker that hangs or dies is started again after the fault that it hung on. */
async function over(test: string): Promise<void> {
  for (let tries = 0; tries < 200 && !isDone(test) && Date.now() < until; tries++) {
    const worker = spawn(
      process.execPath,
      [join(root, 'node_modules/vitest/vitest.mjs'), 'run', '--config', 'test/house/mutants.config.ts', test],
      { cwd: root, detached: true, stdio: ['ignore', 'ignore', process.env.MUTANT_LOUD ? 'inherit' : 'ignore'] },
    );
    const end = await ended(worker);
    if (isDone(test) || end === 'time is up') return;
    const last = linesOfLog().at(-1);
    if (last?.word !== 'trying') {
      console.error(`${test} does not run by itself`);
      return;
    }
    appendFileSync(mutantLog, `stuck\t${last.id}\t${test}\n`);
  }
}

function ended(worker: ChildProcess): Promise<'ended' | 'silent' | 'time is up'> {
  return new Promise((resolve) => {
    const watch = setInterval(() => {
      const silent = Date.now() - Math.max(statSync(mutantLog).mtimeMs, started) > silenceMs;
      if (!silent && Date.now() < until) return;
      if (worker.pid) process.kill(-worker.pid, 'SIGKILL');
      finish(silent ? 'silent' : 'time is up');
    }, 500);
    const started = Date.now();
    const finish = (how: 'ended' | 'silent' | 'time is up'): void => {
      clearInterval(watch);
      resolve(how);
    };
    worker.on('exit', () => finish('ended'));
  });
}

function isDone(test: string): boolean {
  return linesOfLog().some(({ word, by }) => word === 'done' && by === test);
}

function mutants(): Mutant[] {
  return JSON.parse(readFileSync(mutantList, 'utf8'));
}

/**
 * TypeScript files of a folder. Workers are left out, which only pass messages on, and the shells of hearing, which own
 * the browser's devices: the tests in a real browser run those.
 */
function typescript(folder: string): string[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .map((path) => `${folder}/${path}`)
    .filter((path) => path.endsWith('.ts') && !path.endsWith('.worker.ts') && !shells.has(path))
    .sort();
}

function oneLine(text: string): string {
  const line = text.replace(/\s+/g, ' ');
  return line.length > 90 ? `${line.slice(0, 87)}…` : line;
}
