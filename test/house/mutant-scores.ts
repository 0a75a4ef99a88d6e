import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { fisherQuantile } from '../../src/numerics/distributions.ts';
import { equivalentTable, type LogWord, type Mutant, mutantLog, mutantTable, sampleTable } from './mutant-files.ts';

export interface LogLine {
  readonly word: LogWord;
  readonly id: string;
  readonly by: string;
}

/**
 * What became of a fault: no test file that reaches it failed; no test reaches it; it acts only while a file loads; it is
 * none (`equivalent-mutants.tsv`).
 */
export type MutantState = 'killed' | 'survived' | 'never met' | 'only at loading' | 'equivalent';

const words: readonly string[] = [
  'trying',
  'killed',
  'stuck',
  'survived',
  'static',
  'done',
  'alive',
] satisfies LogWord[];
const isWord = (word: string): word is LogWord => words.includes(word);

export function linesOfLog(): LogLine[] {
  return readFileSync(mutantLog, 'utf8')
    .split('\n')
    .flatMap((line): LogLine[] => {
      const [word = '', id = '', by = ''] = line.split('\t');
      return isWord(word) ? [{ word, id, by }] : [];
    });
}

/** A fault by what it does, wherever its line has moved since. */
export const faultOf = ({ file, original, replacement }: Pick<Mutant, 'file' | 'original' | 'replacement'>): string =>
  [file, original, replacement].map((text) => text.replace(/\s+/g, ' ')).join('\t');

/** The faults that are named as none. */
export function equivalentFaults(): ReadonlySet<string> {
  const [, ...lines] = readFileSync(equivalentTable, 'utf8').trimEnd().split('\n');
  return new Set(lines.map((line) => line.split('\t').slice(0, 3).join('\t')));
}

export function rowsOf(
  mutants: readonly Mutant[],
  log: readonly LogLine[],
  equivalent: ReadonlySet<string> = equivalentFaults(),
): { mutant: Mutant; state: MutantState }[] {
  const said = new Map<string, Set<LogWord>>();
  for (const { word, id } of log) said.set(id, (said.get(id) ?? new Set()).add(word));
  return mutants.map((mutant) => {
    const of = said.get(mutant.id) ?? new Set();
    const state =
      of.has('killed') || of.has('stuck')
        ? 'killed'
        : equivalent.has(faultOf(mutant))
          ? 'equivalent'
          : of.has('survived')
            ? 'survived'
            : of.has('static')
              ? 'only at loading'
              : 'never met';
    return { mutant, state };
  });
}

const counts = (state: MutantState): boolean => state !== 'only at loading' && state !== 'equivalent';

export interface Score {
  readonly killed: number;
  readonly of: number;
  readonly onlyAtLoading: number;
}

/** Scores by file, as the table keeps them. */
export function keptScores(): Map<string, Score> {
  if (!existsSync(mutantTable)) return new Map();
  const [, ...lines] = readFileSync(mutantTable, 'utf8').trim().split('\n');
  return new Map(
    lines.map((line) => {
      const [file = '', killed, of, onlyAtLoading] = line.split('\t');
      return [file, { killed: Number(killed), of: Number(of), onlyAtLoading: Number(onlyAtLoading) }];
    }),
  );
}

/** @returns a line for each file, and writes them into the table when all tests had their turn */
export function keepScores(rows: readonly { mutant: Mutant; state: MutantState }[], keep: boolean): string {
  const now = new Map<string, Score>();
  for (const { mutant, state } of rows) {
    const { killed, of, onlyAtLoading } = now.get(mutant.file) ?? { killed: 0, of: 0, onlyAtLoading: 0 };
    now.set(mutant.file, {
      killed: killed + Number(state === 'killed'),
      of: of + Number(counts(state)),
      onlyAtLoading: onlyAtLoading + Number(state === 'only at loading'),
    });
  }
  if (keep) {
    const all = [...new Map([...keptScores(), ...now])].sort(([a], [b]) => (a < b ? -1 : 1));
    const lines = all.map(([file, { killed, of, onlyAtLoading }]) => [file, killed, of, onlyAtLoading].join('\t'));
    writeFileSync(mutantTable, `${['file\tcaught\tof\tonly at loading', ...lines].join('\n')}\n`);
  }
  return [...now].map(([file, { killed, of }]) => `${share(killed, of)}  ${killed} of ${of}  ${file}`).join('\n');
}

/** What a random sample of a room's faults says of the room. */
export interface Sample {
  readonly killed: number;
  readonly of: number;
  readonly seed: string;
}

/** Estimates by room, as the table keeps them. */
export function keptSamples(): Map<string, Sample> {
  if (!existsSync(sampleTable)) return new Map();
  const [, ...lines] = readFileSync(sampleTable, 'utf8').trim().split('\n');
  return new Map(
    lines.map((line) => {
      const [room = '', killed, of, seed = ''] = line.split('\t');
      return [room, { killed: Number(killed), of: Number(of), seed }];
    }),
  );
}

/** @returns the room's estimate, and writes it into the table when all tests had their turn */
export function keepSample(rows: readonly { state: MutantState }[], room: string, seed: string, keep: boolean): string {
  const of = rows.filter(({ state }) => counts(state)).length;
  const found: Sample = { killed: rows.filter(({ state }) => state === 'killed').length, of, seed };
  if (keep) {
    const all = [...new Map([...keptSamples(), [room, found] as const])].sort(([a], [b]) => (a < b ? -1 : 1));
    const lines = all.map(([name, { killed, of, seed }]) => [name, killed, of, seed].join('\t'));
    writeFileSync(sampleTable, `${['room\tcaught\tof\tseed', ...lines].join('\n')}\n`);
  }
  return `${estimate(found)}  ${room}`;
}

/** The share with its 95 % interval. */
export function estimate({ killed, of }: Sample): string {
  const [low, high] = binomialInterval(killed, of);
  return `${share(killed, of)} (${(100 * low).toFixed(0)} to ${(100 * high).toFixed(0)} %): ${killed} of ${of} drawn`;
}

/**
 * 95 % interval of a share from a count (Clopper and Pearson, Biometrika 26 (1934) 404), by the quantiles of F: it covers
 * the true share at least so often.
 */
export function binomialInterval(killed: number, of: number): readonly [number, number] {
  const odds = (more: number, fewer: number): number => more * fisherQuantile(0.975, 2 * more, 2 * fewer);
  const low = killed === 0 ? 0 : killed / (killed + odds(of - killed + 1, killed));
  if (killed === of) return [low, 1];
  const above = odds(killed + 1, of - killed);
  return [low, above / (of - killed + above)];
}

export function share(part: number, whole: number): string {
  return whole === 0 ? '-' : `${((100 * part) / whole).toFixed(1)} %`;
}
