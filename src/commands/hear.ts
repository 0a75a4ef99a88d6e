import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { callsIn } from '../hearing/ear/hear-samples.ts';
import type { OwnAnswer } from '../hearing/ear/recognise.ts';
import { loudestChannel, readWav } from '../hearing/wav.ts';
import { candidates } from '../language/candidates.ts';
import type { Candidate } from '../language/numbers.ts';
import { keyOf } from '../language/understand.ts';
import { en } from '../language/words/en.ts';

/**
 * `npm run --silent hear -- FILE.wav…`: runs the ear of the app along sound files. One JSON
 * line per file, `{"file":…,"utterances":[{"onset_s":…,"end_s":…,"best":[…]}]}`, times in seconds from the start of the
 * file. A file that cannot be read: a one-line error, exit status 1; the others are still done.
 */
export interface HeardUtterance {
  readonly onset_s: number;
  readonly end_s: number;
  /** What the embedded ear takes it for, best first, without any expectation. Empty: nothing of its vocabulary. */
  readonly best: readonly HeardMeaning[];
}

export interface HeardMeaning {
  /** The likeliest of the sentences with this meaning, in plain words: "twenty five". */
  readonly text: string;
  /** The number in it, in the unit that was meant; null where there is none or several. */
  readonly value: number | null;
  /** `number`: a reading; `word`: a procedure word, with or without a number. */
  readonly kind: 'number' | 'word';
  /** Probability of this meaning, 0..1: the sum over its sentences. */
  readonly p: number;
}

/**
 * The utterances in a stretch of sound, and what the embedded ear makes of each.
 * @param samples mono, -1..1. Cost: some 30 ms for a second of sound.
 */
export function utterancesIn(samples: Float32Array, sampleRate: number): HeardUtterance[] {
  const rounded = (seconds: number): number => Number(seconds.toFixed(3));
  return callsIn(samples, sampleRate).map(({ onsetS, endS, answer }) => ({
    onset_s: rounded(onsetS),
    end_s: rounded(endS),
    best: meanings(answer),
  }));
}

/** Sentences with one meaning ("two five", "twenty five millilitres") become one, their probabilities added. */
function meanings(answer: OwnAnswer): HeardMeaning[] {
  const byMeaning = new Map<string, HeardMeaning>();
  for (const { text, p } of answer.best) {
    const [meant] = candidates(text, en);
    const key = meant ? keyOf(meant) : text;
    const known = byMeaning.get(key);
    if (known) byMeaning.set(key, { ...known, p: known.p + p });
    else byMeaning.set(key, { text, value: numberIn(meant), kind: meant?.kind === 'reading' ? 'number' : 'word', p });
  }
  return [...byMeaning.values()].sort((a, b) => b.p - a.p).map((meaning) => ({ ...meaning, p: rounded(meaning.p) }));
}

function numberIn(meant: Candidate | undefined): number | null {
  if (meant?.kind === 'reading') return meant.values.length === 1 ? Number(meant.values[0]) : null;
  return meant?.kind === 'command' && 'value' in meant.meaning ? Number(meant.meaning.value) : null;
}

const rounded = (p: number): number => Number(p.toFixed(4));

function main(files: readonly string[]): void {
  if (files.length === 0) {
    console.error('Name one or more WAV files: npm run --silent hear -- FILE.wav');
    process.exitCode = 1;
  }
  for (const file of files) {
    try {
      const sound = readWav(readFileSync(file));
      console.log(JSON.stringify({ file, utterances: utterancesIn(loudestChannel(sound), sound.sampleRate) }));
    } catch (error) {
      console.error(`${file}: ${sentenceOf(error)}`);
      process.exitCode = 1;
    }
  }
}

function sentenceOf(error: unknown): string {
  if (error instanceof Error && 'code' in error) {
    if (error.code === 'ENOENT') return 'There is no such file.';
    if (error.code === 'EISDIR') return 'This is a folder, not a file.';
  }
  return error instanceof Error ? error.message : String(error);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) main(process.argv.slice(2));
