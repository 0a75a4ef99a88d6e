import { join } from 'node:path';

/** What `npm run mutants` writes on its way, a folder for each choice of rooms and files; git keeps none of it. */
export const mutantFolder = join(import.meta.dirname, '../../.mutants', process.env.MUTANT_SET ?? '');
/** Every fault, as `Mutant[]`. */
export const mutantList = join(mutantFolder, 'mutants.json');
/** What became of each, a line each: word, id, test file. */
export const mutantLog = join(mutantFolder, 'log.txt');
/** How long each slow test took, ms; for all choices, so that only the first run waits for them. */
export const slowTests = join(import.meta.dirname, '../../.mutants/slow.json');
/** Faults that change nothing that anybody can see: file, original, replacement, why. */
export const equivalentTable = join(import.meta.dirname, 'equivalent-mutants.tsv');
/** Score of every file, kept: file, caught, of, left out because they act only while a file loads. */
export const mutantTable = join(import.meta.dirname, 'mutants.tsv');
/** Estimate of every room, kept: room, caught, of, drawn from so many, seed. */
export const sampleTable = join(import.meta.dirname, 'mutant-samples.tsv');

/** One small fault. */
export interface Mutant {
  readonly id: string;
  readonly file: string;
  readonly line: number;
  readonly column: number;
  /** Stryker's name of the kind of fault. */
  readonly kind: string;
  readonly original: string;
  readonly replacement: string;
}

/**
 * What a line of the log says of a fault: it is being tried, a test caught it, it never came back,
 * all tests of the file passed with it, or it acts only while a file loads. `done` ends a test file,
 * `alive` says that another test has run.
 */
export type LogWord = 'trying' | 'killed' | 'stuck' | 'survived' | 'static' | 'done' | 'alive';
