import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { assertionsOf, functionsOf, unusedExports } from './measures.ts';
import { estimate, keptSamples, keptScores, share } from './mutant-scores.ts';
import { circlesIn } from './rooms.ts';
import { sourceFiles } from './source.ts';
import { clashingClassNames, sharedClassNames, styleSheets } from './style-sheets.ts';
import { filesOfOneUtterance } from './utterance.ts';

/**
 * `npm run measure -- [FOLDER]`: how large and how tangled the code is, of this checkout or of another one (an older
 * commit in its own folder), as one line a figure.
 */
const root = resolve(process.argv[2] ?? fileURLToPath(new URL('../..', import.meta.url)));
const src = sourceFiles(join(root, 'src'));
const tests = sourceFiles(join(root, 'test'));
const functions = src.flatMap(functionsOf);
const lines = src.map((file) => file.text.split('\n').length);

print('files', String(src.length));
print('lines', `${sum(lines)}, longest file ${Math.max(...lines)}, median ${median(lines)}`);
print('functions', `${functions.length}; over 60 lines ${over('lines', 60)}, over 100 ${over('lines', 100)}`);
for (const found of top('lines')) print('  long', `${found.lines} lines: ${found.name} (${found.file}:${found.line})`);
print('complexity', `over 15 ${over('complexity', 15)}, over 25 ${over('complexity', 25)}`);
for (const found of top('complexity'))
  print('  branching', `${found.complexity}: ${found.name} (${found.file}:${found.line})`);
print('non-null assertions', `src ${sum(src.map(assertionsOf))}, test ${sum(tests.map(assertionsOf))}`);
const circles = circlesIn(join(root, 'src'));
print('circles of imports', `${circles.length}${circles.map((circle) => `\n    ${circle.join(', ')}`).join('')}`);
print('unused exports', String(unusedExports(src, [...src, ...tests]).length));
const sheets = styleSheets(join(root, 'src'));
print(
  'class names',
  `in several sheets ${sharedClassNames(sheets).size}, clashing ${clashingClassNames(sheets).length}`,
);
print('utterance crosses', await crossed());
for (const line of mutantLines()) print('mutants', line);
for (const [room, sample] of keptSamples()) print('  by a sample', `${room} ${estimate(sample)}, seed ${sample.seed}`);

/** Files of which a function runs from a call's sound to its entry; an older checkout may have no room to try it in. */
async function crossed(): Promise<string> {
  if (!existsSync(join(root, 'test', 'bench', 'room.ts'))) return 'not measured: no test/bench/room.ts';
  return `${(await filesOfOneUtterance(root)).length} files`;
}

function over(key: 'lines' | 'complexity', limit: number): number {
  return functions.filter((found) => found[key] > limit).length;
}

function top(key: 'lines' | 'complexity'): typeof functions {
  return functions.toSorted((a, b) => b[key] - a[key]).slice(0, 10);
}

/** Share of small faults that a test catches, by room, of the files that `npm run mutants` has been through. */
function mutantLines(): string[] {
  const rooms = new Map<string, { killed: number; of: number; files: number }>();
  for (const [file, score] of keptScores()) {
    const room = file.split('/')[1] ?? file;
    const { killed, of, files } = rooms.get(room) ?? { killed: 0, of: 0, files: 0 };
    rooms.set(room, { killed: killed + score.killed, of: of + score.of, files: files + 1 });
  }
  return [...rooms].map(
    ([room, { killed, of, files }]) => `${room} ${share(killed, of)}: ${killed} of ${of} in ${files} files`,
  );
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;
}

function print(name: string, value: string): void {
  console.log(`${name.padEnd(20)} ${value}`);
}
