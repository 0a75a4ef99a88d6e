import { execFileSync } from 'node:child_process';
import { appendFileSync, existsSync, readFileSync } from 'node:fs';

/** A flag of the command line, `--name=value`. */
export function flag(name: string): string | undefined {
  return process.argv.find((argument) => argument.startsWith(`--${name}=`))?.slice(name.length + 3);
}

export const numberFlag = (name: string, otherwise: number): number => Number(flag(name) ?? otherwise);

/** What one seed came to: counts that may be added up, and what must not be. */
export interface Piece {
  readonly counts: Readonly<Record<string, number>>;
  readonly wrong: readonly string[];
}

interface Line extends Piece {
  readonly bench: string;
  readonly seed: number;
  /** Of the code that was tried; with "+" where it had changes that were not committed. */
  readonly commit: string;
}

/**
 * Long benches in pieces. `--seed=1 --pieces=5` tries the seeds 1 to 5; `--minutes=4` stops after the piece that is under
 * way then. With `--results=FILE` every piece is a line of that file, seeds that are there are passed over, and the sum of
 * the file is printed: the same command carries on where the last one stopped. `--commit=` names the code of a `--dist=`.
 */
export async function inPieces(bench: string, pieces: number, work: (seed: number) => Promise<Piece>): Promise<void> {
  const file = flag('results');
  const first = numberFlag('seed', 1);
  const end = performance.now() + 60_000 * numberFlag('minutes', Number.POSITIVE_INFINITY);
  const earlier = file ? linesOf(file, bench) : [];
  const known = new Set(earlier.map(({ seed }) => seed));
  const lines = [...earlier];
  const commit = flag('commit') ?? commitHere();
  for (let seed = first, done = 0; done < pieces && performance.now() < end; seed++) {
    if (known.has(seed)) continue;
    const line: Line = { bench, seed, commit, ...(await work(seed)) };
    done++;
    lines.push(line);
    if (file) appendFileSync(file, `${JSON.stringify(line)}\n`);
    for (const wrong of line.wrong) console.log(`  WRONG ${bench}, seed ${seed}: ${wrong}`);
  }
  console.log(`  ${bench}: ${summed(lines)}`);
}

const linesOf = (file: string, bench: string): Line[] =>
  existsSync(file)
    ? readFileSync(file, 'utf8')
        .split('\n')
        .flatMap((line): Line[] => (line === '' ? [] : [JSON.parse(line)]))
        .filter((line) => line.bench === bench)
    : [];

/** Counts added up; those whose name begins with "largest" give the largest. */
function summed(lines: readonly Line[]): string {
  const sums = new Map<string, number>();
  for (const { counts } of lines)
    for (const [name, count] of Object.entries(counts)) {
      const before = sums.get(name) ?? 0;
      sums.set(name, name.startsWith('largest') ? Math.max(before, count) : before + count);
    }
  const seeds = lines.map(({ seed }) => seed);
  const commits = [...new Set(lines.map(({ commit }) => commit))];
  const wrong = lines.reduce((sum, line) => sum + line.wrong.length, 0);
  const counts = [...sums].map(([name, count]) => `${name} ${Number(count.toFixed(1))}`);
  return `${[...counts, `wrong ${wrong}`].join(', ')}; ${seeds.length} seeds, ${Math.min(...seeds)} to ${Math.max(...seeds)}, at ${commits.join(' ')}`;
}

function commitHere(): string {
  const git = (...asked: string[]): string => execFileSync('git', asked, { encoding: 'utf8' }).trim();
  try {
    return git('rev-parse', '--short', 'HEAD') + (git('status', '--porcelain', '--', 'src') === '' ? '' : '+');
  } catch {
    return 'unknown';
  }
}
