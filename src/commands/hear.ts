import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { likelySpeech, makeOnsetFinder } from '../listen/onset.ts';
import { loudestChannel, readWav } from '../listen/wav.ts';

/**
 * `npm run --silent hear -- FILE.wav…`: runs the onset code of the app on sound files. One JSON line per file,
 * `{"file":…,"utterances":[{"onset_s":…,"end_s":…}]}`, times in seconds from the start of the file. A file that cannot
 * be read: a one-line error, exit status 1; the others are still done.
 */
export interface HeardUtterance {
  readonly onset_s: number;
  readonly end_s: number;
}

/** The utterances in a stretch of sound. @param samples mono, -1..1 */
export function utterancesIn(samples: Float32Array, sampleRate: number): HeardUtterance[] {
  const finder = makeOnsetFinder(sampleRate);
  const events = [];
  // In the same small blocks in which a browser delivers sound.
  for (let at = 0; at < samples.length; at += 128) events.push(...finder.push(samples.subarray(at, at + 128)));
  events.push(...finder.finish());
  const seconds = (frame: number): number => Number((frame / sampleRate).toFixed(3));
  return events.flatMap((event) =>
    event.kind === 'utterance' && event.utterance.speech >= likelySpeech
      ? [{ onset_s: seconds(event.utterance.onsetFrame), end_s: seconds(event.utterance.endFrame) }]
      : [],
  );
}

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
